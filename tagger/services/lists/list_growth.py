"""Lists that grow out of lots: rows from cards that no list has, and tags read again after a list
was corrected."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.checklist.columns import Rows
from tagger.core.checklist.parallels import parse_parallels
from tagger.core.index.location_builder import rows_of
from tagger.core.index.location_index import IndexedCard
from tagger.core.model.counted import counted
from tagger.core.model.tags import Row, State
from tagger.core.model.text import printable
from tagger.core.session.rereading import Rereading, reread
from tagger.errors import LotError, Refused
from tagger.exchange.import_diff import FieldChange
from tagger.services.lists.lot_checklists import index_of, unread
from tagger.services.lot_selection import ChosenLots
from tagger.services.opening import change

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.index.index import Index
    from tagger.core.lot.view import LotView
    from tagger.core.model.tags import Marking, Parallel
    from tagger.store.machine.paths import LotPlace

COLUMNS = ("set", "number", "subject", "team", "parallels")
_TOLD = ("set", "number", "subject", "team", "parallel")


@dataclass(frozen=True)
class GrownList:
    """Rows that the cards of lots show there are, in the order of a list; `checklists` are the
    lists of these lots, `skipped` has a sentence for each lot that could not be read, and one for
    cards that no list can have."""

    rows: Sequence[Row]
    checklists: tuple[str, ...]
    skipped: Sequence[str]

    def cells(self) -> list[tuple[str, ...]]:
        """The rows as a list has them, by COLUMNS."""
        return [(*row[:4], _parallels(row.parallels)) for row in self.rows]


def _parallels(parallels: Sequence[Parallel]) -> str:
    text = "; ".join(map(_parallel, parallels))
    # where there is a semicolon, nothing else parts a name that is one: `Gold / Blue`
    return text if len(parse_parallels(text)) == len(parallels) else f"{text};"


def _parallel(parallel: tuple[str, int | None]) -> str:
    name, run = parallel
    # a semicolon parts one parallel from the next
    shown = name.replace(";", ",")
    return f"{shown} /{run}" if run else shown


def _unlisted(lot: LotView) -> Iterator[IndexedCard]:
    for pair in lot.arrangement.pairs:
        mark = lot.mark(pair.id)
        if mark.state is State.TAGGED and not mark.tags.listed:
            yield IndexedCard("", "", mark)


def grown_list(folders: Sequence[Path]) -> GrownList:
    """The tagged cards that no list has, of some lots or all. Raises LotError."""
    lots, checklists = ChosenLots(folders), dict[str, None]()
    cards: list[IndexedCard] = []
    for _, lot in lots.read():
        checklists |= dict.fromkeys(lot.checklists)
        cards += _unlisted(lot)
    # a row without a set would be read as one of the set above it
    named = [card for card in cards if card.mark.tags.set]
    rows = Rows(rows_of(named))
    skipped = [*lots.skipped]
    if without := len(cards) - len(named):
        have = counted(without, "card has", "cards have")
        skipped.append(f"{have} no set and cannot be in a list; give a set first.")
    return GrownList([rows[at] for at in rows.ordered()], tuple(checklists), skipped)


@dataclass(frozen=True)
class RereadLot:
    """A lot whose tags differ from its lists as they are now."""

    place: LotPlace
    lot: LotView
    found: Rereading

    def differences(self) -> Iterator[str]:
        """`box12, card 4: subject "Ada Marsch" → "Ada Marsh"`."""
        name = printable(self.place.name)
        for marking in self.found.markings:
            position = self.lot.arrangement.position_of(marking.id)
            assert position is not None
            for one in _changes(position, marking):
                yield f"{name}, {one}"
        for position in self.found.left:
            tags = self.lot.mark(self.lot.arrangement.pairs[position - 1].id).tags
            yield f"{name}, card {position}: the lists have no {tags.title} any more; not changed"


def _changes(position: int, marking: Marking) -> Iterator[FieldChange]:
    before, after = marking.before.tags, marking.after.tags
    for field in _TOLD:
        one, other = getattr(before, field), getattr(after, field)
        if one != other:
            yield FieldChange(position, field, one, other)
    if before.listed != after.listed:
        yield FieldChange(position, "listed", "no", "yes")


@dataclass
class RereadLots:
    """Lots read again: those where anything differs, and a sentence for each lot or list that could
    not be read."""

    lots: list[RereadLot]
    skipped: list[str]

    @property
    def cards(self) -> int:
        """How many cards would change."""
        return sum(len(lot.found.markings) for lot in self.lots)

    @property
    def left(self) -> int:
        """How many cards no row is known for any more."""
        return sum(len(lot.found.left) for lot in self.lots)


def reread_lots(folders: Sequence[Path]) -> RereadLots:
    """Hold the tags of some lots, or all, against their lists. A lot with a list that cannot be
    read is skipped: what that list has would seem to be gone. Raises LotError."""
    chosen, found = ChosenLots(folders), RereadLots([], [])
    for place, lot in chosen.read():
        if not lot.checklists:
            continue
        try:
            result = reread(lot, _whole_index(lot.checklists))
        except LotError as error:
            found.skipped.append(f"{printable(place.name)} was skipped: {error.message}")
            continue
        if result.markings or result.left:
            found.lots.append(RereadLot(place, lot, result))
    found.skipped.extend(chosen.skipped)
    return found


def _whole_index(checklists: Sequence[str]) -> Index:
    """The index over all lists. Raises LotError where one cannot be read."""
    read = index_of(checklists)
    if missing := unread(read):
        raise LotError(missing[0])
    return read.index


def enter_reread(shown: RereadLot, settings: Settings) -> None:
    """Do what was shown, as one change. Raises Refused where the lot is another by now, LotError
    where it cannot be changed."""
    with change(shown.place, settings) as session:
        if session.looking:
            raise LotError(f"Nothing was changed: {session.looking}.")
        found = reread(session.view, _whole_index(session.view.checklists))
        if found.markings != shown.found.markings:
            raise Refused("The lot was changed in the meantime; nothing was changed. Try again.")
        cards = counted(len(found.markings), "card")
        session.enter(f"read again from the lists: {cards}", found.markings)
