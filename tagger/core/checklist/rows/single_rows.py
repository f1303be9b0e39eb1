"""Lines of a table read one by one, with what the lines above say of them."""

from __future__ import annotations

from array import array
from collections.abc import Sequence
from typing import TYPE_CHECKING

from tagger.core.checklist import oddities
from tagger.core.checklist.above.facts import facts_of
from tagger.core.checklist.doubles import merged_extra
from tagger.core.checklist.headings.meaning import heading_key
from tagger.core.checklist.lines import filled
from tagger.core.checklist.oddities import NEITHER, NO_HEADING, NO_NUMBER, NO_SUBJECT, Oddity
from tagger.core.checklist.parallels import version_of
from tagger.core.checklist.plan import UNNAMED
from tagger.core.checklist.raw.notes import is_legend, without_page_marks
from tagger.core.checklist.rows.asides import Asides
from tagger.core.checklist.rows.parts import Parts, filled_told
from tagger.core.checklist.rows.row_kinds import (
    RowKind,
    cell_of,
    headings_again,
    is_ditto,
    is_version,
    kind_of,
    names_another,
)
from tagger.core.checklist.rows.values import UNSET, Values
from tagger.core.checklist.titles import names_part, quoted
from tagger.core.model.column_names import PRICE
from tagger.core.model.text import fold, printable

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Gathered
    from tagger.core.checklist.plan import Plan
    from tagger.core.checklist.reading import TableReading


