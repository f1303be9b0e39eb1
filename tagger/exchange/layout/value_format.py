"""How a field of a composed text is written: `{position:04d}`, `{price:.2f}`,
`{listed on:%d.%m.%Y}`.

A few of the marks of Python's format specifications ("Format Specification Mini-Language") and of
dates (`strftime`, ISO C 7.29.3.5). What is not such a number or date stays as it is."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal

from tagger.core.model.money import amount

_WHOLE = re.compile(r"0[1-9][0-9]?d")
_SUM = re.compile(r"\.[0-6]f")
_DATE_MARK = re.compile(r"%(.?)")
_DATE_LETTERS = "dmyYbBj%"
_SPEC = re.compile(r"(?P<field>.*\S)\s*:(?P<spec>0?[0-9]*d|[0-9]*\.[0-9]*f|[^:]*%.*)", re.DOTALL)
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def field_and_spec(text: str) -> tuple[str, str]:
    """(field, how it is to be written; empty where that is not said). Raises ValueError with what
    is wrong, as the end of a sentence."""
    found = _SPEC.fullmatch(text)
    if found is None:
        # a checklist's column may have a colon in its name
        return text, ""
    spec = found["spec"]
    if "%" in spec:
        _check_date(spec)
    elif not (_WHOLE.fullmatch(spec) or _SUM.fullmatch(spec)):
        raise ValueError(f"'{spec}' is not a format; write :04d, :.2f, or a date like :%d.%m.%Y")
    return found["field"], spec


def _check_date(spec: str) -> None:
    for found in _DATE_MARK.finditer(spec):
        if not found[1] or found[1] not in _DATE_LETTERS:
            marks = " ".join(f"%{letter}" for letter in _DATE_LETTERS)
            raise ValueError(f"'{found[0]}' is not a part of a date; the parts are {marks}")


def formatted(value: str, spec: str) -> str:
    """A field's value as it is to be written."""
    if "%" in spec:
        return _dated(value, spec)
    if spec.endswith("d"):
        whole = value.isascii() and value.isdigit()
        return value.zfill(int(spec.removesuffix("d"))) if whole else value
    number = amount(value)
    return value if number is None else _rounded(number, int(spec[1]))


def _rounded(number: Decimal, places: int) -> str:
    return f"{number:.{places}f}"


def _dated(value: str, spec: str) -> str:
    if not _DAY.fullmatch(value):
        return value
    try:
        return date.fromisoformat(value).strftime(spec)
    except ValueError:
        return value
