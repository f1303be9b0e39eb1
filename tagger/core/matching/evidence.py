"""What speaks for a card and was not typed, as one more term of the sum: what is printed on it, and
what it looks like.

What is typed goes before it. The term counts among the cards of which each word means the same as
of the best one without it, so that it chooses between two that are called alike; it never makes up
for a word that fits worse. With nothing typed it counts for every card."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.matching.priors.context import Weights
    from tagger.core.matching.ranking.ranked import Ranked
    from tagger.core.matching.search import Search

# That a card is in none of the lists, before anything was read on it (our own estimate, no source):
# a card that has to be among them would be one of them, however little speaks for it.
MISSING = 0.01
FEW = 24  # rows that are weighed by what speaks for them; behind the best of them none counts


def rows_spoken_for(searches: Sequence[Search], weights: Weights) -> Iterable[Ranked]:
    """The rows that most speaks for, in all their variants, wherever in the lists they are."""
    for step, _ in heapq.nlargest(FEW, weights, key=lambda pair: pair[1]):
        for search in searches:
            for score, row, option in search.weigh_row(step):
                yield score + search.weight, row, option


def with_evidence(items: Iterable[Ranked], first: Ranked | None, weights: Weights) -> list[Ranked]:
    """The candidates with what speaks for each; `first` is the best one by what was typed."""
    if first is None:
        return []
    read, by_step = _meanings(first), dict(weights)
    return [_with_term(item, by_step, _meanings(item) == read) for item in items]


def _with_term(item: Ranked, weights: Mapping[int, float], counts: bool) -> Ranked:
    score, step, option = item
    return (score + weights.get(step, 0.0) if counts else score), step, option


def _meanings(item: Ranked) -> list[str]:
    return [meaning for _, meaning in item[2].reasons]


def left_for_others(items: Iterable[Ranked], weights: Weights) -> float:
    """The probability of all rows but these with nothing typed; scores are those before any
    evidence, since what speaks for one row takes nothing from what the lot makes of the others."""
    left = max(0.0, 1.0 - sum(math.exp(score) for score, _, _ in items))
    return max(MISSING, left) if weights else left
