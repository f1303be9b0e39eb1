"""How a tray goes on from card to card: a double, the next number, a small gap, a jump; learned
from the lot itself."""

from __future__ import annotations

from collections import Counter

# Shares in presorted trays before anything is known of this one (our own estimate, no source): the
# same card again, the next number, and gaps of a few. Backwards steps are rare, but a tray that was
# turned over has little else.
USUAL = {0: 0.22, 1: 0.48, 2: 0.10, 3: 0.05, 4: 0.03, 5: 0.02, -1: 0.006, -2: 0.002, -3: 0.001}
JUMP = 1.0 - sum(USUAL.values())
WEIGHT = 20.0  # observed steps that count as much as the usual shares


class StepModel:
    """Shares of the steps, in rows of the set's natural order: a Dirichlet mean of the usual ones
    and those seen."""

    def __init__(self) -> None:
        self._seen: Counter[int | None] = Counter()

    def learn(self, step: int) -> None:
        """A card was tagged `step` rows on from the card before it, in the same set."""
        kind: int | None = None
        if step in USUAL:
            kind = step
        self._seen[kind] += 1

    def share(self, step: int) -> float | None:
        """The share of a step, None for a jump."""
        usual = USUAL.get(step)
        if usual is None:
            return None
        return (WEIGHT * usual + self._seen[step]) / (WEIGHT + self._seen.total())

    @property
    def jump(self) -> float:
        """The share of all steps that are none of the usual ones."""
        return (WEIGHT * JUMP + self._seen[None]) / (WEIGHT + self._seen.total())

    @property
    def span(self) -> range:
        """The steps that are looked at when nothing was typed."""
        return range(min(USUAL), max(USUAL) + 2)
