"""Straight lines across a picture, found to a fraction of a pixel.

A line is x = at + slope * y for one that runs down, y = at + slope * x for one that runs across.
Lengths are pixels, and (0, 0) is the outer corner of the first pixel, so that the middle of the
first pixel is (0.5, 0.5)."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tagger.imaging.card.background import Levels, Pixels

BANDS, ROWS = 32, 6  # a side is looked at in so many bands of so many rows each
SHADOW = 10  # pixels at 300 dpi, how far a card's shadow reaches
FADING = 0.36  # of its depth a shadow grows at most so much a pixel; a printed edge is sharper
SLOPES = np.linspace(-1.0, 1.0, 21) * math.tan(math.radians(0.8))


@dataclass(frozen=True)
class FittedLine:
    """`spread` is how far the points it was drawn through lie from it: a robust standard
    deviation."""

    at: float
    slope: float
    spread: float = 0.0

    def place(self, along: npt.NDArray[np.float64] | float) -> npt.NDArray[np.float64]:
        """Where the line is, across its run, at places along it."""
        return np.asarray(self.at + self.slope * np.asarray(along, dtype=np.float64))


def straight(
    along: npt.NDArray[np.float64],
    place: npt.NDArray[np.float64],
    weight: npt.NDArray[np.float64] | None = None,
) -> tuple[float, float]:
    """Slope and place at 0 of the line by weighted least squares."""
    share = (
        np.full(len(along), 1 / len(along))
        if weight is None
        else weight**2 / float((weight**2).sum())
    )
    middle, mean = float(share @ along), float(share @ place)
    away = along - middle
    slope = float((share * away) @ (place - mean)) / max(1e-9, float((share * away) @ away))
    return slope, mean - slope * middle


def fit(along: npt.NDArray[np.float64], place: npt.NDArray[np.float64]) -> tuple[FittedLine, float]:
    """A line through most of the points, and the share of them (0 to 1) that lie on it within 1.5
    pixels.

    It starts at the median slope between points half the run apart (after Theil and Sen) and is
    then fitted by least squares to what is near it."""
    half = len(along) // 2
    slope = float(
        np.median((place[half : 2 * half] - place[:half]) / (along[half : 2 * half] - along[:half]))
    )
    at = float(np.median(place - slope * along))
    near = np.ones(len(along), dtype=bool)
    for _ in range(3):
        off = np.abs(place - at - slope * along)
        near = off <= max(0.35, 2.5 * 1.4826 * float(np.median(off)))
        if int(near.sum()) < 6:
            break
        slope, at = straight(along[near], place[near])
    off = np.abs(place - at - slope * along)
    return FittedLine(at, slope, 1.4826 * float(np.median(off))), float((off <= 1.5).mean())


@dataclass(frozen=True)
class Strip:
    """The pixels beside a rough line, seen from outside in.

    `seen` is bands x steps x 3 levels, the mean of the rows of a band; `start` has for each band
    where its first step lies across the line, `along` where the band lies along it, and `inward` is
    1 or -1: which way the steps go."""

    seen: Pixels
    start: npt.NDArray[np.float64]
    along: npt.NDArray[np.float64]
    inward: int


def strip(
    work: Levels,
    rough: FittedLine,
    reach: tuple[float, float],
    out: float,
    into: float,
    inward: int,
    bands: int = BANDS,
) -> Strip:
    """Look at a picture beside a line that runs down it (turn the picture for one that runs
    across).

    `reach` is from where to where along the line, `out` and `into` how many pixels to look outward
    and inward."""
    height, width = work.shape[:2]
    low, high = max(0.0, reach[0]), min(float(height), reach[1])
    rows = np.clip(np.linspace(low, high - 1, bands * ROWS), 0, height - 1).astype(np.int64)
    steps = round(out + into) + 1
    mids = rows.astype(np.float64) + 0.5
    first = np.round(rough.place(mids) - inward * out - 0.5)
    columns = first[:, None].astype(np.int64) + inward * np.arange(steps)[None, :]
    seen = work[rows[:, None], np.clip(columns, 0, width - 1)]
    shape = (bands, ROWS)
    banded = seen.reshape(*shape, steps, 3).mean(axis=1, dtype=np.float32)
    start = np.asarray(first.reshape(shape).mean(axis=1) + 0.5, dtype=np.float64)
    return Strip(
        banded, start, np.asarray(mids.reshape(shape).mean(axis=1), dtype=np.float64), inward
    )


@dataclass(frozen=True)
class EdgeLine:
    """A line that could be the edge.

    `support` is how continuous it is, 0 to 1; `clear` is which share of the bands shows the bed
    just outside of it, `step` how many pixels inward from the strip's outer end it lies, and
    `sharp` the levels that the colour changes by from one pixel to the next."""

    line: FittedLine
    support: float
    clear: float
    step: int
    sharp: float


def candidates(beside: Strip, bed: Pixels, noise: float, most: int = 8) -> list[EdgeLine]:
    """The most continuous lines in a strip. `bed` is bands x 3 levels, `noise` the levels that its
    pixels vary by.

    Every band's change of colour is squeezed into 0 to 1, so that a faint line that goes on counts
    more than a strong one that does not; the sums over all slopes within 0.8 degrees of the rough
    line are then searched for peaks."""
    seen = beside.seen
    bands, steps = seen.shape[:2]
    change = np.zeros((bands, steps), dtype=np.float32)
    step = seen[:, 3:-1] + seen[:, 4:] - seen[:, 1:-3] - seen[:, :-4]
    change[:, 2:-2] = np.sqrt((step**2).sum(axis=2) / 3) / 2
    floor = max(1.6, 3.0 * noise)
    share = change**2 / (change**2 + floor**2)
    tilt = beside.along - beside.along.mean()
    shift = np.round(SLOPES[:, None] * tilt[None, :] * beside.inward).astype(np.int64)
    where = shift[:, :, None] + np.arange(steps)[None, None, :]
    inside = (where >= 0) & (where < steps)
    total = np.where(
        inside, share[np.arange(bands)[None, :, None], np.clip(where, 0, steps - 1)], 0
    ).mean(axis=1)
    best = total.max(axis=0)
    found: list[EdgeLine] = []
    off = np.abs(seen - bed[:, None, :]).max(axis=2)
    for at in np.argsort(-best):
        if best[at] < 0.3 or len(found) == most:
            break
        if any(abs(at - other) <= 2 for other in (one.step for one in found)):
            continue
        turn = int(total[:, at].argmax())
        found.append(
            _candidate(
                beside, off, int(at), float(SLOPES[turn]), shift[turn], float(best[at]), noise
            )
        )
    found = [one for one in found if not any(_flank(one, other) for other in found)]
    grey = (seen - bed[:, None, :]).mean(axis=(0, 2))
    return [one for one in found if not any(_shadow(one, other, grey) for other in found)]


def _flank(one: EdgeLine, other: EdgeLine) -> bool:
    """Whether a line is only the foot of a far sharper one beside it."""
    return (
        abs(one.step - other.step) <= 4
        and other.sharp > 2.0 * one.sharp
        and other.support > 0.8 * one.support
    )


def _shadow(outer: EdgeLine, inner: EdgeLine, grey: Pixels) -> bool:
    """Whether the outer line is where the card's shadow fades into the bed, and the inner one the
    card.

    Between the two it is darker than the bed, and the card's edge is either much the sharper, or
    light again."""
    if not 0 < inner.step - outer.step <= SHADOW or inner.support < min(0.5, 0.4 * outer.support):
        return False
    between = grey[outer.step : inner.step + 1]
    deep = -float(between.min())
    if inner.step + 4 >= len(grey):
        return False
    if between.mean() > -1.0 or outer.sharp / math.sqrt(3) > FADING * deep:
        return False
    rise = float(grey[inner.step + 2 : inner.step + 5].mean() - between.min())
    return rise > max(0.8, 0.08 * deep) or inner.sharp > 1.2 * outer.sharp


def _candidate(
    beside: Strip,
    off: Pixels,
    at: int,
    slope: float,
    shift: npt.NDArray[np.int64],
    support: float,
    noise: float,
) -> EdgeLine:
    # The rough line's own slope is in `start`; `slope` is what comes on top of it.
    places = beside.start + beside.inward * (at + shift)
    own = straight(beside.along, beside.start)[0]
    whole = own + slope
    line = FittedLine(float((places - whole * beside.along).mean()), whole)
    each = np.arange(beside.seen.shape[0])
    edge = np.clip(at + shift, 1, beside.seen.shape[1] - 2)
    fine = np.stack([beside.seen[each, edge + k] - beside.seen[each, edge + k - 1] for k in (0, 1)])
    sharp = float(np.median(np.sqrt((fine**2).sum(axis=2)).max(axis=0)))
    outside = np.clip(at + shift[:, None] - np.arange(4, 9)[None, :], 0, off.shape[1] - 1)
    bare = off[each[:, None], outside].mean(axis=1)
    return EdgeLine(line, support, float((bare <= max(14.0, 5 * noise)).mean()), at, sharp)


@dataclass(frozen=True)
class Side:
    """A line to a fraction of a pixel, the share of places (0 to 1) that agree with it within 1.5
    pixels, and whether it is `soft`: where a shadow fades into paper as dark as itself, and so only
    good to two pixels."""

    line: FittedLine
    agree: float
    soft: bool = False


def refine(
    work: Levels, line: FittedLine, reach: tuple[float, float], inward: int, *, shadows: bool = True
) -> Side:
    """The line beside a rough one, to a fraction of a pixel.

    At each band the change of colour is taken, along the side's own step from outside to inside
    where it has one, and the middle of its peak. A least-squares line goes through the peaks near
    the line as it was."""
    line, soft = _past_shadow(work, line, reach, inward) if shadows else (line, False)
    beside = strip(work, line, reach, 6, 6, inward, 48)
    seen = beside.seen
    change = (seen[:, 2:] - seen[:, :-2]) / 2  # at steps 1, 2, ...
    middle = change.shape[1] // 2
    way = change[:, middle - 1 : middle + 2].mean(axis=(0, 1))
    way = way / max(1e-6, float(np.linalg.norm(way)))
    along = np.maximum(change @ way, 0)
    own = np.sqrt((change**2).sum(axis=2))
    strength = (
        along if float(along.max(axis=1).mean()) > 0.7 * float(own.max(axis=1).mean()) else own
    )
    near = np.exp(-(((np.arange(strength.shape[1]) - middle) / 2.2) ** 2))[None, :]
    peak = np.clip((strength * near).argmax(axis=1), 1, strength.shape[1] - 2)
    each = np.arange(len(peak))
    before, at, after = strength[each, peak - 1], strength[each, peak], strength[each, peak + 1]
    bend = before - 2 * at + after
    part = np.where(
        np.abs(bend) > 1e-6, 0.5 * (before - after) / np.where(np.abs(bend) > 1e-6, bend, 1), 0
    )
    places = beside.start + inward * (peak + 1 + np.clip(part, -0.5, 0.5))
    floor = max(1.5, 0.2 * float(np.percentile(at, 90)))
    found, agree = _through(
        line, beside.along, places.astype(np.float64), np.where(at > floor, at, 0)
    )
    return Side(found, agree, soft)


def _through(
    line: FittedLine,
    along: npt.NDArray[np.float64],
    places: npt.NDArray[np.float64],
    strength: Pixels,
) -> tuple[FittedLine, float]:
    """A line by least squares through the places near another line, those with a strong change of
    colour more so."""
    weight = np.minimum(strength / max(1e-6, float(np.percentile(strength, 70))), 1.5)
    seen = strength > 0  # elsewhere the card looks like the bed behind it
    spread = 0.0
    for most in (1.8, 1.2, 0.0):
        off = np.abs(places - line.place(along))
        near = seen & (off <= (most or max(0.35, 2.5 * spread)))
        if int(near.sum()) < 8 or float(np.ptp(along[near])) < 0.3 * float(np.ptp(along)):
            return line, 0.0
        slope, at = straight(along[near], places[near], weight[near])
        line = FittedLine(at, slope)
        spread = 1.4826 * float(np.median(np.abs(places - line.place(along))[near]))
    good = seen & (np.abs(places - line.place(along)) <= 1.5)
    return FittedLine(line.at, line.slope, spread), float(good.sum() / seen.sum())


def _past_shadow(
    work: Levels, line: FittedLine, reach: tuple[float, float], inward: int
) -> tuple[FittedLine, bool]:
    """The same line, or moved inward to where the paper begins if it lies on a shadow; and whether
    that is a guess.

    A shadow fades in over several pixels. Where it ends in a dip darker than the paper, the paper
    begins on the inner side of the dip; where paper and shadow are as dark as each other, it begins
    where the fading stops."""
    out = 8
    seen = strip(work, line, reach, out, 16, inward).seen.mean(axis=2)
    grey = seen.mean(axis=0)
    dip = out - 2 + int(grey[out - 2 : out + SHADOW].argmin())
    deep = float(grey[:3].mean() - grey[dip])
    sharp = float(np.median(np.abs(np.diff(seen[:, out - 2 : out + 3], axis=1)).max(axis=1)))
    if deep < 2 or sharp > min(FADING * deep, 25):
        return line, False
    change = np.diff(grey)
    rise = float(grey[dip + 2 : dip + 5].mean() - grey[dip])
    if rise >= max(0.8, 0.08 * deep):
        flank = dip + int(np.abs(change[dip : dip + 4]).argmax())
        return FittedLine(line.at + inward * (flank + 0.5 - out), line.slope), False
    steepest = out - 2 + int(change[out - 2 : out + 4].argmin())
    stop = steepest
    while stop < out + SHADOW and change[stop + 1] < 0.22 * change[steepest]:
        stop += 1
    return FittedLine(line.at + inward * max(0.0, stop + 1.2 - out), line.slope), True
