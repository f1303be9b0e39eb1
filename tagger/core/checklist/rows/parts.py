"""The parts of a table, as its own headings name them, and the totals below."""

from __future__ import annotations

import re
from array import array
from typing import TYPE_CHECKING

from tagger.core.checklist.above.in_brackets import parallels_lacking
from tagger.core.checklist.named.clubs import is_club
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.oddities import Oddity, lines_told
from tagger.core.checklist.parallels import beside_own, parse_parallels, unique
from tagger.core.checklist.raw.counts import count_said
from tagger.core.checklist.raw.notes import total_of
from tagger.core.checklist.raw.print_runs import RUN_WORD, run_said, split_run
from tagger.core.checklist.raw.purposes import is_purpose
from tagger.core.checklist.raw.years import YEAR, has_year, is_year
from tagger.core.checklist.reading import Headed
from tagger.core.checklist.rows.cards_again import CardsAgain
from tagger.core.checklist.rows.over_parts import Over, may_be_teams
from tagger.core.checklist.titles import (
    Part,
    has_range,
    listed_of_some,
    listed_parallels,
    names_part,
    names_part_by_word,
    one_listed,
    parallels_of_range,
    part_of,
    quoted,
)
from tagger.core.model.column_names import SERIES_NAME
from tagger.core.model.text import fold, printable, whole_number

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from tagger.core.checklist.checklist import Gathered
    from tagger.core.checklist.reading import TableReading
    from tagger.core.model.tags import Parallel


# `all numbered to 99`, `6 cards. Serial numbered to 35.`
_OF_ALL = re.compile(
    rf"\b(?:all|each|every)\b|(?:^|[.;,]\s)\W*(?:{RUN_WORD.pattern})", re.IGNORECASE
)


_YEAR_LAST = re.compile(r"\w[\s,–—-]+\(?(?:1[89]|20)[0-9]{2}(?:[-/][0-9]{2,4})?\)?$")
_LISTED = re.compile(r"\bcheck\s*list\W*$", re.IGNORECASE)


