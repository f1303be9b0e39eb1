"""Which of several copies of a card is sold."""

from __future__ import annotations

NEAREST, WORST = "nearest", "worst"
COPIES = (NEAREST, WORST)
"""The one nearest to hand, or the worst condition that fits."""
