"""A table on its way out: column names and rows."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from tagger.core.lot.fields import Value

Row = tuple[Value, ...]
Write = Callable[[bytes], object]


@dataclass(frozen=True)
class Table:
    """Column names, no two alike, and rows, which may be made while they are read; a whole number
    stays one, all else is text. `entries` says what a row is: `cards`, or `kinds` of cards."""

    columns: tuple[str, ...]
    rows: Iterable[Row]
    entries: str = "cards"
