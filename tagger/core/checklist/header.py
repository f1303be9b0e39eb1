"""Where a table begins: its line of column names among the first lines, the mark that parts its
cells, and what stands above it."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import islice
from typing import NamedTuple

from tagger.core.checklist.above.facts import facts_of
from tagger.core.checklist.headings.beside import columns_of
from tagger.core.checklist.headings.meaning import NO_MORE, ONE_PARALLEL, meaning_of
from tagger.core.checklist.lines import MAX_LINE, MAX_QUOTED_LINES, Line, csv_record, filled
from tagger.core.checklist.numbers_read import hold_cards, hold_numbers
from tagger.core.checklist.raw.notes import is_total
from tagger.core.checklist.raw.print_runs import run_number
from tagger.core.checklist.raw.years import has_year, is_year
from tagger.core.model.column_names import PRICE
from tagger.core.model.tags import is_base

MARKS = "\t;,|"
_RARE_MARKS = "^~"  # no list has them by chance
HEADER_WITHIN = 25  # lines from the first filled one
_LONGEST_NAME = 60  # characters of a heading


class Record(NamedTuple):
    """A line's number, its cells, and how many lines it takes."""

    line: int
    cells: list[str]
    lines: int = 1


class Header(NamedTuple):
    """The column names: in which of some records, how many records they take, and the meanings."""

    at: int
    taken: int
    names: list[str]
    meanings: list[str]

    @property
    def known(self) -> int:
        """How many of the columns mean something."""
        return len(set(self.meanings) - {""})


def records_of(lines: Sequence[Line], delimiter: str) -> Iterator[Record]:
    """The records in some lines, read leniently: what cannot be read is one cell."""
    at = 0
    while at < len(lines):
        line, text = lines[at]
        if '"' not in text or len(text) > MAX_LINE:
            yield Record(line, text[:MAX_LINE].split(delimiter))
            at += 1
            continue
        record = _quoted(lines, at, delimiter)
        yield record
        at += record.lines


def _quoted(lines: Sequence[Line], at: int, delimiter: str) -> Record:
    taken: list[str] = []

    def few() -> Iterator[str]:
        for _, text in islice(lines, at, at + MAX_QUOTED_LINES):
            taken.append(text)
            if sum(map(len, taken)) > MAX_LINE:
                return  # a mark that is not closed is no reason to read half the file as one
            yield text

    try:
        cells = csv_record(few(), delimiter)
    except csv.Error:
        cells = None
    line, text = lines[at]
    if cells is None:
        return Record(line, text[:MAX_LINE].split(delimiter))
    return Record(line, cells, len(taken))


def has_columns(meanings: Sequence[str]) -> bool:
    """Whether a line names columns; a number alone could be the first card of a plain list."""
    if "subject" in meanings or "last" in meanings:
        return True
    return "number" in meanings and len(set(meanings) - {""}) > 1


def find_header(records: Sequence[Record], more: Mapping[str, str] = NO_MORE) -> Header | None:
    """The first line among the first that names columns; None where none does."""
    first = next((record.line for record in records if filled(record.cells)), 0)
    for at, record in enumerate(records):
        if record.line > first + HEADER_WITHIN:
            break
        if found := header_at(records, at, more):
            found = _with_runs(records, found, more)
            alone = found.known < 2 and record.line != first
            if not (alone and len(filled(record.cells)) < 2) and not _says_facts(found, record):
                return found
    return None


def _says_facts(found: Header, record: Record) -> bool:
    """Whether a line says what its label means, and names no columns: `Title`, `1987 Harbor`."""
    return found.known < 2 and bool(facts_of(filled(record.cells)))


def _with_runs(records: Sequence[Record], found: Header, more: Mapping[str, str]) -> Header:
    """The names with the print runs in the line below them: `Gold`, `/50`."""
    below = records[found.at + found.taken].cells if found.at + found.taken < len(records) else []
    cells = {at: " ".join(cell.split()) for at, cell in enumerate(below) if cell.strip()}
    runs = {at: cell for at, cell in cells.items() if "/" in cell and run_number(cell)}
    if not runs or max(cells) >= len(found.names) or not _are_runs_of(found, runs):
        return found
    others = [(found.names[at], cell) for at, cell in cells.items() if at not in runs]
    if not _go_on_below(others, more):
        return found
    names = [f"{one} {runs.get(at, '')}".strip() for at, one in enumerate(found.names)]
    return found._replace(taken=found.taken + 1, names=names)


