"""What this station publishes: its lots, and its answers to what others ask of its cards."""

from __future__ import annotations

import contextlib
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.stock.asked import OPEN, REFUSED, answer
from tagger.core.stock.asked_sales import enter_wishes
from tagger.errors import HubDown, HubError, LockedError, LotError, TaggerError
from tagger.services.hub.own_lots import OwnLots, Prices, own_lots
from tagger.services.opening import change
from tagger.store.hub.publishing import all_said, copied, lots_at_hub, publish_lot
from tagger.store.hub.wishes import answered, wishes_of
from tagger.store.lot.lot_file import read_lot

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.stock.asked import Wish
    from tagger.services.hub.hub import Hub
    from tagger.store.hub.connection import Connection
    from tagger.store.machine.paths import LotPlace

UNDONE = "the sale was undone there"


@dataclass
class PublishReport:
    """What was published: so many lots, so many of them unchanged, so many cards; sentences on the
    sales that were entered for others, and on what could not be done."""

    lots: int = 0
    unchanged: int = 0
    cards: int = 0
    sales: list[str] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)


class ToAnswer(NamedTuple):
    """Wishes of a lot: those that are to be entered in it, and (wish, state, why) of those that are
    answered already."""

    enter: tuple[Wish, ...] = ()
    said: tuple[tuple[str, str, str], ...] = ()


def publish(hub: Hub, settings: Settings, prices: bool = False) -> PublishReport:
    """Publish all lots of this machine that changed, and answer what others ask. With `prices`
    today's prices of the checklists go with all cards. Raises HubDown, HubError."""
    report = PublishReport()
    with hub.station_line() as line:
        own = own_lots()
        report.problems += own.problems
        said = _enter_wishes(line, hub, own, settings, report)
        publish_lots(line, hub, own_lots(place for place, _ in own.lots.values()), report, prices)
        answered(line, said)
        all_said(line, hub.station)
    return report


def publish_lots(
    line: Connection, hub: Hub, own: OwnLots, report: PublishReport, prices: bool = False
) -> None:
    """Publish those of some lots that changed. Raises HubDown; what the hub refuses of one lot is
    told, and the others go on."""
    known, priced = lots_at_hub(line, own.lots), Prices(prices)
    for id, (place, at) in own.lots.items():
        try:
            lot = priced.lot(place)
            there = known.get(id)
            if there is not None and there.station != hub.station.id:
                raise HubError(copied(lot))
            if there is not None and there.is_now(lot, at):
                report.unchanged += 1
                continue
            outcome = publish_lot(line, hub.station, lot)
        except (HubDown, KeyboardInterrupt):
            raise
        except (HubError, LotError) as error:
            report.problems.append(error.message)
        else:
            report.lots += 1
            report.cards += outcome.cards


def to_answer(line: Connection, hub: Hub, lots: Collection[str]) -> dict[str, list[Wish]]:
    """What others ask of the cards of some lots, by lot."""
    found: dict[str, list[Wish]] = {}
    for wish in wishes_of(line, hub.station):
        if wish.lot in lots:
            found.setdefault(wish.lot, []).append(wish)
    return found


def answers(place: LotPlace, wishes: Iterable[Wish], entered: Collection[str] = ()) -> ToAnswer:
    """What becomes of the wishes of a lot as it is kept; `entered` are those that were entered in
    it before, and where they do not stand there now, that was undone. Raises LotError."""
    lot = read_lot(place.home)
    enter: list[Wish] = []
    said: list[tuple[str, str, str]] = []
    for wish in wishes:
        there = lot.arrangement.position_of(wish.card) is not None
        found = answer(wish, lot.mark(wish.card) if there else None)
        if found.state != OPEN:
            said.append((wish.id, found.state, found.why))
        elif wish.id in entered:
            said.append((wish.id, REFUSED, UNDONE))
        else:
            enter.append(wish)
    return ToAnswer(tuple(enter), tuple(said))


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
