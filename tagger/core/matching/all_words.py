"""Rows anywhere that each of several words names.

What a word names lies in lists of numbers, of subjects and of sets. Tens of thousands of rows are
gone through for a short word, so that here the loops run within `map` and `compress`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, compress, islice
from operator import add
from typing import TYPE_CHECKING

from tagger.core.matching.read import NUMBER, SERIES, SET_WORD, TEAM, UNREAD

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.token_match import TokenMatches

FAR_ROWS = 20_000  # rows of other sets that are tried where two words must fit

Rows = Sequence[int]
Fit = tuple[Rows, Iterable[float]]  # steps, and the weight of a word in each


class AllWords:
    """The rows that all of some words name, and what the words weigh there together."""

    def __init__(self, index: Index, readings: Sequence[TokenMatches]) -> None:
        self._index, self._readings = index, readings

    def rows(self) -> dict[int, float]:
        """Weight by step. A row must fit every word, so the rows of the one that has the fewest are
        all that can."""
        plain = [reading for reading in self._readings if reading.only_a_name]
        if len(plain) > 1:  # far fewer people than cards have both words in their names
            found = self._rows_of_people(plain)
        else:
            # The two that leave the fewest rows: a third word is asked only about what is left.
            # From a word of a team or a series alone no row is looked up, so it stands behind.
            plain = sorted(
                self._readings, key=lambda reading: (not reading.leads_far, reading.far_rows())
            )[:2]
            found = self._of_two(*plain)
        for reading in self._readings:
            if reading not in plain:
                found = self._with_word(reading, found)
        return found

    def _rows_of_people(self, readings: list[TokenMatches]) -> dict[int, float]:
        """Rows of those subjects that all words name, with the words' weights."""
        # the fewest first: all others are only asked about its subjects
        few, *more = sorted((reading.subject.far_weights for reading in readings), key=len)
        found: dict[int, float] = {}
        # most subjects are told by the second word alone, within the interpreter
        for subject in filter(more[0].__contains__, few):
            others = [other.get(subject) for other in more]
            if None in others:
                continue
            weight = few[subject] + sum(other for other in others if other is not None)
            found.update(dict.fromkeys(self._index.steps_of_subject(subject), weight))
            if len(found) >= FAR_ROWS:
                break
        return found

    def _of_two(self, word: TokenMatches, other: TokenMatches) -> dict[int, float]:
        """The rows that a word names by number, subject or set, and another word in any way."""
        found: dict[int, float] = {}
        for steps, weights in self._pairs(word, other):
            more = dict(zip(steps, weights, strict=True))
            # The best pair of readings alone counts: added up, a word that fits in two ways would
            # weigh twice.
            for step in found.keys() & more.keys():
                more[step] = max(more[step], found[step])
            found.update(more)
        return found

    def _pairs(self, word: TokenMatches, other: TokenMatches) -> Iterator[Fit]:
        """The same by each pair of ways; a row that fits in several comes with each."""
        numbered = word.far_numbers[:FAR_ROWS]
        for steps, weights in self._fits(other, numbered):
            yield steps, [NUMBER + weight for weight in weights]
        yield from self._subjects(word, other)
        of_sets = self._rows_of_sets(word)
        for steps, weights in self._fits(other, of_sets):
            yield steps, [SET_WORD + weight for weight in weights]

    def _subjects(self, word: TokenMatches, other: TokenMatches) -> Iterator[Fit]:
        """The rows of the subjects of a word that another word fits."""
        weights = word.subject.far_weights
        if not weights:
            return
        yield from self._both_subjects(word, other)
        groups = [(word.subject.named_of(other.far_numbers), NUMBER)]
        if other.sets or other.teams or other.series:
            steps = self._rows_of_subjects(word)
            groups.append((self._of_sets(other, steps), SET_WORD))
            groups.append((self._of_teams(other, steps), TEAM))
            groups.append((self._of_series(other, steps), SERIES))
        for steps, weight in groups:
            yield steps, [weights[self._index.subject_of[step]] + weight for step in steps]

    def _both_subjects(self, word: TokenMatches, other: TokenMatches) -> Iterator[Fit]:
        """The rows of the subjects that both name."""
        weights, weigher = word.subject.far_weights, other.subject.weigher
        by_weight: dict[float, list[int]] = {}
        for subject in other.subject.among(weights):
            more = weigher(subject)
            if more is not None:
                by_weight.setdefault(weights[subject] + more, []).append(subject)
        for weight, subjects in by_weight.items():
            steps = self._index.by_subject.of_all(subjects)
            yield steps, [weight] * len(steps)

    def _fits(self, word: TokenMatches, steps: Rows) -> Iterator[Fit]:
        """Those of some rows that a word fits, by each of its ways."""
        if not steps:
            return
        named = word.subject.named_of(steps)
        weigher, subject_of = word.subject.weigher, self._index.subject_of
        yield named, map(weigher, map(subject_of.__getitem__, named))  # type: ignore[arg-type]
        for rows, weight in (
            (self._of_teams(word, steps), TEAM),
            (self._of_series(word, steps), SERIES),
            (self._of_sets(word, steps), SET_WORD),
            (self._of_number(word, steps), NUMBER),
        ):
            yield rows, [weight] * len(rows)

    def _with_word(self, reading: TokenMatches, found: dict[int, float]) -> dict[int, float]:
        """Those rows that a word fits as well, with its weight added: the best of what it can be in
        each."""
        fits: dict[int, float] = {}
        for steps, weights in self._fits(reading, [*found]):
            for step, weight in zip(steps, weights, strict=True):
                fits[step] = max(weight, fits.get(step, UNREAD))
        return dict(zip(fits, map(add, map(found.__getitem__, fits), fits.values()), strict=True))

    def _of_teams(self, word: TokenMatches, steps: Rows) -> list[int]:
        if not word.teams:
            return []
        teams = map(self._index.team_of.__getitem__, steps)
        return list(compress(steps, map(word.teams.__contains__, teams)))

    def _of_series(self, word: TokenMatches, steps: Rows) -> list[int]:
        if not word.series:
            return []
        return list(filter(word.is_of_series, steps))

    def _of_sets(self, word: TokenMatches, steps: Rows) -> list[int]:
        if not word.sets:
            return []
        # a byte a row is soon laid out, and thousands of rows are asked
        inside = bytearray(len(self._index))
        for set_id in word.sets:
            of_set = self._index.steps(set_id)
            inside[of_set.start : of_set.stop] = b"\1" * len(of_set)
        return list(compress(steps, map(inside.__getitem__, steps)))

    def _of_number(self, word: TokenMatches, steps: Rows) -> list[int]:
        if not word.far_numbers:
            return []
        return list(filter(frozenset(word.far_numbers).__contains__, steps))

    def _rows_of_sets(self, word: TokenMatches) -> list[int]:
        """The rows of the sets of a word, about as many as are tried."""
        found: list[int] = []
        for set_id in sorted(word.sets):
            if len(found) >= FAR_ROWS:
                break
            found += self._index.steps(set_id)
        return found

    def _rows_of_subjects(self, word: TokenMatches) -> list[int]:
        """The rows of the subjects of a word, about as many as are tried."""
        rows = chain.from_iterable(map(self._index.steps_of_subject, word.subject.far_weights))
        return list(islice(rows, FAR_ROWS))
