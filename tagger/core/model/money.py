"""Prices as lists write them: `$1.25`, `1,25`, `1.25 EUR`. What could be meant in two ways is not
read.

Sums are exact: Python's decimal (General Decimal Arithmetic) in a context that refuses to round.
"""

from __future__ import annotations

import re
from decimal import (
    ROUND_HALF_EVEN,
    Context,
    Decimal,
    DivisionByZero,
    Inexact,
    InvalidOperation,
    Overflow,
    localcontext,
)
from typing import NamedTuple

EXACT = Context(prec=60, traps=[Inexact, InvalidOperation, Overflow, DivisionByZero])
LONGEST = 60  # characters of a price
DIGITS = 12  # before the decimal mark; no card costs more
_SPACES = str.maketrans(dict.fromkeys("\u00a0\u2007\u2009\u202f", " "))
# an ISO 4217 code, or a sign with up to two letters: `C$`
_CURRENCY = r"[A-Za-z]{3}|[A-Za-z]{0,2}[$€£¥₤₩₱₹₺₽]"
_PRICE = re.compile(rf"({_CURRENCY})?\s*([0-9.,'’ ]*[0-9])\s*({_CURRENCY})?")
_GROUPED = re.compile(r"[0-9]{1,3}(?:(?P<mark>[.,'’ ])[0-9]{3})(?:(?P=mark)[0-9]{3})*")
_CODES = {"€": "EUR"}  # the sign of one currency only; `$`, `£` and `¥` are used for several


class Price(NamedTuple):
    """An amount in a currency: a code or a sign as it was written, empty where none was."""

    amount: Decimal
    currency: str


def parse_price(text: str) -> Price:
    """A price. Raises ValueError with the reason where it is none, or could be two."""
    match = _PRICE.fullmatch(text.translate(_SPACES).strip()) if len(text) <= LONGEST else None
    if match is None:
        raise ValueError("no price")
    if match[1] and match[3]:
        raise ValueError("two currencies")
    mark = match[1] or match[3] or ""
    return Price(_amount(match[2].strip()), _CODES.get(mark, mark.upper()))


def _amount(text: str) -> Decimal:
    """A number with a decimal point or comma, or none, and digits in groups of three, or none."""
    last = max(text.rfind("."), text.rfind(","))
    whole, fraction = (text[:last], text[last + 1 :]) if last >= 0 else (text, "")
    mark = text[last] if last >= 0 else ""
    if mark and mark in whole:  # twice the same: it groups digits
        whole, fraction = text, ""
    elif len(fraction) == 3 and whole.isdigit() and len(whole) <= 3 and not whole.startswith("0"):
        raise ValueError(f"could be {whole}.{fraction} or {whole}{fraction}")
    plain = re.sub(r"[.,'’ ]", "", whole)
    if not (whole == plain or _GROUPED.fullmatch(whole)) or not (
        fraction or not mark or whole == text
    ):
        raise ValueError("no price")
    if fraction and not fraction.isdigit():
        raise ValueError("no price")
    if len(plain) > DIGITS or len(fraction) > DIGITS:
        raise ValueError("too many digits")
    return Decimal(f"{plain or '0'}.{fraction}" if fraction else plain)


def money(amount: Decimal, currency: str) -> str:
    """An amount to two places, a half to the even digit: `$12.35`, `12.35 EUR`."""
    with localcontext(Context(prec=60)):
        shown = format(amount.quantize(Decimal("0.01"), ROUND_HALF_EVEN), ",f")
    if currency and not currency[-1].isalpha():
        return f"{currency}{shown}"
    return f"{shown} {currency}".rstrip()
