"""The open lot to the hub, in a process beside the desk: the desk waits for no network."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import BrokenExecutor, CancelledError, Future
from typing import TYPE_CHECKING

from tagger.errors import TaggerError
from tagger.imaging.survey.workers import Workers
from tagger.services.background.ports import HubNews

if TYPE_CHECKING:
    from tagger.services.hub.hub import Hub
    from tagger.store.machine.paths import LotPlace


class HubCourier:
    """Publishes one lot; see `ports.HubWork`."""

    def __init__(self, place: LotPlace, hub: Hub) -> None:
        self._place, self._hub = place, hub
        self._workers = Workers(1)

    def send(self, entered: frozenset[str], told: Callable[[HubNews], None]) -> None:
        """Publish the lot as it is on disk, and have `told` how it went, from another thread."""
        try:
            asked = self._workers.submit(deliver, self._place, self._hub, entered)
        except (BrokenExecutor, RuntimeError):
            return

        def done(answer: Future[HubNews]) -> None:
            try:
                told(answer.result())
            except (BrokenExecutor, CancelledError):
                told(HubNews("the process beside the desk ended"))

        asked.add_done_callback(done)

    def close(self) -> None:
        """End it, whatever it is at: a lot is published whole or not at all."""
        self._workers.close()


def deliver(place: LotPlace, hub: Hub, entered: frozenset[str]) -> HubNews:
    """Publish a lot, and get what others ask of its cards; `entered` are wishes that were entered
    in it before."""
    from tagger.services.hub.own_lots import own_lots
    from tagger.services.hub.sending import PublishReport, answers, publish_lots, to_answer
    from tagger.store.hub.publishing import all_said
    from tagger.store.hub.wishes import answered

    try:
        own, report = own_lots([place]), PublishReport()
        with hub.station_line() as line:
            wishes = [one for some in to_answer(line, hub, own.lots).values() for one in some]
            found = answers(place, wishes, entered)
            publish_lots(line, hub, own_lots([place]), report)
            answered(line, found.said)
            all_said(line, hub.station)
    except TaggerError as error:
        return HubNews(error.message)
    return HubNews(" ".join((*own.problems, *report.problems)), found.enter)
