"""What is said of a file once all of it is read: damaged numbers, counts that disagree."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.checklist.checklist import Checklist, Gathered, rows_of
from tagger.core.checklist.checks.numbering import MAY_BE_TEAMS, odd_numbering
from tagger.core.checklist.checks.values import odd_values
from tagger.core.checklist.numbers_read import REMEDY, damage, is_error, is_range, is_several
from tagger.core.checklist.oddities import Oddities, Oddity, Problem
from tagger.core.model.tags import series_of
from tagger.core.model.text import fold, printable

if TYPE_CHECKING:
    from tagger.core.checklist.columns import Rows
    from tagger.core.checklist.reading import TableReading

_AND = re.compile(r"\s(?:and|&|und|et|y)\s", re.IGNORECASE)
_ENDS_IN_NUMBER = re.compile(r"^[^\W\d_]+\s(?!(?:19|20)[0-9]{2}$)[0-9]{2,4}$")
_AMOUNT = re.compile(r"[$€£]\s?[0-9]|[0-9]\s?[€£$]")
_MOST_SETS = 2000  # whose names are compared
_MOST_READINGS = 20  # whose counts are held against their titles


def add_verdicts(checklist: Checklist, gathered: Gathered) -> Checklist:
    """The checklist with these problems as well, in the order of lines."""
    rows = rows_of(checklist)
    found = [
        *_damaged(rows, gathered),
        *_errors(rows, gathered),
        *_spans(rows, gathered),
        *_odd(rows, gathered, checklist.problems),
        *_joined(rows, gathered),
        *_sets_alike(rows, gathered),
        *_miscounted(rows, gathered),
    ]
    if not found:
        return checklist
    problems = sorted([*checklist.problems, *found], key=lambda problem: problem.line)
    return replace(checklist, problems=tuple(problems))


def _damaged(rows: Rows, gathered: Gathered) -> list[Problem]:
    """Numbers that a spreadsheet turned into dates, fractions, powers of ten."""
    kinds = {id: kind for id, number in enumerate(rows.numbers.values) if (kind := damage(number))}
    if not kinds:
        return []
    of = rows.numbers.of
    hit = [row for row in range(len(rows)) if of[row] in kinds]
    # a whole list that counts so is no damage: `1.1`, `1.2`
    if len(hit) * 2 > len(rows) and all("fraction" in kinds[of[row]] for row in hit):
        return []
    told = Oddities()
    for row in hit:
        said = f"{kinds[of[row]]}; {REMEDY}"
        oddity = Oddity(f"the row has {said}", f"rows have {said}")
        told.add(_file_of(row, gathered), gathered.lines[row], oddity)
    return list(told.problems())


_ERROR_ROWS = Oddity(
    "the row has a spreadsheet's error (#REF!, #N/A) in place of a value; correct the cell",
    "rows have a spreadsheet's error (#REF!, #N/A) in place of a value; correct the cells",
)
_SPAN_ROWS = Oddity(
    "the number may stand for several cards (9-18); give each a row of its own",
    "rows have a number that may stand for several cards (9-18); give each a row of its own",
)


def _errors(rows: Rows, gathered: Gathered) -> Iterator[Problem]:
    """Errors of a spreadsheet where values were; a team that is one is left out."""
    for column in (rows.sets, rows.numbers, rows.subjects, rows.teams):
        wrong = {id for id, value in enumerate(column.values) if is_error(value)}
        hit = [row for row, id in enumerate(column.of) if id in wrong] if wrong else []
        if column is rows.teams:
            for row in hit:
                column.of[row] = column.id("")
        yield from _told_of(hit, _ERROR_ROWS, gathered)


def _odd(rows: Rows, gathered: Gathered, problems: Sequence[Problem]) -> Iterator[Problem]:
    """What does not look like what it was read as."""
    for row, said in (*odd_values(rows), *odd_numbering(rows)):
        # headings that may be teams are told where they stand
        if MAY_BE_TEAMS not in said or not any(MAY_BE_TEAMS in one.problem for one in problems):
            yield from _told_of([row], Oddity(said, said), gathered)


def _spans(rows: Rows, gathered: Gathered) -> Iterator[Problem]:
    """Numbers such as `9-18` among those that are whole."""
    numbers = rows.numbers
    spans = {id: value for id, value in enumerate(numbers.values) if is_range(value)}
    hit = [row for row, id in enumerate(numbers.of) if id in spans] if spans else []
    # where many are so, `1-12` is how the list counts; `1, 12` is never one number
    if len(hit) * 5 <= len(rows) or any(is_several(value) for value in spans.values()):
        yield from _told_of(hit, _SPAN_ROWS, gathered)


def _joined(rows: Rows, gathered: Gathered) -> Iterator[Problem]:
    """Parallels that may be two: `Ruby and Teal`."""
    yield from _numbered_names(rows, gathered)
    names = {
        parallel.name: id
        for id, some in enumerate(rows.parallels.values)
        for parallel in some
        if _AND.search(parallel.name)
    }
    for name, id in list(names.items())[:_MOST_READINGS]:
        hit = [row for row, own in enumerate(rows.parallels.of) if own == id]
        said = (
            f"'{printable(name, 40)}' is read as one parallel; if they are two, put a semicolon "
            "between them"
        )
        yield from _told_of(hit[:1], Oddity(said, said), gathered)


def _numbered_names(rows: Rows, gathered: Gathered) -> Iterator[Problem]:
    """Parallels with a number or an amount at the end of their names: `Gold 50`, `Gold ($3.50)`."""
    for id, some in enumerate(rows.parallels.values):
        odd = [one.name for one in some if one.run is None and _ENDS_IN_NUMBER.match(one.name)]
        odd += [one.name for one in some if _AMOUNT.search(one.name)]
        if odd and id in rows.parallels.of:
            said = (
                f"'{printable(odd[0], 40)}' is read as the name of a parallel; a print run needs a "
                "slash (Gold /50), and a price its own column"
            )
            yield from _told_of([rows.parallels.of.index(id)], Oddity(said, said), gathered)
            return


def _sets_alike(rows: Rows, gathered: Gathered) -> Iterator[Problem]:
    """Sets whose names differ in capitals and marks only."""
    known: dict[str, str] = {}
    for id, name in enumerate(rows.sets.values[:_MOST_SETS]):
        usual = known.setdefault(fold(name), name)
        if usual == name or id not in rows.sets.of:
            continue
        said = f"the set '{printable(name, 60)}' is called '{printable(usual, 60)}' elsewhere"
        yield from _told_of([rows.sets.of.index(id)], Oddity(said, said), gathered)


def _told_of(hit: Sequence[int], kind: Oddity, gathered: Gathered) -> Iterator[Problem]:
    told = Oddities()
    for row in hit:
        told.add(_file_of(row, gathered), gathered.lines[row], kind)
    return told.problems()


def _file_of(row: int, gathered: Gathered) -> str:
    readings = gathered.readings
    own = (one.file for one in readings if one.rows[0] <= row < one.rows[1])
    return next(own, readings[0].file)


def _miscounted(rows: Rows, gathered: Gathered) -> list[Problem]:
    """Titles that say another number of cards than there are."""
    given = [one for one in gathered.readings if one.given][:_MOST_READINGS]
    if not given:
        return []
    # of a subset as well as of the whole: a title counts the one or the other
    counts = Counter(rows.sets.of)
    series = Counter(
        (set_id, series_of(rows.extras.values[extra]))
        for set_id, extra in zip(rows.sets.of, rows.extras.of, strict=True)
    )
    right = {len(rows), *counts.values(), *series.values()}
    return [_count_told(one, len(rows)) for one in given if one.given not in right]


def _count_told(reading: TableReading, cards: int) -> Problem:
    said = f"the title says {reading.given} cards, but the list has {cards}"
    return Problem(reading.file, max(reading.given_line, 1), said)
