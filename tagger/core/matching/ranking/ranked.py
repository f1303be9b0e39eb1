"""A row in one of its variants, with its score: how it stands among others."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from functools import lru_cache
from operator import itemgetter
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from tagger.core.matching.variants.option import Option

Ranked: TypeAlias = "tuple[float, int, Option]"  # log score, step, variant
ROUNDING = 1e-6  # more than scores may differ that count as the same


@lru_cache(1024)  # rows share their scores, and to round takes longer than to look it up
def rounded(score: float) -> float:
    """A score without what only the order of its sum makes: rows of equal scores go by their
    steps."""
    return round(score, 9)


def order(item: Ranked) -> tuple[float, int, str, str]:
    """What rows are sorted by, the best first."""
    # the step breaks ties: the same hint gives the same order, whatever order the rows were met in
    return -rounded(item[0]), item[1], item[2].parallel, item[2].condition


def first_of(items: Collection[Ranked], count: int) -> list[Ranked]:
    """The first of some rows in their order, at most `count`."""
    if len(items) > count:
        # hundreds stand behind the few that are shown, and are told by their scores alone
        scores = map(itemgetter(0), items)
        least = (max(scores) if count == 1 else sorted(scores)[-count]) - ROUNDING
        items = [item for item in items if item[0] >= least]
    return sorted(items, key=order)[:count]


def card_of(item: Ranked) -> tuple[object, ...]:
    """What tells one candidate from another."""
    return item[1], item[2].parallel, item[2].condition


def options_of(items: Iterable[Ranked]) -> Collection[Option]:
    """The variants of some rows, each once: hundreds of rows share them."""
    return {id(option): option for _, _, option in items}.values()


def unread(option: Option) -> list[str]:
    """The words that were left over."""
    return [] if option.whole else [word for word, meaning in option.reasons if not meaning]
