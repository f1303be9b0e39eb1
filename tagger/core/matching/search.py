"""Which rows one spelling of a hint points to, and what each comes to: only those that can be among
the first."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence, Set
from itertools import repeat, takewhile
from operator import add, itemgetter
from typing import TYPE_CHECKING

from tagger.core.index.flat_arrays import within
from tagger.core.matching.global_retrieval import MOST, GlobalRetrieval
from tagger.core.matching.priors.left_out import NOT_LEFT_OUT
from tagger.core.matching.priors.series_runs import SeriesRuns
from tagger.core.matching.priors.years import Years
from tagger.core.matching.ranking.ranked import rounded
from tagger.core.matching.ranking.top_rows import NOBODY, TopRows, highest
from tagger.core.matching.read import (
    CARRIED_SET_WORD,
    REPEATED,
    SET_WORD,
    UNREAD,
    Read,
)
from tagger.core.matching.token_match import Letters, Noted, TokenMatches, read_token
from tagger.core.matching.variants.copies import Copies, Reads
from tagger.core.matching.variants.variant_words import PARALLEL_SLIP

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.index.near_set import Near
    from tagger.core.matching.hint import Token
    from tagger.core.matching.priors.context import Context
    from tagger.core.matching.priors.prior import Prior
    from tagger.core.matching.ranking.ranked import Ranked
    from tagger.core.matching.variants.variant import Variants

# a row whose first score is so far below the best is not weighed: less than one in a million
HOPELESS = 14.0
NEAR_ROWS, NEAR_SETS = 4000, 24  # how much is looked at closely
# that one hint can name; a year that more of them share tells them apart only with other words
NAMED_SETS = 6


class Search:
    """The rows that one spelling of a hint points to. `passed_over` is the probability of rows that
    fit as well, but were too many to be weighed one by one."""

    def __init__(
        self,
        index: Index,
        variants: Variants,
        tokens: tuple[Token, ...],
        prior: Prior,
        context: Context,
        limit: int,
        everywhere: bool = False,
        exactly: bool = False,
        weight: float = 0.0,
    ) -> None:
        """With `everywhere` no set is at hand but those that the hint names, however few rows there
        are. With `exactly` no word is read as a slip, and a number only as it is printed.
        `weight` is the log weight of the spelling."""
        self._everywhere, self.weight = everywhere, weight
        self.tokens, self._context = tokens, context
        self.index, self.variants, self.prior = index, variants, prior
        self._limit = limit
        # Taken out first, so that `near mint` is not asked of every row as two words of a name.
        left, said = variants.take_condition(tokens, index)
        self.readings = [read_token(index, token, exactly) for token in left]
        self.only = _tied_sets(self.readings)
        self.passed_over = 0.0
        self._looked_at: set[int] = set()
        self.copies = Copies(index, variants, left, said, context.carried)
        self.loose = self.copies.loose
        self._runs = SeriesRuns(index, prior, context)
        self._years = Years(self.readings, prior)
        self._noted = Noted(index, left)
        self._letters = Letters(index, left, prior.carried, prior.seen)
        self._repeats = any(prior.carried in reading.sets for reading in self.readings)
        self.unsaid = NOT_LEFT_OUT

    def exactly(self) -> Search:
        """The same words with nothing read as a slip, and numbers only as they are printed."""
        made_of = self.index, self.variants, self.tokens, self.prior, self._context, self._limit
        search = Search(*made_of, exactly=True, weight=self.weight)
        search.unsaid = self.unsaid
        return search

    def with_words(self, words: tuple[Token, ...]) -> Search:
        """A search of the same kind for other words."""
        made_of = self.index, self.variants, words, self.prior, self._context, self._limit
        search = Search(*made_of)
        search.unsaid = self.unsaid
        return search

    @property
    def numbered(self) -> bool:
        """Whether a word is the number of any card."""
        return any(reading.number_id >= 0 for reading in self.readings)

    @property
    def sets_said(self) -> frozenset[int]:
        """The sets that a word may name, by one letter or by a number that no other has."""
        named = (reading.sets | reading.only_set for reading in self.readings)
        return self._letters.sets.union(*named)

    def weigh(self) -> Sequence[Ranked]:
        """The likeliest rows in all their variants."""
        found: list[Ranked] = []
        rough = self._near()
        self._add_elsewhere(rough)
        best, peak, worst = TopRows(self._limit, self._as_typed()), -math.inf, NOBODY
        left, taken = highest(rough, MOST), 0
        while taken < len(left):
            step = left[taken]
            # a first score is the most that a row can come to, so all others are below as well
            first = rounded(rough[step])
            if first < worst[0] or rough[step] < peak - HOPELESS:
                break
            taken += 1
            if (first, -step) < worst:
                self.passed_over += math.exp(rough[step])
                continue
            items = self.weigh_row(step)
            found += items
            most = max(map(itemgetter(0), items))
            peak = max(peak, most)
            best.add(items, most, -step)
            worst = best.worst
        # Those below are passed over all at once.
        below = takewhile((peak - HOPELESS).__le__, map(rough.__getitem__, left[taken:]))
        self.passed_over = sum(map(math.exp, below), self.passed_over)
        return found

    def _as_typed(self) -> set[str]:
        """The words that some subject has as they are typed."""
        begins = self.index.subjects.begins
        return {one.token.raw for one in self.readings if one.is_name and begins(one.spelled)}

    def _add_elsewhere(self, rough: dict[int, float]) -> None:
        """Add the rows of the sets that were not looked at closely."""
        elsewhere = GlobalRetrieval(
            self.index, self.prior, self.readings, self.copies, self._looked_at
        )
        for steps, scores in elsewhere.rows():
            found = dict(zip(steps, self._as_left_out(steps, scores), strict=True))
            # seldom the same row comes twice
            for step in rough.keys() & found.keys():
                found[step] = max(found[step], rough[step])
            rough.update(found)
        if self.only is not None:
            for step in [step for step in rough if self.index.set_of(step) not in self.only]:
                del rough[step]
        self.passed_over += elsewhere.passed_over

    def _as_left_out(self, steps: Sequence[int], scores: Iterable[float]) -> Iterable[float]:
        """First scores of some rows elsewhere, with what the number of the card before makes of
        each, and that the words leave its set out."""
        # thousands of rows are asked, most often the same for all
        if self.prior.tells_more:
            scores = map(add, scores, map(self.prior.more, steps))
        left_out, said = self.unsaid.weight, self.unsaid.said
        if not left_out:
            return scores
        if self._looked_at.issuperset(said):  # none of these lies elsewhere
            return map(left_out.__add__, scores)
        return map(add, scores, map(self.unsaid.of, map(self.index.set_of, steps)))

    def naming(self) -> tuple[list[Token], list[Token]]:
        """The words that are numbers, and those that can only be names."""
        # a word that could be a variant of some card disagrees with none
        pairs = zip(self.readings, self.loose, strict=True)
        hard = [reading for reading, loose in pairs if loose <= UNREAD]
        numbers = [reading for reading in hard if reading.number_id >= 0]
        names = [reading for reading in hard if reading not in numbers and reading.is_name]
        return [one.token for one in numbers], [one.token for one in names]

    def weigh_row(self, step: int) -> list[Ranked]:
        """One row in all its variants."""
        set_id, kind = self.index.set_of(step), self.index.parallels_of[step]
        prior = self._prior(step, set_id)
        options = self.copies.options(kind, self._reads(step, set_id))
        return [(prior + option.weight, step, option) for option in options]

    def _reads(self, step: int, set_id: int) -> Reads:
        """What each word is in the row at a step, the variant left out."""
        reads = self._of_row(step, set_id)
        if self._noted.may_be and set_id in self._looked_at and self._is_named(step):
            reads = self._noted.beside_name(reads, step)
        return tuple(self._years.in_order(reads, set_id))

    def _of_row(self, step: int, set_id: int) -> Sequence[Read]:
        """What each word is in the row at a step by itself, and beside a word that names it."""
        carried = self.prior.carried
        # of a set that is not of the lot nothing more is asked
        repeats = set_id == carried and self._repeats
        letters = self._letters.may_be_in(set_id)
        if not repeats and not letters:
            return [reading.in_row(step, set_id, None) for reading in self.readings]
        named = self._is_named(step)
        repeating: Collection[TokenMatches] = ()
        if repeats:
            repeating = self._repeating(step, named)
        reads = [
            reading.in_row(step, set_id, carried if reading in repeating else None)
            for reading in self.readings
        ]
        if named and letters:
            reads = self._letters.beside_name(reads, step, set_id, carried)
        return reads

    def _repeating(self, step: int, named: bool) -> Collection[TokenMatches]:
        """The words that say nothing new in the row at a step of the carried set where they only
        repeat that; `named`: a word names the row."""
        if not named:
            return self.readings
        # `47 copper`, in a set that is called so: what else the word can be of this card is meant
        of_copy = self.copies.floor(self.index.parallels_of[step])[0]
        pairs = zip(self.readings, of_copy, strict=True)
        unclear = self._years.unclear_in(step)
        return unclear.union(one for one, most in pairs if most > PARALLEL_SLIP)

    def _prior(self, step: int, set_id: int) -> float:
        """log prior of the row at a step, series kept apart, as the words leave out its set."""
        left_out = self.unsaid.of(set_id)
        if not self._runs.at_work or not self.readings:
            return self.prior.of(step) + left_out
        said = any(reading.is_of_series(step) for reading in self.readings)
        said = said or self._letters.say_series(step)
        return self._runs.prior(step, said) + left_out

    def _priors(self, set_id: int, steps: Sequence[int]) -> Iterable[float]:
        """The same of each of some rows of one set."""
        if self._runs.at_work and self.readings:
            return map(self._prior, steps, repeat(set_id))
        found = self.prior.each_of(set_id, steps)
        left_out = self.unsaid.of(set_id)
        return map(add, found, repeat(left_out)) if left_out else found

    def _is_named(self, step: int) -> bool:
        """Whether a word is number or part of the subject of the row at a step, slips left out."""
        return any(reading.as_row(step) is not None for reading in self.readings)

    def _of_set(self, set_id: int, named: bool, numbered: bool = False) -> list[float]:
        """By word what it weighs as the set of a row; `named`: a word names the row, `numbered`: by
        its number."""
        weights = [UNREAD] * len(self.readings)
        for at, reading in enumerate(self.readings):
            if set_id in reading.sets:
                repeats = not named or (reading in self._years.repeating and not numbered)
                weights[at] = self._as_set(set_id, repeats)
            elif named and set_id in self._letters.by_set[at]:
                weights[at] = self._letters.by_set[at][set_id][0]
        return weights

    def _as_set(self, set_id: int, repeats: bool) -> float:
        """The weight of a word as the set of a row; `repeats`: it says nothing new of the carried
        one."""
        if repeats and set_id == self.prior.carried:
            return CARRIED_SET_WORD
        return SET_WORD

    def _near(self) -> dict[int, float]:
        """Rows of the carried set, of sets met in this lot and of sets that the hint names, with a
        first score."""
        scores: dict[int, float] = {}
        sets = self._near_sets()
        # in a set that only the hint names, names count as they do anywhere, without slips
        close = frozenset(self.prior.first()) or frozenset(sets)
        for set_id in sets:
            self._looked_at.add(set_id)
            self._score_set(set_id, set_id in close, scores)
        return scores

    def _score_set(self, set_id: int, close: bool, scores: dict[int, float]) -> None:
        """First scores of the rows of a set that a word names, that the lot makes likely, or that
        every word fits."""
        near = self.index.near_set(set_id)
        known = [reading.hits(near, set_id, close) for reading in self.readings]
        steps = set().union(*known).union(_both(self.prior.likely(set_id), near.steps))
        hits = self._with_beside(known, steps, set_id)
        scores.update(self._unnamed(near, set_id, steps))
        named, others, numbered = {*steps}, set[int](), set[int]()
        if set_id == self.prior.carried and any(set_id in one.sets for one in self.readings):
            numbered = self._years.numbered(near).intersection(steps)
            named = {*filter(self._is_named, steps)} - numbered
            others = steps - named - numbered
        for rows, how in (
            (numbered, (True, True)),
            (named, (True, False)),
            (others, (False, False)),
        ):
            if rows:
                weights = self._of_set(set_id, *how)
                scores.update(self._first_scores(set_id, [*rows], hits, weights))

    def _with_beside(
        self, hits: Sequence[Mapping[int, float]], steps: Set[int], set_id: int
    ) -> Sequence[Mapping[int, float]]:
        """By word what it weighs in rows of a set, with what it is only beside another that names
        them."""
        if not self._noted.may_be and not self._letters.in_series:
            return hits
        # what is held ready for the next keys is not changed
        found = [{**known} for known in hits]
        self._noted.add(found, steps)
        if set_id == self.prior.carried:
            self._letters.add(found, steps)
        return found

    def _first_scores(
        self,
        set_id: int,
        steps: Sequence[int],
        hits: Iterable[Mapping[int, float]],
        leasts: Iterable[float],
    ) -> Iterator[tuple[int, float]]:
        """(step, first score) of some rows of one set: by word what it weighs where it names a row,
        and the least that it weighs."""
        columns = [_column(found, least, steps) for found, least in zip(hits, leasts, strict=True)]
        weights: Iterable[tuple[float, ...]] = zip(*columns, strict=True)
        if not columns:
            weights = repeat(())
        kinds = [*map(self.index.parallels_of.__getitem__, steps)]
        mosts = self.copies.mosts(kinds, weights)
        return zip(steps, map(add, self._priors(set_id, steps), mosts), strict=True)

    def _unnamed(self, near: Near, set_id: int, known: set[int]) -> dict[int, float]:
        """Rows of a set that every word fits without naming them, with their scores: of each kind
        the next ones from the card before and the first of the set. All others are kept in
        `passed_over`."""
        found: dict[int, float] = {}
        reads = self._set_reads(set_id)
        if not reads:
            return found
        prior, carried = self.prior, set_id == self.prior.carried
        ahead = range(0)
        if carried:
            ahead = prior.ahead()
        for kind, steps in near.by_parallels.items():
            weight, share = self.copies.any_of(kind, reads)
            if not share:
                continue
            taken = self._next_ones(steps, ahead)
            new = [*taken.difference(known)]
            found.update(zip(new, map(weight.__add__, prior.each_of(set_id, new)), strict=True))
            taken |= known.intersection(steps)
            rest = len(within(steps, ahead)) - sum(step in ahead for step in taken)
            self.passed_over += share * prior.of_others(set_id, len(steps) - len(taken), rest)
        return found

    def _set_reads(self, set_id: int) -> tuple[Read, ...]:
        """What each word is in a row of a set that no word names, the variant left out; empty where
        a word can then be nothing at all."""
        how = (SET_WORD, "set")
        if set_id == self.prior.carried:
            how = (CARRIED_SET_WORD, REPEATED)
        reads: list[Read] = []
        for reading, loose in zip(self.readings, self.loose, strict=True):
            if set_id in reading.sets:
                reads.append(how)
            elif loose > UNREAD:
                reads.append((UNREAD, ""))
            else:
                return ()
        return tuple(reads)

    def _next_ones(self, steps: Sequence[int], ahead: range) -> set[int]:
        """The first of some steps, and the first of those ahead of the card before."""
        taken = {*steps[: self._limit]}
        if ahead:
            after = bisect_left(steps, ahead.start)
            taken.update(steps[after : after + self._limit])
        return taken

    def _near_sets(self) -> list[int]:
        """The sets that are looked at closely, at least one where any is wanted: carried, named,
        met in the lot."""
        wanted = self._wanted_sets()
        if not wanted and self._may_search_all():
            return list(range(len(self.index.sets)))
        rows, taken = 0, list[int]()
        for set_id in wanted:
            rows += len(self.index.steps(set_id))
            # one at least, however long: the carried set is always looked at
            if taken and (rows > NEAR_ROWS or len(taken) >= NEAR_SETS):
                break
            taken.append(set_id)
        return taken

    def _wanted_sets(self) -> list[int]:
        first = self.prior.first()
        carried = first[: self.prior.carried is not None]
        # The carried set, then those that were named, and only then the others of the lot: where
        # the room ends, what was typed goes before what was only met.
        wanted = dict.fromkeys([*carried, *self.named_sets(), *first])
        return [set_id for set_id in wanted if self.only is None or set_id in self.only]

    def named_sets(self) -> list[int]:
        """The sets that most words of the hint name; none where those are too many to be meant."""
        if not any(reading.sets for reading in self.readings):
            return []
        votes = Counter(set_id for reading in self.readings for set_id in reading.sets)
        most = max(votes.values(), default=0)
        named = sorted(set_id for set_id, count in votes.items() if count == most)
        if len(named) > NAMED_SETS:
            return []
        return named

    def _may_search_all(self) -> bool:
        """Whether the lists are so short that each set is looked at closely where none is wanted
        more than another."""
        return not self._everywhere and self.only is None and len(self.index) <= NEAR_ROWS


def _column(found: Mapping[int, float], least: float, steps: Sequence[int]) -> Iterable[float]:
    """By row what a word weighs there, at least `least`."""
    weights = map(found.get, steps, repeat(least))
    # what names a row weighs more than nothing that was read
    if least <= UNREAD:
        return weights
    return map(max, weights, repeat(least))


def _tied_sets(readings: Sequence[TokenMatches]) -> frozenset[int] | None:
    """The sets that `set=` leaves, None where nothing is tied to a set."""
    tied = [reading.sets for reading in readings if reading.token.pin == "set" and reading.text]
    if not tied:
        return None
    return frozenset.intersection(*tied)


def _both(one: range, other: range) -> range:
    return range(max(one.start, other.start), min(one.stop, other.stop))
