"""What is noted of a sale or a purchase as it is typed: days and texts."""

from __future__ import annotations

import re
from datetime import date

from tagger.core.model.text import printable
from tagger.errors import UsageError

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_LONGEST = 200  # characters of what is noted


def noted(text: str) -> str:
    """A text as it is kept: one line of no more than so many characters."""
    return " ".join(text.split())[:_LONGEST]


def day_typed(text: str) -> str:
    """A day as ISO 8601 has it. Raises UsageError."""
    try:
        if not _DAY.fullmatch(text):
            raise ValueError
        date.fromisoformat(text)
    except ValueError:
        raise UsageError(f"'{printable(text, 40)}' is not a day; type it as 2026-11-28.") from None
    return text
