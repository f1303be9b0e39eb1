"""Where the cards of many lots lie, packed into flat sections beside the index over what was
tagged.

Cards are numbered from 0 through all lots, in feeding order. `cards.step` has the row of a card
(its step in the index, NONE where it has no tags), `cards.front` how many cards of the same place
lie before it in its lot, `cards.before` and `cards.after` its neighbours there; cards that are gone
are passed over by all three."""

from __future__ import annotations

import json
from array import array
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

from tagger.core.checklist.checklist import Checklist
from tagger.core.checklist.columns import Column, Rows
from tagger.core.index.flat_arrays import (
    Postings,
    Sections,
    Texts,
    numbers,
    pack_postings,
    pack_texts,
)
from tagger.core.index.index import Index
from tagger.core.index.index_builder import pack_index
from tagger.core.lot.lot import LotState
from tagger.core.model.numbers import parse_serial
from tagger.core.model.tags import Mark, Parallel, Row, State, Tags

NONE = 0xFFFFFFFF
Name = tuple[str, str, str, str]  # set, number, subject, team


class IndexedCard(NamedTuple):
    """A card as it lies in a lot: its scans and its mark, the checklist's further columns left
    out."""

    front: str
    back: str
    mark: Mark


class IndexedLot(NamedTuple):
    """A lot by the text that it is known by, and its cards in feeding order."""

    name: str
    cards: Sequence[IndexedCard]


def lying(name: str, lot: LotState) -> IndexedLot:
    """A lot as it stands."""
    pairs = lot.arrangement.pairs
    return IndexedLot(
        name, [IndexedCard(pair.front or "", pair.back or "", lot.mark(pair.id)) for pair in pairs]
    )


class LocationIndex:
    """The cards of some lots, found by the rows of an index over their tags."""

    def __init__(self, index: Index) -> None:
        """The index holds the cards' sections as well. Raises KeyError, TypeError or ValueError
        where one is amiss."""
        sections, self.index = index.sections, index
        self.lots = Texts(sections, "cards.lots")
        self._starts = numbers(sections["cards.starts"])
        self._step, self._detail = (
            numbers(sections["cards.step"]),
            numbers(sections["cards.detail"]),
        )
        self._front = numbers(sections["cards.front"])
        self._before, self._after = (
            numbers(sections["cards.before"]),
            numbers(sections["cards.after"]),
        )
        self._fronts, self._backs = Texts(sections, "cards.fronts"), Texts(sections, "cards.backs")
        self._details = Texts(sections, "cards.details")
        self._of = Postings(sections, "cards.of")
        self._mark = lru_cache(4096)(self._read_mark)

    def __len__(self) -> int:
        return len(self._step)

    def of(self, step: int) -> Sequence[int]:
        """The cards of a row, in their order."""
        return self._of.of(step)

    def lot_of(self, card: int) -> int:
        """The place in `lots` of the lot that holds a card."""
        return bisect_right(self._starts, card) - 1

    def place_in(self, card: int) -> tuple[int, int, int]:
        """(position in its lot from 1, cards of the lot, which one of its place it is from the
        front, from 1)."""
        lot = self.lot_of(card)
        start, end = self._starts[lot], self._starts[lot + 1]
        return card - start + 1, end - start, self._front[card] + 1

    def neighbours(self, card: int) -> tuple[int | None, int | None]:
        """The cards before and after one in its place, None at either end."""
        before, after = self._before[card], self._after[card]
        return (None if before == NONE else before, None if after == NONE else after)

    def card(self, card: int) -> IndexedCard:
        """A card by its number."""
        mark, step = self._mark(self._detail[card]), self._step[card]
        if step != NONE:
            row, tags = self.index.row(step), mark.tags
            mark = Mark(
                mark.state,
                replace(tags, set=row.set, number=row.number, subject=row.subject, team=row.team),
                mark.reason,
                mark.gone,
            )
        return IndexedCard(self._fronts[card], self._backs[card], mark)

    def lot(self, at: int) -> IndexedLot:
        """A lot as it was packed."""
        return IndexedLot(
            self.lots[at],
            [self.card(card) for card in range(self._starts[at], self._starts[at + 1])],
        )

    def _read_mark(self, detail: int) -> Mark:
        state, gone, reason, listed, parallel, serial, condition, place, note = json.loads(
            self._details[detail]
        )
        tags = Tags("", "", "", "", parallel, serial, condition, place, note, listed)
        return Mark(State(state), tags, reason, gone)