class Parts:
    """Headings as they are met, and what they make of the cards below. `own_set`, `own_series`:
    whether columns name these; `called` is the set of cards below no heading."""

    def __init__(
        self, into: Gathered, reading: TableReading, own_set: bool, own_series: bool, called: str
    ) -> None:
        self._into, self._reading = into, reading
        self._own_set, self._own_series, self._called = own_set, own_series, called
        self._part: Part | None = None
        self._over, self._again = Over(called), CardsAgain(into.rows)
        self._text, self._line = "", 0
        self._count = 0  # of the part's cards, as a line below its heading says
        self._set = -1  # of the first card below the heading
        self._first = self._begun = len(into.rows)  # rows before the table, and before the part
        self._headed: list[Headed] = []  # that had cards below them
        self._listing = False  # whether the lines below may be parallels, one each
        self.clubs = False  # whether several headings are names of clubs

    @property
    def active(self) -> bool:
        """Whether cards are made otherwise than their cells say."""
        return self._listing or (self._part is not None and self._part.changes)

    def begin(self, line: int, text: str) -> None:
        """Take a heading: it holds for the cards below, until the next one."""
        # `I have these of 1987 Harbor Light twice`
        if is_purpose(text.replace(self._called, "")):
            self.end()
            self._reading.notes.append(f"line {line}: {quoted([text])}, not a heading of cards")
            return
        part = self._meant(text)
        if self._part is not None and self._begun == len(self._into.rows):
            self._begin_right_below(self._part, part)
        part = self._going_on(part, text)
        self.end()
        self._part, self._text, self._line = self._over.within(part), text, line
        self._begun, self._set = len(self._into.rows), -1
        self._count, self._listing = 0, False
        if (run := run_said(text)) and not part.parallel:
            said = f"the heading {quoted([text])} says a print run ({run}); it is not used"
            self._odd(line, said, "headings say print runs; they are not used")

    def _going_on(self, part: Part, text: str) -> Part:
        """A part with the parallels of the one above, if it goes on with that, but for those that
        its heading says it lacks."""
        above = self._part
        if above is None or not self._goes_on_in(part):
            return part
        self._count, lacking = 0, set(map(fold, parallels_lacking(text)))
        of_all = parse_parallels(above.parallel)
        kept = _listed(one for one in of_all if fold(one.name) not in lacking)
        return part._replace(parallel=part.parallel or kept)

    def _goes_on_in(self, part: Part) -> bool:
        """Whether a part goes on with the numbers of the one above it, and makes it as many cards
        as that says it has: `Rookies 61-70` of the base set of 70 cards."""
        numbers = self._into.rows.numbers
        above = len(numbers.of) - self._begun
        if not (self._count and above and part.first):
            return False
        is_next = whole_number(numbers[len(numbers.of) - 1]) == part.first - 1
        return is_next and above + part.last - part.first + 1 == self._count

    def _meant(self, text: str) -> Part:
        """The part that a heading begins in this table."""
        part = part_of(self._behind_called(text) or text)
        if self._is_team(part.series, text):
            part = part._replace(series="", team=part.series)
        elif self._names_set(part.series):
            part = part._replace(series="", set=part.series)
        if part.set and self._own_set:
            return part._replace(series=part.set, set="")
        if is_year(part.set):
            return part._replace(set=f"{part.set} {YEAR.sub('', self._called).strip()}".strip())
        return part

    def _is_team(self, series: str, text: str) -> bool:
        """Whether a heading names a team; empty is none."""
        if self.clubs and is_club(series):
            return True
        return bool(series) and self._reading.by_team and not names_part(text)

    def _names_set(self, series: str) -> bool:
        """Whether a heading `Harbor Light 1996` is a set: nothing else names the year of one, or
        the set above is called so as well, with another year."""
        if self._own_set or not (own := _YEAR_LAST.search(series)):
            return False
        above = _YEAR_LAST.search(self._called)
        return not has_year(self._called) or (above is not None and above[0][1:] != own[0][1:])

    def _behind_called(self, text: str) -> str:
        """`1987 Harbor Light Night Games Checklist` below the title `1987 Harbor Light`: what
        stands behind the set's name; empty where a heading is something else."""
        called = re.sub(r"(?i)\s+(?:trading )?cards$", "", self._called)
        match = re.match(rf"{re.escape(called)}\s+(?=\S)", text, re.IGNORECASE)
        if match is None or not _LISTED.search(text) or not has_year(called):
            return ""
        return text[match.end() :]

    def _begin_right_below(self, above: Part, part: Part) -> None:
        """A heading without cards of its own may be over the one that follows it."""
        if self._over.goes_on(above, part):
            told = f"line {self._line}: heading {quoted([self._text])}, over those below it"
            self._reading.notes.append(told)
            self._part = None

    def lists(self, line: int, text: str) -> bool:
        """Take a line that lists parallels of the cards below it, or of cards above it by their
        numbers; whether it is one."""
        if self._holds_for_range(line, text):
            return True
        listed = listed_parallels(text)
        if listed is None:
            still = self._listing and self._begun == len(self._into.rows)
            listed = one_listed(text) if still else ""
            if not listed:
                self._listing = False
                return False
        if self._part is None or self._begun < len(self._into.rows):
            self.begin(line, "")
            self._text = text
        self._listing = True
        self._list(listed)
        if count := count_said(text):
            self._counted(count)
        return True

    def _list(self, listed: str) -> None:
        """Give the cards below parallels, or those that some of these have by their numbers."""
        assert self._part is not None
        if some := listed_of_some(listed):
            self._part = self._part._replace(ranged=(*self._part.ranged, some))
            return
        parallel = "; ".join(filter(None, [self._part.parallel, _semicolons(listed)]))
        self._part = self._part._replace(parallel=parallel)

    def describes(self, text: str) -> None:
        """Take a line below a heading that says more of the cards: `all numbered to 99`."""
        part, run = self._part, _run_of_all(text)
        if run and part is not None and self._begun == len(self._into.rows):
            listed = filter(None, (f"/{run}", part.parallel))
            self._part = part._replace(parallel="; ".join(listed))

    def _counted(self, count: int) -> None:
        """Note how many cards the lines above the first card of a part say that it has."""
        self._count = count

    def pending(self) -> tuple[int, str]:
        """The heading that no card followed so far, and its line; it is not told any more. It
        belongs to the table that begins below it."""
        if self._part is None or self._begun < len(self._into.rows):
            return 0, ""
        self._part = None
        return self._line, self._text

    def end(self, last: bool = False) -> None:
        """Close the part, and tell what became of it; `last`: whether the list ends here."""
        if self._part is None:
            return
        part, said, count = self._part, quoted([self._text]), self._count
        self._count, self._part = 0, None
        numbers = array("I", self._into.rows.numbers.of[self._begun :])
        if not numbers:
            self._end_empty(part, said, last)
            return
        part = self._as_parallel(part)
        may_be = _may_be_team(self._text, part.series)
        end = len(self._into.rows)
        one = Headed(self._reading.file, self._line, self._text, may_be, self._begun, end)
        self._headed.append(one)
        self._into.headed.append(one)
        where = f"line {self._line}" if self._line else "the sheet's name"
        self._reading.notes.append(f"{where}: heading {said}; {_told(part, len(numbers))}")
        self._check_range(part, {self._into.rows.numbers.values[id] for id in numbers})
        if count and count != len(numbers):
            told = f"the heading {said} says {count} cards, but {len(numbers)} are below it"
            self._odd(self._line, told, "headings say another number of cards than is below them")

    def _as_parallel(self, part: Part) -> Part:
        """The part as a parallel, where its cards are those above once more; they are changed."""
        made = self._again.as_parallel(part, self._begun)
        if made is not part:
            self._again.change(self._begun, part.series, unique(parse_parallels(made.parallel)))
        elif _may_be_parallel(part.series) and self._again.are_again(self._begun):
            told = f"all cards below {quoted([self._text])} stand above it as well"
            told = f"{told}; if it is a parallel, write 'parallel' behind its name"
            self._odd(self._line, told, "headings are above cards that stand there already")
        return made

    def _holds_for_all(self, part: Part) -> None:
        """Give the parallels that a line below all cards lists to those."""
        rows, parallels = self._into.rows, unique(parse_parallels(part.parallel))
        for row in range(self._first, len(rows)):
            if not rows.parallels[row]:
                rows.add_parallels(row, parallels)

    def _holds_for_range(self, line: int, text: str) -> bool:
        """Give the parallels that a line lists for some numbers to those cards above, if each
        number is that of one of them; whether it does."""
        ranged = parallels_of_range(text)
        if ranged is None:
            return False
        listed, first, last = ranged
        rows, parallels = self._into.rows, unique(parse_parallels(listed))
        numbers = {
            row: number
            for row in range(self._first, len(rows))
            if (number := whole_number(rows.numbers[row])) is not None and first <= number <= last
        }
        if not numbers or len(set(numbers.values())) < len(numbers):
            return False
        for row in numbers:
            had = rows.parallels[row]
            rows.add_parallels(row, tuple(one for one in parallels if one not in had))
        self._reading.notes.append(f"line {line}: {quoted([text])}, for {len(numbers)} cards above")
        return True

    def _end_empty(self, part: Part, said: str, last: bool) -> None:
        """Tell of a heading without cards."""
        if last and part.parallel and not self._headed:
            self._holds_for_all(part)
            self._reading.notes.append(f"line {self._line}: {said}, for all cards above")
            return
        if last and self._text and not names_part(self._text):
            self._reading.notes.append(f"line {self._line}: {said}, not a card")
            return
        told = f"no cards follow the heading {said}; it is not used"
        self._odd(self._line, told, "headings have no cards below them and are not used")

    def tell_teams(self) -> None:
        """Tell of headings that may be teams, once all lines are read."""
        if may_be_teams(self._headed, self._into.rows, self._first):
            such = f"{len(self._headed)} headings such as {quoted([self._headed[0].text])}"
            told = f"{such} are read as subsets; if they are teams, write 'Team:' before each"
            self._into.may_be_teams(self._reading.file, max(self._headed[0].line, 1), told)

    def _check_range(self, part: Part, numbers: set[str]) -> None:
        if not part.last:
            return
        outside = [
            n
            for n in map(whole_number, numbers)
            if n is not None and not part.first <= n <= part.last
        ]
        wanted = part.last - part.first + 1
        if outside or len(numbers) != wanted:
            told = (
                f"the heading {quoted([self._text])} says {wanted} cards, but {len(numbers)} "
                "numbers are below it"
            )
            self._odd(self._line, told, "headings say another number of cards than is below them")

    def _odd(self, line: int, one: str, many: str) -> None:
        self._into.odd(self._reading.file, max(line, 1), Oddity(one, many))

    def total(self, line: int, texts: Sequence[str]) -> None:
        """Hold a total against the cards above it."""
        given, rows = total_of(texts), len(self._into.rows)
        if given and self._part is not None and self._begun == rows:
            self._counted(given)
            self.describes(" ".join(texts))  # `6 cards, numbered to 35`
            return
        counts = (rows - self._first, rows - self._begun)
        if not counts[0]:  # above the cards: it is held against them when all are there
            if not self._reading.given:
                self._reading.given, self._reading.given_line = given, line
            return
        if given and given not in counts:
            told = f"the total {quoted(texts)} differs from the {counts[0]} rows above it"
            self._odd(line, told, "totals differ from the rows above them")
            return
        self._reading.notes.append(f"line {line}: total {quoted(texts)}, not a card")

    def placed(self, ids: list[int]) -> None:
        """Change the values of a row to what the heading above says."""
        part = self._part
        if part is None:
            return
        # a part is one of its set: where a column goes on to the next set, it is over
        if self._own_set and self._set not in (-1, ids[0]):
            self.end()
            return
        self._set = ids[0]
        self._place(part, ids)

    def _place(self, part: Part, ids: list[int]) -> None:
        rows = self._into.rows
        if part.set:
            ids[0] = rows.sets.id(part.set)
        if part.team and not rows.teams.values[ids[3]]:
            ids[3] = rows.teams.id(part.team)
        if listed := parse_parallels(_listed_for(part, rows.numbers.values[ids[1]])):
            ids[4] = rows.parallels.id(beside_own(rows.parallels.values[ids[4]], listed))
        # a heading that says the team once more is that of no subset
        is_team = fold(part.series) == fold(rows.teams.values[ids[3]])
        if part.series and not is_team and not self._has_series(ids[5]):
            ids[5] = rows.extras.id((*rows.extras.values[ids[5]], (SERIES_NAME, part.series)))

    def _has_series(self, extra: int) -> bool:
        from tagger.core.model.tags import series_of

        return self._own_series and bool(series_of(self._into.rows.extras.values[extra]))


