"""Tables with a subject on each line and a set in each column, with the numbers of the cards in the
cells: each cell as a line of its own."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from itertools import chain

from tagger.core.checklist.header import Beginning, Header, beginning_of, records_of
from tagger.core.checklist.headings.meaning import meaning_of
from tagger.core.checklist.lines import Blocks, filled
from tagger.core.checklist.numbers_read import is_number_like
from tagger.core.checklist.parallels import NOT_THERE
from tagger.core.checklist.raw.years import has_year, is_year
from tagger.core.model.text import fold

_LARGEST = 1 << 17  # characters
_HEAD = 60  # lines
_FEWEST = 2  # sets, and cards
TOLD = "each cell below the name of a set, or its year, is read as a card; lines count these cards"


def one_a_line(text: str, more: Mapping[str, str], mark: str) -> str:
    """The text with a line a card where its table has a set in each of several columns; the same
    text where not. `mark` parts the cells where that is known."""
    if len(text) > _LARGEST:
        return text
    begins = beginning_of(Blocks(text).head(_HEAD), more, mark)
    header = begins.header
    if header is not None and _have_subject(header):
        return _numbers_across(text, begins, header)
    return _names_across(text, begins)


def _numbers_across(text: str, begins: Beginning, header: Header) -> str:
    """The same for a subject on each line, and the numbers of its cards below their sets."""
    if "number" in header.meanings or header.taken > 1:
        return text
    sets = [at for at, name in enumerate(header.names) if _may_be_set(name, header.meanings[at])]
    above, rows = _parted(text, begins, begins.records[header.at].line)
    if len(sets) < _FEWEST or not _are_numbers(rows, sets):
        return text
    return "\n".join([*above, _written(_rows(header, rows, sets), begins.mark)])


def _names_across(text: str, begins: Beginning) -> str:
    """The same for a number on each line, and the names of its cards below their sets."""
    head = next((one for one in begins.records if len(filled(one.cells)) > _FEWEST), None)
    sets = [] if head is None else _sets_behind(head.cells)
    if head is None or len(sets) < _FEWEST:
        return text
    above, rows = _parted(text, begins, head.line)
    numbers = [_cell(row, 0) for row in rows]
    if len(numbers) < _FEWEST or not all(map(is_number_like, numbers)):
        return text
    return "\n".join([*above, _written(_named_rows(head.cells, rows, sets), begins.mark)])


def _named_rows(
    names: Sequence[str], rows: Sequence[Sequence[str]], sets: Sequence[int]
) -> Iterator[list[str]]:
    yield ["set", "number", "subject"]
    for at in sets:
        yield from ([names[at], _cell(row, 0), _cell(row, at)] for row in rows if _cell(row, at))


def _sets_behind(names: Sequence[str]) -> list[int]:
    """The columns behind that of the numbers, where all are called by a set with its year; else
    none."""
    sets = [at for at, name in enumerate(names) if at and has_year(name) and not is_year(name)]
    first_is_number = meaning_of(names[0])[0] in ("", "number")
    return sets if first_is_number and len(sets) == len(filled(names[1:])) else []


def _parted(text: str, begins: Beginning, line: int) -> tuple[list[str], list[list[str]]]:
    """The lines above one, and the cells of those below it."""
    every = Blocks(text).head(text.count("\n") + 1)
    below = (one.cells for one in records_of(every, begins.mark) if one.line > line)
    return [text for at, text in every if at < line], [cells for cells in below if filled(cells)]


def _may_be_set(name: str, meaning: str) -> bool:
    return meaning in ("", "set", "year") and has_year(name)


def _have_subject(header: Header) -> bool:
    return bool({"subject", "last"} & set(header.meanings))


def _are_numbers(rows: Sequence[Sequence[str]], sets: Sequence[int]) -> bool:
    """Whether the cells of all sets are numbers of cards, that hardly come again within a set."""
    columns = [[_cell(row, at) for row in rows] for at in sets]
    some = [[cell for cell in cells if fold(cell) not in NOT_THERE] for cells in columns]
    if min(map(len, some)) < _FEWEST or not all(map(is_number_like, chain(*some))):
        return False
    return all(len(set(cells)) * 10 >= len(cells) * 8 for cells in some)


def _cell(row: Sequence[str], at: int) -> str:
    return row[at].strip() if at < len(row) else ""


def _rows(
    header: Header, rows: Sequence[Sequence[str]], sets: Sequence[int]
) -> Iterator[list[str]]:
    """The names of the columns, and a line a card."""
    kept = [at for at in range(len(header.names)) if at not in sets]
    named = "year" if all(is_year(header.names[at]) for at in sets) else "set"
    yield [named, "number", *map(header.names.__getitem__, kept)]
    for at in sets:
        for row in rows:
            if fold(_cell(row, at)) not in NOT_THERE:
                yield [header.names[at], _cell(row, at), *(_cell(row, each) for each in kept)]


def _written(rows: Iterator[list[str]], mark: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=mark, lineterminator="\n").writerows(rows)
    return out.getvalue()