def _are_runs_of(found: Header, at: Iterable[int]) -> bool:
    return {found.meanings[place] for place in at} <= {"", ONE_PARALLEL}


def _go_on_below(names: Sequence[tuple[str, str]], more: Mapping[str, str]) -> bool:
    """Whether all cells below names are the second line of these: `Card`, `no.`."""
    meant = all(
        meaning_of(two, more)[0] or meaning_of(f"{one} {two}", more)[0] for one, two in names
    )
    return meant and not _are_cards([two for _, two in names])


def header_at(
    records: Sequence[Record], at: int, more: Mapping[str, str] = NO_MORE
) -> Header | None:
    """The column names that begin with a record; None where it does not name columns."""
    names = [" ".join(cell.split()) for cell in records[at].cells]
    if not _are_names(names):
        return None
    meanings = columns_of(names, more)
    if not has_columns(meanings) and not _holds_cards(records, at, meanings):
        return _of_two_lines(records, at, names, more)
    return _with_line_below(records, Header(at, 1, names, meanings), more)


def _holds_cards(records: Sequence[Record], at: int, meanings: Sequence[str]) -> bool:
    """Whether `Card`, beside columns of other things, has number and name in each cell below, or
    the numbers of cards, beside two columns at least."""
    names = filled(records[at].cells)
    if set(meanings) != {"", "number"} or len(names) < 2:
        return False
    place = meanings.index("number")
    below = [one.cells[place] for one in records[at + 1 :] if len(one.cells) > place]
    if len(names) > 2 and not any(map(str.isdigit, "".join(names))):
        return hold_cards(below) or hold_numbers(below)
    return hold_cards(below)


def _are_names(names: Sequence[str]) -> bool:
    given = filled(names)
    # a column may be of each year
    digits = sum(name.replace(".", "").isdigit() and not is_year(name) for name in given)
    return bool(given) and max(map(len, given)) <= _LONGEST_NAME and digits * 2 < len(given)


def _of_two_lines(
    records: Sequence[Record], at: int, above: list[str], more: Mapping[str, str]
) -> Header | None:
    """Names that stand over two lines: groups of columns, or the first words of the names."""
    below = _next_names(records, at)
    if len(filled(above)) < 2 or not below or _is_title(above):
        return None
    if has_columns(columns_of(below, more)):
        groups = _are_groups(above, below, more)
        return Header(at, 2, *_grouped(above, below, more)) if groups else None
    names = [f"{one} {two}".strip() for one, two in _pairs(above, below)]
    meanings = columns_of(names, more)
    if has_columns(meanings) and not _are_cards(records[at + 1].cells):
        return Header(at, 2, names, meanings)
    return None


def _are_groups(above: Sequence[str], below: Sequence[str], more: Mapping[str, str]) -> bool:
    """Whether a line above column names has groups of these: a title with further words beside it
    means nothing, and one above each of two tables side by side is none."""
    twice = [meaning_of(name, more)[0] for name in below if below.count(name) > 1]
    if {"number", "subject"} <= set(twice):
        return False
    return any(meaning_of(name, more)[0] for name in above)


def _is_title(cells: Sequence[str]) -> bool:
    """Whether a line says facts of a set, or its name: `1987 Harbor Light`, `Series 1`."""
    with_year = any(has_year(cell) and not is_year(cell) for cell in cells)
    return with_year or bool(facts_of(filled(cells)))


def _next_names(records: Sequence[Record], at: int) -> list[str]:
    """The cells of the very next line, where they can be names; else none."""
    if at + 1 >= len(records) or records[at + 1].line != records[at].line + records[at].lines:
        return []
    below = [" ".join(cell.split()) for cell in records[at + 1].cells]
    return below if _are_names(below) else []


def _are_cards(cells: Sequence[str]) -> bool:
    """Whether any cell has a digit, but for print runs: `Silver /75`."""
    return any(map(str.isdigit, "".join(_RUN.sub("", cell) for cell in cells)))


_RUN = re.compile(r"/\s*[0-9]{1,5}\s*$")


def _grouped(
    above: Sequence[str], below: Sequence[str], more: Mapping[str, str]
) -> tuple[list[str], list[str]]:
    """Names over two lines: what stands under `Parallels` or `Print run` and means nothing else is
    one of them, what stands under `Value` is a price of its own, another name goes on below."""
    names: list[str] = []
    group, under = "", list[bool]()
    for one, two in _pairs(above, below):
        group = one or group
        kind = meaning_of(group, more)[0] if two and not meaning_of(two, more)[0] else ""
        under.append(kind in ("parallels", "run") and not is_total([two]))
        names.append(two if under[-1] else _name_under(kind, one, two, more))
    meanings = columns_of(names, more)
    return names, [
        ONE_PARALLEL if is_under else meaning
        for is_under, meaning in zip(under, meanings, strict=True)
    ]


