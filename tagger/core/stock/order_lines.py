"""The lines of a table of orders: each names one card that was sold."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import NamedTuple

from tagger.core.model.money import not_a_price
from tagger.core.model.numbers import canonical
from tagger.core.model.text import fold, printable

FIELDS = (
    "stock", "order", "line", "set", "number", "subject", "parallel", "serial", "condition",
    "quantity", "price", "fee", "shipping", "channel", "buyer", "date",
)  # fmt: skip
# What a shop changes in its later exports (a fee, a price after a refund) is not among these: the
# same line must be known again.
_CARD = ("stock", "set", "number", "subject", "parallel", "serial", "condition")
_OF_THE_SALE = ("price", "fee", "shipping", "channel", "order", "buyer")
_ONCE = ("fee", "shipping")  # said of a line, however many copies it is of
# A slip such as a price in the column of quantities would else make lines by the million.
_MOST_COPIES = 1000
_LONGEST = 200  # characters of what is kept of a cell
_QUANTITY = re.compile(r"0*([0-9]{1,4})(?:[.,]0+)?")
_ISO = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})(?:[T ].*)?")
# With dots the day stands first wherever such dates are written; with slashes it depends on the
# country (common practice, no source).
_DOTS = re.compile(r"([0-9]{1,2})\.([0-9]{1,2})\.([0-9]{4})")
_SLASHES = re.compile(r"([0-9]{1,2})/([0-9]{1,2})/([0-9]{4})")


class OrderLine(NamedTuple):
    """One copy of a card that an order names. `where` says which line it is; `cells` have the
    table's text by FIELDS, without those for which it has no column; `key` is the mark by which the
    line is known again; `problem` says why the line cannot be read, empty where it can."""

    where: str
    cells: Mapping[str, str]
    key: str
    on: str = ""
    problem: str = ""
    first: bool = True

    def get(self, field: str) -> str:
        """A cell's text, empty where there is none."""
        return self.cells.get(field, "")

    @property
    def names_card(self) -> bool:
        """Whether it says which card it is, by its number or its name."""
        # A dash for a card without a number is none: many cards have none.
        return bool(canonical(self.get("number")) or self.get("subject"))

    @property
    def said(self) -> str:
        """The card as the line has it."""
        number = f"#{self.get('number')}" if self.get("number") else ""
        names = (self.get("set"), number, self.get("subject"), self.get("parallel"))
        return " ".join(filter(None, (self.get("stock"), *names, self.get("condition"))))

    def details(self, before: str) -> dict[str, str]:
        """The sale as a Trade has it; `before` are the marks of lines that the card has already."""
        given = {name: self.get(name) for name in _OF_THE_SALE if self.first or name not in _ONCE}
        lines = f"{before} {self.key}".strip()
        return {**given, "sold_on": self.on, "lines": lines}


def order_lines(
    rows: Iterable[tuple[str, Mapping[str, str]]], file: str, today: str
) -> list[OrderLine]:
    """The lines of a table: each row by what it is called (`line 7`) and its cells by FIELDS. A row
    of three copies makes three of them. A sale without a day was `today`."""
    seen: Counter[tuple[str, ...]] = Counter()
    found: list[OrderLine] = []
    for where, cells in rows:
        cells = {name: " ".join(text.split())[:_LONGEST] for name, text in cells.items()}
        if any(cells.values()):
            # without an order the line itself is what the card waits for
            kept = {**cells, "order": cells.get("order") or f"{file}, {where}"}
            found += _copies(where, cells, kept, seen, today)
    return found


def _copies(
    where: str,
    cells: Mapping[str, str],
    kept: Mapping[str, str],
    seen: Counter[tuple[str, ...]],
    today: str,
) -> Iterator[OrderLine]:
    count, problem = _read_quantity(cells.get("quantity", ""))
    on, undated = _read_day(cells.get("date", ""), today)
    # One reason a line: with the first one fixed the next export shows the next.
    problem = problem or undated or _unpriced(cells)
    identity = _identity(cells)
    for copy in range(count):
        seen[identity] += 1
        key = _digest((*identity, str(seen[identity])))
        yield OrderLine(where, kept, key, on, problem, copy == 0)


def _identity(cells: Mapping[str, str]) -> tuple[str, ...]:
    """What tells a line from others: not what is filled in later, as fees are."""
    names: tuple[str, ...] = ("order", "line", *_CARD)
    # Without an order's number only these tell two sales of the same card apart.
    if not cells.get("order"):
        names += ("date", "buyer", "price")
    return tuple(fold(cells.get(name, "")) for name in names)


def _digest(identity: tuple[str, ...]) -> str:
    # 48 bits: by the birthday bound two of a million lines share a mark in one of 500 such tables.
    # The NUL keeps the parts apart, so that `1` and `23` are not `12` and `3`.
    return hashlib.sha256("\0".join(identity).encode()).hexdigest()[:12]


def _read_quantity(text: str) -> tuple[int, str]:
    """(how many copies, why it cannot be read)."""
    if not text:
        return 1, ""
    match = _QUANTITY.fullmatch(text)
    count = int(match[1]) if match else 0
    if not 1 <= count <= _MOST_COPIES:
        return 1, f"'{printable(text, 40)}' is not a number of copies"
    return count, ""


def _read_day(text: str, today: str) -> tuple[str, str]:
    """(the day as ISO 8601 has it, why it cannot be read)."""
    if not text:
        return today, ""
    try:
        return date(*_parts(text)).isoformat(), ""
    except ValueError:
        return "", f"'{printable(text, 40)}' is not a clear date; write it as 2026-11-28"


def _parts(text: str) -> tuple[int, int, int]:
    """Year, month, day. Raises ValueError where it is none, or could be two."""
    if match := _ISO.fullmatch(text):
        return int(match[1]), int(match[2]), int(match[3])
    if match := _DOTS.fullmatch(text):
        return int(match[3]), int(match[2]), int(match[1])
    match = _SLASHES.fullmatch(text)
    if match is None:
        raise ValueError
    # some write the month first, some the day: only what can be one of them is read
    first, second = int(match[1]), int(match[2])
    if first == second or second > 12:
        return int(match[3]), first, second
    if first > 12:
        return int(match[3]), second, first
    raise ValueError


def _unpriced(cells: Mapping[str, str]) -> str:
    sums = (cells.get(name, "") for name in ("price", "fee", "shipping"))
    return next(filter(None, map(not_a_price, sums)), "")
