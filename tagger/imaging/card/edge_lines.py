"""Lines beside a rough one that could be a card's edge: all continuous ones, found by a Hough
transform over the few slopes that are possible."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from tagger.imaging.card.lines import (
    DEEPEST,
    FADING,
    LIGHT,
    PAPER,
    SHADOW,
    FittedLine,
    Strip,
    grey_of,
    is_dark_card,
    mean,
    mean_along,
    rise,
    square_of,
    straight,
)

if TYPE_CHECKING:
    from tagger.imaging.card.lines import Pixels

LEAST = 0.3  # how continuous a line is at least
PAST_SHADOW = (12, 18)  # pixels outside of a line: there a shadow has faded out
PAST_WIDE_SHADOW = (22, 30)  # the same on a light bed, where a lamp at one side throws a wide one
BARE = 14.0  # levels off the bed at most, where nothing lies on it
GROWS = 0.5  # levels that a shadow grows darker by towards the card, at least
FAINT_DIP = 30.0  # levels darker than the bed, below which it is no printed line
REAL = (0.6, 0.75)  # `support` and `clear` of a line that is no shadow, outside of another
# Of a light bed: how continuous and by what sharper an edge is outside of which all is its shadow,
# levels that this grows darker by, the part of it in the half beside the card, and how many pixels
# it reaches.
FIRM, FAR_SHARPER, DEEP_SHADOW, NEAR_CARD, MOST_SHADOW = 0.9, 3.0, 6.0, 0.4, 34
SLOPES = np.linspace(-1.0, 1.0, 21) * math.tan(math.radians(0.8))

Shifts = npt.NDArray[np.int64]
Greys = list[float]  # by how many levels each step of a strip is lighter than the bed


@dataclass(frozen=True)
class EdgeLine:
    """A line that could be the edge.

    `support` is how continuous it is, 0 to 1; `clear` is which share of the bands shows the bed
    just outside of it, `step` how many pixels inward from the strip's outer end it lies, and
    `sharp` the levels that the colour changes by from one pixel to the next. `shadow`: it looks
    like where a shadow begins, which on a light bed the edge of a printed card does too. On a light
    bed there are two more: `within`, outside of it lies paper, so that it may be print; `paper`, it
    is where that paper ends."""

    line: FittedLine
    support: float
    clear: float
    step: int
    sharp: float
    shadow: bool = False
    within: bool = False
    paper: bool = False


def candidates(beside: Strip, bed: Pixels, noise: float, most: int = 8) -> list[EdgeLine]:
    """The most continuous lines in a strip. `bed` is bands x 3 levels, `noise` the levels that its
    pixels vary by.

    Every band's change of colour is squeezed into 0 to 1, so that a faint line that goes on counts
    more than a strong one that does not; the sums over all slopes within 0.8 degrees of the rough
    line are then searched for peaks."""
    shifts = _shifts(beside)
    sums = _sums_along(_change_shares(beside.seen, noise), shifts)
    signed = beside.seen - bed[:, None, :]
    peaks = _peaks(sums.max(axis=0), most)
    turns = sums[:, peaks].argmax(axis=0)
    place = _Peaks(np.asarray(peaks, np.int64), SLOPES[turns], shifts[turns], sums[turns, peaks])
    level = float(bed.mean())
    found = _lines(beside, signed, place, noise, level) if peaks else []
    return _without_echoes(found, grey_of(mean_along(signed, 0)).tolist(), level)


def _without_echoes(lines: list[EdgeLine], grey: Greys, level: float) -> list[EdgeLine]:
    """The lines without those that only follow from another one, or on a light bed marked as such.
    `grey` is by how many levels the strip is lighter at each step than the bed, which has this
    level."""
    # First the feet of sharp lines: one of them must not pass for the card behind a shadow.
    lines = [one for one in lines if not any(_flank(one, other) for other in lines)]
    shadows = [any(_shadow(one, other, grey, level) for other in lines) for one in lines]
    if level <= LIGHT:
        return [one for one, shadow in zip(lines, shadows, strict=True) if not shadow]
    flagged = zip(lines, shadows, strict=True)
    marked = _with_paper([_marked(one, shadow=shadow) for one, shadow in flagged], grey)
    return [one for one in marked if not any(_in_deep_shadow(one, other, grey) for other in lines)]


def _in_deep_shadow(outer: EdgeLine, inner: EdgeLine, grey: Greys) -> bool:
    """Whether a line on a light bed is certainly within the shadow of the card whose edge is the
    inner line, far sharper: from the one to the other it grows darker all the way, as paper does
    not."""
    away = inner.step - outer.step
    if (
        not 3 < away <= MOST_SHADOW
        or inner.support < FIRM
        or inner.sharp < FAR_SHARPER * outer.sharp
    ):
        return False
    if outer.step < 2 or rise(grey, outer.step) > PAPER:
        return False
    # up to where the blur of the card's edge begins
    begins, ends = max(0, outer.step - 4), inner.step - 2
    way = grey[begins : ends + 1]
    falls = all(later <= before + GROWS for before, later in zip(way, way[2:], strict=False))
    deep, half_way = way[0] - way[-1], way[len(way) // 2] - way[-1]
    return falls and deep >= DEEP_SHADOW and half_way >= NEAR_CARD * deep


def _with_paper(lines: list[EdgeLine], grey: Greys) -> list[EdgeLine]:
    """The lines, marked as those of print within paper and of where that ends."""
    real = {one.step for one in lines if not one.shadow and _is_real(one)}
    steps = [one.step for one in lines]
    inside = {step for step in steps if _paper_before(step, real, grey)}
    edges = {edge for step in inside for edge in _paper_before(step, real, grey)} - inside
    return [_marked(one, within=one.step in inside, paper=one.step in edges) for one in lines]


def _marked(
    one: EdgeLine, *, shadow: bool = False, within: bool = False, paper: bool = False
) -> EdgeLine:
    """The line with these marks as well; itself where there are none, as a copy takes its time."""
    if not (shadow or within or paper):
        return one
    return replace(one, shadow=one.shadow or shadow, within=within, paper=paper)


def _paper_before(step: int, real: set[int], grey: Greys) -> list[int]:
    """The steps of real lines from which on there is paper up to another step."""
    return [outer for outer in real if outer < step - 3 and _is_paper(grey, outer, step)]


def _is_real(one: EdgeLine) -> bool:
    return one.support >= REAL[0] and one.clear >= REAL[1]


def _peaks(best: Pixels, most: int) -> list[int]:
    """The steps at which lines are most continuous, at most so many, best first."""
    found: list[int] = []
    same: set[int] = set()
    order = np.argsort(-best)
    for at in order[best[order] >= LEAST].tolist():
        if at in same:
            continue
        if len(found) == most:
            break
        found.append(at)
        # a peak is wider than a pixel: its neighbours are the same line
        same.update(range(at - 2, at + 3))
    return found


def _change_shares(seen: Pixels, noise: float) -> Pixels:
    """For each band and step how much the colour changes there, 0 to 1: bands x steps."""
    share = np.zeros(seen.shape[:2], dtype=np.float32)
    step = seen[:, 3:-1] + seen[:, 4:] - seen[:, 1:-3] - seen[:, :-4]
    # A twelfth of it is the square of the change from pixel to pixel.
    squares = square_of(step)
    floor = max(1.6, 3.0 * noise)
    share[:, 2:-2] = squares / (squares + np.float32(12 * floor * floor))
    return share


def _shifts(beside: Strip) -> Shifts:
    """For each slope and band by how many steps a line of that slope is off there."""
    tilt = beside.along - beside.along.mean()
    shifts = np.round(SLOPES[:, None] * tilt[None, :] * beside.inward)
    return np.asarray(shifts, dtype=np.int64)


def _sums_along(share: Pixels, shifts: Shifts) -> Pixels:
    """The mean share along the line of each slope at each step: slopes x steps."""
    bands, steps = share.shape
    room = int(np.abs(shifts).max())
    wide = np.zeros((bands, steps + 2 * room), np.float32)
    wide[:, room : room + steps] = share
    first = shifts + np.arange(room, wide.size, wide.shape[1])
    # All runs of so many steps, without a copy of any but those that are asked for.
    runs = np.ndarray((wide.size - steps + 1, steps), np.float32, wide, 0, (4, 4))
    return np.asarray(np.add.reduce(runs[first], axis=1) / np.float32(bands))


def _flank(one: EdgeLine, other: EdgeLine) -> bool:
    """Whether a line is only the foot of a far sharper one beside it."""
    return (
        abs(one.step - other.step) <= 4
        and other.sharp > 2.0 * one.sharp
        and other.support > 0.8 * one.support
    )


def _shadow(outer: EdgeLine, inner: EdgeLine, grey: Greys, level: float) -> bool:
    """Whether the outer line is where the card's shadow fades into the bed, and the inner one the
    card.

    Between the two it is darker than the bed, and the card's edge is either much the sharper, or
    light again."""
    if not 0 < inner.step - outer.step <= SHADOW or inner.support < min(0.5, 0.4 * outer.support):
        return False
    between = grey[outer.step : inner.step + 1]
    deep = -min(between)
    # Too near the end of the strip to see what comes behind it.
    if inner.step + 4 >= len(grey):
        return False
    if mean(between) > -1.0 or _is_paper(grey, outer.step, inner.step):
        return False
    if _is_too_sharp(outer, inner, grey, deep):
        return False
    inside = mean(grey[inner.step + 2 : inner.step + 5])
    # Of a dark card in its own shadow the inner line is the sharper one.
    if outer.sharp > inner.sharp and is_dark_card(level, deep, -inside):
        return False
    rise = inside + deep
    return rise > max(0.8, 0.08 * deep) or inner.sharp > 1.2 * outer.sharp


def _is_paper(grey: Greys, outer: int, inner: int) -> bool:
    """Whether what lies between two steps is paper, and the inner one print: a shadow is not
    lighter inward at its outer end, and grows darker all the way to the card."""
    if rise(grey, outer) > PAPER:
        return True
    # Where its own blur ends and where that of the print begins.
    begins, ends = outer + 2, inner - 4
    return begins <= ends and min(grey[ends : ends + 2]) >= grey[begins] - GROWS


def _is_too_sharp(outer: EdgeLine, inner: EdgeLine, grey: Greys, deep: float) -> bool:
    """Whether a line is sharper than a shadow begins: what is only so many levels darker than the
    bed, and ends in something lighter, is too faint for a printed line, however sharp it is."""
    if outer.sharp / math.sqrt(3) <= FADING * deep:
        return False
    return deep >= FAINT_DIP or rise(grey, inner.step) <= PAPER


@dataclass(frozen=True)
class _Peaks:
    """Where lines are most continuous, best first: the step at the strip's middle, the slope on top
    of the rough line's, by how many steps each band is off for that (peaks x bands), and how
    continuous it is."""

    step: npt.NDArray[np.int64]
    slope: Pixels
    shift: Shifts
    support: Pixels


def _lines(
    beside: Strip, signed: Pixels, peaks: _Peaks, noise: float, level: float
) -> list[EdgeLine]:
    """The lines at the peaks. `signed` is by how many levels each place of the strip is lighter
    than the bed, which has this level."""
    step = peaks.step[:, None] + peaks.shift
    places = beside.start + beside.inward * step
    # The rough line's own slope is in `start`; the peak's comes on top of it.
    whole = straight(beside.along, beside.start)[0] + peaks.slope
    at = np.add.reduce(places - whole[:, None] * beside.along, axis=1) / len(beside.along)
    each = np.arange(beside.seen.shape[0])
    edge = np.minimum(np.maximum(step, 1), beside.seen.shape[1] - 2)
    before, here, behind = (beside.seen[each, edge + k] for k in (-1, 0, 1))
    squares = [square_of(one - other) for one, other in ((here, before), (behind, here))]
    sharp = np.maximum(*squares)
    sharp.sort(axis=1)
    half = len(each) // 2
    bare = _off_bed(signed, step, level)
    clear = np.count_nonzero(bare <= max(BARE, 5 * noise), axis=1) / len(each)
    middle = np.sqrt(sharp[:, half - 1 : half + 1])
    return [
        EdgeLine(FittedLine(*line), *worth)
        for line, worth in zip(
            np.stack([at, whole], axis=1).tolist(),
            zip(
                peaks.support.tolist(),
                clear.tolist(),
                peaks.step.tolist(),
                ((middle[:, 0] + middle[:, 1]) / 2).tolist(),
                strict=True,
            ),
            strict=True,
        )
    ]


def _off_bed(signed: Pixels, step: Shifts, level: float) -> Pixels:
    """By how many levels it is another colour than the bed outside of each step (lines x bands):
    four to eight pixels away, as right at an edge lies its blur. A shadow is looked past."""
    off = np.abs(signed)
    off = np.maximum(np.maximum(off[..., 0], off[..., 1]), off[..., 2])
    each, last = np.arange(len(off)), off.shape[1] - 1

    def seen(levels: Pixels, first: int, past: int) -> Pixels:
        at = np.minimum(np.maximum(step - np.arange(first, past)[:, None, None], 0), last)
        return mean_along(levels[each, at], 0)

    bare = seen(off, 4, 9)
    # Nothing is much darker than a dark bed.
    if DEEPEST * level <= BARE:
        return bare
    past = np.minimum(bare, seen(off, *PAST_SHADOW))
    # Of a light bed nothing more is asked: what is print there is told by the paper around it.
    if level > LIGHT:
        return np.asarray(np.minimum(past, seen(off, *PAST_WIDE_SHADOW)))
    darker = -seen(grey_of(signed), 4, 9)
    return np.asarray(np.where((darker > 0) & (darker <= DEEPEST * level), past, bare))
