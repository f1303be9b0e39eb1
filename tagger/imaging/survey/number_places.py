"""Where the number may stand on sides of one design: small print that lies by itself at one place
of each side, and on backs differs from card to card. Nothing is read.

Backs are laid over one another as filled-in forms are to tell what was printed on all from
what was filled in (form dropout, R. G. Casey et al., "Intelligent forms processing", IBM Systems
Journal 29 (3), 1990). Each place where a word lies is then judged by a logistic regression over
what a card number is like: short, of figures of one height, apart from other words, near an edge.
`tests/bench/run loupe --fit` gives its weights, from drawn sides; the table of that topic is of
others. Lengths are pixels, (0, 0) at the outer corner of the first one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from tagger.core.audit.number_place import NumberSpot
from tagger.imaging.survey.sides import SHIFT, Box, Side, difference

if TYPE_CHECKING:
    from tagger.imaging.reading.small_print import Words

FAR = 4.0  # heights of a word: as far as it counts how far the next one is
LIKELY = 24  # places that are compared between cards: those likeliest by one card
MOST = 5  # places that are told
ONE_VIEW = (0.05, 0.015)  # of the side: places so near to each other are seen at once


class Features(NamedTuple):
    """What is judged of a place, and how much each counts; lengths in heights of its words."""

    bias: float = 0.0
    differs: float = 0.0  # the print on the cards, in the middle of all pairs and in the alikest
    always: float = 0.0
    wide: float = 0.0
    slim: float = 0.0
    many: float = 0.0  # letters, more than four; or one
    single: float = 0.0
    even: float = 0.0
    unclear: float = 0.0
    high: float = 0.0  # percent of the side, over 2
    unusual: float = 0.0
    larger: float = 0.0  # than the other words of the side
    left: float = 0.0  # how far the next word is
    right: float = 0.0
    above: float = 0.0
    below: float = 0.0
    nearest: float = 0.0
    second: float = 0.0
    peers: float = 0.0  # words of its column or line as high as it
    across: float = 0.0  # how far the nearest edge of the side is
    down: float = 0.0
    edge: float = 0.0
    lower: float = 0.0
    unsteady: float = 0.0

    def score(self, weights: Features) -> float:
        """Log odds that the number stands here."""
        return sum(value * weight for value, weight in zip(self, weights, strict=True))


ONE_CARD = Features(
    bias=-1.8,
    differs=0.0,
    always=0.0,
    wide=-3.93,
    slim=-3.36,
    many=-3.18,
    single=-1.14,
    even=4.51,
    unclear=-9.65,
    high=1.72,
    unusual=-0.82,
    larger=-0.26,
    left=-2.02,
    right=1.21,
    above=-0.41,
    below=-1.45,
    nearest=2.14,
    second=3.56,
    peers=-0.38,
    across=-2.29,
    down=-7.78,
    edge=-10.85,
    lower=1.59,
    unsteady=0.0,
)
ON_FRONTS = Features(
    bias=-3.23,
    differs=0.0,
    always=0.0,
    wide=-2.06,
    slim=-0.16,
    many=-0.44,
    single=-1.07,
    even=2.96,
    unclear=-3.46,
    high=0.37,
    unusual=-0.24,
    larger=1.44,
    left=1.54,
    right=0.12,
    above=-1.47,
    below=0.95,
    nearest=1.8,
    second=2.13,
    peers=0.39,
    across=-3.65,
    down=-17.79,
    edge=-15.17,
    lower=0.94,
    unsteady=0.0,
)
COMPARED = Features(
    bias=-3.49,
    differs=2.77,
    always=0.28,
    wide=-4.35,
    slim=-4.63,
    many=-3.04,
    single=-1.29,
    even=4.92,
    unclear=-5.87,
    high=1.67,
    unusual=-0.63,
    larger=-0.37,
    left=-2.73,
    right=0.66,
    above=-0.33,
    below=-1.43,
    nearest=2.96,
    second=3.71,
    peers=-0.55,
    across=-2.38,
    down=-2.19,
    edge=-17.98,
    lower=1.59,
    unsteady=-3.46,
)


@dataclass(frozen=True)
class Slot:
    """A place where a word lies: the box in which it lies on all sides, and what it is like."""

    box: Box
    features: Features


def number_spots(sides: Sequence[Side], of: str) -> tuple[NumberSpot, ...]:
    """Where the number may stand on sides of one design (`of` says which, "front" or "back") that
    all lie the same way, the likeliest place first."""
    spots: list[NumberSpot] = []
    for slot in _best(sides, of):
        spot = _spot(slot.box, sides[0].grey.shape)
        if not any(_seen_at_once(spot, other) for other in spots):
            spots.append(spot)
    return tuple(spots[:MOST])


def _best(sides: Sequence[Side], of: str) -> list[Slot]:
    # On fronts all differs from card to card: that says nothing of the number.
    if of == "front":
        return likely_slots(sides, ON_FRONTS)
    found = likely_slots(sides, ONE_CARD)
    if len(sides) == 1:
        return found
    return ranked([compared(sides, slot) for slot in found], COMPARED)


def likely_slots(sides: Sequence[Side], weights: Features) -> list[Slot]:
    """Each place at which a word lies on the first side and on the others, as far as it is one of
    the LIKELY ones by these weights; the likeliest first."""
    lattice = [_Lattice(side.words) for side in sides]
    places = (_members(sides, at) for at in range(len(sides[0].words)))
    alone = [_slot(sides, lattice, members) for members in places if members is not None]
    return ranked(alone, weights)[:LIKELY]


def ranked(slots: Sequence[Slot], weights: Features) -> list[Slot]:
    """The likeliest first."""
    return sorted(slots, key=lambda slot: -slot.features.score(weights))


def _spot(box: Box, shape: tuple[int, ...]) -> NumberSpot:
    left, top, right, lower = (float(value) for value in box)
    high, wide = shape[0], shape[1]
    return NumberSpot(
        (left + right) / 2 / wide,
        (top + lower) / 2 / high,
        (right - left) / wide,
        (lower - top) / high,
    )


def _seen_at_once(one: NumberSpot, other: NumberSpot) -> bool:
    return abs(one.x - other.x) < ONE_VIEW[0] and abs(one.y - other.y) < ONE_VIEW[1]


def _members(sides: Sequence[Side], at: int) -> list[int] | None:
    """The words at the place of a word of the first side, by side; None where most sides have none
    there. A side without one has -1."""
    first = sides[0].words
    box, light = first.boxes[at], first.light[at]
    high = box[3] - box[1]
    members = [at]
    for side in sides[1:]:
        words = side.words
        near = _near(box, high, words) & (words.light == light)
        off = np.abs(words.boxes - box).sum(axis=1)
        members.append(int(np.argmin(np.where(near, off, np.inf))) if near.any() else -1)
    here = sum(member >= 0 for member in members)
    return members if here >= len(sides) - (len(sides) > 2) else None


def _near(box: Box, high: float, words: Words) -> npt.NDArray[np.bool_]:
    """Which words lie at the place of a box: on its line, as high, and with their left ends, right
    ends or middles together."""
    boxes = words.boxes
    tall = boxes[:, 3] - boxes[:, 1]
    lies = np.abs(boxes[:, 1] + boxes[:, 3] - box[1] - box[3]) / 2 <= 0.35 * high + SHIFT
    lies &= np.maximum(tall, high) <= 1.35 * np.minimum(tall, high)
    ends = np.abs(boxes[:, [0, 2]] - box[[0, 2]])
    middle = np.abs(boxes[:, 0] + boxes[:, 2] - box[0] - box[2]) / 2
    together = np.minimum(ends.min(axis=1), middle) <= 0.4 * high + SHIFT
    return np.asarray(lies & together)


def _slot(sides: Sequence[Side], lattice: Sequence[_Lattice], members: Sequence[int]) -> Slot:
    here = [(at, member) for at, member in enumerate(members) if member >= 0]
    boxes = np.array([sides[at].words.boxes[member] for at, member in here])
    box = np.concatenate([boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)])
    rows = np.array([lattice[at].row(member) for at, member in here])
    shape = sides[0].grey.shape
    high = float(np.median(boxes[:, 3] - boxes[:, 1]))
    aspect = float((boxes[:, 2] - boxes[:, 0]).max()) / high
    size = 100 * high / max(shape)
    x, y = float(box[0] + box[2]) / 2 / shape[1], float(box[1] + box[3]) / 2 / shape[0]
    letters, even, unclear, larger, left, right, above, below, peers = rows.mean(axis=0).tolist()
    nearest, second = np.sort(rows[:, 4:8], axis=1)[:, :2].mean(axis=0).tolist()
    across, down = min(x, 1 - x), min(y, 1 - y)
    return Slot(
        box,
        Features(
            bias=1.0,
            wide=_part(aspect - 2.5, 4),
            slim=max(0.0, 0.8 - aspect),
            many=_part(letters - 4, 4),
            single=float(letters <= 1.0),
            even=even,
            unclear=unclear,
            high=size - 2.0,
            unusual=(size - 2.3) ** 2,
            larger=larger,
            left=left,
            right=right,
            above=above,
            below=below,
            nearest=nearest,
            second=second,
            peers=peers,
            across=across,
            down=down,
            edge=min(across, down),
            lower=float(y > 0.5),
            unsteady=float(np.abs(boxes[:, 3] - np.median(boxes[:, 3])).max()) / high,
        ),
    )


def compared(sides: Sequence[Side], slot: Slot) -> Slot:
    """With how much the print differs between the cards."""
    pairs = combinations(sides, 2)
    differs = sorted(difference(one.grey, other.grey, slot.box) for one, other in pairs)
    middle = differs[len(differs) // 2]
    features = slot.features._replace(differs=_part(middle, 0.5), always=_part(differs[0], 0.4))
    return Slot(slot.box, features)


def _part(value: float, of: float) -> float:
    return min(1.0, max(0.0, value / of))


class _Lattice:
    """How each word of a side lies among the others."""

    def __init__(self, words: Words) -> None:
        self._words = words
        boxes = words.boxes
        self._high = boxes[:, 3] - boxes[:, 1]
        self._usual = float(np.median(self._high)) if len(words) else 1.0

    def row(self, at: int) -> list[float]:
        """Letters, evenness, unclearness, height over the usual (its logarithm); how far the next
        word is on the left, right, above and below (1: FAR and more); how many words are of its
        column or line and as high."""
        words, box, high = self._words, self._words.boxes[at], float(self._high[at])
        boxes = words.boxes
        line = np.minimum(boxes[:, 3], box[3]) - np.maximum(boxes[:, 1], box[1])
        row = line > 0.3 * np.minimum(high, self._high)
        shared = np.minimum(boxes[:, 2], box[2]) - np.maximum(boxes[:, 0], box[0])
        column = shared > -0.5 * high
        row[at] = column[at] = False
        gaps = [
            _next(box[0] - boxes[row, 2], high),
            _next(boxes[row, 0] - box[2], high),
            _next(box[1] - boxes[column, 3], high),
            _next(boxes[column, 1] - box[3], high),
        ]
        alike = np.abs(self._high - high) <= 0.12 * high + 1
        beside = alike & (row | column) & (np.abs(boxes - box).min(axis=1) < 8 * high)
        return [
            float(words.letters[at]), float(words.even[at]), float(words.clear[at]),
            float(np.log(high / self._usual)), *gaps, float(np.log1p(beside.sum())),
        ]  # fmt: skip


def _next(gaps: npt.NDArray[np.float64], high: float) -> float:
    """The least of some distances in heights, over FAR; words that overlap do not count."""
    ahead = gaps[gaps > -0.3 * high]
    return float(min(FAR, max(0.0, ahead.min() / high))) / FAR if len(ahead) else 1.0
