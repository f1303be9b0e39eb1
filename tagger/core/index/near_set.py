"""One set of an index, looked up closely."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import compress, repeat
from operator import rshift
from typing import TYPE_CHECKING

from tagger.core.index.flat_arrays import Postings, within
from tagger.core.index.vocabulary import Beginnings
from tagger.core.index.word_marks import MARK_BITS

if TYPE_CHECKING:
    from tagger.core.index.index_tables import IndexTables

FEW = 40  # subjects of a set, each of which is looked up by itself
FEW_KINDS = 4  # of cards by their parallels, each of which is picked by itself
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

    def count_of(self, subject: int) -> int:
        """How many rows a subject has here."""
        return len(within(self._index.steps_of_subject(subject), self.steps))

    def numbered(self, number: int) -> Sequence[int]:
        """Steps with a number, by its place among the canonical ones."""
        return within(self._index.steps_of_number(number), self.steps)

    def with_subjects(self, weights: Mapping[int, float]) -> Iterator[tuple[int, float]]:
        """(step, weight) of the rows whose subjects have a weight."""
        here = self.subjects & weights.keys() if weights else frozenset[int]()
        if len(here) < FEW:
            rows, of_set = self._index.steps_of_subject, self.steps
            return ((step, weights[id]) for id in here for step in within(rows(id), of_set))
        found = map(weights.get, self.subject_of)
        pairs = zip(self.steps, found, strict=True)
        return ((step, weight) for step, weight in pairs if weight is not None)

    def numbered_in(self, numbers: range) -> Sequence[int]:
        """Steps with a number of a range, by their numbers."""
        known, steps = self._by_number
        low = bisect_left(known, numbers.start)
        return steps[low : bisect_left(known, numbers.stop, low)]

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
        kinds = [*self._index.parallels_of[self.steps.start : self.steps.stop]]
        each = dict.fromkeys(kinds)
        # most sets have few kinds: each is picked within the interpreter
        if len(each) <= FEW_KINDS:
            return {kind: [*compress(self.steps, map(kind.__eq__, kinds))] for kind in each}
        found: dict[int, list[int]] = defaultdict(list)
        for step, kind in zip(self.steps, kinds, strict=True):
            found[kind].append(step)
        return found

    # made when first asked for: a hint of digits needs no words

    @cached_property
    def _by_number(self) -> tuple[Sequence[int], Sequence[int]]:
        """The rows' numbers, rising, and the step of each."""
        numbers = dict(zip(self.steps, self._index.each_number(self.steps), strict=True))
        steps = sorted(numbers, key=numbers.__getitem__)
        return [*map(numbers.__getitem__, steps)], steps

    @cached_property
    def _forms(self) -> list[int]:
        return _by_word(self._index.forms, self.subjects)

    @cached_property
    def _beginnings(self) -> Beginnings:
        words = self._index.subjects.words
        return Beginnings(words.several(dict.fromkeys(map(rshift, self._forms, repeat(WORD_BITS)))))


def _by_word(forms: Postings, subjects: Iterable[int]) -> list[int]:
    """`word << WORD_BITS | item` for each word of some subjects, sorted."""
    # word and item in one whole number: sorted, each word's items are one stretch
    low, of = (1 << MARK_BITS) - 1, forms.of
    return sorted(
        [
            item >> MARK_BITS << WORD_BITS | subject << MARK_BITS | item & low
            for subject in subjects
            for item in of(subject)
        ]
    )


def _between(pairs: list[int], words: range) -> Iterator[tuple[int, int]]:
    low = bisect_left(pairs, words.start << WORD_BITS)
    for pair in pairs[low : bisect_left(pairs, words.stop << WORD_BITS, low)]:
        yield pair >> WORD_BITS, pair & (1 << WORD_BITS) - 1