def _name_under(kind: str, one: str, two: str, more: Mapping[str, str]) -> str:
    """A name over two lines, in a group of this kind."""
    if kind == PRICE:
        return PRICE if is_base(two) else f"{PRICE} {two}"
    return _name_of(one, two, more)


def _name_of(one: str, two: str, more: Mapping[str, str]) -> str:
    """A name over two lines; where only one of the two means something, that one."""
    whole = f"{one} {two}".strip()
    if meaning_of(whole, more)[0]:
        return whole
    known = [part for part in (two, one) if meaning_of(part, more)[0]]
    return known[0] if known else whole


def _pairs(one: Sequence[str], two: Sequence[str]) -> Iterator[tuple[str, str]]:
    width = max(len(one), len(two))
    for at in range(width):
        yield (one[at] if at < len(one) else ""), (two[at] if at < len(two) else "")


def _with_line_below(records: Sequence[Record], found: Header, more: Mapping[str, str]) -> Header:
    """The names with their second line, where the line below has none but names."""
    below = _next_names(records, found.at)
    if not below or not _go_on(found, below, more):
        return found
    names, meanings = _grouped(found.names, below, more)
    # a group of one parallel would as well be a card's cell
    if not has_columns(meanings) or meanings.count(ONE_PARALLEL) == 1:
        return found
    return Header(found.at, 2, names, meanings)


def _go_on(found: Header, below: Sequence[str], more: Mapping[str, str]) -> bool:
    """Whether a line below column names can be none but their second line: no card's, which would
    have a number or a subject."""
    if _are_cards(below) or len(filled(below)) < 2:
        return False
    cards = ("number", "subject", "first", "last", "team", "set")
    return all(
        not two or meaning_of(two, more)[0] or meaning not in cards
        for two, meaning in zip(below, found.meanings, strict=False)
    )


class Beginning(NamedTuple):
    """How a text is parted, and its header; None where it has none."""

    mark: str
    records: list[Record]
    header: Header | None


def beginning_of(
    lines: Sequence[Line], more: Mapping[str, str] = NO_MORE, mark: str = ""
) -> Beginning:
    """The mark that gives the column names that mean most; without any, the one that parts the
    lines most evenly. `mark` is the one where it is known."""
    if mark:
        return _parted(lines, mark, more)
    found = [_parted(lines, mark, more) for mark in _in_lines(MARKS, lines)]
    with_header = [one for one in found if one.header]
    if all(_likely(one)[0] < 2 for one in with_header):
        rare = [_parted(lines, mark, more) for mark in _in_lines(_RARE_MARKS, lines[:1])]
        with_header += [one for one in rare if one.header]
    if with_header:
        return max(with_header, key=_likely)
    if found:
        return max(found, key=_evenness)
    # the commas of amounts alone part nothing
    has_comma = any("," in text for _, text in lines)
    return _parted(lines, "\t" if has_comma else ",", more)


def _in_lines(marks: str, lines: Sequence[Line]) -> list[str]:
    return [mark for mark in marks if any(_parts(mark, text) for _, text in lines)]


_CENTS = re.compile(r"(?<![\w,\"])[0-9]{1,6},[0-9]{2}(?![0-9,\"])")  # `1,50`


def _parts(mark: str, text: str) -> bool:
    """Whether a mark in a line may part its cells: the comma of an amount does not."""
    return mark in text and (mark != "," or "," in _CENTS.sub("", text))


def _likely(one: Beginning) -> tuple[int, int, int]:
    header = one.header
    assert header is not None
    # the earlier the better: a wrong mark may find names of a later table
    return header.known, -header.at, len(filled(header.names))


def _parted(lines: Sequence[Line], mark: str, more: Mapping[str, str]) -> Beginning:
    records = list(records_of(lines, mark))
    return Beginning(mark, records, find_header(records, more))


def _evenness(one: Beginning) -> float:
    """How even the lines are: the share of those with the commonest number of cells above one."""
    widths = [len(record.cells) for record in one.records if filled(record.cells)]
    parted = [width for width in widths if width > 1]
    if not parted:
        return 0
    return max(map(parted.count, set(parted))) / len(widths)
