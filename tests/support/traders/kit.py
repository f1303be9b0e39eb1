"""What the shapes of these lots share: lists from lines of cells or of text, and registers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from support.clubs.world import File, Maker, Row, World
from support.clubs.writers import book, grid, table, text

Cells = Callable[[Row], Sequence[Any]]


class Lot(dict[str, Maker]):
    """The shapes of one lot by name; called with a maker, it notes that."""

    def __call__(self, maker: Maker) -> Maker:
        self[maker.__name__] = maker
        return maker

    def made(self, name: str, seed: int) -> File:
        """The list of a shape with other cards for each seed."""
        return self[name](World(f"{name} {seed}"))


def tabled(
    name: str,
    cards: list[Row],
    heads: Sequence[Any],
    cells: Cells,
    above: Iterable[Sequence[Any]] = (),
    below: Iterable[Sequence[Any]] = (),
    meant: list[Row] | None = None,
    write: Mapping[str, Any] | None = None,
    **facts: Any,
) -> File:
    """A table, as text or, by the ending of its name, as a workbook of one sheet; `meant`: the
    cards that the list has, where not each line is one."""
    rows = [*above, *([heads] if heads else []), *map(cells, cards), *below]
    options = dict(write or {})
    if name.endswith(".xlsx"):
        data = book({options.pop("sheet", "Sheet1"): grid(rows, options.pop("then", None))})
    else:
        data = table(rows, **options)
    return File(name, data, cards if meant is None else meant, **facts)


def typed(
    name: str,
    cards: list[Row],
    line: Callable[[Row], str],
    above: Iterable[str] = (),
    below: Iterable[str] = (),
    meant: list[Row] | None = None,
    write: Mapping[str, Any] | None = None,
    **facts: Any,
) -> File:
    """A typed list, one card a line."""
    lines = [*above, *map(line, cards), *below]
    data = text(lines, **(write or {}))
    return File(name, data, cards if meant is None else meant, **facts)


def last_first(name: str) -> str:
    """`Marsh, Ada`"""
    first, _, last = name.partition(" ")
    return f"{last}, {first}"
