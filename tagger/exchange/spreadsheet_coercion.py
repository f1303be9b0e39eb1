"""What a spreadsheet makes of a cell by itself: a date of `12/99`, 7 of `007`, 1.5 of `1.50`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from decimal import Decimal, InvalidOperation

from tagger.core.model.text import fold

_PAIR = re.compile(r"([0-9]{1,4}) ?[/.\-] ?([0-9]{1,4})")
_ISO = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})(?:[T ]00:00(?::00)?)?")  # ISO 8601, 5.2.2
_NUMBERS = re.compile(
    r"([0-9]{1,2})[/.\-]([0-9]{1,2})[/.\-]([0-9]{2}|[0-9]{4})(?: 0?0:00(?::00)?)?"
)
_WORD_FIRST = re.compile(r"([^\W\d_]{3,10})\.?[ /.\-]{1,2}([0-9]{1,4})")
_WORD_SECOND = re.compile(
    r"([0-9]{1,2})[ /.\-]{1,2}([^\W\d_]{3,10})\.?(?:[ /.\-]{1,2}([0-9]{2}|[0-9]{4}))?"
)
_NUMBER = re.compile(r"-?[0-9]{1,15}(?:[.,][0-9]{1,15})?(?:[eE][+-]?[0-9]{1,3})?")

# The first letters of the months in English, German, French, Spanish, Italian, Portuguese and
# Dutch, folded.
_MONTHS = (
    "jan ene gen", "feb fev", "mar mrz mrt maerz", "apr avr abr", "may mai mag mei", "jun juin giu",
    "jul juil lug", "aug aou ago", "sep set", "oct okt ott out", "nov", "dec dez dic",
)  # fmt: skip


def detect_coercion(own: str, cell: str) -> str:
    """What a spreadsheet made of the value `own`, where its value makes that plain: `a date` or
    `another number`. Empty where the cell says something else."""
    if _is_made_date(own, cell):
        return "a date"
    if (
        _NUMBER.fullmatch(own)
        and _NUMBER.fullmatch(cell)
        and _value(own) == _value(cell) is not None
    ):
        return "another number"
    return ""


def _is_made_date(own: str, cell: str) -> bool:
    """Whether a cell is a date that can be read out of the value `own`, such as 5/2 or 5-2."""
    pair = _PAIR.fullmatch(own)
    if pair is None:
        return False
    one, other = int(pair[1]), int(pair[2])
    made = list(_dates(cell))
    return _is_of(one, other, made) or _is_of(other, one, made)


def _is_of(month: int, other: int, dates: Iterable[tuple[int, frozenset[int]]]) -> bool:
    return any(month == of_date and other in others for of_date, others in dates)


def is_date(cell: str) -> bool:
    """Whether a cell is a date as a spreadsheet writes it in full."""
    return _ISO.fullmatch(cell) is not None


def _dates(cell: str) -> Iterator[tuple[int, frozenset[int]]]:
    """(month, the other numbers) of each way to read a cell as a date; a year counts in full and by
    its last two digits."""
    if found := _ISO.fullmatch(cell):
        yield int(found[2]), _others(found[1], found[3])
    elif found := _NUMBERS.fullmatch(cell):
        # Which of the two is the month depends on the country that the spreadsheet is set to.
        yield int(found[1]), _others(found[2], found[3])
        yield int(found[2]), _others(found[1], found[3])
    elif found := _WORD_FIRST.fullmatch(cell):
        for month in _months(found[1]):
            yield month, _others(found[2])
    elif found := _WORD_SECOND.fullmatch(cell):
        for month in _months(found[2]):
            yield month, _others(found[1], *([found[3]] if found[3] else []))


def _others(*numbers: str) -> frozenset[int]:
    return frozenset(int(number) for number in numbers) | {
        int(n) % 100 for n in numbers if len(n) == 4
    }


def _months(word: str) -> Iterator[int]:
    folded = fold(word)
    for month, starts in enumerate(_MONTHS, start=1):
        if folded.startswith(tuple(starts.split())):
            yield month


def _value(number: str) -> Decimal | None:
    try:
        return Decimal(number.replace(",", "."))
    except InvalidOperation:
        return None
