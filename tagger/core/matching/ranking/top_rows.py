"""Rows by their first scores, and when enough of them are weighed: what is left can be none of the
best."""

from __future__ import annotations

import heapq
import math
from collections.abc import Collection, Mapping, Sequence
from operator import neg
from typing import TYPE_CHECKING

from tagger.core.matching.ranking.ranked import rounded
from tagger.core.matching.read import SLIPS

if TYPE_CHECKING:
    from tagger.core.matching.ranking.ranked import Ranked
    from tagger.core.matching.variants.variant import Option


class HighestRows:
    """The rows of the highest scores, at most `most`, the highest first, equal ones by their
    steps."""

    def __init__(self, scores: Mapping[int, float], most: int) -> None:
        # a heap, since of hundreds of rows most often only the first dozen is asked for
        self._heap = list(zip(map(neg, scores.values()), scores, strict=True))
        heapq.heapify(self._heap)
        self._left = most

    def __bool__(self) -> bool:
        return bool(self._heap and self._left)

    @property
    def score(self) -> float:
        """The score of the next one."""
        return -self._heap[0][0]

    def take(self) -> tuple[float, int]:
        """(score, step) of the next one."""
        self._left -= 1
        negative, step = heapq.heappop(self._heap)
        return -negative, step

    def above(self, least: float) -> list[float]:
        """The scores that are left and at least so much."""
        scores = sorted(-negative for negative, _ in self._heap if -negative >= least)
        return scores[::-1][: self._left]


class TopRows:
    """The best cards so far, as many as are asked for: enough that are better settle what a row
    with a lower first score, which is the most that it can come to, is worth."""

    def __init__(self, limit: int, as_typed: Collection[str]) -> None:
        """`as_typed`: words that some subject has as they are typed."""
        self._limit, self._as_typed = limit, as_typed
        self._heap: list[tuple[float, int]] = []  # weight, minus the step: the worst one on top
        self._shown: dict[int, tuple[Option, bool]] = {}

    def beat(self, score: float, negative: int) -> bool:
        """Whether all of them go before a row with this first score."""
        # With the step as well: a row that ties with the last of the best may still go before it.
        return len(self._heap) >= self._limit and (rounded(score), negative) < self._heap[0]

    def beat_all(self, score: float) -> bool:
        """Whether all of them go before any row with at most this first score."""
        return len(self._heap) >= self._limit and rounded(score) < self._heap[0][0]

    def add(self, items: Sequence[Ranked], negative: int) -> None:
        """The variants of one row; those that can be taken are cards."""
        whole: dict[tuple[str, str], float] = {}
        for score, _, option in items:
            if self._may_be_shown(option):
                card = option.parallel, option.condition
                whole[card] = max(rounded(score), whole.get(card, -math.inf))
        for weight in whole.values():
            heapq.heappush(self._heap, (weight, negative))
            if len(self._heap) > self._limit:
                heapq.heappop(self._heap)

    def _may_be_shown(self, option: Option) -> bool:
        # by identity: hundreds of rows share a variant; held, or another one could take its address
        known = self._shown.get(id(option))
        if known is None:
            counts = not option.problem and all(map(self._counts, option.reasons))
            known = self._shown[id(option)] = option, counts
        return known[1]

    def _counts(self, reason: tuple[str, str]) -> bool:
        word, meaning = reason
        # what has a word exactly goes before what needs a slip, whatever they score
        return bool(meaning) and not (meaning in SLIPS and word in self._as_typed)
