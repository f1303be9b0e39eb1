"""Kinds of documents: each a function that changes one as its number says, and gives the commands
that read it."""

from __future__ import annotations

from collections.abc import Callable

from fuzz.kinds.edited import dividers, imports, layouts, lists, orders, settings, workbooks
from fuzz.kinds.kept import caches, journals, readings
from fuzz.kinds.long_lists import long_lists
from fuzz.kinds.stations import hubs, stations
from fuzz.world import World

KINDS: dict[str, Callable[[World, int], list[list[str]]]] = {
    one.__name__: one
    for one in (settings, layouts, lists, imports, workbooks, orders, dividers, journals, caches,
                readings, hubs, stations, long_lists)
}  # fmt: skip
