"""Prices as numbers in the cells of a spreadsheet: the amount is the number, the currency its
format, so that a column of prices sums."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache
from typing import NamedTuple

from tagger.core.model.money import parse_price

_PLACES = 2  # behind the decimal point, at least
_ENDS = re.compile(r"(?P<before>[^0-9.,]*)[0-9.,'’\s]*[0-9](?P<behind>[^0-9]*)")
# ECMA-376 part 1, 18.8.31: text stands in quotation marks, a currency also as [$€-407]
_TEXT = r'(?:"(?P<{0}>[^"]*)"|\[\$(?P<{0}_sign>[^\]-]*)(?:-[0-9A-Fa-f]+)?\])?'
_FORMAT = re.compile(
    _TEXT.format("before") + r"(?:#,##)?0(?:\.(?P<places>0+))? ?" + _TEXT.format("behind")
)


class PriceNumber(NamedTuple):
    """A number and the format that shows it as the price that was written."""

    number: float
    format: str


# thousands of cards have some hundred prices
@lru_cache(maxsize=4096)
def price_number(text: str) -> PriceNumber | None:
    """A price as a number, None where it is not one, or has more digits than a spreadsheet
    keeps."""
    found = _ENDS.fullmatch(text.strip())
    if found is None:
        return None
    try:
        amount = parse_price(text).amount
    except ValueError:
        return None
    number = float(amount)
    if Decimal(repr(number)) != amount or len(amount.as_tuple().digits) > 15:
        return None
    places = max(_PLACES, -int(amount.as_tuple().exponent))
    shown = f"0.{'0' * places}"
    return PriceNumber(number, _quoted(found["before"]) + shown + _quoted(found["behind"]))


def _quoted(text: str) -> str:
    return f'"{text}"' if text else ""


def price_of_number(number: float, format: str) -> str | None:
    """The price that a number shows in a format with a currency; None in any other format."""
    found = _FORMAT.fullmatch(format)
    if found is None:
        return None
    before = found["before"] or found["before_sign"] or ""
    behind = found["behind"] or found["behind_sign"] or ""
    if not before and not behind:
        return None
    digits = Decimal(repr(number))
    places = max(len(found["places"] or ""), -int(digits.normalize().as_tuple().exponent), 0)
    return f"{before}{digits:.{places}f}{behind}"


def with_decimal_sign(text: str, sign: str) -> str:
    """A price with this decimal sign and without marks between groups of digits; what is not a
    price stays as it is."""
    found = _ENDS.fullmatch(text)
    if found is None:
        return text
    try:
        amount = parse_price(text).amount
    except ValueError:
        return text
    return f"{found['before']}{format(amount, 'f').replace('.', sign)}{found['behind']}"


def same_price(one: str, other: str) -> bool:
    """Whether two texts are the same amount of the same currency."""
    try:
        return parse_price(one) == parse_price(other)
    except ValueError:
        return False
