"""Reading the lines of a table below its column names: many at once where nothing is odd about
them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from tagger.core.checklist.columns import Column
from tagger.core.checklist.lines import Blocks, has_long_line
from tagger.core.checklist.numbers_read import is_odd
from tagger.core.checklist.rows.row_columns import row_values
from tagger.core.checklist.rows.single_rows import SingleRows
from tagger.core.checklist.rows.values import UNSET, Values, tidy

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Gathered
    from tagger.core.checklist.plan import Plan
    from tagger.core.checklist.reading import TableReading


class ChecklistTable:
    """Reads the lines below the column names of a plan into `into`; `stem` is the set where none is
    given. `reading` gets what there is to say of it."""

    def __init__(
        self, plan: Plan, delimiter: str, stem: str, into: Gathered, reading: TableReading
    ) -> None:
        self.plan, self.delimiter, self.into = plan, delimiter, into
        self._file, rows = reading.file, into.rows
        self._alias_ids: Column[str] = Column()
        self._alias = Values(plan.at("alias"), lambda raw: self._alias_ids.id(tidy(raw)))
        self._values = row_values(plan, stem, rows)
        self._no_subject = rows.subjects.id("")
        self._odd_numbers = {rows.numbers.id("")}
        self.heading_of_next = 0, ""  # line and text above the table that begins below
        self._looked_at = 0  # of the distinct numbers
        self._nameless = [
            at for at, name in enumerate(plan.names) if not name and not plan.meanings[at]
        ]
        self._singly = SingleRows(plan, stem, self._values, into, reading, delimiter)

    def read(self, blocks: Blocks) -> int:
        """Read all lines; what is odd is told. Returns the line in which another table begins, 0
        where none does."""
        # a block that holds one odd line is read line by line: slower, and the next one fast again
        for line, block in blocks:
            if self._singly.stateful or not self._read_at_once(line, block):
                records = blocks.records(line, block, self.delimiter, self._problem)
                if again := self._read_singly(records):
                    return again
        self._singly.finish()
        return 0

    def begin_part(self, line: int, text: str) -> None:
        """A heading above the table that is no name of a set."""
        self._singly.begin_part(line, text)

    def lists(self, line: int, text: str) -> None:
        """A line above the table that says something of all its cards."""
        self._singly.lists(line, text)

    def read_records(self, records: Iterable[tuple[int, list[str]]]) -> int:
        """Read records as `read` reads those of blocks."""
        again = self._read_singly(records)
        if not again:
            self._singly.finish()
        return again

    def _read_at_once(self, line: int, block: str) -> bool:
        """Read lines column by column, where there is nothing odd about any of them; else nothing
        is read."""
        columns = self._even_columns(block)
        if not columns or any(any(columns[at]) for at in self._nameless):
            return False
        ids = [values.many(columns) for values in self._values]
        if self._has_odd(ids):
            return False
        if self.plan.has("alias"):
            self._note_aliases(zip(ids[2], self._alias.many(columns), strict=True))
        for column, found in zip(self.into.rows.columns(), ids, strict=True):
            column.of.extend(found)
        self.into.lines.extend(range(line, line + len(columns[0])))
        self._singly.passed(len(columns[0]))
        return True

    def _has_odd(self, ids: Sequence[list[int]]) -> bool:
        """Whether one of some lines is no plain card: without a number, a subject, a set."""
        numbers = self.into.rows.numbers.values
        for id in range(self._looked_at, len(numbers)):
            if is_odd(numbers[id]):
                self._odd_numbers.add(id)
        self._looked_at = len(numbers)
        if not self._odd_numbers.isdisjoint(ids[1]) or UNSET in ids[0]:
            return True
        return self.plan.has_subject and self._no_subject in ids[2]

    def _even_columns(self, block: str) -> list[list[str]]:
        """The cells of a block by column; none where a line needs a look of its own, since it has
        quotation marks, more or fewer cells than there are columns, or cannot be read."""
        if '"' in block or "\0" in block or has_long_line(block):
            return []
        mark, width = self.delimiter, len(self.plan.names)
        # a line's end as a cell of its own
        cells = block.replace("\n", f"{mark}\n{mark}").split(mark)
        if not _is_even(cells, width):
            return []
        return [cells[at :: width + 1] for at in range(width)]

    def _read_singly(self, records: Iterable[tuple[int, list[str]]]) -> int:
        for line, cells in records:
            if self._singly.begins_another(line, cells):
                self.heading_of_next = self._singly.heading_of_next()
                self._singly.finish()
                return line
            subject = self._singly.read(line, cells)
            if subject is not None and self.plan.has("alias"):
                self._note_aliases([(subject, self._alias.one(cells))])
        return 0

    def _note_aliases(self, pairs: Iterable[tuple[int, int]]) -> None:
        for subject, alias in dict.fromkeys(pairs):
            self.into.rows.also(subject, self._alias_ids.values[alias])

    def _problem(self, line: int, text: str) -> None:
        self.into.problem(self._file, line, text)


def _is_even(cells: Sequence[str], width: int) -> bool:
    """Whether each line of some, its end as a cell of its own, has so many cells before it."""
    count = (len(cells) + 1) // (width + 1)
    ends = cells[width :: width + 1]
    return len(cells) == count * (width + 1) - 1 and ends.count("\n") == count - 1
