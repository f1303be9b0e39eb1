"""Stock numbers: one for each card, to be written on a label and read off it again.

`K7TQX-0042-E` is the lot's part, a running number, and a check character over both by ISO/IEC 7064,
MOD 37,36 (the hybrid system over digits and letters). It finds every wrong character and every two
neighbours that changed places but for a few pairs."""

from __future__ import annotations

import re
import zlib
from collections.abc import Callable
from typing import NamedTuple

_CHARACTERS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_MODULUS = len(_CHARACTERS)
# No vowels, so that a part is never a word; none that are mistaken for another when they are read.
_LETTERS, _DIGITS = "CDFHJKLMNPQRTVWXYZ", "346789"
HIGHEST = 9_999_999  # running number
LENGTH = 5  # characters of a part that nobody chose
# It ends in a letter: without its hyphens a stock number can still be told apart.
PART = re.compile(r"[A-Z][A-Z0-9]{0,6}[A-Z]")
_WHOLE = re.compile(r"([A-Z][A-Z0-9]{0,6}[A-Z])([0-9]{4,7})([A-Z0-9])")


class StockNumber(NamedTuple):
    """A stock number by its parts; the check character follows from them."""

    part: str
    running: int

    def __str__(self) -> str:
        return f"{self.part}-{self.running:04d}-{check_character(f'{self.part}{self.running:04d}')}"


def check_character(text: str) -> str:
    """The check character of digits and capital letters: ISO/IEC 7064:2003, MOD 37,36."""
    rest = _MODULUS
    for character in text:
        total = (rest + _CHARACTERS.index(character)) % _MODULUS or _MODULUS
        rest = total * 2 % (_MODULUS + 1)
    return _CHARACTERS[(_MODULUS + 1 - rest) % _MODULUS]


def read_stock_number(typed: str) -> StockNumber | None:
    """A stock number as it was typed, in any case, with hyphens or spaces or without; None where it
    is not one, or where its check character does not fit."""
    match = _WHOLE.fullmatch(_bare(typed))
    if match is None:
        return None
    part, running, check = match.groups()
    if check_character(part + running) != check:
        return None
    return StockNumber(part, int(running))


def is_mistyped(typed: str, bare: bool = False) -> bool:
    """Whether something has the shape of a stock number, hyphens and all, but not the check
    character of one. `bare`: also without hyphens."""
    # Without them a hint of letters and digits would be refused as a label that was misread, so
    # that is asked only where nothing else can be meant.
    shaped = (bare or typed.count("-") == 2) and _WHOLE.fullmatch(_bare(typed)) is not None
    return shaped and read_stock_number(typed) is None


def _bare(typed: str) -> str:
    return typed.replace("-", "").replace(" ", "").upper()


def read_part(typed: str) -> str | None:
    """A lot's part as it was chosen, None where it cannot be one: two to eight letters and digits,
    a letter first and last."""
    part = typed.strip().upper()
    if not PART.fullmatch(part):
        return None
    return part


def kept_part(said: object) -> str:
    """A lot's part as it was kept, empty before any. Raises ValueError where it is not a part: no
    stock number can be made of it."""
    if said == "" or (isinstance(said, str) and PART.fullmatch(said)):
        return said
    raise ValueError("part is not a part of stock numbers")


def part_of(identity: str, taken: Callable[[str], bool] = lambda part: False) -> str:
    """A lot's part that nobody chose, from what tells the lot from all others; the first one of its
    row that is not `taken`."""
    at = 0
    while taken(part := _part(f"{identity} {at}")):
        at += 1
    return part


def _part(seed: str) -> str:
    # A CRC spreads evenly enough here: what matters is that one lot always gets one part.
    number = zlib.crc32(seed.encode())
    found = ""
    for place in range(LENGTH):
        among = _LETTERS if place in (0, LENGTH - 1) else _LETTERS + _DIGITS
        number, at = divmod(number, len(among))
        found += among[at]
    return found
