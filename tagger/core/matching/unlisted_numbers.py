"""Numbers of cards that no checklist has: how they are written, and which one follows, by the other
numbers of their set."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

from tagger.core.matching.priors.steps import StepModel
from tagger.core.model.numbers import split_total

_COUNTED = re.compile(r"^(.*?)([0-9]{1,9})$", re.DOTALL)
_LETTERS = re.compile(r"[^\W\d_]+")


class _Counted(NamedTuple):
    """A number that ends in digits: what stands before them, the digits, and the count of the
    set's cards behind."""

    head: str
    digits: str
    tail: str


def _counted(number: str) -> _Counted | None:
    own, _ = split_total(number)
    match = _COUNTED.match(own)
    return None if match is None else _Counted(match[1], match[2], number[len(own) :])


def next_number(number: str, step: int = 1) -> str:
    """The number that follows: `RC-09` gives `RC-10`, `012/110` gives `013/110`; empty where it
    does not end in digits, or nothing is so many before it."""
    counted = _counted(number)
    if counted is None or int(counted.digits) + step < 0:
        return ""
    # As wide as before, since leading zeros are printed on the card.
    width = len(counted.digits)
    return f"{counted.head}{int(counted.digits) + step:0{width}d}{counted.tail}"


def usual_step(numbers: Sequence[str]) -> int:
    """By how much the next number is most likely another one, by those before, the latest last: 2
    behind WS-02, WS-04, WS-06, WS-08."""
    steps = StepModel()
    for one, other in pairwise(map(_counted, numbers)):
        if one and other and (one.head.casefold(), one.tail) == (other.head.casefold(), other.tail):
            steps.learn(int(other.digits) - int(one.digits))
    # who types a name means no double of the card before
    shares = {step: share for step, share in steps.usual().items() if step}
    return max(shares, key=shares.__getitem__)


def in_frame(number: str, others: Iterable[str]) -> str:
    """Bare digits with what all other numbers of the set have around them: `4` is WS-04 beside
    WS-02, and 004/110 beside 003/110. Anything else as it is."""
    framed = [_counted(other) for other in others]
    alike = {(one.head, one.tail) if one else ("", "") for one in framed}
    if len(alike) != 1 or not number.isdecimal():
        return number
    [(head, tail)] = alike
    if not head and not tail:
        return number
    return f"{head}{number.zfill(_width(one.digits for one in framed if one))}{tail}"


def _width(digits: Iterable[str]) -> int:
    """To how many digits numbers are filled with zeros; 0 where they are not."""
    return max((len(one) for one in digits if one.startswith("0")), default=0)


def in_case(number: str, others: Iterable[str]) -> str:
    """A number that was typed in small letters, with its letters in the case that the other numbers
    of the set have them in; else in capitals. One letter behind the digits stays small: lists print
    `117a` so (common practice, no source). A capital anywhere says that it is to stand as typed."""
    if number != number.lower() or not _LETTERS.search(number):
        return number
    same: dict[str, str] = {}
    places: dict[bool, str] = {}
    for other in others:
        for run in _LETTERS.finditer(other):
            same.setdefault(run[0].casefold(), run[0])
            places.setdefault(_is_behind(run), run[0])

    def cased(run: re.Match[str]) -> str:
        if run[0] in same:
            return same[run[0]]
        like = places.get(_is_behind(run))
        small = like.islower() if like else _is_behind(run) and len(run[0]) == 1
        return run[0] if small else run[0].upper()

    return _LETTERS.sub(cased, number)


def _is_behind(run: re.Match[str]) -> bool:
    """Whether letters stand behind digits."""
    return run.start() > 0 and run.string[run.start() - 1].isdigit()
