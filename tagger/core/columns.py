"""Rows of a checklist by column: a million rows in a few arrays, each distinct text held once."""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Iterator, Sequence
from typing import Generic, TypeVar, overload

from tagger.core.model import Parallel, Row

T = TypeVar("T")
Extra = tuple[tuple[str, str], ...]


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

    __slots__ = ("aliases", "extras", "numbers", "parallels", "sets", "subjects", "teams")

    def __init__(self, rows: Iterable[Row] = ()) -> None:
        self.sets: Column[str] = Column()
        self.numbers: Column[str] = Column()
        self.subjects: Column[str] = Column()
        self.teams: Column[str] = Column()
        self.parallels: Column[tuple[Parallel, ...]] = Column()
        self.extras: Column[Extra] = Column()
        self.aliases: dict[int, dict[str, None]] = {}  # by subject: the other ways to write it
        for row in rows:
            self.append(row)

    def also(self, subject: int, alias: str) -> None:
        """Note another way to write a subject."""
        if alias:
            self.aliases.setdefault(subject, {})[alias] = None

    def append(self, row: Row) -> None:
        """Add a row at the end."""
        self.also(self.subjects.id(row.subject), row.alias)
        self.append_ids(
            self.sets.id(row.set),
            self.numbers.id(row.number),
            self.subjects.id(row.subject),
            self.teams.id(row.team),
            self.parallels.id(row.parallels),
            self.extras.id(row.extra),
        )

    def append_ids(self, set_id: int, number: int, subject: int, team: int, parallels: int, extra: int) -> None:
        """Add a row whose values are in the columns already."""
        self.sets.of.append(set_id)
        self.numbers.of.append(number)
        self.subjects.of.append(subject)
        self.teams.of.append(team)
        self.parallels.of.append(parallels)
        self.extras.of.append(extra)

    def add_parallels(self, row: int, more: tuple[Parallel, ...]) -> None:
        """Give a row further parallels."""
        self.parallels.of[row] = self.parallels.id(self.parallels[row] + more)

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

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return f"Rows({list(self[:9])!r}{', …' if len(self) > 9 else ''})"
