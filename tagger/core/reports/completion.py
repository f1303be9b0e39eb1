"""What is there of the sets of a checklist, what is missing and what is double, by parallel.

A set is complete when there is a base card of each of its rows (common practice, no source); each
parallel is counted for itself, among the rows that have it. Cards that are gone do not count."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.tags import Mark, Tags, is_base, kept_parallel, parallel_key, series_of
from tagger.core.model.text import has_parts

if TYPE_CHECKING:
    from tagger.core.index.index import Index


class Want(NamedTuple):
    """A card that is missing; an empty parallel is the base card, an empty series the plain
    one."""

    set: str
    number: str
    subject: str
    team: str
    parallel: str
    series: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """One parallel of a set (empty: the base cards): of how many cards at least one copy is there,
    and how many copies are more than one. `run` is the print run where all its cards have the
    same."""

    parallel: str
    run: int | None
    have: int
    cards: int
    doubles: int

    @property
    def percent(self) -> float:
        """The share that is there, in percent, never rounded up: 100 means that nothing is
        missing."""
        return self.have * 1000 // max(1, self.cards) / 10


@dataclass(frozen=True, slots=True)
class SetCount:
    """One set: its base cards, its parallels in the checklist's order, and how many copies of its
    cards are there."""

    set: str
    base: Share
    parallels: tuple[Share, ...]
    copies: int


class Holdings:
    """Cards counted against the rows of an index."""

    def __init__(self, index: Index) -> None:
        self.index = index
        self._copies: dict[int, Counter[str]] = {}  # by step, then by parallel as it is compared
        self.unlisted = 0
        """Tagged cards that stand in no checklist, or in a parallel that their row does not
        have."""

    def add(self, marks: Iterable[Mark]) -> None:
        """Count the cards of a lot."""
        there = (mark.tags for mark in marks if mark.in_stock)
        for tags in there:
            step = self._step(tags)
            if step is None:
                self.unlisted += 1
            else:
                self._copies.setdefault(step, Counter())[parallel_key(tags.parallel)] += 1

    def _step(self, tags: Tags) -> int | None:
        index = self.index
        # of a card that was tagged as it was typed, the number alone proves nothing
        step = index.find(tags) if tags.listed else index.find_named(tags)
        if step is None:
            return None
        # a parallel that the row does not have counts as no card of it: 100 % would be wrong
        if parallel_key(tags.parallel) not in ("", *self._parallels(step)):
            return None
        return step

    def _parallels(self, step: int) -> dict[str, tuple[str, int | None]]:
        """(name, print run) of each parallel of a row, by its name as it is compared."""
        listed = self.index.parallels_at(step)
        # `base` in a list is the plain card, which every row has
        return {parallel_key(name): (name, run) for name, run in listed if not is_base(name)}

    def begun(self) -> list[int]:
        """The sets of which any card is there, in the checklists' order."""
        return sorted({self.index.set_of(step) for step in self._copies})

    def copies(self, step: int, parallel: str = "") -> int:
        """How many copies of a card are there."""
        return self._copies.get(step, Counter())[parallel_key(parallel)]

    def count(self, set_id: int) -> SetCount:
        """One set, counted."""
        shares: dict[str, list[int]] = {"": [0, 0, 0]}  # have, cards, doubles
        named: dict[str, tuple[str, set[int | None]]] = {"": ("", set())}
        copies = 0
        for step in self.index.steps(set_id):
            held = self._copies.get(step, Counter())
            copies += held.total()
            # rows may list different parallels: each counts only the rows that have it
            for key, (name, run) in {"": ("", None), **self._parallels(step)}.items():
                share = shares.setdefault(key, [0, 0, 0])
                share[0] += held[key] > 0
                share[1] += 1
                share[2] += max(0, held[key] - 1)
                named.setdefault(key, (name, set()))[1].add(run)
        every = [
            Share(named[key][0], _only(named[key][1]), *share) for key, share in shares.items()
        ]
        return SetCount(self.index.sets[set_id], every[0], tuple(every[1:]), copies)

    def wants(self, set_id: int, parallels: bool = False) -> Iterator[Want]:
        """The base cards of a set that are missing, with `parallels` all missing parallels as well,
        by number."""
        for step in self.index.steps(set_id):
            for name in self._names(step, parallels):
                if not self.copies(step, name):
                    yield self._want(step, name)

    def doubles(self, set_id: int) -> Iterator[tuple[Want, int]]:
        """The cards of a set of which there is more than one, with the number of copies."""
        for step in self.index.steps(set_id):
            for name in self._names(step, parallels=True):
                if (copies := self.copies(step, name)) > 1:
                    yield self._want(step, name), copies

    def _names(self, step: int, parallels: bool) -> list[str]:
        """The parallels of a row, the base card first; without `parallels` that alone."""
        names = [""]
        if parallels:
            names += [name for name, _ in self._parallels(step).values()]
        return names

    def _want(self, step: int, parallel: str) -> Want:
        row = self.index.row(step)
        series = kept_parallel(series_of(row.extra))
        return Want(row.set, row.number, row.subject, row.team, parallel, series)


def _only(runs: set[int | None]) -> int | None:
    """The print run of a parallel where all its cards have one, None where they differ."""
    if len(runs) > 1:
        return None
    return next(iter(runs), None)


def sets_named(index: Index, words: str) -> list[int]:
    """The sets whose names hold every one of some words."""
    return [id for id, name in enumerate(index.sets) if has_parts(name, words)]


def spans(numbers: Sequence[str]) -> str:
    """`1, 4-7, 117a`: numbers of a set in their order, those that follow one another drawn
    together."""
    found: list[list[str]] = []
    for number in numbers:
        if found and _is_next(found[-1][-1], number):
            # the first and the last number of a span are all that is shown of it
            found[-1][1:] = [number]
        else:
            found.append([number])
    return ", ".join(map("-".join, found))


def _is_next(before: str, number: str) -> bool:
    """Whether a number follows another; `117a` follows nothing."""
    if not (before.isdecimal() and number.isdecimal()):
        return False
    return int(number) == int(before) + 1
