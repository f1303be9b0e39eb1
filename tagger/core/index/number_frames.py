"""What stands around the digits that tell the cards of a set apart: `NM-` before those of NM-012,
`2024-` before those of 2024-12, ` of 110` behind those of `12 of 110`.

Numbers are alike where they differ in digits alone. Of their groups of digits the one with the most
different values is the card's own."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

_DIGITS = re.compile("[0-9]+")
_LAST = re.compile("[^0-9]([0-9]+)[^0-9]*$")


class Frame(NamedTuple):
    """What stands before and behind a card's own digits, in canonical form."""

    head: str
    tail: str

    @property
    def has_prefix(self) -> bool:
        """Whether letters stand before the digits, and nothing behind them."""
        return not self.tail and any(map(str.isalpha, self.head))

    def around(self, digits: str) -> str:
        """The whole number of these digits."""
        return f"{self.head}{digits}{self.tail}"


BARE = Frame("", "")


def frames_of(numbers: Iterable[str]) -> dict[str, Frame]:
    """The frame of each number of a set; `numbers` are in canonical form, and those without digits
    have none."""
    alike: dict[str, list[str]] = {}
    found: dict[str, Frame] = {}
    for number in numbers:
        # most are plain, and nothing stands around their digits
        if number.isdigit() and number.isascii():
            found[number] = BARE
        else:
            alike.setdefault(_DIGITS.sub("0", number), []).append(number)
    found.update(framed for some in alike.values() for framed in _framed(some))
    return found


def _framed(alike: list[str]) -> list[tuple[str, Frame]]:
    groups = [list(_DIGITS.finditer(number)) for number in alike]
    places = range(len(groups[0]))
    own = max(places, key=lambda at: (len({each[at][0] for each in groups}), at), default=None)
    if own is None:
        return []
    return [
        (number, Frame(number[: each[own].start()], number[each[own].end() :]))
        for number, each in zip(alike, groups, strict=True)
    ]


def last_digits(number: str) -> str:
    """The last digits of a canonical number with something before them: `19` of rc19, `12` of
    2024-12; empty where there is nothing before."""
    match = _LAST.search(number)
    return match[1] if match else ""
