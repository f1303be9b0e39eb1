"""Sets that are left out of a hint: who types a number alone most often means the carried set."""

from __future__ import annotations

from collections.abc import Collection
from typing import NamedTuple


class LeftOut(NamedTuple):
    """How much less likely a set is meant that no word says, beside a number: `weight` is the log
    probability that who means another set than the carried one leaves it out, `said` are the sets
    for which that does not hold. `at_most` is that log probability without what is only assumed."""

    weight: float
    said: Collection[int]
    at_most: float = 0.0

    def of(self, set_id: int) -> float:
        """What that makes of a row of a set."""
        return self.weight if self.weight and set_id not in self.said else 0.0

    def assumed_of(self, set_id: int) -> float:
        """How much of that is only assumed."""
        return self.of(set_id) and self.weight - self.at_most


NOT_LEFT_OUT = LeftOut(0.0, ())
