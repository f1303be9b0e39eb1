"""How a tray goes on from card to card: a double, the next number, a small gap, a jump; learned
from the lot itself."""

from __future__ import annotations

from collections import defaultdict

# Shares in presorted trays before anything is known of this one (our own estimate, no source): the
# same card again, the next number, and gaps of a few. Backwards steps are rare, but a tray that was
# turned over has little else.
USUAL = {0: 0.22, 1: 0.48, 2: 0.10, 3: 0.05, 4: 0.03, 5: 0.02, -1: 0.006, -2: 0.002, -3: 0.001}
JUMP = 1.0 - sum(USUAL.values())
WEIGHT = 20.0  # observed steps that count as much as the usual shares
# Cards in no order: each of the usual steps is as rare as any row of a set of some 250.
UNSORTED = 1 / 250
UNSORTED_JUMP = 1 - UNSORTED * len(USUAL)
TURN = 0.02  # how often sorted cards are followed by unsorted ones, or the other way round


class StepModel:
    """Shares of the steps, in rows of the set's natural order.

    The cards are sorted or not: a hidden Markov model of two states, of which the forward algorithm
    (Rabiner 1989) keeps the probability. Where they are sorted, the shares are a Dirichlet mean of
    the usual ones and of those seen while they were; where not, no step is likelier than others."""

    def __init__(self, unsorted: float = TURN) -> None:
        """`unsorted` is the probability that the first cards are in no order."""
        self._seen: defaultdict[int | None, float] = defaultdict(float)
        self._count = 0.0
        self._unsorted = unsorted

    def learn(self, step: int) -> None:
        """A card was tagged `step` rows on from the card before it, in the same set."""
        kind: int | None = None
        if step in USUAL:
            kind = step
        if_not = self._unsorted * (UNSORTED if kind is not None else UNSORTED_JUMP)
        if_sorted = (1 - self._unsorted) * self._sorted(kind)
        self._unsorted = if_not / (if_not + if_sorted)
        self._seen[kind] += 1 - self._unsorted
        self._count += 1 - self._unsorted
        self._unsorted = TURN + (1 - 2 * TURN) * self._unsorted

    def _sorted(self, kind: int | None) -> float:
        """The share of a step, None for all jumps, where the cards are sorted."""
        usual = JUMP if kind is None else USUAL[kind]
        return (WEIGHT * usual + self._seen.get(kind, 0.0)) / (WEIGHT + self._count)

    def share(self, step: int) -> float | None:
        """The share of a step, None for a jump."""
        if step not in USUAL:
            return None
        return self._unsorted * UNSORTED + (1 - self._unsorted) * self._sorted(step)

    @property
    def jump(self) -> float:
        """The share of all steps that are none of the usual ones."""
        return self._unsorted * UNSORTED_JUMP + (1 - self._unsorted) * self._sorted(None)

    @property
    def unsorted(self) -> float:
        """The probability that the cards are in no order."""
        return self._unsorted

    @property
    def span(self) -> range:
        """The steps that are looked at when nothing was typed."""
        return range(min(USUAL), max(USUAL) + 2)
