"""A table on its way out: column names and rows."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.core.lot.fields import Value

if TYPE_CHECKING:
    from tagger.exchange.set_counts import SetCounts
    from tagger.exchange.workbook_pictures import BookPictures

Row = tuple[Value, ...]
Write = Callable[[bytes], object]


@dataclass(frozen=True)
class Table:
    """Column names, no two alike, and rows, which may be made while they are read; a whole number
    stays one, all else is text. `entries` says what a row is: `cards`, or `kinds` of cards.
    `prices` are the columns that hold prices, from 0; `counts` are made up while the rows are
    read; `fields` has the name of each column's field, empty where it is composed; `pictures` are
    for a form of file that can show them."""

    columns: tuple[str, ...]
    rows: Iterable[Row]
    entries: str = "cards"
    prices: frozenset[int] = frozenset()
    counts: SetCounts | None = None
    fields: tuple[str, ...] = ()
    pictures: BookPictures | None = None
