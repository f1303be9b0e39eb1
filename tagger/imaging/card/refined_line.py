"""A line to a fraction of a pixel: where the colour changes most beside a rough one."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from tagger.imaging.card.lines import (
    FADING,
    PAPER,
    ROBUST,
    SHADOW,
    FittedLine,
    Strip,
    grey_of,
    is_dark_card,
    mean_along,
    median,
    part,
    percentile,
    rise,
    square_of,
    straight,
    strip,
)

if TYPE_CHECKING:
    from tagger.imaging.card.lines import Pixels
    from tagger.imaging.seen_levels import SeenLevels

OUT, INTO, NARROW = 8, 16, 6  # pixels outward and inward of a line that are looked at
BLUR = 3  # pixels inward of a line, within which a dip may be its shadow's
LEAST_STEP = 0.6  # levels from pixel to pixel that a side changes the colour by, at least
FAR_OUT, ASIDE = 20, 3.0  # pixels outward of a line, and off a place, where a fainter one may be
# of a line's step, what sharpening draws outside of it at most, and how many pixels away
HALO, HALO_REACH = 0.15, 4
NEAR = 1.8  # pixels from a line within which the places lie that it is first drawn through


@dataclass(frozen=True)
class RefinedLine:
    """A line to a fraction of a pixel, the share of places (0 to 1) that agree with it within 1.5
    pixels, and whether it is `soft`: where a shadow fades into paper as dark as itself, and so only
    good to two pixels."""

    line: FittedLine
    agree: float
    soft: bool = False


def refine(
    work: SeenLevels,
    line: FittedLine,
    reach: tuple[float, float],
    inward: int,
    *,
    shadows: bool = True,
) -> RefinedLine:
    """The line beside a rough one, to a fraction of a pixel.

    At each band the change of colour is taken, along the side's own step from outside to inside
    where it has one, and the middle of its peak. A least-squares line goes through the peaks near
    the line as it was."""
    first, soft = line, False
    beside = strip(work, line, reach, OUT, INTO if shadows else NARROW, inward, 48)
    if shadows:
        line, soft = _past_shadow(beside, line)
    if line is first:
        beside = _narrow(beside)
    else:
        beside = strip(work, line, reach, NARROW, NARROW, inward, 48)
    strength = _strength(beside.seen)
    peak, part = _peaks(strength)
    at = strength[np.arange(len(peak)), peak]
    places = beside.start + inward * (peak + 1 + part)
    places = places.astype(np.float64)
    found, agree = line, 0.0
    # Where a part of the side stands out far more than the rest, all of it is looked at after that.
    for most in (90, 50):
        floor = max(1.5, 0.2 * percentile(at, most))
        found, agree = _through(line, beside.along, places, np.where(at > floor, at, 0))
        if agree:
            break
    return RefinedLine(found, agree, soft)


def steps_there(
    work: SeenLevels, line: FittedLine, reach: tuple[float, float], inward: int
) -> bool:
    """Whether the colour of all bands together changes at a line, and not as much all around it."""
    mean = strip(work, line, reach, OUT, OUT, inward, 48).seen.mean(axis=0)
    change = np.sqrt((((mean[2:] - mean[:-2]) / 2) ** 2).sum(axis=1) / 3)
    middle = len(change) // 2
    own = float(change[middle - 1 : middle + 2].max())
    return own >= max(LEAST_STEP, 3 * median(change))


def faint_beyond(
    work: SeenLevels, line: FittedLine, reach: tuple[float, float], inward: int, away: float
) -> FittedLine | None:
    """The faint line along a stronger one about so many pixels outward of it, None where there is
    none: it is seen in the mean of all bands together, which has next to no noise."""
    out = FAR_OUT
    mean = strip(work, line, reach, out, 2, inward, 48).seen.mean(axis=0)
    change = np.sqrt((((mean[2:] - mean[:-2]) / 2) ** 2).sum(axis=1) / 3)
    wanted = out - 1 - away
    first, last = math.ceil(wanted - ASIDE), math.floor(min(wanted + ASIDE, out - 3))
    peak = first + int(change[first : last + 1].argmax())
    own, between = float(change[peak]), change[peak + 1 : out - 1]
    # Where nothing lies between the two it is the stronger one's own blur, or its halo.
    if not len(between) or float(between.min()) > own / 2 or own < change[peak - 1]:
        return None
    halo = HALO * float(change[out - 3 :].max()) if peak >= out - 1 - HALO_REACH else 0.0
    if own < max(LEAST_STEP, 4 * median(change[: peak - 2]), halo):
        return None
    return FittedLine(line.at + inward * (peak + 1 - out), line.slope, line.spread)


def _narrow(beside: Strip) -> Strip:
    """The part of a strip that lies within NARROW pixels of its line."""
    start = OUT - NARROW
    seen = beside.seen[:, start : OUT + NARROW + 1]
    return replace(beside, seen=seen, start=beside.start + beside.inward * start)


def _strength(seen: Pixels) -> Pixels:
    """How much the colour of each band changes at the steps 1, 2, ... of a strip."""
    change = (seen[:, 2:] - seen[:, :-2]) / 2
    middle = change.shape[1] // 2
    way = np.add.reduce(change[:, middle - 1 : middle + 2], axis=(0, 1))
    way = way / max(1e-6, math.sqrt(float(way @ way)))
    along = np.maximum(change @ way, 0)
    own = np.sqrt(square_of(change))
    # Along the side's own step print beside the edge counts for little; but a card of many colours
    # has no such step.
    most = np.add.reduce(along.max(axis=1)), np.add.reduce(own.max(axis=1))
    steady = float(most[0]) > 0.7 * float(most[1])
    return np.asarray(along if steady else own)


def _peaks(strength: Pixels) -> tuple[npt.NDArray[np.int64], Pixels]:
    """For each band the step of the strongest change near the middle, and the part of a pixel by
    which its middle is off: that of the parabola through three points."""
    # The line is nearly right: what changes more strongly farther off is print.
    near = _nearness(strength.shape[1])
    peak = np.minimum(np.maximum((strength * near).argmax(axis=1), 1), strength.shape[1] - 2)
    each = np.arange(len(peak))
    before, at, after = strength[each, peak - 1], strength[each, peak], strength[each, peak + 1]
    bend = before - 2 * at + after
    curved = np.abs(bend) > 1e-6
    part = np.where(curved, 0.5 * (before - after) / np.where(curved, bend, 1), 0)
    return peak, np.minimum(np.maximum(part, -0.5), 0.5)


@lru_cache(maxsize=8)
def _nearness(steps: int) -> npt.NDArray[np.float64]:
    return np.asarray(np.exp(-(((np.arange(steps) - steps // 2) / 2.2) ** 2)))


def _through(
    line: FittedLine,
    along: npt.NDArray[np.float64],
    places: npt.NDArray[np.float64],
    strength: Pixels,
) -> tuple[FittedLine, float]:
    """A line by least squares through the places near another line, those with a strong change of
    colour more so."""
    weight = np.minimum(strength / max(1e-6, percentile(strength, 70)), 1.5)
    seen = strength > 0  # elsewhere the card looks like the bed behind it
    line = _amid(line, (places - line.place(along))[seen])
    spread, least = 0.0, 0.3 * float(along[-1] - along[0])
    off = np.abs(places - line.place(along))
    # Nearer each time: what lies far off pulls at the first line, and is no part of the last.
    for most in (NEAR, 1.2, 0.0):
        near = seen & (off <= (most or max(0.35, 2.5 * spread)))
        here = along[near]
        # A few places close together could be drawn through at any slope.
        if len(here) < 8 or float(here[-1] - here[0]) < least:
            return line, 0.0
        slope, at = straight(here, places[near], weight[near])
        line = FittedLine(at, slope)
        off = np.abs(places - line.place(along))
        spread = ROBUST * median(off[near])
    good = seen & (off <= 1.5)
    agree = float(np.count_nonzero(good) / np.count_nonzero(seen))
    return FittedLine(line.at, line.slope, spread), agree


def _amid(line: FittedLine, off: npt.NDArray[np.float64]) -> FittedLine:
    """The line among places that are so far off it: where hardly any is near it but most of them
    are near each other, it was only a guess."""
    if len(off) < 8 or part(np.abs(off) <= NEAR) >= 0.5:
        return line
    aside = median(off)
    together = part(np.abs(off - aside) <= NEAR) >= 0.5
    return FittedLine(line.at + aside, line.slope) if together else line


def _past_shadow(beside: Strip, line: FittedLine) -> tuple[FittedLine, bool]:
    """The line that a strip lies beside, or moved inward to where the paper begins if it lies on a
    shadow; and whether that is a guess.

    A shadow fades in over several pixels. Where it ends in a dip darker than the paper, the paper
    begins on the inner side of the dip; where paper and shadow are as dark as each other, it begins
    where the fading stops."""
    out, inward = OUT, beside.inward
    seen = grey_of(beside.seen)
    grey = mean_along(seen, 0)
    dip = out - 2 + int(grey[out - 2 : out + SHADOW].argmin())
    deep = float(grey[:3].mean() - grey[dip])
    step = seen[:, out - 1 : out + 3] - seen[:, out - 2 : out + 2]
    sharp = median(np.abs(step).max(axis=1))
    # Nothing fades here, or an edge is there that is sharper than any shadow.
    if deep < 2 or sharp > min(FADING * deep, 25):
        return line, False
    # A shadow ends here already: what is dark farther in is print.
    if rise(grey.tolist(), out) > PAPER and dip > out + BLUR:
        return line, False
    bare = float(grey[:3].mean())
    if is_dark_card(bare, deep, bare - float(grey[dip + 2 : dip + 8].mean())):
        return line, False
    change = np.diff(grey)
    lighter = float(grey[dip + 2 : dip + 5].mean() - grey[dip])
    if lighter >= max(0.8, 0.08 * deep):
        flank = dip + int(np.abs(change[dip : dip + 4]).argmax())
        return FittedLine(line.at + inward * (flank + 0.5 - out), line.slope), False
    steepest = out - 2 + int(change[out - 2 : out + 4].argmin())
    stop = steepest
    while stop < out + SHADOW and change[stop + 1] < 0.22 * change[steepest]:
        stop += 1
    return FittedLine(line.at + inward * max(0.0, stop + 1.2 - out), line.slope), True
