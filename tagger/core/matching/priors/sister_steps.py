"""How a lot that is sorted by number goes on across sets: behind #23 of one set comes #23 of
another, or #24."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping

from tagger.core.matching.priors.steps import Kind, StepModel, Steps, kind_of

# where the number of the card before says anything (our own estimate, no source)
IN_NO_ORDER = 0.2
NO_PAIR = ("", "")
OF_ALL = 4.0  # steps between two sets that count as much as those between any


class SisterSteps:
    """Steps from the row with the number of the card before, in another set than that one's.

    Which is likelier, the same number or the next one, hangs on which of two sets lies first in the
    pile: the steps from one set to another are smoothed by those between any two (a hierarchical
    Dirichlet mean, MacKay and Peto 1995)."""

    def __init__(self) -> None:
        self._any = StepModel(unsorted=IN_NO_ORDER)
        self._seen: defaultdict[tuple[str, str], Counter[Kind]] = defaultdict(Counter)
        self._between: dict[tuple[str, str], PairSteps] = {}

    def learn(self, before: str, after: str, step: int) -> None:
        """A card was tagged so many rows on from the number of the card before."""
        self._any.learn(step)
        self._seen[before, after][kind_of(step)] += 1
        self._between.clear()

    def between(self, before: str, after: str) -> PairSteps:
        """The steps from one set to another."""
        # between all that were never met one behind the other they are the same
        pair = (before, after) if (before, after) in self._seen else NO_PAIR
        found = self._between.get(pair)
        if found is None:
            found = PairSteps(self._any, self._seen.get(pair, Counter()))
            self._between[pair] = found
        return found


class PairSteps(Steps):
    """Shares of the steps from one set to another, as `StepModel` has them of one set, as long as
    no more is learned: hundreds of sets are asked about with a key."""

    def __init__(self, every: StepModel, seen: Counter[Kind]) -> None:
        self._every, self._seen, self._count = every, seen, seen.total()
        self._shares: dict[Kind, float] = {}
        self._usual: Mapping[int, float] = {}

    def share_of(self, kind: Kind) -> float:
        """The share of a kind of step, in order or not."""
        found = self._shares.get(kind)
        if found is None:
            found = self._shares[kind] = super().share_of(kind)
        return found

    def usual(self) -> Mapping[int, float]:
        """The share of each of the usual steps."""
        if not self._usual:
            self._usual = super().usual()
        return self._usual

    def sorted(self, kind: Kind) -> float:
        """The share of a kind of step where the cards are in order."""
        share = self._every.sorted(kind)
        return (self._seen[kind] + OF_ALL * share) / (self._count + OF_ALL)

    @property
    def unsorted(self) -> float:
        """The probability that the cards are in no order."""
        return self._every.unsorted