def _may_be_parallel(series: str) -> bool:
    """Whether a heading may name a parallel: `Tiffany`, and not `Rookies` or a team."""
    return bool(series) and not names_part_by_word(series) and not is_club(series)


def _may_be_team(text: str, series: str) -> bool:
    """Whether a heading that is read as a subset says nothing of one, or names a club."""
    if is_club(series):
        return True
    says_part = has_range(text) or names_part_by_word(text) or count_said(text) > 0
    return bool(series) and not says_part


def _listed_for(part: Part, number: str) -> str:
    """The parallels that a part lists for a card of a number."""
    if not part.ranged:
        return part.parallel
    at = whole_number(number)
    own = (one.parallel for one in part.ranged if at is not None and one.first <= at <= one.last)
    return "; ".join(filter(None, (part.parallel, *own)))


def _run_of_all(text: str) -> int:
    """The print run that a line says of all cards of a part, 0 where it says none; `all Gold are
    numbered to 10` says that of a parallel."""
    if is_finish(text.partition("/")[0]) or _OF_ALL.search(text) is None:
        return 0
    return split_run(text.rstrip(" ."))[1] or run_said(text)


def _semicolons(listed: str) -> str:
    """Parallels as a list writes them, with semicolons between them."""
    return _listed(parse_parallels(listed))


def _listed(made: Iterable[Parallel]) -> str:
    return "; ".join(f"{one.name} /{one.run}" if one.run else one.name for one in made)


def _told(part: Part, count: int) -> str:
    cards = f"{count} cards below" if count > 1 else "1 card below"
    if part.series:
        with_parallels = ", with parallels" if part.parallel else ""
        return f"the subset of {cards}{with_parallels}"
    if part.set:
        return f"the set of {cards}"
    if part.team:
        return f"the team of {cards}"
    if part.parallel:
        if ";" in part.parallel:
            return f"the parallels of {cards}"
        return f"the parallel of {cards}"
    return f"the base set, {cards}"


def filled_told(heading: str, lines: Sequence[int]) -> str:
    """That the empty cells of a column count as those above them."""
    cells = "cell" if len(lines) == 1 else "cells"
    read = f"{len(lines)} empty {cells} read as the one above: {lines_told(lines)}"
    return f"'{printable(heading, 40)}': {read}"
