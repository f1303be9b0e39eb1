"""Small tables that lie on their side: a card a column, and the names in the first one."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from itertools import zip_longest

from tagger.core.checklist.header import MARKS, beginning_of, has_columns, records_of
from tagger.core.checklist.headings.beside import columns_of
from tagger.core.checklist.lines import Blocks, Line, filled

_LARGEST = 1 << 17  # characters
_MOST_LINES = 40
_FEWEST_CARDS = 3
TOLD = "each card is a column of this table, and is read so; lines count its columns"


def upright(text: str, more: Mapping[str, str], mark: str) -> str:
    """The text with a line a card where its table lies on its side; the same text where not. `mark`
    parts the cells where that is known."""
    if len(text) > _LARGEST or text.count("\n") > _MOST_LINES:
        return text
    lines = Blocks(text).head(_MOST_LINES + 1)
    header = beginning_of(lines, more, mark).header
    known = header.known if header else 0
    for one in mark or [each for each in MARKS if each in text]:
        rows = [record.cells for record in records_of(lines, one) if filled(record.cells)]
        above, rows = _titles(lines, rows)
        if _known_at_the_side(rows, more) > max(known, 1):
            return above + _turned(rows, one)
    return text


def _titles(lines: Sequence[Line], rows: list[list[str]]) -> tuple[str, list[list[str]]]:
    """The text of lines with one cell above the table, and the rows of the table."""
    count = next((at for at, row in enumerate(rows) if len(filled(row)) > 1), len(rows))
    texts = [text for _, text in lines if text.strip()][:count]
    return "".join(f"{text}\n" for text in texts), rows[count:]


def _known_at_the_side(rows: Sequence[Sequence[str]], more: Mapping[str, str]) -> int:
    """How many meanings the first cells of all rows have; 0 where these are no names of columns."""
    meanings = columns_of([" ".join(row[0].split()) for row in rows], more)
    if len(rows) < 2 or not has_columns(meanings) or len(filled(meanings)) * 2 < len(rows):
        return 0
    if min(len(filled(row)) for row in rows[:2]) <= _FEWEST_CARDS:
        return 0
    return len(set(meanings) - {""})


def _turned(rows: Sequence[Sequence[str]], mark: str) -> str:
    out = io.StringIO()
    made = ([" ".join(cell.split()) for cell in card] for card in zip_longest(*rows, fillvalue=""))
    csv.writer(out, delimiter=mark, lineterminator="\n").writerows(made)
    return out.getvalue()
