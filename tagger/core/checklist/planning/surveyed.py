"""The first lines of a table, and what these say of its columns as a whole."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Sequence
from itertools import islice
from typing import TYPE_CHECKING

from tagger.core.checklist.header import Header, Record, records_of
from tagger.core.checklist.headings.beside import columns_of
from tagger.core.checklist.headings.meaning import heading_key, meaning_of
from tagger.core.checklist.lines import filled
from tagger.core.checklist.plan import SURVEYED, Plan
from tagger.core.checklist.raw.years import has_year, is_year
from tagger.core.checklist.rows.row_kinds import names_another

if TYPE_CHECKING:
    from tagger.core.checklist.lines import Blocks

_MOST_SURVEYED = 1 << 20  # characters
_LOOKED_AT = 100  # records


def side_by_side(header: Header) -> list[slice]:
    """The columns of each of several tables that stand beside each other: the same names again."""
    keys = [heading_key(name) for name in header.names]
    first = next(filter(None, keys), "")
    again = _named_again(header, keys, first) | _repeated(header, keys)
    if len(again) < 2:
        return [slice(None)]
    if first not in again:
        return _parted_by_gaps(header)
    starts = [at for at, key in enumerate(keys) if key == first]
    return [slice(a, b) for a, b in zip(starts, [*starts[1:], len(keys)], strict=True)]


def _named_again(header: Header, keys: Sequence[str], first: str) -> set[str]:
    """The names with a meaning, and the first one, that stand there more than once."""
    known = {key for key, meaning in zip(keys, header.meanings, strict=True) if meaning}
    return {key for key in known | {first} if key and keys.count(key) > 1}


def _repeated(header: Header, keys: Sequence[str]) -> set[str]:
    """The names that stand there over and over, in one order, with numbers among them; those of
    them may be known by nobody: `No`, `Tree`, `No`, `Tree`."""
    width = next((at for at, key in enumerate(keys) if at and key == keys[0]), 0)
    names = set(keys[:width])
    whole = all(key == keys[at % width] for at, key in enumerate(keys)) if width else False
    return names if whole and "" not in names and "number" in header.meanings[:width] else set()


def _parted_by_gaps(header: Header) -> list[slice]:
    """The columns of tables with names in another order each, with empty columns between them."""
    names = header.names
    starts = [at for at, name in enumerate(names) if name and (at == 0 or not names[at - 1])]
    parts = [slice(a, b) for a, b in zip(starts, [*starts[1:], len(names)], strict=True)]
    each = [set(columns_of(names[part])) for part in parts]
    whole = all({"number", "subject"} <= meanings for meanings in each)
    return parts if len(parts) > 1 and whole else [slice(None)]


def lines_over_all(records: Sequence[tuple[int, list[str]]], groups: Sequence[slice]) -> set[int]:
    """The lines with nothing but a text where the first of tables side by side begins, as merged
    cells leave it: it stands over the cards of all of them. None where another of the tables has
    headings of its own."""
    lone = [(line, cells) for line, cells in records if len(filled(cells)) == 1]
    heads = {line for line, cells in lone if _is_heading(cells, groups[0])}
    others = any(_is_heading(cells, part) for _, cells in lone for part in groups[1:])
    return set() if others else heads


def _is_heading(cells: Sequence[str], part: slice) -> bool:
    text = "".join(cells[part]).strip()
    return bool(text) and not any(map(str.isdigit, text))


def own_cells(line: int, cells: list[str], part: slice, over_all: Container[int]) -> list[str]:
    """The cells of one of several tables side by side; `over_all`: the lines that stand over each
    of these."""
    if line not in over_all or not part.start:
        return cells[part]
    return [*filled(cells), *cells[part][1:]]


def fitted(cells: Sequence[str], width: int) -> list[str]:
    """Cells made as many as there are columns."""
    return [*cells[:width], *[""] * (width - len(cells))]


def lone_texts(rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """What stands alone on its line, as remarks do."""
    texts = (filled(row) for row in rows)
    return (some[0].strip() for some in texts if len(some) == 1)


_OF_CARDS = ("number", "subject", "first", "last", "set", "year", "maker", "team", "series")


def without_remarks(rows: list[list[str]], meanings: Sequence[str]) -> list[list[str]]:
    """The rows without a first one that has a word or two below the headings of further columns
    and nothing of a card: `unnumbered` below `Silver`."""
    of_cards = [at for at, meaning in enumerate(meanings) if meaning in _OF_CARDS]
    if len(rows) < 3 or not of_cards or any(rows[0][at].strip() for at in of_cards):
        return rows
    return rows[1:]


def surveyed(blocks: Blocks, mark: str) -> Iterator[Record]:
    """The records that a plan is made by."""
    lines, size = blocks.head(SURVEYED), 0
    for at, (_, text) in enumerate(lines):
        size += len(text)
        if size > _MOST_SURVEYED:
            lines = lines[:at]
            break
    return records_of(lines, mark)


def of_this_table(records: Iterable[Record], plan: Plan, part: slice) -> Iterator[Record]:
    """Those of some records that stand above the column names of the next table. `plan` has the
    names and the meanings of the columns in `part`."""
    for at, record in enumerate(records):
        # the line below names may go on with them
        if at and names_another(plan, record.cells[part]):
            return
        yield record


def with_index(header: Header, records: Iterable[Record]) -> Header:
    """The names with an empty one in front, where each line has one cell more than there are names,
    and the first one counts the lines, as programs for statistics write them."""
    rows = [one.cells for one in islice(records, _LOOKED_AT) if filled(one.cells)]
    wide = [cells for cells in rows if len(cells) == len(header.names) + 1 and cells[-1].strip()]
    counts = [cells[0].strip() for cells in wide]
    if len(wide) < 2 or len(wide) < len(rows) or not _count_lines(counts):
        return header
    return header._replace(names=["", *header.names], meanings=["", *header.meanings])


def _count_lines(cells: Sequence[str]) -> bool:
    return any(list(cells) == [str(at + first) for at in range(len(cells))] for first in (0, 1))


def set_in_headings(plan: Plan) -> str:
    """The set that stands where the subjects have their heading: `#`, `1987 Harbor Light`; empty
    where a column names it."""
    if plan.has("set"):
        return ""
    names = (plan.names[at] for at in plan.at("subject"))
    said = (name for name in names if has_year(name) and not is_year(name))
    return next((name for name in said if not meaning_of(name)[0]), "")
