"""All shapes, those that were worked on and those that were held out until they were counted."""

from __future__ import annotations

from support.clubs import (
    books,
    books_more,
    tables,
    tables_last,
    tables_later,
    tables_more,
    tables_of_clubs,
    tables_of_programs,
    tables_of_shops,
    typed,
    typed_more,
    typed_pages,
    typed_posts,
)
from support.clubs.world import SHAPES, File, World

__all__ = ["SHAPES", "made"]

MODULES = (
    *(books, books_more, tables, tables_last, tables_later, tables_more, tables_of_clubs),
    *(tables_of_programs, tables_of_shops, typed, typed_more, typed_pages, typed_posts),
)


def made(name: str, seed: int) -> File:
    """The list of a shape with other cards for each seed."""
    return SHAPES[name](World(f"{name} {seed}"))
