"""What a checklist says: rows, and what could not be read; gathered from one file or several."""

from __future__ import annotations

from array import array
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import repeat
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.checklist.columns import Rows
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.model.tags import Parallel, Row


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
        self.lines = array("I")  # by row; 0 where a double is nothing to speak of

    def problem(self, file: str, line: int, text: str) -> None:
        """Note something that the user should know."""
        self.problems.append(Problem(file, line, text))

    def add(self, row: Row, line: int = 0) -> None:
        """Add a row."""
        self.rows.append(row)
        self.lines.append(line)

    def checklist(self, file: str = "") -> Checklist:
        """What was gathered. Doubles count once; `file` names them in problems, which are put in
        the order of lines."""
        self._unite(file)
        # doubles are found last, wherever they stand
        if file:
            self.problems.sort(key=lambda problem: problem.line)
        return Checklist(self.rows, tuple(self.problems))

    def _unite(self, file: str) -> None:
        """Same set, number and subject, as they are compared, make the same card."""
        keys = self.rows.keys()
        # hardly a list names a card twice, and then nothing has to be compared
        if len(set(keys)) == len(keys):
            self.rows.arrange(keys)
            return
        doubles = set[int]()
        for known, row in self._doubles(keys):
            doubles.add(row)
            self._one(known, row, file)
        if doubles:
            self.rows.without(doubles)
            left = (line for row, line in enumerate(self.lines) if row not in doubles)
            self.lines = array("I", left)

    def _doubles(self, keys: Sequence[int]) -> Iterator[tuple[int, int]]:
        """(first row, further row) of each card that is there more than once."""
        again = {key for key, times in Counter(keys).items() if times > 1}
        first: dict[tuple[int, str], int] = {}
        folded = _Folded(self.rows.subjects.values)
        for row, key in enumerate(keys):
            if key in again:
                known = first.setdefault((key, folded[self.rows.subjects.of[row]]), row)
                if known != row:
                    yield known, row

    def _one(self, known: int, row: int, file: str) -> None:
        had, given = self.rows.parallels[known], self.rows.parallels[row]
        more = tuple(p for p in given if p not in had)
        if more:
            self.rows.add_parallels(known, more)
        elif self.lines[row] and not (had and not given):
            # The base card may have a line of its own among those of its parallels.
            said = f"the same card is in line {self.lines[known]}; counted once"
            self.problem(file, self.lines[row], said)


class _Folded(dict[int, str]):
    """Subjects as they are compared, by their numbers."""

    def __init__(self, subjects: Sequence[str]) -> None:
        self._subjects = subjects

    def __missing__(self, id: int) -> str:
        self[id] = found = fold(self._subjects[id])
        return found


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
