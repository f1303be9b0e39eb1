"""Amounts that the commas of a table parted: `1,50` without quotation marks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tagger.core.checklist.header import beginning_of
from tagger.core.checklist.lines import Blocks, filled
from tagger.core.model.column_names import PRICE

_HEAD = 60  # lines


def with_whole_amounts(text: str, more: Mapping[str, str]) -> str:
    """The text with the amounts of its prices whole, where each line has one cell too many, and an
    amount in two of them."""
    begins = beginning_of(Blocks(text).head(_HEAD), more)
    header = begins.header
    if header is None or begins.mark != "," or PRICE not in header.meanings or '"' in text:
        return text
    at, width = header.meanings.index(PRICE), len(header.names)
    below = begins.records[header.at].line
    # a long list is gone through only where its first lines are so
    if not _have_cents([one.cells for one in begins.records[header.at + 1 :]], at, width):
        return text
    lines = text.split("\n")
    rows = [line.split(",") for line in lines[below:]]
    made = (_joined(row, at) for row in rows)
    return "\n".join([*lines[:below], *made]) if _have_cents(rows, at, width) else text


def _have_cents(rows: Sequence[list[str]], at: int, width: int) -> bool:
    some = [row for row in rows if filled(row)]
    return bool(some) and all(_has_cents(row, at, width) for row in some)


def _has_cents(row: Sequence[str], at: int, width: int) -> bool:
    if len(row) != width + 1:
        return False
    whole, cents = (cell.strip() for cell in row[at : at + 2])
    return whole.isdigit() and cents.isdigit() and len(cents) == 2


def _joined(row: list[str], at: int) -> str:
    if not filled(row):
        return ",".join(row)
    return ",".join([*row[:at], f"{row[at]}.{row[at + 1]}", *row[at + 2 :]])
