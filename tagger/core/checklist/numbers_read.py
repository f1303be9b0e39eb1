"""Card numbers as spreadsheets leave them: what can be undone, and what was turned into something
else."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagger.core.checklist.named.months import MONTHS, month_of

_MONTHS = "|".join(short for shorts in MONTHS for short in shorts)
_DAY_MONTH = re.compile(
    rf"^(?:[0-9]{{1,2}}[-. ](?:{_MONTHS})\.?(?:[-. ][0-9]{{2,4}})?"
    rf"|(?:{_MONTHS})[-. ][0-9]{{1,4}})$",
    re.IGNORECASE,
)
_TURNED = re.compile(
    rf"^(?:(?:[0-9]{{4}})-(?P<m>[0-9]{{2}})-(?P<d>[0-9]{{2}})(?:[T ]00:00(?::00)?)?"
    rf"|(?P<day>[0-9]{{1,2}})[-. ]\s?(?P<month>{_MONTHS})\.?"
    rf"|(?P<m2>{_MONTHS})[-. ](?P<d2>[0-9]{{1,2}}))$",
    re.IGNORECASE,
)
_DATE = re.compile(
    r"^(?:[0-9]{4}[-/.][0-9]{1,2}[-/.][0-9]{1,2}(?:[T ][0-9:.]+)?"
    r"|[0-9]{1,2}[./-][0-9]{1,2}[./-](?:[0-9]{4}|[0-9]{2}))$"
)
_POWER = re.compile(r"^[0-9](?:[.,][0-9]+)?E[+-]?[0-9]+$", re.IGNORECASE)
_FRACTION = re.compile(r"^(?:[0-9]+[.,][0-9]*[1-9][0-9]*|[½¼¾⅓⅔⅛⅜⅝⅞])$")
_GUARD = re.compile(r'^="?(?P<text>[^"]*)"?$')
_BRACKETED = re.compile(r"^[(\[]\s*(?P<text>[^\s()\[\]]+)\s*[)\]]$")
_WORD_FIRST = re.compile(
    r"^(?:no|nr|n[º°]|num|card)\b\.?\s*(?=#?(?:[A-Za-z]+-?)?[0-9])", re.IGNORECASE
)
_THOUSANDS = re.compile(r"^[0-9]{1,3}(?:[.,' ][0-9]{3})+$")
_THOUSANDS_MARK = re.compile(r"[.,' ]")
_FLOAT = re.compile(r"^[0-9]+\.0+$")
_NUMBER_LIKE = re.compile(
    r"^(?:(?:[^\W\d_]{1,6}[-. /]?)?[0-9]{1,6}(?:[-./]?[^\W_]{1,6}){0,2}[*†+]?"
    r"|[A-Z]{1,4}-[A-Z0-9]{1,5})$"
)

_ERROR = re.compile(r"#(?:N/A|NV|N/D|[A-ZÀ-Ü/0¡]{2,9}[!?])$|Err:[0-9]+$")
_SPAN = re.compile(r"(?P<first>[0-9]{1,4})\s*[-–—]\s*(?P<last>[0-9]{1,4})$")
_SEVERAL = re.compile(r"[A-Za-z]*-?[0-9]+[A-Za-z]?(?:\s*[,;&]\s*[A-Za-z]*-?[0-9]+[A-Za-z]?)+$")
_STARS = "*†‡§"  # a note below says what they mean

NUMBERED_NAME = re.compile(
    r"^(?:(?:card|no|nr)\b\.?\s*)?#?(?P<number>(?:[A-Z]{1,5}-?)?[0-9]{1,4}[a-z]?)"
    r"(?:\s*[.):–—/-]\s*|\s+)(?P<rest>[^\W\d_].*)$"
)
"""A number and a name in one cell, or on one line."""

REMEDY = "format the column as text and enter them again"


def tidy_number(text: str) -> str:
    """A number without what stands around it in a cell: `#`, `No.`, `="007"`, an apostrophe."""
    text = " ".join(text.split()).rstrip(_STARS)
    if match := _BRACKETED.match(text):
        text = match["text"]
    if text[:1].isdigit():
        text = text.rstrip("." if "(" in text else ".)")
        return _THOUSANDS_MARK.sub("", text) if _THOUSANDS.match(text) else text
    if text.startswith("="):
        match = _GUARD.match(text)
        text = match["text"] if match else text
    if is_error(text):
        return text
    text = _WORD_FIRST.sub("", text.lstrip("'"))
    return text.lstrip("#").strip()


_OF_ALL = re.compile(
    r"^(?P<number>[^\s0-9]{0,8}[0-9]{1,6}[a-z]?)\s+(?:of|von|de|di|van|sur|su)\s+(?P<all>[0-9]{1,4})$"
)


def without_total(text: str) -> str:
    """`1 of 50`: the number without the count of all cards."""
    match = _OF_ALL.match(" ".join(text.split()))
    return match["number"] if match else text


def are_counted(cells: Sequence[str]) -> bool:
    """Whether nearly all numbers have one and the same count of all cards behind them."""
    matches = [match for cell in cells if (match := _OF_ALL.match(" ".join(cell.split())))]
    counts = {match["all"] for match in matches}
    return len(matches) > 2 and len(matches) * 10 >= len(cells) * 8 and len(counts) == 1


def star_of(text: str) -> str:
    """The mark of a note behind a number: `*` of `23*`."""
    text = text.strip()
    return text[len(text.rstrip(_STARS)) :]


def is_float(number: str) -> bool:
    """Whether a whole number was written as a fraction: `23.0`."""
    return _FLOAT.match(number) is not None


def is_error(text: str) -> bool:
    """Whether a text is what a spreadsheet writes instead of a value: `#REF!`."""
    return _ERROR.match(text) is not None


def is_several(text: str) -> bool:
    """Whether a text is several numbers, one behind the other: `1, 14`."""
    return _SEVERAL.match(text) is not None


def is_range(text: str) -> bool:
    """Whether a text may be several numbers: `9-18`, `1, 14`."""
    if is_several(text):
        return True
    match = _SPAN.match(text)
    return match is not None and int(match["first"]) < int(match["last"])


def damage(number: str) -> str:
    """What a spreadsheet made of a number, as the words behind `rows have`; empty where nothing
    shows."""
    # `MAR-12` in capitals is a number of a series; a spreadsheet writes `Mar-12`
    if _DATE.match(number) or (_DAY_MONTH.match(number) and not number.isupper()):
        return "a date where the number was (1-2 becomes 2-Jan)"
    if _POWER.match(number) and ("+" in number or "." in number):
        return "a power of ten where the number was (1E5 becomes 1E+05)"
    if _FRACTION.match(number):
        return "a fraction where the number was (1/2 becomes 0.5)"
    return ""


def day_and_month(number: str) -> tuple[int, int]:
    """The day and the month that a spreadsheet made of `1-2`; zeros where it made none."""
    match = _TURNED.match(number)
    if match is None:
        return 0, 0
    day = match["d"] or match["day"] or match["d2"]
    return int(day), int(match["m"] or month_of(match["month"] or match["m2"]))


def of_date(number: str, order: str) -> str:
    """The number that a spreadsheet made a date of; the same where it is none. `order` says where
    `{day}`, `{month}` and the last two figures of the `{year}` stood."""
    day, month = day_and_month(number)
    year = int(number[2:4]) if number[:4].isdigit() else 0
    return order.format(day=day, month=month, year=year) if day else number


def is_number_like(text: str) -> bool:
    """Whether a cell could be a card's number: short, letters before digits, say; or the date that
    a spreadsheet made of one."""
    text = tidy_number(text)
    return _NUMBER_LIKE.match(text) is not None or day_and_month(text)[0] > 0


def is_odd(number: str) -> bool:
    """Whether what stands as a number may be something else: a heading, a total, a note."""
    if number.isdigit():
        return False
    return not any(map(str.isdigit, number)) or len(number.split()) > 1 or len(number) > 24


def hold_numbers(cells: Sequence[str]) -> bool:
    """Whether the first of some cells have a number each, another one in each."""
    some = _first_given(cells)
    return len(some) > 2 and all(map(is_number_like, some)) and len(set(some)) == len(some)


def hold_cards(cells: Sequence[str]) -> bool:
    """Whether the first of some cells have a number and a name each."""
    some = _first_given(cells)
    return len(some) > 2 and all(map(NUMBERED_NAME.match, some))


def _first_given(cells: Sequence[str]) -> list[str]:
    return [cell.strip() for cell in cells if cell.strip()][:5]