def _variant(tags: Tags) -> tuple[str, str, str, str, str]:
    return tags.parallel, tags.serial, tags.condition, tags.place, tags.note


def name_of(mark: Mark) -> Name | None:
    """What a card was named as, None where it has neither a number nor a subject."""
    tags = mark.tags
    return (tags.set, tags.number, tags.subject, tags.team) if tags.number or tags.subject else None


def parallel_of(tags: Tags) -> Parallel | None:
    """The parallel that a card shows there is, its print run taken from the serial number; None for
    a plain base card."""
    said = parse_serial(tags.serial)
    run = said[1] if said else None
    return Parallel(tags.parallel_name, run) if tags.parallel or run else None


def rows_of(cards: Iterable[IndexedCard]) -> list[Row]:
    """What the cards of lots show there is, as rows of a checklist: each card once, with all its
    parallels in the order of their names."""
    held = _Held()
    for card in cards:
        held.row(card.mark)
    return list(held.rows())


class _Held:
    """Rows as cards show them."""

    def __init__(self) -> None:
        self._known: dict[Name, int] = {}
        self._parallels: dict[int, set[Parallel]] = {}

    def row(self, mark: Mark) -> int:
        """The number of a card's row, NONE where it has none."""
        name = name_of(mark)
        if name is None:
            return NONE
        at = self._known.setdefault(name, len(self._known))
        if (parallel := parallel_of(mark.tags)) is not None:
            self._parallels.setdefault(at, set()).add(parallel)
        return at

    def rows(self) -> Iterator[Row]:
        """The rows by their numbers."""
        for at, name in enumerate(self._known):
            yield Row(
                *name,
                tuple(sorted(self._parallels.get(at, ()), key=lambda p: (p.name, p.run or 0))),
            )


class _Words:
    """Texts in one piece, as they come."""

    def __init__(self) -> None:
        self._data, self._ends = bytearray(), array("I")

    def add(self, text: str) -> None:
        """Put one more behind the others."""
        self._data += text.encode("utf-8", "surrogatepass")
        self._ends.append(len(self._data))

    def sections(self, name: str) -> Sections:
        """As `Texts` reads them."""
        return {f"{name}.ends": self._ends, f"{name}.text": self._data}


def pack_lying(lots: Iterable[IndexedLot]) -> Sections:
    """All sections of a `Lying`. One lot after the other is taken, so that they need not be held
    all at once."""
    held, details = _Held(), Column[tuple[object, ...]]()
    names, fronts, backs = _Words(), _Words(), _Words()
    starts, row_of, before_in_place = array("I", [0]), array("I"), array("I")
    before, after = array("I"), array("I")
    for lot in lots:
        names.add(lot.name)
        count: dict[
            str, int
        ] = {}  # by place: the cards there so far, and those that have none behind them yet
        behind: dict[str, list[int]] = {}
        for number, card in enumerate(lot.cards, start=starts[-1]):
            mark, place = card.mark, card.mark.tags.place
            row_of.append(held.row(mark))
            variant = (
                str(mark.state),
                mark.gone,
                mark.reason,
                mark.tags.listed,
                *_variant(mark.tags),
            )
            details.of.append(details.id(variant))
            fronts.add(card.front)
            backs.add(card.back)
            before_in_place.append(count.get(place, 0))
            waiting = behind.setdefault(place, [])
            before.append(waiting[0] if count.get(place) else NONE)
            after.append(NONE)
            if not mark.gone:
                count[place] = count.get(place, 0) + 1
                for other in waiting:
                    after[other] = number
                waiting.clear()
            waiting.append(number)
        starts.append(starts[-1] + len(lot.cards))
    rows = Rows(held.rows())
    sections = pack_index(Checklist(rows))
    step_of = array("I", bytes(4 * len(rows)))
    for step, row in enumerate(rows.ordered()):
        step_of[row] = step
    steps = array("I", (NONE if row == NONE else step_of[row] for row in row_of))
    sections |= {"cards.starts": starts, "cards.step": steps, "cards.detail": details.of}
    sections |= {"cards.front": before_in_place, "cards.before": before, "cards.after": after}
    sections |= (
        names.sections("cards.lots")
        | fronts.sections("cards.fronts")
        | backs.sections("cards.backs")
    )
    sections |= pack_texts("cards.details", map(json.dumps, details.values))
    held_by: list[list[int]] = [[] for _ in range(len(rows))]
    for number, step in enumerate(steps):
        if step != NONE:
            held_by[step].append(number)
    return sections | pack_postings("cards.of", held_by)
