"""How a lot that is sorted by number goes on across sets: behind #23 of one set comes #23 of
another, or #24."""

from __future__ import annotations

from collections import Counter, defaultdict
from typing import TYPE_CHECKING

from tagger.core.matching.priors.steps import UNSORTED, UNSORTED_JUMP, USUAL, StepModel, kind_of

if TYPE_CHECKING:
    from collections.abc import Mapping

# where the number of the card before says anything (our own estimate, no source)
IN_NO_ORDER = 0.2
OF_ALL = 4.0  # steps between two sets that count as much as those between any


class SisterSteps:
    """Steps from the row with the number of the card before, in another set than that one's.

    Which is likelier, the same number or the next one, hangs on which of two sets lies first in the
    pile: the steps from one set to another are smoothed by those between any two (a hierarchical
    Dirichlet mean, MacKay and Peto 1995)."""

    def __init__(self) -> None:
        self._any = StepModel(unsorted=IN_NO_ORDER)
        self._seen: defaultdict[tuple[str, str], Counter[int | None]] = defaultdict(Counter)

    def learn(self, before: str, after: str, step: int) -> None:
        """A card was tagged so many rows on from the number of the card before."""
        self._any.learn(step)
        self._seen[before, after][kind_of(step)] += 1

    def between(self, before: str, after: str) -> PairSteps:
        """The steps from one set to another."""
        return PairSteps(self._any, self._seen.get((before, after), Counter()))


class PairSteps:
    """Shares of the steps from one set to another, as `StepModel` has them of one set."""

    def __init__(self, every: StepModel, seen: Counter[int | None]) -> None:
        self._every, self._seen, self._count = every, seen, seen.total()

    def usual(self) -> Mapping[int, float]:
        """The share of each of the usual steps."""
        even, in_order = self.unsorted * UNSORTED, 1 - self.unsorted
        return {step: even + in_order * self._sorted(step) for step in USUAL}

    def _sorted(self, kind: int | None) -> float:
        share = self._every.sorted(kind)
        return (self._seen[kind] + OF_ALL * share) / (self._count + OF_ALL)

    @property
    def jump(self) -> float:
        """The share of all steps that are none of the usual ones."""
        return self.unsorted * UNSORTED_JUMP + (1 - self.unsorted) * self._sorted(None)

    @property
    def unsorted(self) -> float:
        """The probability that the cards are in no order."""
        return self._every.unsorted
