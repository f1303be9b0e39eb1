"""Rows of the sets that are not looked at closely: there a row counts only where every word of the
hint fits it."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from functools import cached_property
from itertools import chain, repeat
from operator import add
from typing import TYPE_CHECKING

from tagger.core.index.flat_arrays import within
from tagger.core.matching.all_words import AllWords
from tagger.core.matching.read import NUMBER, SET_WORD, UNREAD
from tagger.core.matching.variants.variant import UNASKED
from tagger.core.matching.variants.variant_words import PARALLEL_SLIP

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.priors.prior import Prior
    from tagger.core.matching.token_match import TokenMatches
    from tagger.core.matching.variants.copies import Copies

MOST = 240  # rows that are weighed in full at most
CONSIDERED = 24  # rows that one word names anywhere, of which each is looked at
AT_ONCE = 16  # subjects whose rows are looked up at once
KINDS = 20  # times as many, where another word says which parallel it is

Rows = tuple[Sequence[int], Iterable[float]]  # steps, and a score of each


@dataclass
class GlobalRetrieval:
    """All sets but those in `near`. `passed_over` is the probability of rows that fit as well, but
    were too many."""

    index: Index
    prior: Prior
    readings: Sequence[TokenMatches]
    copies: Copies
    near: Set[int]
    passed_over: float = 0.0

    @property
    def loose(self) -> Sequence[float]:
        """By word the most that it can weigh in a copy of any card."""
        return self.copies.loose

    @cached_property
    def _edges(self) -> list[int]:
        """Where the sets that are looked at closely begin and end."""
        return self.index.edges(self.near)

    def rows(self) -> Iterator[Rows]:
        """Rows that every word fits, and their first scores: the most that a row can come to.
        `passed_over` is whole when all are read."""
        soft = [at for at in range(len(self.readings)) if self._is_soft(at)]
        hard = [at for at in range(len(self.readings)) if at not in soft]
        if len(hard) > 1:
            yield from self._far_all(hard, soft)
        elif hard:
            yield from self._far_one(hard[0], soft)
        else:
            yield from self._far_any(soft)

    def _far_any(self, soft: list[int]) -> Iterator[Rows]:
        """Each word could be a variant: one of them has to name the row."""
        for at in soft:
            if self.readings[at].far_numbers or len(self.readings[at].text) > 1:
                yield from self._far_one(at, [other for other in soft if other != at])

    def _is_soft(self, at: int) -> bool:
        """Whether a word could be the variant of some card; as a slip in a parallel's word only
        where it names no row anywhere."""
        loose = self.loose[at]
        return loose > PARALLEL_SLIP or (loose > UNREAD and self._idle(at))

    def _idle(self, at: int) -> bool:
        """Whether a word names no row anywhere."""
        return not self.readings[at].far_numbers and not self.readings[at].subject.far_weights

    def _far_all(self, hard: list[int], soft: list[int]) -> Iterator[Rows]:
        """A row must fit every word, so the rows of the one that has the fewest are all that
        can."""
        found = AllWords(self.index, [self.readings[at] for at in hard]).rows()
        steps: Sequence[int] = self._without_near(sorted(found))
        if not soft:
            steps = self._heaviest(steps, found)
        yield self._with_soft(steps, [*map(found.__getitem__, steps)], soft)

    def _heaviest(self, steps: Sequence[int], weights: Mapping[int, float]) -> Sequence[int]:
        """Those of some rows that can be among the first MOST."""
        if len(steps) <= MOST or any(reading.token.pin == "set" for reading in self.readings):
            return steps
        # UNASKED is all that rows of the same weight may differ by
        least = sorted(map(weights.__getitem__, steps))[-MOST] + UNASKED
        return [step for step in steps if weights[step] >= least]

    def _with_soft(
        self,
        steps: Sequence[int],
        weights: Iterable[float],
        soft: Sequence[int],
        at: int | None = None,
    ) -> Rows:
        """Rows anywhere with the most that they can come to: the weights given are those of the
        word at a place, or of all words that are not soft."""
        known: Iterable[float] = repeat(self.prior.any)
        columns: list[Iterable[float | None]] = [repeat(None)] * len(self.readings)
        for other in soft:
            columns[other] = self._soft_column(other, steps)
        if at is None:
            known = map(add, known, weights)
        else:
            columns[at] = weights
        kinds = [*map(self.index.parallels_of.__getitem__, steps)]
        mosts = self.copies.mosts(kinds, zip(*columns, strict=False))
        return steps, map(add, known, mosts)

    def _soft_column(self, at: int, steps: Sequence[int]) -> Iterable[float]:
        """By row the most that a soft word weighs there, the variant left out."""
        reading = self.readings[at]
        if not reading.names_rows:
            return repeat(UNREAD)
        return reading.anywhere(steps)

    def _far_one(self, at: int, soft: list[int]) -> Iterator[Rows]:
        """The rows that one word names, the likeliest first; the share of the others is kept in
        `passed_over`."""
        reading, others = self.readings[at], self.prior.any + self._loose(soft)
        most = self._most(at, soft)
        yield from self._far_numbered(at, soft, most, others)
        if not reading.subject.far_weights:
            return
        near_rows, left = self._rows_near(reading), most
        for weight, subjects, rows in reading.subject.far.by_weight:
            steps: list[int] = []
            if left:
                steps = self._first_steps(subjects, left)
            if steps:
                yield self._with_soft(steps, self._weights(reading, weight, steps), soft, at)
            left -= len(steps)
            self.passed_over += (rows - near_rows[weight] - len(steps)) * math.exp(others + weight)

    def _far_numbered(self, at: int, soft: list[int], most: int, others: float) -> Iterator[Rows]:
        """The first rows with a word's number; nothing weighs more than a number."""
        numbers, index = self.readings[at].far_numbers, self.index
        # In the order of their steps, which breaks ties: the same hint finds the same rows, however
        # many there are.
        numbered = self._without_near(numbers)[:most]
        if numbered:
            yield self._with_soft(numbered, repeat(NUMBER), soft, at)
        near = sum(len(within(numbers, index.steps(set_id))) for set_id in self.near)
        left = len(numbers) - len(numbered) - near
        self.passed_over += left * math.exp(others + NUMBER)

    def _loose(self, soft: Iterable[int]) -> float:
        return sum(self.loose[at] for at in soft)

    def _most(self, at: int, soft: list[int]) -> int:
        """How many rows are looked at that a word names: more where another one, or the word
        itself, says which of them it is."""
        tells_more = soft or self.readings[at].sets or self.loose[at] > UNREAD
        return CONSIDERED * KINDS if tells_more else CONSIDERED

    def _weights(
        self, reading: TokenMatches, named: float, steps: Sequence[int]
    ) -> Sequence[float]:
        """What a word weighs in some rows that it names by their subject with one weight: it could
        be the set as well."""
        # A word weighs in a row what its best reading does: as the set it can only add where that
        # is more.
        if not reading.sets or named >= SET_WORD:
            return [named] * len(steps)
        set_of, sets = self.index.set_of, reading.sets
        return [SET_WORD if set_of(step) in sets else named for step in steps]

    def _rows_near(self, reading: TokenMatches) -> Counter[float]:
        """How many of the rows that a word names are looked at closely, by its weight."""
        found: Counter[float] = Counter()
        weights = reading.subject.far_weights
        for set_id in self.near:
            near = self.index.near_set(set_id)
            for subject in near.subjects & weights.keys():
                found[weights[subject]] += near.count_of(subject)
        return found

    def _first_steps(self, subjects: list[int], count: int) -> list[int]:
        """The first steps of some subjects in the order of their first steps, sets that are looked
        at closely left out."""
        found: list[int] = []
        last = len(self.index)
        for at in range(0, len(subjects), AT_ONCE):
            # subjects stand in the order of their first steps: no later one comes before `last`
            if self.index.steps_of_subject(subjects[at])[0] > last:
                break
            found += self.index.by_subject.of_all(subjects[at : at + AT_ONCE])
            # now and then, since it is sorted and cut each time
            if len(found) >= 2 * count:
                found = self._without_near(sorted(found))[:count]
                if len(found) == count:
                    last = found[-1]
        return self._without_near(sorted(found))[:count]

    def _without_near(self, rising: Sequence[int]) -> list[int]:
        """Those of some rising steps that lie in no set that is looked at closely."""
        edges = [bisect_left(rising, edge) for edge in self._edges]
        bounds = zip([0, *edges[1::2]], [*edges[::2], len(rising)], strict=True)
        return [*chain.from_iterable(rising[start:end] for start, end in bounds)]
