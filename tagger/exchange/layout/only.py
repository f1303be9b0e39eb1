"""The table `[only]` of a layout: which cards are meant.

[only]
state = "tagged"                # also set, parallel, condition, place, note, stock number
price = { from = 1, to = 20 }   # also position
new = true                      # or the name of a shop; also unlisted
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from tagger.core.model.stock_number import read_stock_number
from tagger.core.model.suggestions import meant
from tagger.core.model.tags import STANDINGS
from tagger.core.model.text import fold, printable
from tagger.exchange.layout.row_filter import CHOICES, RowFilter, held

if TYPE_CHECKING:
    from tagger.toml.document import TomlTable
    from tagger.toml.errors import TomlErrors

_FLAGS = ("new", "unlisted")
_RANGES = {"price": "{ from = 1, to = 20 }", "position": "{ from = 41, to = 60 }"}
_NAMES = (*CHOICES, *_RANGES, *_FLAGS)
_ENDS = ("from", "to")
_LARGEST = 10**15
_STOCK = "stock number"


def read_only(given: TomlTable, errors: TomlErrors) -> RowFilter:
    """The filter that a table `[only]` says; what is wrong is put into `errors`."""
    errors.of_names(given, _NAMES, "filter")
    values: dict[str, frozenset[str]] = {}
    flags: dict[str, bool] = {}
    limits: dict[str, tuple[Decimal | None, Decimal | None]] = {}
    shop = ""
    for name in given:
        with errors.kept():
            if name in CHOICES:
                values[name] = _wanted(given, name)
            elif name == "new" and isinstance(given[name], str):
                flags[name], shop = True, _shop(given)
            elif name in _FLAGS:
                flags[name] = given.flag(name)
            elif name in _RANGES:
                limits[name] = _limits(given, name)
    lowest, highest = limits.get("price", (None, None))
    first, last = limits.get("position", (None, None))
    return RowFilter(
        values,
        lowest,
        highest,
        flags.get("new"),
        flags.get("unlisted"),
        None if first is None else int(first),
        None if last is None else int(last),
        shop,
    )


def _shop(given: TomlTable) -> str:
    """The shop that `new` names. Raises UsageError."""
    if not (shop := " ".join(str(given["new"]).split())):
        raise given.wrong("new", 'write new = true, or the name of a shop: new = "my shop".')
    return shop


def _wanted(given: TomlTable, name: str) -> frozenset[str]:
    texts = given.texts(name)
    if name == "state":
        _check_states(given, texts)
    if name == _STOCK:
        return frozenset(_stock_numbers(given, texts))
    # a set or a condition may be one that no card has yet
    return frozenset(held(name, text) for text in texts)


def _check_states(given: TomlTable, texts: tuple[str, ...]) -> None:
    for text in texts:
        if fold(text) not in STANDINGS:
            near = meant(text, STANDINGS)
            raise given.wrong("state", f"'{printable(text)}' is not a state{near}")


def _stock_numbers(given: TomlTable, texts: tuple[str, ...]) -> Iterator[str]:
    for text in texts:
        number = read_stock_number(text)
        if number is None:
            raise given.wrong(
                _STOCK, f"'{printable(text, 40)}' is not a stock number; type it as on the label."
            )
        yield fold(str(number))


def _limits(given: TomlTable, name: str) -> tuple[Decimal | None, Decimal | None]:
    if not (isinstance(given[name], dict) and given[name]):
        raise given.wrong(name, f"write the {name} as {_RANGES[name]}, one of them or both.")
    limits = given.table(name)
    for end in limits:
        if end not in _ENDS:
            shown = printable(end, 60)
            raise given.wrong(name, f"'{shown}' is not a limit of a {name}; use from and to.")
    read = _amount if name == "price" else _position
    lowest, highest = (read(limits, end) for end in _ENDS)
    return lowest, highest


def _amount(limits: TomlTable, end: str) -> Decimal | None:
    if end not in limits:
        return None
    value = limits.number(end)
    if value is None or abs(value) >= _LARGEST:
        raise limits.wrong(end, f"{end} is an amount, such as {end} = 1.50.")
    return value


def _position(limits: TomlTable, end: str) -> Decimal | None:
    if end not in limits:
        return None
    value = limits.whole(end)
    if value is None or not 0 < value < _LARGEST:
        raise limits.wrong(end, f"{end} is a position, such as {end} = 41.")
    return Decimal(value)
