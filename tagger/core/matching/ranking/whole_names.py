"""A name that is typed in full is meant: `gold dragon` is the Gold Dragon and not the Gold Dragon
Egg, `foil the thief` is called so and is no foil.

Rows of the same set that read its words otherwise go behind it. Across sets what the lot makes
likely counts for more, unless no set is carried."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.matching.ranking.ranked import options_of
from tagger.core.matching.ranking.typed_exactly import NAMES, letters_of
from tagger.core.matching.read import MISTYPED
from tagger.core.model.text import name_pieces

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.ranking.ranked import Ranked
    from tagger.core.matching.variants.option import Option

# How far behind, as natural logarithm (our own estimates, no source): all together behind a name
# that is whole, and behind two words or more of a name in its order the same card read otherwise.
BEHIND_WHOLE, BEHIND_WORDS = 6.0, 0.7
OF_NAMES = NAMES | {MISTYPED, "initials"}


class _Spelled(NamedTuple):
    """How much of a row's name was typed: the words that stand in it, whether they are all of it,
    whether they follow each other there; `names`: all words that were read as of its name."""

    words: tuple[str, ...]
    whole: bool
    in_order: bool
    names: frozenset[str]


class WholeNames:
    """Ranked rows in the light of the names that are typed in full. `apart`: the rows of each set
    are judged by themselves."""

    def __init__(self, index: Index, apart: bool) -> None:
        self._index, self._apart = index, apart
        self.most_others = math.inf
        """The most that all rows which were not met may come to."""
        self._words: dict[int, tuple[Option, tuple[str, ...], frozenset[str]]] = {}

    def ordered(self, items: Sequence[Ranked]) -> Sequence[Ranked]:
        """The rows with their scores, lowered and never raised, as in `typed_exactly`."""
        if not any(self._words_of(option)[0] for option in options_of(items)):
            return items
        spelled = [self._spelled(item) for item in items]
        # without a name whose words follow each other no row goes behind another
        if not any(how.in_order for how in spelled):
            return items
        limits = dict(self._limits(items, spelled))
        if not limits:
            return items
        return [
            (min(item[0], limits.get(at, math.inf)), *item[1:]) for at, item in enumerate(items)
        ]

    def _limits(
        self, items: Sequence[Ranked], spelled: Sequence[_Spelled]
    ) -> Iterator[tuple[int, float]]:
        """(place, the most that it may score) of rows that go behind others."""
        whole: dict[int, tuple[float, tuple[str, ...]]] = {}
        in_order: dict[int, tuple[float, int]] = {}
        for (score, step, option), how in zip(items, spelled, strict=True):
            if not how.in_order or option.problem or not option.clean:
                continue
            if how.whole:
                known = whole.setdefault(self._place(step), (score, how.words))
                whole[self._place(step)] = max(known, (score, how.words))
            if len(how.words) > 1:
                many = score, len(how.words)
                in_order[step] = max(many, in_order.get(step, many), key=lambda each: each[1])
        for score, words in whole.values():
            if len(words) > 1 and not self._apart:
                self.most_others = math.exp(score - BEHIND_WHOLE)
        yield from _behind_words(items, spelled, in_order)
        yield from self._behind_whole(items, spelled, whole)

    def _behind_whole(
        self,
        items: Sequence[Ranked],
        spelled: Sequence[_Spelled],
        whole: dict[int, tuple[float, tuple[str, ...]]],
    ) -> Iterator[tuple[int, float]]:
        others: list[tuple[int, int, float]] = []
        for at, ((score, step, _), how) in enumerate(zip(items, spelled, strict=True)):
            found = whole.get(self._place(step))
            if found is None or how.whole:
                continue
            most, words = found[0] - BEHIND_WHOLE, found[1]
            # `mint` alone may as well be the condition of another card
            if score > most and (len(words) > 1 or not how.names.isdisjoint(words)):
                others.append((at, self._place(step), most))
        # however many names have the words of one, all together count as much as one would
        count = Counter(place for _, place, _ in others)
        yield from ((at, most - math.log(count[place])) for at, place, most in others)

    def _place(self, step: int) -> int:
        return self._index.set_of(step) if self._apart else 0

    def _spelled(self, item: Ranked) -> _Spelled:
        _, step, option = item
        words, names = self._words_of(option)
        if not words:
            return _Spelled(words, False, False, names)
        typed = [letters_of(word) for word in words]
        subject = self._index.subject_of[step]
        called = self._index.subject(subject), *self._index.names(subject)
        every = [name_pieces(name) for name in called]
        whole = any("".join(typed) == "".join(pieces) for pieces in every)
        in_order = whole or any(_follow(typed, pieces) for pieces in every)
        return _Spelled(words, whole, in_order, names)

    def _words_of(self, option: Option) -> tuple[tuple[str, ...], frozenset[str]]:
        # by identity, as thousands of rows share their variants; held, or another one could take
        # its address
        known = self._words.get(id(option))
        if known is None:
            words = tuple(dict.fromkeys(word for word, said in option.reasons if said == "subject"))
            names = frozenset(word for word, said in option.reasons if said in OF_NAMES)
            known = self._words[id(option)] = option, words, names
        return known[1:]


def _behind_words(
    items: Sequence[Ranked],
    spelled: Sequence[_Spelled],
    in_order: dict[int, tuple[float, int]],
) -> Iterator[tuple[int, float]]:
    for at, ((_, step, _), how) in enumerate(zip(items, spelled, strict=True)):
        score, count = in_order.get(step, (0.0, 0))
        if len(how.words) < count:
            yield at, score - BEHIND_WORDS


def _follow(typed: Sequence[str], pieces: Sequence[str]) -> bool:
    """Whether the typed words follow each other in a name."""
    ends = range(len(typed), len(pieces) + 1)
    return any([*pieces[end - len(typed) : end]] == [*typed] for end in ends)
