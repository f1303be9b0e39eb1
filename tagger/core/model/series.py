"""Series inside a set: a further column of a checklist that tells cards of one number apart."""

from __future__ import annotations

from functools import lru_cache

from tagger.core.model.column_names import SERIES
from tagger.core.model.text import fold


def is_series(column: str) -> bool:
    """Whether a column is called so that it holds series."""
    return "".join(filter(str.isalnum, fold(column))) in _FOLDED


_FOLDED = frozenset(map(fold, SERIES))


@lru_cache(4096)  # cards of a series share their further columns, or few differ
def series_of(extra: tuple[tuple[str, str], ...]) -> str:
    """The series of a card by its further columns, the first where there are several; empty for
    none."""
    return next((value for column, value in extra if value and is_series(column)), "")
