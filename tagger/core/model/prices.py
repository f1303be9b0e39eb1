"""Prices as text: the amount in them."""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation

_AMOUNT = re.compile(r"[0-9](?:[0-9.,' \u00a0\u202f]*[0-9])?")


def amount(text: str) -> Decimal | None:
    """The amount in a price: `$1,234.50`, `1.234,50 EUR`, `2,50`, `3`. None where there is none, or
    more than one.

    Of two marks the last parts the cents; a single mark does too unless three digits follow it
    (common practice, no source)."""
    found = _AMOUNT.findall(text[:100])
    if len(found) != 1:
        return None
    said = re.sub(r"[' \u00a0\u202f]", "", found[0])
    marks = [char for char in said if char in ".,"]
    if marks:
        last = marks[-1]
        whole, _, cents = said.rpartition(last)
        grouped = len(cents) == 3 and whole.strip("0") and marks.count(last) == len(marks)
        if marks.count(last) > 1 or grouped:
            whole, cents = said, ""
        said = re.sub(r"[.,]", "", whole) + (f".{cents}" if cents else "")
    try:
        value = Decimal(said)
    except InvalidOperation:
        return None
    return -value if text.lstrip().startswith(("-", "\u2212")) else value
