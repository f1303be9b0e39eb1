"""How fast the work goes, breaks not counted."""

from __future__ import annotations

from collections import deque
from itertools import pairwise

# A card that needs a look into a book takes half a minute; who needs more than a whole one was
# called away (our own estimate, no source).
BREAK = 60.0  # seconds without a card after which the dealer was away
LEAST = 2.0  # seconds of work below which no pace is told
WINDOW = 300.0  # seconds looked back


class Pace:
    """Cards a minute over the last five minutes of work."""

    def __init__(self) -> None:
        self._times: deque[float] = deque()

    def card(self, now: float) -> None:
        """A card was done at `now`, in seconds of any steady clock."""
        self._times.append(now)
        while self._times and now - self._times[0] > WINDOW:
            self._times.popleft()

    def per_minute(self) -> float | None:
        """Cards a minute, None while too little is known."""
        # a pace over breaks would say nothing of how long the rest takes
        times = list(self._times)
        gaps = [b - a for a, b in pairwise(times) if b - a <= BREAK]
        # Two gaps at least: of one, a single slow card would say how long hundreds take.
        if len(gaps) < 2 or sum(gaps) < LEAST:
            return None
        return 60.0 * len(gaps) / sum(gaps)

    def minutes_left(self, cards: int) -> float | None:
        """Minutes for so many more cards at this pace, None while too little is known."""
        pace = self.per_minute()
        if pace is None:
            return None
        return cards / pace
