"""One set of an index, looked up closely."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from tagger.core.index.flat_arrays import Postings, within
from tagger.core.index.vocabulary import Beginnings
from tagger.core.index.word_marks import MARK_BITS

if TYPE_CHECKING:
    from tagger.core.index.index_tables import IndexTables

WORD_BITS = 32  # of an item, which holds whole numbers of 32 bits


class Near:
    """One set at close range: its steps by number and by the words of the subject, beginnings
    included."""

    def __init__(self, index: IndexTables, set_id: int) -> None:
        self._index = index
        self.steps = index.steps(set_id)

    @property
    def subject_of(self) -> Sequence[int]:
        """The subject of each step."""
        return self._index.subject_of[self.steps.start : self.steps.stop]

    @cached_property
    def subjects(self) -> frozenset[int]:
        """The subjects that the set has."""
        return frozenset(self.subject_of)

    def numbered(self, number: int) -> Sequence[int]:
        """Steps with a number, by its place among the canonical ones."""
        return within(self._index.steps_of_number(number), self.steps)

    def with_subjects(self, weights: Mapping[int, float]) -> Iterator[tuple[int, float]]:
        """(step, weight) of the rows whose subjects have a weight."""
        found = map(weights.get, self.subject_of)
        return (pair for pair in zip(self.steps, found, strict=True) if pair[1] is not None)

    def number_starts(self, prefix: str) -> list[int]:
        """Steps whose number goes on after `prefix`."""
        texts = self._index.number_texts
        found = texts.starting(prefix)
        low, high = bisect_left(self._numbers, found.start), bisect_left(self._numbers, found.stop)
        numbers = self._numbers[low:high]
        # the very number does not go on; it is found by `numbered`
        if numbers and texts[numbers[0]] == prefix:
            numbers = numbers[1:]
        return [step for number in numbers for step in self.numbered(number)]

    def starting(self, words: range) -> Iterator[tuple[int, int]]:
        """(word, item) for those of a range of words that the set has; see `Vocabulary`."""
        return _between(self._forms, words)

    def mistyped(self, word: str, edits: int) -> list[tuple[str, int]]:
        """(beginning, edits): beginnings of words of the set that are nearly `word`."""
        return self._beginnings.near(word, edits)

    @cached_property
    def teams(self) -> Mapping[int, Sequence[int]]:
        """Steps by team."""
        found: dict[int, list[int]] = defaultdict(list)
        for step in self.steps:
            found[self._index.team_of[step]].append(step)
        return found

    @cached_property
    def by_parallels(self) -> Mapping[int, Sequence[int]]:
        """Steps by what parallels the rows have."""
        found: dict[int, list[int]] = defaultdict(list)
        for step, parallels in enumerate(
            self._index.parallels_of[self.steps.start : self.steps.stop], self.steps.start
        ):
            found[parallels].append(step)
        return found

    # made when first asked for: a hint of digits needs no words

    @cached_property
    def _numbers(self) -> list[int]:
        return sorted(self._index.numbers_in(self.steps))

    @cached_property
    def _subjects(self) -> list[int]:
        return list(dict.fromkeys(self.subject_of))

    @cached_property
    def _forms(self) -> list[int]:
        return _by_word(self._index.forms, self._subjects)

    @cached_property
    def _beginnings(self) -> Beginnings:
        words = self._index.subjects.words
        return Beginnings(
            [words[at] for at in dict.fromkeys(pair >> WORD_BITS for pair in self._forms)]
        )


def _by_word(forms: Postings, subjects: Iterable[int]) -> list[int]:
    """`word << WORD_BITS | item` for each word of some subjects, sorted."""
    # word and item in one whole number: sorted, each word's items are one stretch
    low = (1 << MARK_BITS) - 1
    return sorted(
        item >> MARK_BITS << WORD_BITS | subject << MARK_BITS | item & low
        for subject in subjects
        for item in forms.of(subject)
    )


def _between(pairs: list[int], words: range) -> Iterator[tuple[int, int]]:
    low = bisect_left(pairs, words.start << WORD_BITS)
    for pair in pairs[low : bisect_left(pairs, words.stop << WORD_BITS, low)]:
        yield pair >> WORD_BITS, pair & (1 << WORD_BITS) - 1
