"""Rows of a checklist by column: a million rows in a few arrays, each distinct text held once."""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import islice
from operator import add, eq, le
from typing import Any, Generic, TypeVar, overload

from tagger.core.model.numbers import are_roman, canonical, roman
from tagger.core.model.tags import Extra, Parallel, Row, series_of
from tagger.core.model.text import natural

T = TypeVar("T")


class Column(Generic[T]):
    """One column: `values` holds each distinct value once, `of[row]` says which one a row has."""

    __slots__ = ("_ids", "of", "values")

    def __init__(self) -> None:
        self.values: list[T] = []
        self.of = array("I")
        self._ids: dict[T, int] = {}

    def id(self, value: T) -> int:
        """The number of a value; a new one where it was not met yet."""
        known = self._ids.get(value)
        if known is None:
            known = self._ids[value] = len(self.values)
            self.values.append(value)
        return known

    def __getitem__(self, row: int) -> T:
        return self.values[self.of[row]]


class Rows(Sequence[Row]):
    """The rows of a checklist, in the files' order. A Row is put together when it is asked for."""

    __slots__ = ("_order", "aliases", "extras", "numbers", "parallels", "sets", "subjects", "teams")

    def __init__(self, rows: Iterable[Row] = ()) -> None:
        self.sets: Column[str] = Column()
        self.numbers: Column[str] = Column()
        self.subjects: Column[str] = Column()
        self.teams: Column[str] = Column()
        self.parallels: Column[tuple[Parallel, ...]] = Column()
        self.extras: Column[Extra] = Column()
        self.aliases: dict[int, dict[str, None]] = {}  # by subject: the other ways to write it
        self._order: Sequence[int] | None = None
        for row in rows:
            self.append(row)

    def also(self, subject: int, alias: str) -> None:
        """Note another way to write a subject."""
        if alias:
            self.aliases.setdefault(subject, {})[alias] = None

    def columns(self) -> tuple[Column[Any], ...]:
        """All columns, each with as many places as there are rows."""
        return self.sets, self.numbers, self.subjects, self.teams, self.parallels, self.extras

    def append(self, row: Row) -> None:
        """Add a row at the end."""
        values = (row.set, row.number, row.subject, row.team, row.parallels, row.extra)
        for column, value in zip(self.columns(), values, strict=True):
            column.of.append(column.id(value))
        self.also(self.subjects.of[-1], row.alias)

    def add_parallels(self, row: int, more: tuple[Parallel, ...]) -> None:
        """Give a row further parallels."""
        self.parallels.of[row] = self.parallels.id(self.parallels[row] + more)

    def add_note(self, row: int, note: str) -> None:
        """Keep what else a list says of a row's card."""
        self.extras.of[row] = self.extras.id((*self.extras[row], ("note", note)))

    def canonicals(self) -> list[str]:
        """The canonical form of each value of `numbers`."""
        return [canonical(number) for number in self.numbers.values]

    def keys(self) -> list[int]:
        """For each row a whole number that orders rows by set, by series where several have the
        same numbers, and, naturally, by number; rows there whose numbers have the same canonical
        form have the same key."""
        first: dict[str, str] = {}
        canonicals = self.canonicals()
        # `007` and `7` are one number, so they need one place in the order
        for text, number in zip(canonicals, self.numbers.values, strict=True):
            first.setdefault(text, number)
        rank = {
            text: at for at, text in enumerate(sorted(first, key=lambda text: natural(first[text])))
        }
        ranks = [rank[text] for text in canonicals]
        # set and number in one whole number: sorting compares no tuples
        wide = len(rank) + 1
        of_set = range(0, wide * len(self.sets.values), wide)
        # a million rows go through it, so the loops run within the interpreter
        numbers = map(ranks.__getitem__, self.numbers.of)
        keys = list(map(add, map(of_set.__getitem__, self.sets.of), numbers))
        self._as_roman(keys, canonicals, wide)
        series = list(dict.fromkeys(map(series_of, self.extras.values)))
        if len(series) < 2:
            return keys
        return self._by_series(keys, series, wide)

    def _as_roman(self, keys: list[int], canonicals: list[str], wide: int) -> None:
        """Put the rows of sets with Roman numbers in the order of their values: IX behind VIII."""
        values = {at: value for at, text in enumerate(canonicals) if (value := roman(text))}
        if not values:  # nearly every list has none
            return
        romans = self._roman_sets(values, canonicals)
        if not romans:
            return
        place = {value: at for at, value in enumerate(sorted(set(values.values())))}
        for row, (of_set, number) in enumerate(zip(self.sets.of, self.numbers.of, strict=True)):
            if of_set in romans:
                keys[row] = wide * of_set + place[values[number]]

    def _roman_sets(self, values: Collection[int], canonicals: Sequence[str]) -> set[int]:
        """The sets of which all numbers are Roman; `values`: the numbers that could be."""
        pairs = zip(self.sets.of, self.numbers.of, strict=True)
        others = {of_set for of_set, number in pairs if number not in values}
        numbers: dict[int, set[str]] = {}
        for of_set, number in zip(self.sets.of, self.numbers.of, strict=True):
            if of_set not in others:
                numbers.setdefault(of_set, set()).add(canonicals[number])
        return {of_set for of_set, its in numbers.items() if are_roman(its)}

    def _by_series(self, keys: list[int], series: list[str], wide: int) -> list[int]:
        """The same keys, but in sets where cards of one number are told apart by their series,
        these one behind the other."""
        place = {name: at for at, name in enumerate(series)}
        of_extra = [place[series_of(extra)] for extra in self.extras.values]
        series_of_row = [of_extra[extra] for extra in self.extras.of]
        first: dict[int, int] = {}
        shared = {
            key // wide
            for key, at in zip(keys, series_of_row, strict=True)
            if first.setdefault(key, at) != at
        }
        more = len(series)
        return [
            ((key // wide * more) + (at if key // wide in shared else 0)) * wide + key % wide
            for key, at in zip(keys, series_of_row, strict=True)
        ]

    def ordered(self) -> Sequence[int]:
        """The rows by set and number, those of the same key in the files' order."""
        if self._order is None or len(self._order) != len(self):
            self.arrange(self.keys())
        return self._order or range(0)

    def arrange(self, keys: list[int]) -> bool:
        """Keep the order that the keys of all rows give. Returns whether any two are the same."""
        # most lists are sorted already; then nothing is moved, here and in the index
        if all(map(le, keys, islice(keys, 1, None))):
            self._order = range(len(keys))
        else:
            self._order = array("I", sorted(range(len(keys)), key=keys.__getitem__))
            keys = [*map(keys.__getitem__, self._order)]
        return any(map(eq, keys, islice(keys, 1, None)))

    def sizes(self) -> Counter[int]:
        """How many rows each set has, by the set's number."""
        return Counter(self.sets.of)

    def without(self, rows: set[int]) -> None:
        """Take rows out."""
        kept = [row for row in range(len(self)) if row not in rows]
        for column in self.columns():
            column.of = array("I", map(column.of.__getitem__, kept))

    def __len__(self) -> int:
        return len(self.sets.of)

    @overload
    def __getitem__(self, row: int) -> Row: ...
    @overload
    def __getitem__(self, row: slice) -> tuple[Row, ...]: ...
    def __getitem__(self, row: int | slice) -> Row | tuple[Row, ...]:
        if isinstance(row, slice):
            return tuple(self[at] for at in range(*row.indices(len(self))))
        return Row(
            self.sets[row],
            self.numbers[row],
            self.subjects[row],
            self.teams[row],
            self.parallels[row],
            self.extras[row],
            " / ".join(self.aliases.get(self.subjects.of[row], ())),
        )

    def __iter__(self) -> Iterator[Row]:
        return (self[row] for row in range(len(self)))

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, (Rows, tuple)):
            return NotImplemented
        return len(self) == len(other) and all(a == b for a, b in zip(self, other, strict=True))

    # rows can be added, so no hash would stay true
    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return f"Rows({list(self[:9])!r}{', …' if len(self) > 9 else ''})"
