"""Two numbers of which each could be the card's and the other the year of its set: `74 89` is #89
of a set of 1974, or #74 of one of 1989. Who types a set types it first more often than not (common
practice, no source); which it is cannot be known, so neither is sure."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.matching.ranking.ranked import options_of
from tagger.core.matching.read import LETTERED, REPEATED

if TYPE_CHECKING:
    from tagger.core.matching.ranking.ranked import Ranked
    from tagger.core.matching.variants.option import Option

BEHIND = 0.7  # how far the other order stays behind, as natural logarithm: about half as likely
UNCLEAR = 0.85  # times the confidence (our own estimates, no source)


class _TwoNumbers(NamedTuple):
    """The word that is the card's number, that which is its set, and whether the set goes first."""

    number: str
    set: str
    set_first: bool


def set_first(items: Sequence[Ranked]) -> Sequence[Ranked]:
    """The rows; those that the words name either way are not sure, and those whose set stands
    behind the number go behind those whose set stands before it."""
    known = {id(option): _two_numbers(option) for option in options_of(items)}
    if not any(known.values()):
        return items
    read = [known[id(option)] for _, _, option in items]
    best: dict[tuple[str, str], float] = {}
    for (score, _, _), two in zip(items, read, strict=True):
        if two is not None:
            words = two.number, two.set
            best[words] = max(score, best.get(words, -math.inf))
    return [_either_way(item, two, best) for item, two in zip(items, read, strict=True)]


def _either_way(
    item: Ranked, two: _TwoNumbers | None, best: Mapping[tuple[str, str], float]
) -> Ranked:
    """A row as it stands where another one may be named the other way."""
    other = None if two is None else best.get((two.set, two.number))
    return item if two is None or other is None else _unclear(item, two, other)


def _unclear(item: Ranked, two: _TwoNumbers, other: float) -> Ranked:
    """A row that is named one way, as `other` is the best score of those named the other way."""
    score, step, option = item
    # lowered and never raised, as in `typed_exactly`
    least = score if two.set_first else min(score, other - BEHIND)
    return least, step, option.doubted(UNCLEAR)


def _two_numbers(option: Option) -> _TwoNumbers | None:
    """A number and a year that a variant reads, None where it reads no such two or leaves a word
    over."""
    number = set_word = -1
    for at, (word, meaning) in enumerate(option.reasons):
        if meaning in ("number", LETTERED):
            number = at
        elif meaning in ("set", REPEATED) and word.isdecimal():
            set_word = at
    if min(number, set_word) < 0 or not option.whole:
        return None
    words = option.reasons[number][0], option.reasons[set_word][0]
    # `88 88` is the same either way
    return None if words[0] == words[1] else _TwoNumbers(*words, set_word < number)
