"""What stands in a cell of pictures: their names as a shop wants them, and in which order.

[pictures]
before = "https://shop.example/cards/"      # in front of each name: an address, or a folder
between = "|"                               # between the pictures of one row
order = ["back", "front"]                   # of the sides of a card in {pictures}
most = 8                                    # pictures in a cell
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING
from urllib.parse import quote

from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.toml.document import TomlTable
    from tagger.toml.errors import TomlErrors

SIDES = ("front", "back")
_NAMES = ("before", "between", "order", "most")
_ADDRESS = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*://")  # RFC 3986, 3.1
_MANY = 1000
BETWEEN = "; "  # values of several cards in one cell


@dataclass(frozen=True)
class PictureCells:
    """`before` stands in front of each name, `between` between two; `order` has the sides of a
    card; a cell has at most `most` pictures, all where that is None."""

    before: str = ""
    between: str = BETWEEN
    order: tuple[str, ...] = SIDES
    most: int | None = None

    def cell(self, names: Iterable[str]) -> str:
        """The text of a cell with these pictures, each once; empty names are none."""
        shown = dict.fromkeys(self._named(name) for name in names if name)
        return self.between.join(islice(shown, self.most))

    def _named(self, name: str) -> str:
        # a name goes into an address percent-encoded (RFC 3986, 2.1), its folders stay
        return self.before + (quote(name) if _ADDRESS.match(self.before) else name)


def read_pictures(given: TomlTable, errors: TomlErrors) -> PictureCells:
    """The table `[pictures]` of a layout; what is wrong is put into `errors`."""
    errors.of_names(given, _NAMES, "entry of [pictures]")
    texts = dict[str, str]()
    order: tuple[str, ...] = SIDES
    most = None
    for name in ("before", "between"):
        with errors.kept():
            if name in given:
                texts[name] = given.text(name)
    with errors.kept():
        order = _order(given)
    with errors.kept():
        most = given.count("most", "pictures", _MANY)
    return PictureCells(**texts, order=order, most=most)


def _order(given: TomlTable) -> tuple[str, ...]:
    sides = given.texts("order") or SIDES
    for side in sides:
        if side not in SIDES:
            shown = printable(side, 40)
            raise given.wrong("order", f"'{shown}' is not a side; use front and back.")
    return tuple(dict.fromkeys(sides))
