"""What the words of one hint come to as a copy of a card: its parallel, serial number, condition.

Thousands of rows share their parallels: all is worked out once for each kind of card, which are
those with the same parallels, and for each way in which the words are read of the card itself."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence, Set
from functools import cached_property
from itertools import repeat
from operator import getitem
from typing import TYPE_CHECKING

from tagger.core.matching.read import UNREAD, Read
from tagger.core.matching.variants.option import Option, with_runs
from tagger.core.matching.variants.variant import (
    UNASKED,
    SpelledCondition,
    VariantPlan,
    Variants,
)
from tagger.core.matching.variants.variant_words import Weighed, name_reading, names, serial_typed
from tagger.core.matching.variants.word_fit import WordFit
from tagger.core.model.numbers import parse_serial
from tagger.core.model.tags import Parallel, parallel_key

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.lot.carried import Carried
    from tagger.core.matching.hint import Token

NO_KIND = -1  # of no card
FITS = 16  # words that are held ready
Reads = tuple[Read, ...]  # by word what it is in a row, the variant left out
# by word the least that it weighs; and where no word names the parallel
Floor = tuple[tuple[float, ...], tuple[float, ...]]
Runs = frozenset[int | None]
Weights = tuple[float | None, ...]  # by word; None where it is counted already


class Copies:
    """The copies that the words of a hint could mean, by kind of card."""

    def __init__(
        self,
        index: Index,
        variants: Variants,
        tokens: Sequence[Token],
        condition: SpelledCondition,
        carried: Carried,
    ) -> None:
        self._index, self._variants, self._tokens = index, variants, tokens
        self._condition, self._carried = condition, carried
        self._fits = [_fit(variants, token, index) for token in tokens]
        self.loose = [fit.most for fit in self._fits]
        """By word the most that it can weigh in a copy of any card."""
        self._plans: dict[int, list[VariantPlan]] = {}
        self._made: dict[object, VariantPlan] = {}  # all plans of these, each once
        self._of_plan: dict[tuple[int, Reads], list[Option]] = {}  # by the plan's identity
        self._same: dict[Floor, Sums] = {}
        self._sums_of: dict[int, Sums] = {}
        self._stand_ins: dict[int, int] = {}
        # by kind: its parallels that may be meant, the words that may name one, its print runs
        self._said: dict[int, tuple[tuple[Parallel, ...], tuple[Token, ...], Runs]] = {}
        self._first: dict[object, int] = {}
        self._has_serial = any(map(_says_serial, tokens))
        self._counts = _Counts(tokens, parallel_key(carried.get("parallel")), self._has_serial)
        self._options: dict[tuple[int, Reads], list[Option]] = {}
        self._sums: dict[tuple[int, Reads], tuple[float, float]] = {}

    def floor(self, kind: int) -> Floor:
        """The most that each word can weigh as parallel, serial number or condition in rows of a
        kind."""
        if kind not in self._sums_of:
            self._know({kind})
        return self._sums_of[kind].floor

    def mosts(self, kinds: Sequence[int], weights: Iterable[Weights]) -> Iterator[float]:
        """The most that the words come to in each of some rows, by the rows' kinds and what the
        words weigh in them."""
        # tens of thousands of rows are asked: all loops run within the interpreter
        if new := {*kinds}.difference(self._sums_of):
            self._know(new)
        return map(getitem, map(self._sums_of.__getitem__, kinds), weights)

    def _know(self, kinds: Set[int]) -> None:
        """Work out what words come to in rows of some kinds."""
        # Most kinds have nothing that a word of this hint could mean, and share one answer.
        told = [*kinds & self._told_apart]
        if len(told) < len(kinds):
            self._sums_of.update(dict.fromkeys(kinds - self._told_apart, self._in_any))
        if not told:
            return
        # kinds of the same floor share what is worked out by it
        for kind, floor in zip(told, self._floors(told), strict=True):
            if floor not in self._same:
                self._same[floor] = Sums(floor)
            self._sums_of[kind] = self._same[floor]

    @cached_property
    def _told_apart(self) -> frozenset[int]:
        """The kinds with a parallel or a print run that a word could mean."""
        return frozenset().union(*(kinds for fit in self._fits for kinds in fit.kinds))

    @cached_property
    def _in_any(self) -> Sums:
        return Sums(*self._floors([NO_KIND]))

    def _floors(self, kinds: Sequence[int]) -> Iterator[Floor]:
        if not self._fits:
            return repeat(((), ()), len(kinds))
        weights = zip(*(fit.weights(kinds) for fit in self._fits), strict=True)
        plain = zip(*(fit.unasked(kinds) for fit in self._fits), strict=True)
        return zip(weights, plain, strict=True)

    def options(self, kind: int, reads: Reads) -> list[Option]:
        """The variants of a row of a kind in which the words are read so."""
        known = self._options.get((kind, reads))
        if known is None:
            alike = self._alike(kind)
            known = self._options.get((alike, reads))
            if known is None:
                known = self._options[alike, reads] = self._worked_out(alike, reads)
            self._options[kind, reads] = known
        return known

    def _alike(self, kind: int) -> int:
        """A kind of which the words say the very same."""
        known = self._stand_ins.get(kind)
        if known is None:
            known = self._stand_ins[kind] = self._first_alike(kind)
        return known

    def _first_alike(self, kind: int) -> int:
        # kinds that differ in parallels which cannot be meant are alike
        naming = self._naming_any
        if kind in self._told_apart:
            pairs = zip(self._tokens, self._fits, strict=True)
            naming = tuple([token for token, fit in pairs if fit.may_name(kind)])
        said = self._said[kind] = self._counted_of(kind), naming, self._runs_of(kind)
        return self._first.setdefault(said, kind)

    @cached_property
    def _naming_any(self) -> tuple[Token, ...]:
        """The words that may be parallel or serial number of a card of any kind."""
        pairs = zip(self._tokens, self._fits, strict=True)
        return tuple(token for token, fit in pairs if fit.may_name(NO_KIND))

    def _counted_of(self, kind: int) -> tuple[Parallel, ...]:
        """The parallels of a kind of card that could be meant."""
        # a serial number without its print run could be of any
        if kind in self._told_apart or self._has_serial:
            return tuple(filter(self._counts.__getitem__, self._index.parallels(kind)))
        return self._variants.usual(self._index, kind, self._counts.carried)

    def _runs_of(self, kind: int) -> Runs:
        """The print runs of a kind of card where they matter: a serial number that fits nothing is
        told with them."""
        if not self._has_serial:
            return frozenset()
        return frozenset(one.run for one in self._index.parallels(kind))

    def any_of(self, kind: int, reads: Reads) -> tuple[float, float]:
        """What the words come to in rows of a kind that none of them names: the log weight of the
        best variant that all of them fit, and the weights of all such variants together; 0 where
        there is none."""
        known = self._sums.get((kind, reads))
        if known is None:
            each: dict[tuple[str, str], float] = {}
            for option in self.options(kind, reads):
                if all(meaning for _, meaning in option.reasons):
                    card = option.parallel, option.condition
                    each[card] = max(option.weight, each.get(card, -math.inf))
            known = max(each.values(), default=-math.inf), sum(map(math.exp, each.values()))
            self._sums[kind, reads] = known
        return known

    def _worked_out(self, kind: int, reads: Reads) -> list[Option]:
        found: list[Option] = []
        runs = self._said[kind][2]
        for plan in self._plans_of(kind):
            known = self._of_plan.get((id(plan), reads))
            if known is None:
                pairs = zip(self._tokens, reads, strict=True)
                words = [Weighed(token, *read) for token, read in pairs]
                known = [*self._variants.options(plan, words, self._condition)]
                self._of_plan[id(plan), reads] = known
            found += [with_runs(option, plan.runs, runs) for option in known] if runs else known
        return found

    def _plans_of(self, kind: int) -> list[VariantPlan]:
        """The variants of cards with these parallels."""
        plans = self._plans.get(kind)
        if plans is None:
            # where no word could be any part of a variant, one plan is all there is
            plain = max(self.floor(kind)[0], default=UNREAD) == UNREAD
            counted, naming, runs = self._said[kind]
            plans = self._plans[kind] = self._variants.plans(
                counted, self._tokens, self._carried, plain, naming, runs, self._made
            )
        return plans


def _fit(variants: Variants, token: Token, index: Index) -> WordFit:
    """What a word could be, held ready: most words of a hint stand there with the next key too."""
    held, key = variants.fits_held, (token, index)
    found: WordFit | None = held.pop(key, None)
    if found is None:
        found = WordFit(variants.scale, token, index)
    held[key] = found
    if len(held) > FITS:
        del held[next(iter(held))]
    return found


class _Counts(dict[Parallel, bool]):
    """Whether a parallel could be meant: the plain card, the carried one, or one that a word names;
    worked out when it is first asked for."""

    def __init__(self, tokens: Sequence[Token], carried: str, has_serial: bool) -> None:
        super().__init__()
        self.carried = carried
        self._tokens, self._has_serial = tokens, has_serial
        self._by_name: dict[str, bool] = {}

    def __missing__(self, parallel: Parallel) -> bool:
        name, run = parallel
        counts = self._by_name.get(name)
        if counts is None:
            counts = parallel_key(name) in ("", self.carried)
            counts = counts or any(name_reading(name, token) for token in self._tokens)
            self._by_name[name] = counts
        if run is not None and self._has_serial:
            counts = counts or any(map(names, repeat(parallel), self._tokens))
        self[parallel] = counts
        return counts


def _says_serial(token: Token) -> bool:
    return bool(serial_typed(token) or parse_serial(token.raw))


class Sums(dict[Weights, float]):
    """The most that words come to in rows of one floor, by what they weigh there; worked out when
    it is first asked for."""

    def __init__(self, floor: Floor) -> None:
        super().__init__()
        self.floor = floor

    def __missing__(self, weights: Weights) -> float:
        found = self[weights] = _most(self.floor, weights)
        return found


def _most(floor: Floor, weights: Weights) -> float:
    """The most where no word names the parallel, or where one does."""
    asked = unasked = 0.0
    lost = math.inf
    for weight, least, bare in zip(weights, *floor, strict=True):
        if weight is not None:
            asked += max(weight, least)
            unasked += max(weight, bare)
        # one word at least is put to that use, whatever more it would weigh otherwise
        if least > UNREAD:
            lost = min(lost, 0.0 if weight is None else max(0.0, weight - least))
    return max(UNASKED + unasked, asked - lost)
