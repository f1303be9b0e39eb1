"""Sorted words and what holds each: posting lists, and beginnings that are nearly a typed word."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import repeat
from operator import itemgetter, rshift

from rapidfuzz import process
from rapidfuzz.distance import OSA

from tagger.core.index.flat_arrays import Buffer, Postings, Texts
from tagger.core.index.word_marks import MARK_BITS

AT_HAND = 512  # answers about typed words
LONG = 24  # letters of a word behind which one more tells little


class Begun:
    """Where sorted texts start with a prefix, held ready: while a word is typed on, the answer for
    its next letter lies within the one before."""

    def __init__(self, texts: Texts) -> None:
        self._texts = texts
        self.starting = lru_cache(AT_HAND)(self._starting)
        """The places of the texts that start with a prefix."""

    def _starting(self, prefix: str) -> range:
        if not prefix:
            return range(len(self._texts))
        return self._texts.starting(prefix, self.starting(prefix[:-1][:LONG]))

    def find(self, text: str) -> int:
        """The place of a text, -1 where there is none."""
        # of all that start with a text it comes first itself
        found = self.starting(text)
        if found and self._texts[found.start] == text:
            return found.start
        return -1


class Vocabulary:
    """Sorted words and what holds each; a beginning is one range of them.

    Items are `id << MARK_BITS | mark`: which subject (or team, set, parallel) has the word, and
    how."""

    def __init__(self, sections: Mapping[str, Buffer], name: str) -> None:
        self.words = Texts(sections, name)
        self._items = Postings(sections, f"{name}.in")
        # while a hint is typed on, its first words are asked about with each key
        begun = Begun(self.words)
        self.starting = begun.starting
        """The places of the words that start with a text."""
        self.find = lru_cache(AT_HAND)(begun.find)
        """The place of a word, -1 where there is none."""
        self.ids = lru_cache(AT_HAND)(self._ids)
        """What holds a word that starts with a text."""
        self.ids_of = lru_cache(AT_HAND)(lambda word: _holders(self.exact(word)))
        """What holds a word."""

    def exact(self, word: str) -> Sequence[int]:
        """Items of the word itself."""
        at = self.find(word)
        if at < 0:
            return ()
        return self._items.of(at)

    def begins(self, prefix: str) -> bool:
        """Whether a word starts with `prefix`."""
        return bool(self.starting(prefix))

    def of(self, words: range) -> Iterator[Sequence[int]]:
        """Items of each word of a range."""
        return map(self._items.of, words)

    def all_of(self, words: range) -> Sequence[int]:
        """Items of the words of a range, one behind the other."""
        return self._items.within(words)

    def _ids(self, prefix: str) -> frozenset[int]:
        return _holders(self._items.within(self.words.starting(prefix)))


def _holders(items: Sequence[int]) -> frozenset[int]:
    """What some items are of."""
    # of thousands of items, so the loop runs within `map`
    return frozenset(map(rshift, items, repeat(MARK_BITS)))


class Beginnings:
    """The beginnings of some sorted words, by length."""

    def __init__(self, words: Sequence[str]) -> None:
        self._words = words
        self._by_length: dict[int, list[str]] = {}

    def near(self, word: str, edits: int, limit: int | None = None) -> list[tuple[str, int]]:
        """(beginning of a word, edits) for beginnings at most `edits` away from `word`, nearest
        first.

        An edit is one letter too many, missing, wrong, or changed over with its neighbour: the
        optimal string alignment distance."""
        found: list[tuple[str, int]] = []
        # An edit changes the length by one at most; a beginning of one letter would be near to
        # everything.
        for length in range(max(2, len(word) - edits), len(word) + edits + 1):
            near = process.extract(
                word,
                self._of(length),
                scorer=OSA.distance,
                score_cutoff=edits,
                limit=limit,
                processor=None,
            )
            # the word itself is no slip
            found.extend((choice, int(distance)) for choice, distance, _ in near if distance > 0)
        found.sort(key=lambda pair: pair[1])
        return found[:limit]

    def _of(self, length: int) -> list[str]:
        known = self._by_length.get(length)
        if known is None:
            # thousands of words are cut, so the loops run within the interpreter
            cut = dict.fromkeys(map(itemgetter(slice(length)), self._words))
            known = self._by_length[length] = [word for word in cut if len(word) == length]
        return known
