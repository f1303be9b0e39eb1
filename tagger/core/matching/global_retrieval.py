"""Rows of the sets that are not looked at closely: there a row counts only where every word of the
hint fits it."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence, Set
from functools import cached_property
from itertools import islice
from typing import TYPE_CHECKING

from tagger.core.index.flat_arrays import within
from tagger.core.matching.read import UNREAD
from tagger.core.matching.token_match import NUMBER, SERIES, SET_WORD, TEAM, TokenMatches
from tagger.core.matching.variants.variant_words import PARALLEL_SLIP

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.priors.prior import Prior

CONSIDERED = 24  # rows that one word names anywhere, of which each is looked at
KINDS = 20  # times as many, where another word says which parallel it is
FAR_ROWS = 20_000  # rows of other sets that are tried where two words must fit


class GlobalRetrieval:
    """All sets but those in `near`. `loose` is the most that each word can weigh as a variant of
    any card; for the cards of a kind `variants_of` gives the same, and what is added for such a
    row. `passed_over` is the probability of rows that fit as well, but were too many."""

    def __init__(
        self,
        index: Index,
        prior: Prior,
        readings: Sequence[TokenMatches],
        loose: Sequence[float],
        near: Set[int],
        variants_of: Callable[[int], tuple[list[float], float]],
    ) -> None:
        self.index, self.prior, self.readings, self.loose = index, prior, readings, loose
        self._near, self._variants_of = near, variants_of
        self.passed_over = 0.0

    @cached_property
    def _edges(self) -> list[int]:
        """Where the sets that are looked at closely begin and end."""
        starts = self.index.starts
        return [
            edge for set_id in sorted(self._near) for edge in (starts[set_id], starts[set_id + 1])
        ]

    def _not_near(self, steps: Sequence[int]) -> Sequence[int]:
        """Those steps that lie in no set that is looked at closely."""
        edges = self._edges
        if not edges:
            return steps
        return [step for step in steps if not bisect_right(edges, step) & 1]

    def rows(self) -> Iterator[tuple[int, float]]:
        """(step, first score) of the rows that every word fits: the most that a row can come to.
        `passed_over` is whole when all are read."""
        soft = [at for at in range(len(self.readings)) if self._is_soft(at)]
        hard = [at for at in range(len(self.readings)) if at not in soft]
        if len(hard) > 1:
            yield from self._far_all(hard, soft)
        elif hard:
            yield from self._far_one(hard[0], soft)
        else:
            yield from self._far_any(soft)

    def _far_any(self, soft: list[int]) -> Iterator[tuple[int, float]]:
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

    def _far_all(self, hard: list[int], soft: list[int]) -> Iterator[tuple[int, float]]:
        """A row must fit every word, so the rows of the one that has the fewest are all that
        can."""
        readings = [self.readings[at] for at in hard]
        plain = [reading for reading in readings if reading.only_a_name]
        if len(plain) > 1:  # far fewer people than cards have both words in their names
            found = self._rows_of_people(plain)
        else:
            plain = [min(readings, key=TokenMatches.far_rows)]
            found = plain[0].far_steps(FAR_ROWS)
        for reading in readings:
            if reading not in plain:
                found = self._fitting(reading, found)
        yield from self._with_soft(((step, found[step]) for step in self._not_near([*found])), soft)

    def _rows_of_people(self, readings: list[TokenMatches]) -> dict[int, float]:
        """Rows of those subjects that all words name, with the words' weights."""
        # the fewest first: all others are only asked about its subjects
        few, *more = sorted((reading.subject.far_weights for reading in readings), key=len)
        found: dict[int, float] = {}
        for subject, weight in few.items():
            others = [other.get(subject) for other in more]
            if None in others:
                continue
            weight += sum(other for other in others if other is not None)
            found.update(dict.fromkeys(self.index.steps_of_subject(subject), weight))
            if len(found) >= FAR_ROWS:
                break
        return found

    def _with_soft(
        self, rows: Iterable[tuple[int, float]], soft: Sequence[int]
    ) -> Iterator[tuple[int, float]]:
        """Rows anywhere with their scores: the weight given, and what the words that could be a
        variant come to at most in each."""
        # of a kind all rows have the same floor: summed up once for thousands of them
        kinds, known = self.index.parallels_of, dict[int, tuple[float, list[float]]]()
        naming = [(at, self.readings[at]) for at in soft if self.readings[at].names_rows]
        plain = [at for at in soft if not self.readings[at].names_rows]
        for step, weight in rows:
            kind = kinds[step]
            score_floor = known.get(kind)
            if score_floor is None:
                floor, more = self._variants_of(kind)
                score = self.prior.any + more + sum(floor[at] for at in plain)
                score_floor = known[kind] = score, floor
            score, floor = score_floor
            score += weight
            for at, reading in naming:
                score += max(floor[at], reading.anywhere(step))
            yield step, score

    def _fitting(self, reading: TokenMatches, found: dict[int, float]) -> dict[int, float]:
        """Those rows that a word fits as well, with its weight added: the best of what it can be in
        each."""
        subject_of, get = self.index.subject_of, reading.subject.weigher
        named = {step: weight for step in found if (weight := get(subject_of[step])) is not None}
        fits = self._by_group(reading, found)
        if fits:
            named = {step: max(weight, fits.get(step, UNREAD)) for step, weight in named.items()}
        fits |= named
        fits.update((step, NUMBER) for step in reading.far_numbers if step in found)
        return {step: found[step] + weight for step, weight in fits.items()}

    def _by_group(self, reading: TokenMatches, steps: Iterable[int]) -> dict[int, float]:
        """Those of some rows whose team or set a word could mean."""
        fits: dict[int, float] = {}
        if reading.teams:
            team_of, teams = self.index.team_of, reading.teams
            fits.update((step, TEAM) for step in steps if team_of[step] in teams)
        fits.update((step, SERIES) for step in steps if reading.is_of_series(step))
        if reading.sets:
            set_of, sets = self.index.set_of, reading.sets
            fits.update((step, SET_WORD) for step in steps if set_of(step) in sets)
        return fits

    def _far_one(self, at: int, soft: list[int]) -> Iterator[tuple[int, float]]:
        """The rows that one word names, the likeliest first; the share of the others is kept in
        `passed_over`."""
        reading, others = self.readings[at], self.prior.any + self._loose(soft)
        most = self._most(at, soft)
        yield from self._far_numbered(reading, soft, most, others)
        if not reading.subject.far_weights:
            return
        near_rows, left = self._rows_near(reading), most
        for weight, subjects, rows in reading.subject.far.by_weight:
            steps: list[int] = []
            if left:
                steps = self._first_steps(subjects, left)
            weights = self._weights(at, weight, steps)
            yield from self._with_soft(zip(steps, weights, strict=True), soft)
            left -= len(steps)
            self.passed_over += (rows - near_rows[weight] - len(steps)) * math.exp(others + weight)

    def _far_numbered(
        self, reading: TokenMatches, soft: list[int], most: int, others: float
    ) -> Iterator[tuple[int, float]]:
        """The first rows with a word's number; nothing weighs more than a number."""
        numbers, index = reading.far_numbers, self.index
        numbered = list(islice(self._not_near(numbers), most))
        yield from self._with_soft(((step, NUMBER) for step in numbered), soft)
        near = sum(len(within(numbers, index.steps(set_id))) for set_id in self._near)
        left = len(numbers) - len(numbered) - near
        self.passed_over += left * math.exp(others + NUMBER)

    def _loose(self, soft: Iterable[int]) -> float:
        return sum(self.loose[at] for at in soft)

    def _most(self, at: int, soft: list[int]) -> int:
        """How many rows are looked at that a word names: more where another one, or the word
        itself, says which of them it is."""
        tells_more = soft or self.readings[at].sets or self.loose[at] > UNREAD
        return CONSIDERED * KINDS if tells_more else CONSIDERED

    def _weights(self, at: int, named: float, steps: Sequence[int]) -> list[float]:
        """The most that a word can weigh in some rows that it names by their subject with one
        weight: it could be the set or a variant as well."""
        reading, index, loose = self.readings[at], self.index, self.loose[at]
        weights = [named] * len(steps)
        if loose > named:
            kinds = [index.parallels_of[step] for step in steps]
            by_kind = {kind: max(named, self._variants_of(kind)[0][at]) for kind in {*kinds}}
            weights = [by_kind[kind] for kind in kinds]
        if reading.sets and named < SET_WORD:
            set_of, sets = index.set_of, reading.sets
            weights = [
                max(weight, SET_WORD) if set_of(step) in sets else weight
                for step, weight in zip(steps, weights, strict=True)
            ]
        return weights

    def _rows_near(self, reading: TokenMatches) -> Counter[float | None]:
        """How many of the rows that a word names are looked at closely, by its weight."""
        found: Counter[float | None] = Counter()
        for set_id in self._near:
            found.update(
                map(reading.subject.far_weights.get, self.index.near_set(set_id).subject_of)
            )
        return found

    def _first_steps(self, subjects: list[int], count: int) -> list[int]:
        """The first steps of some subjects in the order of their first steps, sets that are looked
        at closely left out."""
        found: list[int] = []
        last = len(self.index)
        for subject in subjects:
            steps = self.index.steps_of_subject(subject)
            # subjects stand in the order of their first steps: no later one comes before `last`
            if steps[0] > last:
                break
            found.extend(self._not_near(steps)[:count])
            if len(found) >= count:
                found.sort()
                del found[count:]
                last = found[-1]
        found.sort()
        return found
