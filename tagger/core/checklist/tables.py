"""The tables in one text, one below the other or side by side; else its plain list."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from tagger.core.checklist.above.years import year_lost, years_left
from tagger.core.checklist.guessed import guess_told, guessed_header
from tagger.core.checklist.header import (
    Beginning,
    Header,
    Record,
    beginning_of,
)
from tagger.core.checklist.headings import columns_of, heading_words, says_series
from tagger.core.checklist.lines import count_said, filled
from tagger.core.checklist.plain_list import read_list
from tagger.core.checklist.planning.parts_of_set import with_parts
from tagger.core.checklist.planning.steps import planned
from tagger.core.checklist.planning.surveyed import (
    fitted,
    set_in_headings,
    side_by_side,
    surveyed,
    with_index,
    without_remarks,
)
from tagger.core.checklist.raw.notes import is_total, without_page_marks
from tagger.core.checklist.raw.purposes import is_place
from tagger.core.checklist.raw.title_names import title_name
from tagger.core.checklist.raw.years import has_year, is_year
from tagger.core.checklist.reading import Naming, ReadColumn, TableReading
from tagger.core.checklist.rows.first_heading import FirstHeading, make_part, may_head
from tagger.core.checklist.rows.numbers_found import are_wants
from tagger.core.checklist.table import ChecklistTable
from tagger.core.checklist.titles import (
    Title,
    names_part,
    names_part_by_word,
    quoted,
    title_above,
)
from tagger.core.model.text import fold, printable, words

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Gathered
    from tagger.core.checklist.lines import Blocks, Line, TellProblem
    from tagger.core.checklist.plan import Plan

_HEAD = 60  # lines in which the column names are looked for
MOST_TABLES = 200


class Tables:
    """Reads a text into `into`. `file` names it in problems; `mark` parts its cells, if known."""

    def __init__(self, file: str, naming: Naming, into: Gathered, mark: str = "") -> None:
        self._file, self._naming, self._into, self._mark = file, naming, into, mark
        self._sheet_set = ""  # the set that a sheet is called by
        self._titled = False  # whether the table above was called by a title of its own
        self._sheet_is_part = naming.is_part  # whether a sheet's name is that of a part of its set
        self._set = naming.stem  # of the table above
        self._beside = False  # whether tables stand side by side
        self._above: tuple[int, str] = (0, "")  # line and text of a heading above the next table
        self._first: FirstHeading | None = None  # above the first table, if it may be one
        if naming.sheet:
            self._called(naming.sheet)

    def _called(self, sheet: str) -> None:
        """Let the name of a sheet be the set, its year, or a part of the set."""
        if is_place(sheet) or self._naming.names_all:
            return
        if is_year(sheet) and not has_year(self._set):
            self._set = self._sheet_set = f"{sheet} {self._set}"
        elif self._is_set_of_sheet(sheet):
            self._set = self._sheet_set = sheet
        else:
            self._above = 0, sheet

    def _is_set_of_sheet(self, sheet: str) -> bool:
        if self._naming.is_set or has_year(sheet):
            return True
        return not has_year(self._set) and self._names_set(sheet)

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
        reading = TableReading(self._file, title=self._sheet_set, rows=(len(self._into.rows), 0))
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
        read_list(blocks.lines(), self._set, self._into, reading)
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
        called = title.name if has_year(title.name) else self._set
        plan = self._plan(blocks, header, begins.mark, called)
        table = self._made(plan, title, reading)
        self._check_columns(plan, reading)
        again = table.read(blocks)
        self._above = table.heading_of_next
        return again

    def _made(self, plan: Plan, title: Title, reading: TableReading) -> ChecklistTable:
        """The reader of a table, its set and its part from the title above it."""
        title = self._with_heading_above(title)
        title = self._without_sheet(title)
        title = title._replace(name=title.name or set_in_headings(plan))
        reading.columns = tuple(map(ReadColumn, plan.names, plan.meanings))
        reading.given, reading.given_line = title.given, title.given_line
        reading.by_team = title.by_team or self._naming.by_team
        reading.notes.extend(plan.notes)
        is_set = not plan.has("set") and self._set_by_title(title, plan, reading)
        self._tell_left(title, reading, may_be_first=is_set and not plan.has("series"))
        table = ChecklistTable(plan, self._mark, self._set, self._into, reading)
        if part := self._part_by_sheet(is_set):
            table.begin_part(0, part)
        if title.name and not is_set:
            self._as_part(table, title, reading, plan.has("set"))
        for line, text in title.parts:
            table.lists(line, text)
        return table

    def _tell_left(self, title: Title, reading: TableReading, *, may_be_first: bool) -> None:
        """Tell of the lines above a table that name nothing; the last one may turn out to be the
        heading of its cards."""
        if may_be_first and (left := may_head(title, reading.line)):
            self._first = FirstHeading(*left, reading)
        columns = {column.meaning for column in reading.columns}
        is_named = title.name or self._titled or self._sheet_set or "set" in columns
        for line, text in title.left:
            said = f"{quoted([text])}, above the table, is not used"
            if not is_named and _NAMED_WITHIN.search(text):
                self._problem(line, f"{said}; the set is called by the file's name")
            else:
                reading.notes.append(f"line {line}: {said}")

    def _set_by_title(self, title: Title, plan: Plan, reading: TableReading) -> bool:
        """Let a title name the set, if it does; whether it does."""
        if not plan.has("year"):
            self._tell(years_left(title.left, title.name or self._set))
        if not title.name or not self._names_set(title.name):
            return False
        self._tell_title(title)
        self._set, self._titled = title.name, True
        reading.title = title.name
        return True

    def _tell_title(self, title: Title) -> None:
        """Tell what is in doubt of a title that is read as the name of a set."""
        # behind another sheet the stem is that one's set, and not the name of the file
        stem = "" if self._naming.others else self._naming.stem
        if not self._titled and (said := year_lost(title.name, stem)):
            self._problem(title.line, said)
        if self._is_own_sheet() and not self._is_surely_set(title.name):
            said = f"{quoted([title.name])} is read as a set of its own, beside those of the sheets"
            self._problem(title.line, f"{said} before; if it is a part of one, write its set too")

    def _part_by_sheet(self, is_set: bool) -> str:
        """The part that the name of the sheet says, where its title names the set."""
        sheet = self._naming.sheet
        return sheet if is_set and self._sheet_is_part and not sheet.isdigit() else ""

    def _with_heading_above(self, title: Title) -> Title:
        """The title, or where there is none the heading that ended the table above."""
        line, text = self._above
        if title.name or not text:
            return title
        title = title._replace(name=title_name(text), line=line)
        return title if title.given else title._replace(given=count_said(text), given_line=line)

    def _without_sheet(self, title: Title) -> Title:
        """A title without what the name of its sheet says: `1987 Harbor Light - inserts` on the
        sheet `Inserts`, and `Harbor binder` on the sheet `1987 Harbor`."""
        name, sheet = title.name, self._naming.sheet
        if not (name and sheet):
            return title
        if has_year(self._sheet_set) and not has_year(name):
            shared = set(words(name)) & set(words(self._sheet_set))
            left = (*title.left, (title.line, name))
            return title._replace(name="", left=left) if shared else title
        behind = re.compile(rf"\s*[-–—:]\s*{re.escape(sheet)}$", re.IGNORECASE)
        before = behind.sub("", name)
        self._sheet_is_part = self._sheet_is_part or before not in ("", name)
        return title._replace(name=before or name)

    def _names_set(self, name: str) -> bool:
        """Whether a title is the name of a set, and not of a part of the one above."""
        if self._is_surely_set(name) or fold(name) == fold(self._set):
            return True
        if names_part(name) and not (self._is_first() and self._is_called_as_file(name)):
            return False
        if has_year(self._set) and (self._beside or name == self._naming.sheet):
            return False
        return self._is_own_sheet() or self._is_first()

    def _is_surely_set(self, name: str) -> bool:
        return has_year(name) or self._is_beside_sets(name)

    def _is_called_as_file(self, name: str) -> bool:
        """Whether a title has all words of the file's name, or that all words of the title, several
        of them: it names the set then, though it may say `Series One` as well."""
        called, said = set(heading_words(self._naming.stem)), set(heading_words(name))
        return min(len(called), len(said)) > 1 and (called <= said or said <= called)

    def _is_first(self) -> bool:
        """Whether nothing is read so far, or the set above has a title without a year."""
        first = not self._into.rows or self._titled
        return first and not (has_year(self._set) and self._titled)

    def _is_own_sheet(self) -> bool:
        """Whether the title is the first of a sheet behind those of several sets."""
        return len(self._naming.others) > 1 and not self._titled

    def _is_beside_sets(self, name: str) -> bool:
        """Whether a sheet's title has a word of all of several sets: `Harbor Promos` behind the
        sheets of two years of Harbor is a set beside them, and a part of neither."""
        others = [set(words(other)) for other in self._naming.others]
        if len(others) < 2:
            return False
        shared = set(words(name)).intersection(*others)
        return not all(map(names_part_by_word, shared))

    def _as_part(
        self, table: ChecklistTable, title: Title, reading: TableReading, has_set: bool
    ) -> None:
        if has_set and not self._above[1]:
            said = f"{quoted([title.name])}, above the table, is not used: a column names the set"
            named = [one.heading for one in reading.columns if one.meaning == "set"]
            if any(map(says_series, named)):
                hint = f"--columns '{printable(named[0], 40)}=subset'"
                self._problem(title.line, f"{said}; if it names parts of this one: {hint}")
            else:
                reading.notes.append(f"line {title.line}: {said}")
            return
        if self._beside and not names_part(title.name):
            said = f"{quoted([title.name])} is read as the subset below it"
            said = f"{said}; if they are teams, write 'Team:' before each"
            self._into.may_be_teams(self._file, max(title.line, 1), said)
        if self._first is not None and title.line:
            make_part(self._first, self._into)
            self._first = None
        table.begin_part(title.line, title.name)

    def _plan(
        self, blocks: Blocks, header: Header, mark: str, called: str, part: slice = slice(None)
    ) -> Plan:
        """The plan of a table, or of one of several side by side. `called`: the set that its title
        or its file names."""
        names, meanings = header.names[part], header.meanings[part]
        if part != slice(None):  # each of tables side by side has all meanings for itself
            meanings = columns_of(names, self._naming.more)
        rows = [
            fitted(record.cells[part], len(names))
            for record in surveyed(blocks, mark)
            if filled(record.cells[part]) and not is_total(filled(record.cells[part]))
        ]
        rows = without_remarks(rows, meanings)
        names = [
            name or (f"column {at}" if any(row[at - 1].strip() for row in rows) else "")
            for at, name in enumerate(names, start=1)
        ]
        return with_parts(planned(names, meanings, rows), rows, called)

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
        plans = [self._plan(blocks, header, mark, self._set, part) for part in groups]
        above = begins.records[: header.at]
        records = list(_all_records(blocks, mark, self._problem))
        readings = [reading, *(TableReading(self._file, reading.line) for _ in groups[1:])]
        self._into.readings.extend(readings[1:])
        readings[0].notes.append(f"{len(groups)} tables stand side by side")
        self._beside = True
        again = [
            self._group(plan, part, above, records, one)
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
    ) -> int:
        title = title_above([(one.line, one.cells[part]) for one in above], self._naming.more)
        reading.rows = len(self._into.rows), 0
        table = self._made(plan, title, reading)
        self._check_columns(plan, reading)
        own = ((line, cells[part]) for line, cells in records)
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
        if not plan.has_subject:
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
