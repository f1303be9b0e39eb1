"""What the user sets for estimates: factors by condition, and the bounds of stacks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

# Stacks by which dealers sort commons from what is worth a sleeve (our own choice, no source).
BOUNDS = tuple(map(Decimal, ("0.25", "1", "5", "20")))


@dataclass(frozen=True)
class ValuationSettings:
    """How a price becomes an estimate: a factor by condition (1 where none is given), and the
    bounds of the stacks, rising."""

    factors: Mapping[str, Decimal] = field(default_factory=dict)
    bounds: tuple[Decimal, ...] = BOUNDS
