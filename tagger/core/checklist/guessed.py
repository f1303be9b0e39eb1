"""What the columns of a table without known names are, by their cells."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import dropwhile, pairwise

from tagger.core.checklist.header import Header, Record
from tagger.core.checklist.headings.beside import columns_of
from tagger.core.checklist.headings.meaning import says_no_team
from tagger.core.checklist.lines import filled
from tagger.core.checklist.numbers_read import is_number_like
from tagger.core.checklist.parallels import are_ticks
from tagger.core.checklist.raw.prices import is_amount
from tagger.core.checklist.raw.years import is_year
from tagger.core.model.text import whole_number

_FEWEST = 2  # rows


def guessed_header(records: Sequence[Record]) -> Header | None:
    """Columns by their cells: the first of numbers, then of names; None where that is not clear,
    or where a plain list says as much. A first line without a number in it has the names."""
    rows = [record for record in records if len(filled(record.cells)) > 1]
    if len(rows) < _FEWEST:
        return None
    width = max(len(record.cells) for record in rows)
    # what stands above pairs may have two cells as well
    numbered = [*dropwhile(_has_no_number, rows)]
    if pairs := _pairs(numbered, width):
        return _header_of_pairs(records, numbered[0], pairs, width)
    number, names = _columns_of(rows[1:] if len(rows) > _FEWEST else rows, width)
    if number < 0 or not names or _is_plain_list(rows, number, width):
        return None
    return _header(records, rows[0], number, names, width)


def _is_plain_list(rows: Sequence[Record], number: int, width: int) -> bool:
    return width == 2 and number == 0 and not _has_other_mark(rows)


def _pairs(rows: Sequence[Record], width: int) -> list[int]:
    """The columns of numbers, each with names behind it, where several lists stand side by side:
    all are counted upwards, and none has a number of another."""
    columns = [[_cell(row, at) for row in rows] for at in range(width)]
    counted = [at for at in range(width - 1) if _count_up(columns[at])]
    starts = [at for at in counted if _are_names(columns[at + 1])]
    numbers = [cell for at in starts for cell in filled(columns[at])]
    return starts if len(starts) > 1 and len(set(numbers)) == len(numbers) else []


def _has_no_number(row: Record) -> bool:
    return not any(map(is_number_like, filled(row.cells)))


def _count_up(cells: Sequence[str]) -> bool:
    numbers = [n for cell in _without_letter(cells) if (n := whole_number(cell)) is not None]
    # the last of the lists may be shorter
    whole = len(numbers) == len(filled(cells)) and len(numbers) * 3 >= len(cells)
    return whole and all(one < two for one, two in pairwise(numbers)) and len(numbers) > 1


def _without_letter(cells: Sequence[str]) -> list[str]:
    """The numbers of a column without the one letter behind all of them: `1a` beside `1b`."""
    letters = {cell[-1:] for cell in filled(cells) if cell[-1:].isalpha()}
    return [cell.removesuffix(*letters) if len(letters) == 1 else cell for cell in filled(cells)]


def _header_of_pairs(
    records: Sequence[Record], first: Record, starts: Sequence[int], width: int
) -> Header:
    meanings = [""] * width
    for at in starts:
        meanings[at : at + 2] = "number", "subject"
    return Header(records.index(first), 0, list(meanings), meanings)


def _columns_of(rows: Sequence[Record], width: int) -> tuple[int, list[int]]:
    """The first column of numbers, -1 for none, and those of names."""
    columns = [[_cell(record, at) for record in rows] for at in range(width)]
    number = next((at for at in range(width) if _are_numbers(columns[at])), -1)
    return number, [at for at in range(width) if at != number and _are_names(columns[at])]


def _has_other_mark(rows: Sequence[Record]) -> bool:
    # what a plain list reads as well: one number, one name; with names above it is a table
    return not is_number_like(rows[0].cells[0])


def _header(
    records: Sequence[Record], first: Record, number: int, names: list[int], width: int
) -> Header:
    meanings = [""] * width
    meanings[number] = "number"
    after = _subject_first(records, sorted(names, key=lambda at: (at < number, at)))
    meanings[after[0]] = "subject"
    # with more than one column left it is not clear which is the team
    meanings = _with_team(records, meanings, after[1:2])
    at = records.index(first)
    if is_number_like(_cell(first, number)):
        _with_year_and_set(records, meanings, after[2:])
        return Header(at, 0, [f"column {n}" for n in range(1, width + 1)], meanings)
    given = [" ".join(_cell(first, n).split()) for n in range(width)]
    # `A`, `B`, `C` say nothing
    known = columns_of(["" if len(name) == 1 and name.isalpha() else name for name in given])
    if "team" in meanings and says_no_team(given[meanings.index("team")]):
        meanings[meanings.index("team")] = ""
    return Header(at, 1, given, _with_known(known, meanings, number))


def _are_small(records: Sequence[Record], at: int) -> bool:
    """Whether the cells of a column begin with small letters, as no names of teams do:
    `light-heavy`."""
    some = filled([_cell(record, at) for record in records])
    return sum(cell[:1].islower() for cell in some) * 10 >= len(some) * 9


def _with_team(records: Sequence[Record], meanings: list[str], names: Sequence[int]) -> list[str]:
    """The meanings with the teams in the first of some columns of names, if they may be teams."""
    found = names and not _are_small(records, names[0])
    return ["team" if found and at == names[0] else one for at, one in enumerate(meanings)]


def _subject_first(records: Sequence[Record], names: list[int]) -> list[int]:
    """Columns of names, the subjects before the teams, which come again."""
    first, *others = names
    if others and _come_again(records, first) and not _come_again(records, others[0]):
        return [others[0], first, *others[1:]]
    return names


def _with_year_and_set(records: Sequence[Record], meanings: list[str], left: Sequence[int]) -> None:
    """Note a column of years, and beside it one of names that come again: the sets."""
    cells = {at: filled([_cell(one, at) for one in records]) for at in range(len(meanings))}
    years = [at for at, meaning in enumerate(meanings) if not meaning and _are_years(cells[at])]
    sets = [at for at in left if len(set(cells[at])) * 3 <= len(cells[at])]
    if len(years) == 1:
        meanings[years[0]] = "year"
        if len(sets) == 1:
            meanings[sets[0]] = "set"


def _are_years(cells: Sequence[str]) -> bool:
    return len(cells) > 1 and all(map(is_year, cells)) and len(set(cells)) * 2 <= len(cells)


def _with_known(known: Sequence[str], guessed: Sequence[str], number: int) -> list[str]:
    """What the names of columns say, and where these say nothing, what the cells do."""
    found = [meaning if meaning != "number" else "" for meaning in known]
    found[number] = "number"
    for at, meaning in enumerate(guessed):
        # a heading that is not known may be one of anything
        wanted = meaning not in found and not (meaning == "team" and any(known))
        if meaning and wanted and not (meaning == "subject" and "last" in found):
            found[at] = meaning
    return found


def _come_again(records: Sequence[Record], at: int) -> bool:
    """Whether the cells of a column are of a few, as teams are."""
    some = filled([_cell(record, at) for record in records])
    return len(some) > 5 and len(set(some)) * 2 <= len(some)


def _cell(record: Record, at: int) -> str:
    return record.cells[at].strip() if at < len(record.cells) else ""


def _are_numbers(cells: Sequence[str]) -> bool:
    given = filled(cells)
    if len(given) * 10 < len(cells) * 8 or not given:
        return False
    if sum(map(is_amount, given)) >= 0.8 * len(given):  # `7.50`
        return False
    return sum(map(is_number_like, given)) >= 0.8 * len(given) and len(set(given)) * 2 > len(given)


def _are_names(cells: Sequence[str]) -> bool:
    given = filled(cells)
    letters = sum(map(_has_letters, given))
    return bool(given) and letters >= 0.7 * len(given) and not are_ticks(given)


def _has_letters(cell: str) -> bool:
    """Whether a cell may be a name: no number, and no `15 kr`."""
    return any(map(str.isalpha, cell)) and not (is_number_like(cell) or is_amount(cell))


def guess_told(header: Header) -> str:
    """What is to be told of columns that were guessed."""
    parts = [
        f"column {at} is read as the {meaning}"
        for at, meaning in enumerate(header.meanings, start=1)
        if meaning
    ]
    return f"no known column names; by their cells {', '.join(parts)}"
