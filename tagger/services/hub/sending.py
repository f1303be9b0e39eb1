"""Lots sent to the hub as they are on disk, and what becomes of sales that others ask for."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.stock.asked import OPEN, REFUSED, answer
from tagger.errors import HubDown, HubError, LotError
from tagger.store.hub.publishing import LotToPublish, copied, kept_lot, lots_at_hub, publish_lot
from tagger.store.hub.wishes import wishes_of

if TYPE_CHECKING:
    from tagger.core.stock.asked import Wish
    from tagger.services.hub.hub import Hub
    from tagger.services.hub.own_lots import OwnLots
    from tagger.store.hub.connection import Connection
    from tagger.store.machine.paths import LotPlace

UNDONE = "the sale was undone there"


@dataclass
class PublishReport:
    """What was published: so many lots, so many of them unchanged, so many cards, so many lists and
    loupes; sentences on the
    sales that were entered for others, and on what could not be done."""

    lots: int = 0
    unchanged: int = 0
    cards: int = 0
    shared: int = 0
    sales: list[str] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)


class ToAnswer(NamedTuple):
    """Wishes of a lot: those that are to be entered in it, and (wish, state, why) of those that are
    answered already."""

    enter: tuple[Wish, ...] = ()
    said: tuple[tuple[str, str, str], ...] = ()


def as_it_is(place: LotPlace) -> LotToPublish:
    """A lot with the prices that the hub has it with."""
    return LotToPublish(place.home, place.name)


def publish_lots(
    line: Connection,
    hub: Hub,
    own: OwnLots,
    report: PublishReport,
    lot_of: Callable[[LotPlace], LotToPublish] = as_it_is,
) -> None:
    """Publish those of some lots that changed. Raises HubDown; what the hub refuses of one lot is
    told, and the others go on."""
    known = lots_at_hub(line, own.lots)
    for id, (place, at) in own.lots.items():
        try:
            lot = lot_of(place)
            there = known.get(id)
            if there is not None and there.station != hub.station.id:
                raise HubError(copied(lot))
            if there is not None and there.is_now(lot, at):
                report.unchanged += 1
                continue
            outcome = publish_lot(line, hub.station, lot, there)
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
    lot = kept_lot(place.home).kept.lot
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
