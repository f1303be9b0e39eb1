"""What a checklist says: rows, and what could not be read; gathered from one file or several."""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import repeat
from typing import TYPE_CHECKING

from tagger.core.checklist.columns import Rows
from tagger.core.checklist.doubles import unite
from tagger.core.checklist.oddities import Oddities, Oddity, Problem

if TYPE_CHECKING:
    from tagger.core.checklist.reading import Headed, TableReading
    from tagger.core.model.tags import Parallel, Row


@dataclass(frozen=True)
class Checklist:
    """Rows of one or several files, in the files' order, with what could not be read, and
    how each table was understood."""

    rows: Sequence[Row] = ()
    problems: tuple[Problem, ...] = ()
    readings: tuple[TableReading, ...] = field(default=(), compare=False)

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
        self.readings: list[TableReading] = []
        self.lines = array("I")  # by row; 0 where a double is nothing to speak of
        self._oddities = Oddities()
        self.headed: list[Headed] = []
        self.unsure_teams: list[tuple[str, int, str]] = []

    def may_be_teams(self, file: str, line: int, text: str) -> None:
        """Note headings that are read as subsets, and what is to be told of them where they stay
        so."""
        self.unsure_teams.append((file, line, text))

    def problem(self, file: str, line: int, text: str) -> None:
        """Note something that the user should know."""
        self._oddities.one(file, line, text)

    def odd(self, file: str, line: int, kind: Oddity) -> None:
        """Note what is odd about a row; rows with the same are told as one."""
        self._oddities.add(file, line, kind)

    def add(self, row: Row, line: int = 0) -> None:
        """Add a row."""
        self.rows.append(row)
        self.lines.append(line)

    @property
    def has_oddities(self) -> bool:
        """Whether anything odd was noted so far."""
        return bool(self.problems) or any(True for _ in self._oddities.problems())

    def checklist(self, file: str = "") -> Checklist:
        """What was gathered. Doubles count once; `file` names them in problems, which are put in
        the order of lines."""
        doubles = unite(self.rows, self.lines, lambda line, kind: self.odd(file, line, kind))
        if doubles:
            self.rows.without(doubles)
            left = (line for row, line in enumerate(self.lines) if row not in doubles)
            self.lines = array("I", left)
        problems = [*self.problems, *self._oddities.problems()]
        # doubles are found last, wherever they stand
        if file:
            problems.sort(key=lambda problem: problem.line)
        return Checklist(self.rows, tuple(problems), tuple(self.readings))


def rows_of(checklist: Checklist) -> Rows:
    """The rows of a checklist by column."""
    if isinstance(checklist.rows, Rows):
        return checklist.rows
    return Rows(checklist.rows)


def merge(checklists: Sequence[Checklist]) -> Checklist:
    """Several files as one checklist. A card named in two files counts once, with the parallels of
    both."""
    # as it is: numbering its values anew would cost as much as reading it
    if len(checklists) == 1:
        return checklists[0]
    gathered = Gathered()
    for checklist in checklists:
        _pour(rows_of(checklist), gathered)
        gathered.problems.extend(checklist.problems)
        gathered.readings.extend(checklist.readings)
    return gathered.checklist()


def _pour(rows: Rows, into: Gathered) -> None:
    target = into.rows
    subjects = [target.subjects.id(value) for value in rows.subjects.values]
    for subject, names in rows.aliases.items():
        for alias in names:
            target.also(subjects[subject], alias)
    for old, new in zip(rows.columns(), target.columns(), strict=True):
        # each distinct value is looked up once, and not once a row
        ids = [new.id(value) for value in old.values]
        new.of.extend(map(ids.__getitem__, old.of))
    into.lines.extend(repeat(0, len(rows)))
