"""Where in a lot something slipped, and how likely that is by the readings of the whole lot."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tagger.core.audit.slips import Doubt, Reading, Slip

NEAR = 5  # scans: slips as near as this can stand for each other
LIKELY = 0.5  # of the readings that must have some slip in a stretch before it is told
DOUBTED = 0.05  # that nothing slipped, where only the lot as a whole says so

Scored = tuple[float, tuple[Slip, ...]]
"""A reading of scans: its score in nats, and its slips."""


def suspects(found: Sequence[Scored]) -> list[int]:
    """The scans at which a slip is likely, in order."""
    top = found[0][0]
    weights = [float(np.exp(score - top)) for score, _ in found]
    whole = sum(weights)
    at: dict[int, float] = {}
    for weight, (_, slips) in zip(weights, found, strict=True):
        for slip in slips:
            at[slip.scan] = at.get(slip.scan, 0.0) + weight / whole
    return sorted(scan for scan, share in at.items() if share > LIKELY / 5)


def share_of(found: Sequence[Scored], stretch: range, stretches: Sequence[range]) -> float:
    """The share of the readings of the whole lot that have a slip in a stretch."""
    weights = [float(np.exp(score - found[0][0])) for score, _ in found]
    slipped = [
        any(nearest(slip.scan, stretches) == stretch for slip in slips) for _, slips in found
    ]
    own = sum(weight for weight, here in zip(weights, slipped, strict=True) if here)
    return own / sum(weights)


def at_least(doubt: Doubt, share: float) -> Doubt:
    """A doubt that is no less likely than the lot as a whole says.

    Where one set ends and another begins, the scans around alone cannot tell: behind them, where
    the lot ends, its sides come out even or do not. What only that says is not certain."""
    nothing = max(1 - share, DOUBTED)
    slipped = sum(reading.share for reading in doubt.readings)
    if doubt.nothing < 1 - LIKELY or doubt.nothing <= nothing or not slipped:
        return doubt
    part = (1 - nothing) / slipped
    return Doubt(tuple(Reading(one.slips, one.share * part) for one in doubt.readings), nothing)


def stretches_of(scans: Sequence[int]) -> list[range]:
    """Scans that are near each other as one stretch."""
    out: list[range] = []
    for scan in scans:
        if out and scan - out[-1].stop <= NEAR:
            out[-1] = range(out[-1].start, scan + 1)
        else:
            out.append(range(scan, scan + 1))
    return out


def nearest(scan: int, stretches: Sequence[range]) -> range:
    return min(stretches, key=lambda one: max(one.start - scan, scan - one.stop + 1, 0))


def is_told(doubt: Doubt) -> bool:
    """Whether a doubt is told. Of lots whose last back was still on its way, where one set ends and
    another begins came to 0.46 at most."""
    return bool(doubt.readings) and doubt.nothing < 1 - LIKELY
