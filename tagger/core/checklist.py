"""What a checklist says: rows, and what could not be read; gathered from one file or several."""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from tagger.core.columns import Column, Rows
from tagger.core.model import Parallel, Row
from tagger.core.numbers import canonical
from tagger.core.text import fold


class Problem(NamedTuple):
    """Something in a checklist that the user should know. `line` counts from 1."""

    file: str
    line: int
    problem: str

    def sentence(self) -> str:
        """`cards.csv, line 14: no card number`."""
        return f"{self.file}, line {self.line}: {self.problem}"


@dataclass(frozen=True)
class Checklist:
    """Rows of one or several files, in the files' order, with what could not be read."""

    rows: Sequence[Row] = ()
    problems: tuple[Problem, ...] = ()

    @property
    def sets(self) -> dict[str, list[Row]]:
        """Rows by set, sets in the order in which they first appear."""
        found: dict[str, list[Row]] = {}
        for row in self.rows:
            found.setdefault(row.set, []).append(row)
        return found

    def parallels(self, rows: Iterable[Row]) -> list[Parallel]:
        """Each parallel that these rows have, once, in the order in which they first appear."""
        return list(dict.fromkeys(parallel for row in rows for parallel in row.parallels))


class Gathered:
    """Rows as they come in: the same card twice becomes one row with all its parallels."""

    def __init__(self) -> None:
        self.rows = Rows()
        self.problems: list[Problem] = []
        self._seen: dict[int, int] = {}
        self._lines = array("I")
        self._canonical: Column[str] = Column()
        self._folded: Column[str] = Column()
        self._number_key: list[int] = []
        self._subject_key: list[int] = []

    def problem(self, file: str, line: int, text: str) -> None:
        """Note something that the user should know."""
        self.problems.append(Problem(file, line, text))

    def add(self, row: Row, file: str = "", line: int = 0) -> None:
        """Add a row; `line` is 0 where a double is nothing to speak of."""
        rows = self.rows
        rows.also(rows.subjects.id(row.subject), row.alias)
        self.add_ids(
            rows.sets.id(row.set),
            rows.numbers.id(row.number),
            rows.subjects.id(row.subject),
            rows.teams.id(row.team),
            rows.parallels.id(row.parallels),
            rows.extras.id(row.extra),
            file,
            line,
        )

    def add_ids(
        self, set_id: int, number: int, subject: int, team: int, parallels: int, extra: int, file: str, line: int
    ) -> None:
        """Add a row whose values are in the columns already. Same set, number and subject, as they are compared, make
        the same card."""
        if number >= len(self._number_key):
            self._number_key.extend(
                self._canonical.id(canonical(n)) for n in self.rows.numbers.values[len(self._number_key) :]
            )
        if subject >= len(self._subject_key):
            self._subject_key.extend(
                self._folded.id(fold(s)) for s in self.rows.subjects.values[len(self._subject_key) :]
            )
        key = set_id << 50 | self._number_key[number] << 25 | self._subject_key[subject]
        known = self._seen.setdefault(key, len(self._lines))
        if known == len(self._lines):
            self._lines.append(line)
            self.rows.append_ids(set_id, number, subject, team, parallels, extra)
            return
        had, given = self.rows.parallels[known], self.rows.parallels.values[parallels]
        more = tuple(p for p in given if p not in had)
        if more:
            self.rows.add_parallels(known, more)
        elif line and not (had and not given):  # the base card may have a line of its own among those of its parallels
            self.problem(file, line, f"the same card stands in line {self._lines[known]}; counted once")

    def checklist(self) -> Checklist:
        """What was gathered."""
        return Checklist(self.rows, tuple(self.problems))


def merge(checklists: Sequence[Checklist]) -> Checklist:
    """Several files as one checklist. A card named in two files counts once, with the parallels of both."""
    if len(checklists) == 1:
        return checklists[0]
    gathered = Gathered()
    for checklist in checklists:
        _pour(checklist.rows if isinstance(checklist.rows, Rows) else Rows(checklist.rows), gathered)
        gathered.problems.extend(checklist.problems)
    return gathered.checklist()


def _pour(rows: Rows, into: Gathered) -> None:
    target = into.rows
    pairs = (
        (rows.sets, target.sets),
        (rows.numbers, target.numbers),
        (rows.subjects, target.subjects),
        (rows.teams, target.teams),
    )
    sets, numbers, subjects, teams = ([new.id(value) for value in old.values] for old, new in pairs)
    for subject, names in rows.aliases.items():
        for alias in names:
            target.also(subjects[subject], alias)
    parallels = [target.parallels.id(value) for value in rows.parallels.values]
    extras = [target.extras.id(value) for value in rows.extras.values]
    columns = (rows.sets.of, rows.numbers.of, rows.subjects.of, rows.teams.of, rows.parallels.of, rows.extras.of)
    for a, b, c, d, e, f in zip(*columns, strict=True):
        into.add_ids(sets[a], numbers[b], subjects[c], teams[d], parallels[e], extras[f], "", 0)
