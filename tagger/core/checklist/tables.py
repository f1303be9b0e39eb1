"""The tables in one text, one below the other or side by side; else its plain list."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.checklist.above.years import years_left
from tagger.core.checklist.guessed import guess_told, guessed_header
from tagger.core.checklist.header import (
    Beginning,
    Header,
    Record,
    beginning_of,
)
from tagger.core.checklist.headings.beside import columns_of
from tagger.core.checklist.headings.meaning import says_series
from tagger.core.checklist.headings.people import TOLD, are_people
from tagger.core.checklist.lines import filled
from tagger.core.checklist.plain_list import read_list
from tagger.core.checklist.plan import Plan, without_makers
from tagger.core.checklist.planning.cells import alike
from tagger.core.checklist.planning.parts_of_set import with_parts
from tagger.core.checklist.planning.steps import planned
from tagger.core.checklist.planning.surveyed import (
    fitted,
    lines_over_all,
    lone_texts,
    of_this_table,
    own_cells,
    set_in_headings,
    side_by_side,
    surveyed,
    with_index,
    without_remarks,
)
from tagger.core.checklist.raw.notes import is_total, without_page_marks
from tagger.core.checklist.raw.purposes import one_collected
from tagger.core.checklist.raw.years import has_year
from tagger.core.checklist.reading import Naming, ReadColumn, TableReading
from tagger.core.checklist.rows.first_heading import FirstHeading, make_part, may_head
from tagger.core.checklist.rows.numbers_found import are_wants
from tagger.core.checklist.set_naming import SetNaming
from tagger.core.checklist.table import ChecklistTable
from tagger.core.checklist.titles import (
    Title,
    names_part,
    quoted,
    title_above,
)
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Gathered
    from tagger.core.checklist.lines import Blocks, Line, TellProblem

_HEAD = 60  # lines in which the column names are looked for
MOST_TABLES = 200


class Tables:
    """Reads a text into `into`. `file` names it in problems; `mark` parts its cells, if known."""

    def __init__(self, file: str, naming: Naming, into: Gathered, mark: str = "") -> None:
        self._file, self._naming, self._into, self._mark = file, naming, into, mark
        self._sets = SetNaming(naming, into.rows)
        self._first: FirstHeading | None = None  # above the first table, if it may be one

    def read(self, blocks: Blocks) -> None:
        """Read all tables from the first filled line on."""
        for _ in range(MOST_TABLES):
            line = self._one(blocks)
            if not line:
                return
            blocks.back_to(line)
        self._problem(line, f"more than {MOST_TABLES} tables; the rest of the file is not read")

    def _one(self, blocks: Blocks) -> int:
        """Read one table; the line in which the next one begins, 0 for none."""
        head = blocks.head(_HEAD)
        begins = self._beginning(head)
        reading = TableReading(
            self._file, title=self._sets.of_sheet, rows=(len(self._into.rows), 0)
        )
        self._into.readings.append(reading)
        header = begins.header
        if header is None:
            wants = are_wants([text for _, text in head])
            header = None if wants else guessed_header(begins.records)
            if header is None:
                self._plain(blocks, begins, reading)
                return 0
            self._mark = begins.mark
            self._problem(begins.records[header.at].line, guess_told(header))
        below = [one.cells for one in begins.records[header.at + 1 :] if filled(one.cells)]
        if are_people(header.names, header.meanings, below):
            self._problem(begins.records[header.at].line, TOLD)
            return 0
        again = self._table(blocks, head, begins, header, reading)
        reading.rows = reading.rows[0], len(self._into.rows)
        self._settle_first(reading)
        if reading.rows[0] == reading.rows[1] and not again:
            self._problem(reading.line, "there are column names, but no cards below them")
        return again

    def _settle_first(self, reading: TableReading) -> None:
        """Make the cards below the first heading of a table a part, where it has further headings
        with the same column names below them."""
        first, begin = self._first, reading.rows[0]
        if first is None or first.reading is not reading:
            return
        if any(one.begun > begin for one in self._into.headed):
            make_part(first, self._into)
            self._first = None

    def _beginning(self, head: Sequence[Line]) -> Beginning:
        found = beginning_of(head, self._naming.more, self._mark)
        if found.header is not None:
            self._mark = found.mark
        return found

    def _plain(self, blocks: Blocks, begins: Beginning, reading: TableReading) -> None:
        first = begins.records[0]
        # a line of a plain list has one comma, before the team
        if len(first.cells) > 2 and not are_wants([text for _, text in blocks.head(_HEAD)]):
            self._problem(
                first.line,
                "this line has no known column names, so the file is read as a plain list; see "
                "the checklist format",
            )
        read_list(blocks.lines(), self._sets.name, self._into, reading)
        reading.rows = reading.rows[0], len(self._into.rows)

    def _table(
        self,
        blocks: Blocks,
        head: list[Line],
        begins: Beginning,
        header: Header,
        reading: TableReading,
    ) -> int:
        above = begins.records[: header.at]
        title = title_above([(record.line, record.cells) for record in above], self._naming.more)
        heads = [without_page_marks(filled(record.cells)) for record in above]
        reading.above = frozenset(map(" ".join, filter(None, heads)))
        taken = begins.records[: header.at + header.taken]
        blocks.skip(head[: sum(record.lines for record in taken)])
        reading.line = begins.records[header.at].line if header.taken else 0
        header = with_index(header, surveyed(blocks, begins.mark))
        groups = side_by_side(header)
        if len(groups) > 1:
            return self._groups(blocks, begins, header, reading, groups)
        called = title.name if has_year(title.name) else self._sets.name
        plan = self._plan(blocks, header, begins, called)
        table = self._made(plan, title, reading)
        self._check_columns(table.plan, reading)
        again = table.read(blocks)
        self._sets.above = table.heading_of_next
        return again

    def _made(self, plan: Plan, title: Title, reading: TableReading) -> ChecklistTable:
        """The reader of a table, its set and its part from the title above it."""
        title = self._sets.told_by(title)
        title = title._replace(name=title.name or set_in_headings(plan))
        reading.columns = tuple(map(ReadColumn, plan.names, plan.meanings))
        reading.given, reading.given_line = title.given, title.given_line
        reading.by_team = title.by_team or self._naming.by_team
        reading.notes.extend(plan.notes)
        is_set = not plan.has("set") and self._set_by_title(title, plan, reading)
        plan = self._of_one(without_makers(plan) if is_set else plan, title)
        self._tell_left(title, reading, may_be_first=is_set and not plan.has("series"))
        table = ChecklistTable(plan, self._mark, self._sets.name, self._into, reading)
        if not is_set:
            self._as_part(table, title, reading, plan.has("set"))
        elif part := self._sets.part_by_sheet():
            table.begin_part(0, part)
        for line, text in title.parts:
            table.lists(line, text)
        return table

    def _of_one(self, plan: Plan, title: Title) -> Plan:
        """The plan of the cards of one person, whom the title names or the file, of many sets."""
        if plan.has_subject or not (plan.has("set") and plan.has_number):
            return plan
        texts = (title.name, *(text for _, text in title.left), self._naming.stem)
        return replace(plan, subject=next(filter(None, map(one_collected, texts)), ""))

    def _tell_left(self, title: Title, reading: TableReading, *, may_be_first: bool) -> None:
        """Tell of the lines above a table that name nothing; the last one may turn out to be the
        heading of its cards."""
        if may_be_first and (left := may_head(title, reading.line)):
            self._first = FirstHeading(*left, reading)
        columns = {column.meaning for column in reading.columns}
        is_named = title.name or self._sets.titled or self._sets.of_sheet or "set" in columns
        for line, text in title.left:
            said = f"{quoted([text])}, above the table, is not used"
            if not is_named and _NAMED_WITHIN.search(text):
                self._problem(line, f"{said}; the set is called by the file's name")
            else:
                reading.notes.append(f"line {line}: {said}")

    def _set_by_title(self, title: Title, plan: Plan, reading: TableReading) -> bool:
        """Let a title name the set, if it does; whether it does."""
        if not plan.has("year"):
            self._tell(years_left(title.left, title.name or self._sets.name))
        if not title.name or not self._sets.is_set(title.name):
            return False
        self._tell(self._sets.doubts(title))
        self._sets.take(title.name)
        reading.title = title.name
        return True

    def _as_part(
        self, table: ChecklistTable, title: Title, reading: TableReading, has_set: bool
    ) -> None:
        if not title.name:
            return
        if has_set and not self._sets.above[1]:
            self._tell_not_used(title, reading)
            return
        if self._sets.beside and not names_part(title.name):
            said = f"{quoted([title.name])} is read as the subset below it"
            said = f"{said}; if they are teams, write 'Team:' before each"
            self._into.may_be_teams(self._file, max(title.line, 1), said)
        if self._first is not None and title.line:
            make_part(self._first, self._into)
            self._first = None
        table.begin_part(title.line, title.name)

    def _tell_not_used(self, title: Title, reading: TableReading) -> None:
        """Tell of a title above a table whose set a column names."""
        said = f"{quoted([title.name])}, above the table, is not used: a column names the set"
        named = [one.heading for one in reading.columns if one.meaning == "set"]
        if any(map(says_series, named)):
            hint = f"--columns '{printable(named[0], 40)}=subset'"
            self._problem(title.line, f"{said}; if it names parts of this one: {hint}")
        else:
            reading.notes.append(f"line {title.line}: {said}")

    def _plan(
        self,
        blocks: Blocks,
        header: Header,
        begins: Beginning,
        called: str,
        part: slice = slice(None),
    ) -> Plan:
        """The plan of a table, or of one of several side by side. `called`: the set that its title
        or its file names."""
        names, meanings = header.names[part], header.meanings[part]
        if part != slice(None):  # each of tables side by side has all meanings for itself
            meanings = columns_of(names, self._naming.more)
        bare = Plan(tuple(names), tuple(meanings))
        rows = [
            fitted(record.cells[part], len(names))
            for record in of_this_table(surveyed(blocks, begins.mark), bare, part)
            if filled(record.cells[part]) and not is_total(filled(record.cells[part]))
        ]
        rows = without_remarks(rows, meanings)
        names = [
            name or (f"column {at}" if any(row[at - 1].strip() for row in rows) else "")
            for at, name in enumerate(names, start=1)
        ]
        above = [record.cells[part] for record in begins.records[: header.at]]
        plan = planned(names, meanings, rows, lone_texts((*above, *rows)))
        return with_parts(plan, rows, called)

    def _groups(
        self,
        blocks: Blocks,
        begins: Beginning,
        header: Header,
        reading: TableReading,
        groups: Sequence[slice],
    ) -> int:
        """Read tables that stand side by side, one after the other."""
        mark = begins.mark
        plans = [self._plan(blocks, header, begins, self._sets.name, part) for part in groups]
        plans = alike(plans)
        above = begins.records[: header.at]
        records = list(_all_records(blocks, mark, self._problem))
        readings = [reading, *(TableReading(self._file, reading.line) for _ in groups[1:])]
        self._into.readings.extend(readings[1:])
        readings[0].notes.append(f"{len(groups)} tables stand side by side")
        self._sets.beside = True
        shared = lines_over_all(records, groups)
        again = [
            self._group(plan, part, above, records, one, shared)
            for plan, part, one in zip(plans, groups, readings, strict=True)
        ]
        return min(filter(None, again), default=0)

    def _group(
        self,
        plan: Plan,
        part: slice,
        above: Sequence[Record],
        records: Sequence[tuple[int, list[str]]],
        reading: TableReading,
        shared: Container[int],
    ) -> int:
        title = title_above([(one.line, one.cells[part]) for one in above], self._naming.more)
        reading.rows = len(self._into.rows), 0
        table = self._made(plan, title, reading)
        self._check_columns(table.plan, reading)
        own = ((line, own_cells(line, cells, part, shared)) for line, cells in records)
        again = table.read_records((line, cells) for line, cells in own if filled(cells))
        reading.rows = reading.rows[0], len(self._into.rows)
        return again

    def _check_columns(self, plan: Plan, reading: TableReading) -> None:
        """Tell of columns that cards are found by and that are not there, and of those that may be
        more than they are read as."""
        self._tell((reading.line, said) for said in plan.unsure)
        if not plan.has_number:
            why = "no column for the number (number, #, no, card); cards are found by subject only"
            self._problem(reading.line, why)
        if plan.subject:
            said = f"by the title it is '{printable(plan.subject, 40)}' for all cards"
            self._problem(reading.line, f"no column for the subject; {said}")
        elif not plan.has_subject:
            why = "no column for the subject (subject, name, player, title); found by number only"
            self._problem(reading.line, why)

    def _tell(self, found: Iterable[tuple[int, str]]) -> None:
        for line, said in found:
            self._problem(line, said)

    def _problem(self, line: int, text: str) -> None:
        self._into.problem(self._file, max(line, 1), text)


# `the *Night Games* list`
_NAMED_WITHIN = re.compile(r"(?<=\s)[*\"“«„]?[A-ZÀ-Þ][^\W\d_]+\s[A-ZÀ-Þ][^\W\d_]+")


def _all_records(
    blocks: Blocks, mark: str, problem: TellProblem
) -> Iterator[tuple[int, list[str]]]:
    for line, block in blocks:
        yield from blocks.records(line, block, mark, problem)
