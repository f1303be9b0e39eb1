"""What this station publishes: its lots, and its answers to what others ask of its cards."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.stock.asked_sales import enter_wishes
from tagger.errors import LockedError, TaggerError
from tagger.services.hub.own_lots import OwnLots, own_lots
from tagger.services.hub.own_wishes import own_answers
from tagger.services.hub.prices import Prices
from tagger.services.hub.sending import PublishReport, answers, publish_lots, to_answer
from tagger.services.opening import change
from tagger.store.checklists import checklist_files
from tagger.store.hub.publishing import all_said
from tagger.store.hub.shared import share
from tagger.store.hub.wishes import answered
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.known_lists import lists_now

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.stock.asked import Wish
    from tagger.services.hub.hub import Hub
    from tagger.store.hub.connection import Connection
    from tagger.store.machine.paths import LotPlace


def publish(
    hub: Hub, settings: Settings, prices: bool = False, lists: bool = False
) -> PublishReport:
    """Publish all lots of this machine that changed, and answer what others ask. With `prices`
    today's prices of the checklists go with all cards, with `lists` the checklists themselves.
    Raises HubDown, HubError."""
    report = PublishReport()
    with hub.station_line() as line:
        own = own_lots()
        report.problems += own.problems
        said = _enter_wishes(line, hub, own, settings, report)
        publish_lots(
            line, hub, own_lots(place for place, _ in own.lots.values()), report, Prices(prices).lot
        )
        answered(line, said)
        all_said(line, hub.station)
        told = own_answers(line, hub)
        if lists:
            report.shared = share(line, hub.station, _lists(own))
    report.sales += told.good
    report.problems += told.bad
    return report


def _lists(own: OwnLots) -> list[Path]:
    """The checklists of the lots, each once."""
    named = (one for place, _ in own.lots.values() for one in read_lot(place.home).checklists)
    return checklist_files([Path(one) for one in lists_now(tuple(dict.fromkeys(named)))])


def _enter_wishes(
    line: Connection, hub: Hub, own: OwnLots, settings: Settings, report: PublishReport
) -> list[tuple[str, str, str]]:
    """Enter what others ask where nobody is at the lot; what is to be answered once all is
    published."""
    said: list[tuple[str, str, str]] = []
    for id, wishes in to_answer(line, hub, own.lots).items():
        place = own.lots[id][0]
        try:
            found = answers(place, wishes)
            if found.enter:
                report.sales += _entered(place, found.enter, settings)
            said += answers(place, wishes).said
        except TaggerError as error:
            report.problems.append(error.message)
    return said


def _entered(place: LotPlace, wishes: Sequence[Wish], settings: Settings) -> list[str]:
    # somebody is at it: the desk enters them by itself
    with contextlib.suppress(LockedError), change(place, settings, patient=False) as session:
        return [f"{place.name}: {one}" for one in enter_wishes(session, wishes)]
    return []
