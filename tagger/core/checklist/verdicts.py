"""What is said of a file once all of it is read: damaged numbers, counts that disagree."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.checklist.checklist import Checklist, Gathered, rows_of
from tagger.core.checklist.numbers_read import REMEDY, damage
from tagger.core.checklist.oddities import Oddities, Oddity, Problem
from tagger.core.model.series import series_of

if TYPE_CHECKING:
    from tagger.core.checklist.columns import Rows
    from tagger.core.checklist.reading import TableReading

_MOST_READINGS = 20  # whose counts are held against their titles


def add_verdicts(checklist: Checklist, gathered: Gathered) -> Checklist:
    """The checklist with these problems as well, in the order of lines."""
    rows = rows_of(checklist)
    found = [*_damaged(rows, gathered), *_miscounted(rows, gathered)]
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
        kind = kinds[of[row]]
        file = _file_of(row, gathered)
        said = f"{kind}; {REMEDY}"
        told.add(file, gathered.lines[row], Oddity(f"the row has {said}", f"rows have {said}"))
    return list(told.problems())


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
