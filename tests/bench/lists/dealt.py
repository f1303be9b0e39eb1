"""A batch held out: what many dealers have, as text, tables and workbooks."""

from __future__ import annotations

from bench.lists import dealt_books, dealt_pages, dealt_tables
from bench.lists.kit import files

MAKERS = [*dealt_pages.MAKERS, *dealt_tables.MAKERS, *dealt_books.MAKERS]


def dealt(count: int, seed: int = 1):
    """So many files, the makers in turn."""
    return files(MAKERS, "dealt", count, seed)
