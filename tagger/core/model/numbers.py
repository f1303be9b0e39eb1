"""Card numbers and serial numbers: text as printed, compared the way a dealer reads them."""

from __future__ import annotations

import math
import re
from collections.abc import Collection
from functools import lru_cache

from tagger.core.model.text import fold

_RUNS = re.compile(r"[0-9]+|[^\W\d_]+")
_LONE_SIGN = re.compile(r"(?<![0-9])[\W_]|[\W_](?![0-9])")
# `012/110`, `NM-012/110`, `TG05/TG30`: a number, and how many cards its set has. Behind a single
# digit, as in `1/2`, there is no such count: both are parts of the number.
_OF_SET = re.compile(r"^(?P<own>[^/]*[0-9][^\W\d_]?) ?/ ?(?P<total>[^\W\d_]{0,4}-?[0-9]{2,4})$")
# Six digits at most: no print run has more, and a longer one would be a date or a code.
_SERIAL = re.compile(r"^(?P<serial>[0-9]{0,6})/(?P<run>[0-9]{0,6})$")
_IN_TABLES = re.compile(r"(?:#|n[or]\.? ?)?(?P<serial>[0-9]{0,6}) ?(?:/|of) ?(?P<run>[0-9]{0,6})")

# `1988`, `1988-89`: behind the words of a set it is its year, since few sets go on to 1,900 cards
SET_YEAR = re.compile(r"(19|20)[0-9]{2}(-[0-9]{2,4})?$")


@lru_cache(maxsize=16384)
def canonical(number: str) -> str:
    """A card number without what a dealer leaves out: case, signs, leading zeros, and how many
    cards the set has.

    `RC-7`, `rc 7` and `RC07` all give `rc7`; `007` and `007/110` give `7`; `117a` stays `117a`. Two
    groups of digits keep a hyphen between them, so that `1-12` is not `112`."""
    parts: list[str] = []
    for run in _RUNS.findall(split_total(fold(number))[0]):
        if run[0].isdigit():
            run = run.lstrip("0") or "0"
            # `1-12` of an insert set is another card than `112`
            if parts and parts[-1][-1].isdigit():
                parts.append("-")
        parts.append(run)
    return "".join(parts)


def split_total(number: str) -> tuple[str, str]:
    """A card number and how many cards its set has: `NM-012/110` gives `NM-012` and `110`; the
    latter is empty where the number does not say it."""
    match = _OF_SET.match(number) if "/" in number else None
    if match is None:
        return number, ""
    return match["own"], match["total"]


@lru_cache(maxsize=16384)
def printed_key(number: str) -> str:
    """A number without case and without signs, but for those between two digits; leading zeros
    stay: `RC-07` and `RC-07/20` give `rc07`, `1/2` stays `1/2`."""
    return _LONE_SIGN.sub("", split_total(fold(number))[0])


def is_distinct(number: str) -> bool:
    """Whether a number is typed with what a dealer may leave out: leading zeros, a sign between
    digits. Who types it means it."""
    # the hyphen that the canonical form has stands for any sign
    return printed_key(number) != canonical(number).replace("-", "")


def parse_serial(token: str) -> tuple[int | None, int | None] | None:
    """`12/99` as (12, 99), `/99` as (None, 99), `12/` as (12, None); None where the token is no
    serial number."""
    match = _SERIAL.match(token)
    if not match or token == "/":
        return None
    return _whole(match["serial"]), _whole(match["run"])


def read_serial(text: str) -> tuple[int | None, int | None] | None:
    """A serial number as tables of others have it: `#12/99`, `No. 12/99`, `12 / 99` and `12 of 99`
    are `12/99`; None where the text is none."""
    # `Dec-99`, which spreadsheets make of 12/99, could as well have been typed as a date.
    match = _IN_TABLES.fullmatch(fold(text).strip())
    if match is None:
        return None
    return parse_serial(f"{match['serial']}/{match['run']}")


def serial_fits(serial: str, wanted: tuple[int | None, int | None]) -> bool:
    """Whether a card's serial number is the one that is wanted, as far as that was typed: `/99`
    wants any copy of 99, `12/` the twelfth of any run. `wanted` is as `parse_serial` gives it. A
    card without a serial number is never wanted by one."""
    had = parse_serial(serial)
    return had is not None and all(
        said in (None, there) for said, there in zip(wanted, had, strict=True)
    )


def _whole(digits: str) -> int | None:
    if not digits:
        return None
    return int(digits)


def print_run(serial: str) -> int | None:
    """The print run that a serial number names: `12/99` gives 99; None where it names none."""
    read = parse_serial(serial)
    if read is None:
        return None
    return read[1]


_ROMAN = re.compile(r"(?=.)m{0,3}(cm|cd|d?c{0,3})(xc|xl|l?x{0,3})(ix|iv|v?i{0,3})", re.IGNORECASE)
ROMAN_END = 4000  # no number from here on is written so
_ROMAN_LETTERS = (
    ("m", 1000), ("cm", 900), ("d", 500), ("cd", 400), ("c", 100), ("xc", 90), ("l", 50),
    ("xl", 40), ("x", 10), ("ix", 9), ("v", 5), ("iv", 4), ("i", 1),
)  # fmt: skip


def roman(number: str) -> int | None:
    """The value of a number in Roman numerals as they are printed (`XIV`: 14); None for any
    other."""
    if not _ROMAN.fullmatch(number):
        return None
    value, rest = 0, number.lower()
    for letters, worth in _ROMAN_LETTERS:
        while rest.startswith(letters):
            value, rest = value + worth, rest[len(letters) :]
    return value


def in_roman(value: int) -> str:
    """A whole number from 1, below ROMAN_END, in Roman numerals, in small letters."""
    found = ""
    for letters, worth in _ROMAN_LETTERS:
        found += letters * (value // worth)
        value %= worth
    return found


def are_roman(numbers: Collection[str]) -> bool:
    """Whether the numbers of a set are Roman: all of them, and they go on as a set does. The single
    letters of an alphabet are none, nor are the initials of people (`CD`, `MC`)."""
    if not any(len(number) > 1 for number in numbers):
        return False
    values = [roman(number) or math.inf for number in numbers]
    # few cards of a set that is numbered so are missing (our own estimate, no source)
    return max(values) <= 10 + 2 * len(values)


def is_whole_number(text: str) -> bool:
    """Whether a text is plain digits, no more than a serial number has."""
    return text.isascii() and text.isdecimal() and len(text) <= 6
