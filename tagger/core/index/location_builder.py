"""Packing the cards of many lots into the flat sections of a location index."""

from __future__ import annotations

import json
from array import array
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from tagger.core.checklist.checklist import Checklist
from tagger.core.checklist.columns import Column, Rows
from tagger.core.index.flat_arrays import Sections, pack_column, pack_postings, pack_texts
from tagger.core.index.index_builder import pack_index
from tagger.core.index.location_index import NONE, IndexedCard, IndexedLot, mark_copy, mark_detail
from tagger.core.model.column_names import SERIES_NAME
from tagger.core.model.numbers import print_run
from tagger.core.model.place import PlaceKey, place_key
from tagger.core.model.tags import Mark, Parallel, Row, Tags


class Name(NamedTuple):
    """What a card was named as: what copies of one row have in common."""

    set: str
    number: str
    subject: str
    team: str
    series: str

    @property
    def row(self) -> Row:
        """It as a row without parallels."""
        extra = ((SERIES_NAME, self.series),) if self.series else ()
        return Row(self.set, self.number, self.subject, self.team, extra=extra)


def name_of(tags: Tags) -> Name:
    """The name that a card has by its tags."""
    return Name(tags.set, tags.number, tags.subject, tags.team, tags.series)


def parallel_of(tags: Tags) -> Parallel | None:
    """The parallel that a card shows there is, its print run taken from the serial number; None for
    a plain base card."""
    run = print_run(tags.serial)
    if not tags.parallel and not run:
        return None
    return Parallel(tags.parallel_name, run)


def rows_of(cards: Iterable[IndexedCard]) -> list[Row]:
    """What the cards of lots show there is, as rows of a checklist: each card once, with all its
    parallels in the order of their names."""
    held = _ShownRows()
    for card in cards:
        held.row(card.mark)
    return list(held.rows())


class _ShownRows:
    """Rows as cards show them."""

    def __init__(self) -> None:
        self._known: dict[Name, int] = {}
        self._parallels: dict[int, set[Parallel]] = {}

    def row(self, mark: Mark) -> int:
        """The number of a card's row, NONE where it has none."""
        name = name_of(mark.tags)
        if not name.number and not name.subject:
            return NONE
        # Rows are numbered as they are met: their order in the index is known only when all lots
        # are read.
        at = self._known.setdefault(name, len(self._known))
        if (parallel := parallel_of(mark.tags)) is not None:
            self._parallels.setdefault(at, set()).add(parallel)
        return at

    def rows(self) -> Iterator[Row]:
        """The rows by their numbers."""
        for at, name in enumerate(self._known):
            # sorted: cards come in any order, and equal kinds of cards must be one kind
            shown = sorted(self._parallels.get(at, ()), key=lambda p: (p.name, p.run or 0))
            yield name.row._replace(parallels=tuple(shown))


class _Words:
    """Texts in one piece, as they come."""

    def __init__(self) -> None:
        # put together as it is kept: a million scans' names would be as many texts
        self._data, self._ends = bytearray(), array("I")

    def add(self, text: str) -> None:
        """Put one more behind the others."""
        self._data += text.encode("utf-8", "surrogatepass")
        self._ends.append(len(self._data))

    def sections(self, name: str) -> Sections:
        """As `Texts` reads them."""
        return {f"{name}.ends": self._ends, f"{name}.text": self._data}


@dataclass
class _Place:
    """One place of a lot. `present`: the cards there so far that are not gone; `waiting`: the last
    of them and those gone since, which have no card behind them yet."""

    present: int = 0
    waiting: list[int] = field(default_factory=list)


class _Neighbours:
    """Each card among those of its place: how many lie before it, and which are next to it."""

    def __init__(self) -> None:
        self.front, self.before, self.after = array("I"), array("I"), array("I")
        self._places: dict[PlaceKey, _Place] = {}

    def next_lot(self) -> None:
        """A box may be called alike in two lots, and is another box there."""
        self._places = {}

    def add(self, number: int, mark: Mark) -> None:
        """The next card, by its number."""
        place = self._places.setdefault(place_key(mark.tags.place), _Place())
        self.front.append(place.present)
        self.before.append(place.waiting[0] if place.present else NONE)
        self.after.append(NONE)
        # a card that is gone lies next to none, but is told where it lay
        if mark.in_place:
            place.present += 1
            for other in place.waiting:
                self.after[other] = number
            place.waiting.clear()
        place.waiting.append(number)

    def sections(self) -> Sections:
        """As `LocationIndex` reads them."""
        return {"cards.front": self.front, "cards.before": self.before, "cards.after": self.after}


class _Cards:
    """The cards of lots as they come."""

    def __init__(self) -> None:
        self.rows = _ShownRows()
        self.row_of = array("I")
        self._starts = array("I", [0])
        # cards that differ in number and name only share all the rest
        self._details = Column[tuple[object, ...]]()
        self._copies = Column[tuple[object, ...]]()
        self._names, self._fronts, self._backs = _Words(), _Words(), _Words()
        self._parts, self._running = _Words(), array("I")
        self._neighbours = _Neighbours()

    def add(self, lot: IndexedLot) -> None:
        """One more lot."""
        self._names.add(lot.name)
        self._parts.add(lot.part)
        self._neighbours.next_lot()
        for number, card in enumerate(lot.cards, start=self._starts[-1]):
            self.row_of.append(self.rows.row(card.mark))
            self._details.of.append(self._details.id(mark_detail(card.mark)))
            self._copies.of.append(self._copies.id(mark_copy(card.mark)))
            self._running.append(card.mark.running)
            self._fronts.add(card.front)
            self._backs.add(card.back)
            self._neighbours.add(number, card.mark)
        self._starts.append(self._starts[-1] + len(lot.cards))

    def sections(self) -> Sections:
        """All that does not hang on the order of the rows."""
        return (
            {
                "cards.starts": self._starts,
                "cards.detail": self._details.of,
                "cards.copy": pack_column(self._copies.of, len(self._copies.values)),
                "cards.running": self._running,
            }
            | self._parts.sections("cards.parts")
            | self._neighbours.sections()
            | self._names.sections("cards.lots")
            | self._fronts.sections("cards.fronts")
            | self._backs.sections("cards.backs")
            | pack_texts("cards.details", map(json.dumps, self._details.values))
            | pack_texts("cards.copies", map(json.dumps, self._copies.values))
        )


def pack_locations(lots: Iterable[IndexedLot]) -> Sections:
    """All sections of a `LocationIndex`. One lot after the other is taken, so that they need not be
    held all at once."""
    cards = _Cards()
    for lot in lots:
        cards.add(lot)
    rows = Rows(cards.rows.rows())
    steps = _steps(rows, cards.row_of)
    held_by: list[list[int]] = [[] for _ in range(len(rows))]
    for number, step in enumerate(steps):
        # A card without tags has no row; it still counts as a neighbour.
        if step != NONE:
            held_by[step].append(number)
    sections = pack_index(Checklist(rows)) | cards.sections()
    return sections | {"cards.step": steps} | pack_postings("cards.of", held_by)


def _steps(rows: Rows, row_of: Iterable[int]) -> array[int]:
    """By card the step of its row in the index."""
    step_of = array("I", bytes(4 * len(rows)))
    for step, row in enumerate(rows.ordered()):
        step_of[row] = step
    return array("I", (NONE if row == NONE else step_of[row] for row in row_of))
