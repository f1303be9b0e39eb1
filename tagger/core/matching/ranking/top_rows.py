"""Rows by their first scores, and when enough of them are weighed: what is left can be none of the
best."""

from __future__ import annotations

import heapq
import math
from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.matching.ranking.ranked import rounded
from tagger.core.matching.read import SLIPS

if TYPE_CHECKING:
    from tagger.core.matching.ranking.ranked import Ranked
    from tagger.core.matching.variants.option import Option


NOBODY = -math.inf, 0  # behind whom no row stands


def highest(scores: Mapping[int, float], most: int) -> list[int]:
    """The rows of the highest scores, at most `most`, the highest first, equal ones by their
    steps."""
    # hundreds of rows share a few scores: sorted by one key and then by the other, each is compared
    # with its own kind
    return sorted(sorted(scores), key=scores.__getitem__, reverse=True)[:most]


class TopRows:
    """The best cards so far, as many as are asked for: enough that are better settle what a row
    with a lower first score, which is the most that it can come to, is worth."""

    def __init__(self, limit: int, as_typed: Collection[str]) -> None:
        """`as_typed`: words that some subject has as they are typed."""
        self._limit, self._as_typed = limit, as_typed
        self._heap: list[tuple[float, int]] = []  # weight, minus the step: the worst one on top
        self._shown: dict[int, tuple[Option, bool]] = {}

    @property
    def worst(self) -> tuple[float, int]:
        """(weight, minus the step) of the last of them; a row whose first score, rounded, stands
        behind that is none of the best. With the step as well: a row that ties with the last of
        them may still go before it."""
        return self._heap[0] if len(self._heap) >= self._limit else NOBODY

    def add(self, items: Sequence[Ranked], most: float, negative: int) -> None:
        """The variants of one row, the best of which scores `most`; those that can be taken are
        cards."""
        # most rows come to less than those that are there
        if rounded(most) < self.worst[0]:
            return
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
