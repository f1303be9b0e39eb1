"""Which rows one spelling of a hint points to, and what each comes to: only those that can be among
the first."""

from __future__ import annotations

import heapq
import math
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator

from tagger.core.index.flat_arrays import within
from tagger.core.index.index import Index
from tagger.core.index.near_set import Near
from tagger.core.matching.candidate import Context
from tagger.core.matching.global_retrieval import GlobalRetrieval
from tagger.core.matching.hint import Token
from tagger.core.matching.prior import Prior
from tagger.core.matching.token_match import (
    CARRIED_SET_WORD,
    REPEATED,
    SET_WORD,
    TEAM,
    Read,
    TokenMatches,
)
from tagger.core.matching.variant import UNASKED, Option, VariantPlan, Variants
from tagger.core.matching.variant_words import UNREAD, Weighed
from tagger.core.matching.word_fit import WordFit

MOST = 240  # rows that are weighed in full at most
# a row whose first score is so far below the best is not weighed: less than one in a million
HOPELESS = 14.0
NEAR_ROWS, NEAR_SETS = 4000, 24  # how much is looked at closely
# that one hint can name; a year that more of them share tells them apart only with other words
NAMED_SETS = 6

Ranked = tuple[float, int, Option]  # log score, step, variant


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
    ) -> None:
        """With `everywhere` no set is at hand but those that the hint names, however few rows there
        are."""
        self._everywhere = everywhere
        self.index, self.variants, self.prior = index, variants, prior
        self._carried, self._limit = context.carried, limit
        left, self.condition = variants.take_condition(tokens, index)
        self.readings = [TokenMatches(index, token) for token in left]
        tied = [
            reading.sets for reading in self.readings if reading.token.pin == "set" and reading.text
        ]
        self.only = frozenset.intersection(*tied) if tied else None  # the sets that `s=` leaves
        self.passed_over = 0.0
        self._looked_at: set[int] = set()
        self._plans: dict[int, list[VariantPlan]] = {}
        self._fits = [WordFit(token, index, variants.scale) for token in left]
        self._floors: dict[int, tuple[list[float], float]] = {}
        self.loose = [fit.most for fit in self._fits]
        self._unasked: dict[tuple[int, tuple[Read, ...]], tuple[float, float]] = {}
        self._set_floors: dict[tuple[int, int, bool], tuple[list[float], float]] = {}
        # Words that repeat the carried set, but could be a number of it as well.
        self._numbers_too = {
            reading
            for reading in self.readings
            if prior.carried in reading.sets
            and within(reading.far_numbers, index.steps(prior.carried))
        }

    def weigh(self) -> Iterator[Ranked]:
        """The likeliest rows in all their variants."""
        rough = self._near()
        elsewhere = GlobalRetrieval(
            self.index, self.prior, self.readings, self.loose, self._looked_at, self._variants_of
        )
        for step, score in elsewhere.rows():
            if (self.only is None or self.index.set_of(step) in self.only) and rough.get(
                step, -math.inf
            ) < score:
                rough[step] = score
        self.passed_over += elsewhere.passed_over
        top = heapq.nlargest(MOST, ((score, -step) for step, score in rough.items()))
        # A first score is the most that a row can come to: enough rows that are better settle it.
        best: list[tuple[float, int]] = []
        peak = -math.inf
        for score, negative in top:
            if score < peak - HOPELESS:
                break
            if len(best) >= self._limit and (rounded(score), negative) < best[0]:
                self.passed_over += math.exp(score)
                continue
            whole: dict[tuple[str, str], float] = {}
            for item in self.weigh_row(-negative):
                yield item
                if all(meaning for _, meaning in item[2].reasons) and not item[2].problem:
                    card = item[2].parallel, item[2].condition
                    whole[card] = max(rounded(item[0]), whole.get(card, -math.inf))
                peak = max(peak, item[0])
            for weight in whole.values():
                heapq.heappush(best, (weight, negative))
                if len(best) > self._limit:
                    heapq.heappop(best)

    def naming(self) -> tuple[list[Token], list[Token]]:
        """The words that are numbers, and those that can only be names."""
        hard = [
            reading
            for reading, loose in zip(self.readings, self.loose, strict=True)
            if loose <= UNREAD
        ]
        numbers = [reading.token for reading in hard if reading.number_id >= 0]
        subjects = [reading.token for reading in hard if reading.named and len(reading.spelled) > 1]
        return numbers, [token for token in subjects if token not in numbers]

    def weigh_row(self, step: int) -> Iterator[Ranked]:
        """One row in all its variants."""
        prior, set_id, carried = self.prior.of(step), self.index.set_of(step), self.prior.carried
        named = carried is None or self._is_named(step)
        words = [
            Weighed(
                reading.token,
                *reading.in_row(
                    step, set_id, carried if not named or reading in self._numbers_too else None
                ),
            )
            for reading in self.readings
        ]
        for option in self._options(self.index.parallels_of[step], words):
            yield prior + option.weight, step, option

    def _is_named(self, step: int) -> bool:
        """Whether a word is number or part of the subject of the row at a step, slips left out."""
        return any(reading.as_row(step) is not None for reading in self.readings)

    def _plans_of(self, kind: int) -> list[VariantPlan]:
        """The variants of cards with these parallels."""
        plans = self._plans.get(kind)
        if plans is None:
            tokens = [reading.token for reading in self.readings]
            plain = max(self._variants_of(kind)[0], default=UNREAD) == UNREAD
            plans = self._plans[kind] = self.variants.plans(
                self.index.parallels(kind), tokens, self._carried, plain
            )
        return plans

    def _variants_of(self, kind: int) -> tuple[list[float], float]:
        """The most that each word can weigh as parallel, serial number or condition in rows of a
        kind (with the same parallels), and what is added for such a row."""
        known = self._floors.get(kind)
        if known is None:
            floor = [fit.weight(kind) for fit in self._fits]
            known = self._floors[kind] = (
                floor,
                UNASKED if all(weight == UNREAD for weight in floor) else 0.0,
            )
        return known

    def _floor(self, kind: int, set_id: int, named: bool) -> tuple[list[float], float]:
        """The same, the set of the row counted in; `named` says whether a word names the row."""
        known = self._set_floors.get((kind, set_id, named))
        if known is None:
            variants, more = self._variants_of(kind)
            floor = variants[:]
            for at, reading in enumerate(self.readings):
                if set_id in reading.sets:
                    repeated = set_id == self.prior.carried and (
                        not named or reading in self._numbers_too
                    )
                    floor[at] = max(floor[at], CARRIED_SET_WORD if repeated else SET_WORD)
            known = self._set_floors[kind, set_id, named] = floor, more
        return known

    def _near(self) -> dict[int, float]:
        """Rows of the carried set, of sets met in this lot and of sets that the hint names, with a
        first score."""
        scores: dict[int, float] = {}
        sets = self._near_sets()
        close = frozenset(self.prior.first()) or frozenset(sets)
        likely, kinds = self.prior.likely(), self.index.parallels_of
        for set_id in sets:
            near = self.index.near_set(set_id)
            self._looked_at.add(set_id)
            hits = [self._hits(reading, near, set_id, set_id in close) for reading in self.readings]
            repeats = set_id == self.prior.carried and any(
                set_id in reading.sets for reading in self.readings
            )
            steps = set().union(*hits).union(step for step in likely if step in near.steps)
            scores.update(self._unnamed(near, set_id, steps))
            for step in steps:
                floor, more = self._floor(kinds[step], set_id, not repeats or self._is_named(step))
                score = self.prior.of(step) + more
                for found, least in zip(hits, floor, strict=True):
                    score += max(found.get(step, UNREAD), least)
                scores[step] = score
        return scores

    def _hits(
        self, reading: TokenMatches, near: Near, set_id: int, close: bool
    ) -> dict[int, float]:
        """The weight of a word in those rows of a set that it names by number, subject or team."""
        found: dict[int, float] = {}
        for team in reading.teams:
            found.update(dict.fromkeys(near.teams.get(team, ()), TEAM))
        for step, weight in reading.near_hits(near, set_id) if close else reading.named_hits(near):
            if weight > found.get(step, UNREAD):
                found[step] = weight
        return found

    def _unnamed(self, near: Near, set_id: int, known: set[int]) -> dict[int, float]:
        """Rows of a set that every word fits without naming them, with their scores: of each kind
        the next ones from the card before and the first of the set. All others are kept in
        `passed_over`."""
        found: dict[int, float] = {}
        if not all(
            self.loose[at] > UNREAD or set_id in reading.sets
            for at, reading in enumerate(self.readings)
        ):
            return found
        how = (CARRIED_SET_WORD, REPEATED) if set_id == self.prior.carried else (SET_WORD, "set")
        reads = tuple(how if set_id in reading.sets else (UNREAD, "") for reading in self.readings)
        ahead, limit = self.prior.ahead() if set_id == self.prior.carried else range(0), self._limit
        for kind, steps in near.by_parallels.items() if reads else ():
            weight, share = self._as_variant(kind, reads)
            if not share:
                continue
            taken = {*steps[:limit]}
            if ahead:
                after = bisect_left(steps, ahead.start)
                taken.update(steps[after : after + limit])
            found.update(
                (step, self.prior.of(step) + weight) for step in taken if step not in known
            )
            taken.update(step for step in steps if step in known)
            rest = sum(step in ahead for step in steps) - sum(step in ahead for step in taken)
            self.passed_over += share * self.prior.of_others(set_id, len(steps) - len(taken), rest)
        return found

    def _as_variant(self, kind: int, reads: tuple[Read, ...]) -> tuple[float, float]:
        """What the words come to in rows of a kind that none of them names: the log weight of the
        best variant that all of them fit, and the weights of all such variants together; 0 where
        there is none."""
        known = self._unasked.get((kind, reads))
        if known is None:
            words = [
                Weighed(reading.token, *read)
                for reading, read in zip(self.readings, reads, strict=True)
            ]
            each: dict[tuple[str, str], float] = {}
            for option in self._options(kind, words):
                if all(meaning for _, meaning in option.reasons):
                    card = option.parallel, option.condition
                    each[card] = max(option.weight, each.get(card, -math.inf))
            known = max(each.values(), default=-math.inf), sum(map(math.exp, each.values()))
            self._unasked[kind, reads] = known
        return known

    def _options(self, kind: int, words: list[Weighed]) -> Iterator[Option]:
        for plan in self._plans_of(kind):
            yield from self.variants.options(plan, words, self.condition)

    def _near_sets(self) -> list[int]:
        """The sets that are looked at closely, at least one where any is wanted: carried, named,
        met in the lot."""
        index, first = self.index, self.prior.first()
        carried = first[:1] if self.prior.carried is not None else []
        wanted = dict.fromkeys([*carried, *_named_sets(self.readings), *first])
        if self.only is not None:
            wanted = dict.fromkeys(set_id for set_id in wanted if set_id in self.only)
        if not (wanted or self._everywhere) and self.only is None and len(index) <= NEAR_ROWS:
            return list(range(len(index.sets)))
        rows, taken = 0, list[int]()
        for set_id in wanted:
            rows += len(index.steps(set_id))
            if taken and (rows > NEAR_ROWS or len(taken) >= NEAR_SETS):
                break
            taken.append(set_id)
        return taken


def rounded(score: float) -> float:
    """A score without what only the order of its sum makes: rows of equal scores go by their
    steps."""
    return round(score, 9)


def _named_sets(readings: list[TokenMatches]) -> list[int]:
    """The sets that most words of the hint name; none where those are too many to be meant."""
    votes = Counter(set_id for reading in readings for set_id in reading.sets)
    most = max(votes.values(), default=0)
    named = sorted(set_id for set_id, count in votes.items() if count == most)
    return named if len(named) <= NAMED_SETS else []