class SingleRows:
    """Reads lines into `into` by a plan; `stem` is the set of those that name none."""

    def __init__(
        self,
        plan: Plan,
        stem: str,
        values: Sequence[Values],
        into: Gathered,
        reading: TableReading,
        delimiter: str,
    ) -> None:
        self._plan, self._stem, self._values = plan, stem, values
        # a tab between quotes would look like nothing
        self._mark = f"'{delimiter}'".replace("'\t'", "tab")
        self._into, self._reading, self._file = into, reading, reading.file
        self._asides = Asides(plan)
        self._parts = Parts(into, reading, plan.has("set"), plan.has("series"), stem)
        self._above: dict[int, str] = {}  # by column: the value that empty cells below stand for
        self._filled: dict[int, array[int]] = {}
        self._headed: set[int] = set()  # columns whose values stand in lines of their own
        self._continued = array("I")
        self._value_line = 0, 0  # the line of a heading in a column of its own, and the column
        self._cards = self._rich = 0  # and those with more than a number and a subject
        # a heading that stands where a subject does: a card, if no cards follow it
        self._maybe: tuple[int, list[str]] | None = None
        self._unnamed = [at for at, name in enumerate(plan.names) if UNNAMED.fullmatch(name)]
        slow = {"series", "team"}
        self._fills_more = any(plan.meanings[at] in slow for at in plan.fills)
        self._no_number, self._no_subject = into.rows.numbers.id(""), into.rows.subjects.id("")

    @property
    def stateful(self) -> bool:
        """Whether lines mean more than their own cells say, so that each must be read here."""
        held = self._plan.dittos or self._headed
        return self._fills_more or bool(held) or self._parts.active or self._asides.open

    def begin_part(self, line: int, text: str) -> None:
        """A heading that holds for the cards below."""
        self._parts.begin(line, text)

    def lists(self, line: int, text: str) -> None:
        """A line above the table that says something of all its cards."""
        if not self._parts.lists(line, text):
            self._parts.begin(line, text)

    def passed(self, cards: int) -> None:
        """Count cards that were read otherwise."""
        self._cards += cards
        if len(self._plan.names) > 2:
            self._rich += cards

    def begins_another(self, line: int, cells: list[str]) -> bool:
        """Whether a line has the column names of another table."""
        return names_another(self._plan, cells) and not self._goes_on_with_names(line, cells)

    def _goes_on_with_names(self, line: int, cells: Sequence[str]) -> bool:
        """Whether the line below the column names has most of them again, as merged cells have."""
        if line != self._reading.line + 1 or not self._plan.has("number"):
            return False
        pairs = list(zip(map(heading_key, cells), map(heading_key, self._plan.names), strict=False))
        same = sum(one == two != "" for one, two in pairs)
        return same > 2 and same * 2 > len(pairs)

    def _is_page_head(self, cells: Sequence[str]) -> bool:
        """Whether a line of several cells stands above the column names as well."""
        texts = filled(cells)
        return len(texts) > 1 and " ".join(without_page_marks(texts)) in self._reading.above

    def read(self, line: int, cells: list[str]) -> int | None:
        """Read one line; the number of its subject where it is a card."""
        if not self._fits(line, cells):
            return None
        self._clear_asides(line, cells)
        if headings_again(self._plan, cells):
            self._head_again()
            return None
        if self._goes_on_with_names(line, cells) or self._is_page_head(cells):
            return None
        if fact := _set_said(cells):
            self._close_part()
            self._parts.begin(line, fact)
            return None
        if self._asides.holds(cells):
            self._note(line, filled(cells))
            return None
        # nearly each card has more, so that a line with one cell is none
        kind = kind_of(self._plan, cells, self._rich * 10 > self._cards * 9)
        if kind is RowKind.CARD:
            return self._card(line, cells)
        texts = filled(cells)
        if len(texts) != 1 or not self._parts.lists(line, texts[0]):
            self._other(line, cells, kind)
        return None

    def _clear_asides(self, line: int, cells: list[str]) -> None:
        """Take what explains short forms out of columns without a heading: it stands beside the
        cards and says nothing of the one on its line."""
        for at in self._unnamed:
            if is_legend(cells[at]):
                self._note(line, [cells[at]])
                cells[at] = ""

    def _other(self, line: int, cells: list[str], kind: RowKind) -> None:
        """A line that is no card."""
        texts = filled(cells)
        if kind is RowKind.PART:
            self._begin_part(line, cells)
        elif kind is RowKind.VALUE:
            self._value(line, cells)
        elif kind is RowKind.TOTAL:
            self._parts.total(line, self._counting(cells))
            self._asides.begin_totals()
        elif kind is RowKind.MORE and self._cards:
            self._more(line, cells)
        elif kind in (RowKind.NOTE, RowKind.MORE):
            self._parts.describes(" ".join(texts))
            self._note(line, texts)
        elif kind is not RowKind.RULE:
            self._into.odd(self._file, line, NEITHER)

    def _counting(self, cells: Sequence[str]) -> list[str]:
        """The cells of a total that may count cards."""
        summed = self._plan.summed
        return filled(cell for at, cell in enumerate(cells) if at not in summed)

    def _note(self, line: int, texts: Sequence[str]) -> None:
        self._reading.notes.append(f"line {line}: {quoted(texts)}, not a card")

    def heading_of_next(self) -> tuple[int, str]:
        """The line and the text of a heading above a table that begins now, an empty one for
        none."""
        line, at = self._value_line
        self._value_line = 0, 0
        if line:
            return line, self._above[at].strip()
        return self._parts.pending()

    def finish(self) -> None:
        """Tell what was made of the lines, behind the last one."""
        self._value_done([])
        self._close_part(last=True)
        self._parts.tell_teams()
        notes = self._reading.notes
        notes.extend(filled_told(self._plan.names[at], lines) for at, lines in self._filled.items())
        if self._continued:
            told = oddities.lines_told(self._continued)
            notes.append(f"{len(self._continued)} rows are parallels of the card above: {told}")

    def _begin_part(self, line: int, cells: list[str]) -> None:
        self._settle_maybe()
        text = " ".join(filled(cells))
        is_subject = bool(cell_of(self._plan, cells, "subject")) and not names_part(text)
        self._maybe = (line, cells) if is_subject else None
        self._parts.begin(line, " ".join(text.split()))

    def _close_part(self, last: bool = False) -> None:
        """End the part."""
        self._settle_maybe()
        self._parts.end(last)

    def _settle_maybe(self) -> None:
        """A line that was held for a heading is a card, if no cards follow it."""
        maybe, self._maybe = self._maybe, None
        if maybe is not None and self._parts.pending()[0]:
            self._card(*maybe)

    def _card(self, line: int, cells: list[str]) -> int:
        self._count(cells)
        self._value_done(cells)
        self._fill(line, cells)
        if any(cells[at].strip() for at, name in enumerate(self._plan.names) if not name):
            self._into.odd(self._file, line, NO_HEADING)
        ids = [values.one(cells) for values in self._values]
        self._parts.placed(ids)
        self._tell_missing(line, ids)
        for column, id in zip(self._into.rows.columns(), ids, strict=True):
            column.of.append(id)
        self._into.lines.append(line)
        return ids[2]

    def _tell_missing(self, line: int, ids: list[int]) -> None:
        """Tell what a card has none of; it is put to the set of the list where it names none."""
        if ids[0] == UNSET:
            ids[0] = self._into.rows.sets.id(self._stem)
            shown = printable(self._stem, 60)
            kind = Oddity(*(said.format(shown) for said in oddities.NO_SET))
            self._into.odd(self._file, line, kind)
        # where no line has one, that is told once and not of every card
        if ids[1] == self._no_number and self._plan.has("number"):
            self._into.odd(self._file, line, NO_NUMBER)
        if ids[2] == self._no_subject and self._plan.has_subject:
            self._into.odd(self._file, line, NO_SUBJECT)

    def _count(self, cells: Sequence[str]) -> None:
        self._cards += 1
        self._rich += len(filled(cells)) > 2

    def _fill(self, line: int, cells: list[str]) -> None:
        """Give empty cells of merged ones the value above."""
        for at in self._plan.fills | self._headed | self._plan.dittos:
            ditto = at in self._plan.dittos and is_ditto(cells[at])
            if not ditto and (cells[at].strip() or at not in self._plan.fills | self._headed):
                self._above[at] = cells[at]
            elif at in self._above:
                cells[at] = self._above[at]
                self._filled.setdefault(at, array("I")).append(line)

    def _head_again(self) -> None:
        """Take what stood alone above the column names, once more, for a heading: it is no value of
        the column that it stood in."""
        line, at = self._value_line
        if line:
            self._value_line = 0, 0
            self._parts.begin(line, self._above.pop(at).strip())

    def _value(self, line: int, cells: Sequence[str]) -> None:
        """A line that has nothing but the set, say, of the cards below."""
        self._value_done(cells)
        at = next(place for place, cell in enumerate(cells) if cell.strip())
        self._above[at] = cells[at]
        self._value_line = line, at

    def _value_done(self, cells: Sequence[str]) -> None:
        """Tell whether the line with nothing but a set held for the next one, whose cells these
        are."""
        line, at = self._value_line
        if not line:
            return
        self._value_line = 0, 0
        if not cells or cells[at].strip():
            self._into.odd(self._file, line, NEITHER)
            return
        self._headed.add(at)
        self._reading.notes.append(
            f"line {line}: {quoted([self._above[at]])} holds for the cards below it"
        )

    def _more(self, line: int, cells: list[str]) -> None:
        """Parallels of the card above, whose number and subject were merged cells, and what one of
        them costs."""
        rows = self._into.rows
        last = len(rows) - 1
        had = rows.parallels[last]
        given = rows.parallels.values[self._values[4].one(cells)]
        if is_version(self._plan, "", version := cell_of(self._plan, cells, "subject")):
            given = version_of(version, given)
        if more := tuple(parallel for parallel in given if parallel not in had):
            rows.add_parallels(last, more)
        further = rows.extras.values[self._values[5].one(cells)]
        if price := tuple(one for one in further if fold(one[0]) == PRICE and one[1]):
            merged = merged_extra([rows.extras[last], price], [had, given])
            rows.extras.of[last] = rows.extras.id(merged.extra)
        self._continued.append(line)

    def _fits(self, line: int, cells: list[str]) -> bool:
        """Whether a line of another length can be read; missing cells at its end are put in as
        empty."""
        width = len(self._plan.names)
        if len(cells) > width and any(cell.strip() for cell in cells[width:]):
            why = f"(a cell that holds a {self._mark} needs quotation marks)"
            one = f"{len(cells)} cells, but {width} column names; the line is skipped {why}"
            many = f"lines have more cells than the {width} column names and are skipped {why}"
            self._into.odd(self._file, line, Oddity(one, many))
            return False
        cells.extend([""] * (width - len(cells)))
        return True


def _set_said(cells: Sequence[str]) -> str:
    """`Set:` beside its name as one text of a line; empty where a line is something else."""
    texts = [cell.strip() for cell in cells if cell.strip()] if ":" in cells[0] else []
    if len(texts) != 2 or not texts[0].endswith(":") or "set" not in facts_of(texts):
        return ""
    return f"{texts[0]} {texts[1]}"
