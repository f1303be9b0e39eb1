"""What was typed exactly goes before what is only nearly it: a name as it is written before one
that needs a slip of the finger, `007` before `7` where checklists have both.

By its score alone a carried set would let a slip in it outweigh any name of another set. So rows
that fit only nearly are put behind the best that fits exactly."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.matching.ranking.ranked import options_of
from tagger.core.matching.read import SLIPS
from tagger.core.model.numbers import canonical, is_distinct, printed_key
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.ranking.ranked import Ranked
    from tagger.core.matching.variants.option import Option

NAMES = frozenset({"subject", "start of the subject"})
# How far behind the exact row, as natural logarithm (our own estimate, no source): a slip is about
# half as likely; on cards of one set a number that is printed so is hardly meant to be another.
BEHIND, BEHIND_PRINTED = 0.7, 4.0


class _Exactness(NamedTuple):
    """How a row fits what was typed. `slips`: words that need a slip of the finger; `names`: words
    that are in its names as typed; `level`: 0 for a number as it is printed, 1 but for signs beside
    letters, 2 for one that is only compared as equal; `clean`: nothing else may be meant by any
    word."""

    slips: frozenset[str]
    names: frozenset[str]
    number: str
    level: int
    set_id: int
    clean: bool


class _ReadSo(NamedTuple):
    """How the words are read in a variant, whatever row it is of; `number`: the word that was read
    as one."""

    slips: frozenset[str]
    names: frozenset[str]
    number: str
    clean: bool


class ExactFirst:
    """Ranked rows in the light of how exactly they are what was typed."""

    def __init__(self, index: Index) -> None:
        self._index = index

    def may_differ(self, items: Collection[Ranked]) -> bool:
        """Whether any row is only nearly what was typed: seldom, so that it is asked first."""
        if any(map(_needs_slip, options_of(items))):
            return True
        # next to no number is printed in two ways
        return bool(self._index.various) and any(map(self._is_other_form, items))

    def may_be_elsewhere(self, item: Ranked) -> bool:
        """Whether a row that was not met could be exactly what this one is only nearly."""
        index, typed = self._index, self._typed(item)
        if typed.slips:
            return all(index.subjects.begins(letters_of(word)) for word in typed.slips)
        return typed.level == 2 and is_distinct(typed.number)

    def ordered(self, items: Collection[Ranked]) -> list[Ranked]:
        """The rows with their scores, those that fit only nearly behind the best that fits
        exactly; those that need a slip in some words so low that all of them together count no more
        than one would, however many names are nearly it."""
        read = {id(option): _read_so(option) for option in options_of(items)}
        typed = [(item, self._typed(item, read[id(item[2])])) for item in items]
        best = _Best()
        for (score, _, _), how in typed:
            best.note(score, how)
        # Lowered and never raised: confidence is a share of the sum, and nothing may gain that no
        # word speaks for.
        limit = cache(best.limit)
        lowered = [(min(item[0], limit(how)), item, how) for item, how in typed]
        less = _held(lowered, best)
        return [(score + less.get(how.slips, 0.0), *item[1:]) for score, item, how in lowered]

    def _is_other_form(self, item: Ranked) -> bool:
        number = self._index.number_of(item[1])
        return self._index.is_printed_variously(number) and self._typed(item).level > 0

    def _typed(self, item: Ranked, read: _ReadSo | None = None) -> _Exactness:
        """How a row fits; `read`: how its words are read, where that is known."""
        _, step, option = item
        slips, names, number, clean = read or _read_so(option)
        level = 0
        if number:
            printed = fold(self._index.printed(step))
            # with its prefix left out it is no other form of the number
            if canonical(number) != canonical(printed):
                number = ""
            else:
                level = _level(number, printed)
        # of a row that no number names its set is never asked
        set_id = self._index.set_of(step) if number else -1
        return _Exactness(slips, names, number, level, set_id, clean)


def _held(
    items: Iterable[tuple[float, Ranked, _Exactness]], best: _Best
) -> dict[frozenset[str], float]:
    """How much lower rows score that need a slip in some words, by these."""
    sums: defaultdict[frozenset[str], float] = defaultdict(float)
    for score, _, how in items:
        if how.slips:
            sums[how.slips] += math.exp(score)
    return {slips: best.held(slips, whole) for slips, whole in sums.items()}


class _Best:
    """The best scores of rows that fit exactly."""

    def __init__(self) -> None:
        self._key = -math.inf
        self._named: dict[frozenset[str], float] = {}
        self._printed: dict[tuple[int, int], float] = {}

    def note(self, score: float, how: _Exactness) -> None:
        """One more row."""
        if not how.clean:
            return
        self._named[how.names] = max(score, self._named.get(how.names, -math.inf))
        if not how.number:
            return
        if how.level < 2:
            self._key = max(self._key, score)
        place = how.set_id, how.level
        self._printed[place] = max(score, self._printed.get(place, -math.inf))

    def held(self, words: frozenset[str], whole: float) -> float:
        """How much lower rows score that need a slip in these words, and together have this
        probability."""
        named = self._best_named(words)
        return 0.0 if named == -math.inf else min(0.0, named - BEHIND - math.log(whole))

    def limit(self, how: _Exactness) -> float:
        """The most that a row may score."""
        if not how.slips and not how.level:
            return math.inf
        # where no row fits better there is none to stand behind
        return min((limit for limit in self._limits(how) if limit > -math.inf), default=math.inf)

    def _limits(self, how: _Exactness) -> Iterator[float]:
        """What each way to be only nearly right leaves; minus infinity where no row is better."""
        if how.slips:
            yield self._best_named(how.slips) - BEHIND
        if how.level == 2 and is_distinct(how.number):
            yield self._key - BEHIND
        for level in range(how.level):
            yield self._printed.get((how.set_id, level), -math.inf) - BEHIND_PRINTED

    def _best_named(self, words: frozenset[str]) -> float:
        """The best score of rows that have all these words in their names as typed."""
        named = (score for names, score in self._named.items() if words <= names)
        return max(named, default=-math.inf)


def _read_so(option: Option) -> _ReadSo:
    clean = option.clean and not option.problem
    return _ReadSo(_words(option, SLIPS), _words(option, NAMES), _number_typed(option), clean)


def _words(option: Option, meant: frozenset[str]) -> frozenset[str]:
    """The words that are read so."""
    return frozenset(word for word, meaning in option.reasons if meaning in meant)


def _needs_slip(option: Option) -> bool:
    return not option.meanings.isdisjoint(SLIPS)


def _number_typed(option: Option) -> str:
    """The word that was read as the card's number, folded; empty where none was."""
    word = next((word for word, meaning in option.reasons if meaning == "number"), "")
    return fold(word.rpartition("=")[2].lstrip("#"))


def letters_of(word: str) -> str:
    """A typed word as names are looked for by it."""
    return "".join(filter(str.isalnum, fold(word.rpartition("=")[2])))


def _level(number: str, printed: str) -> int:
    if number == printed:
        return 0
    return 1 + (printed_key(number) != printed_key(printed))
