"""Which sides lie upside down, told by their lot-mates: the sides of the same kind (fronts or
backs) of the same set.

What a set's sides have in common (a frame, a plate, a badge, the layout of a back) stands at the
same place in most of them. The median of all shows it, and each side is held against that as it
lies and turned by 180 degrees. What most of a set's sides say is taken as upright: a set that was
fed upside down as a whole cannot be seen from here. Cards that lie on their long side are known by
their shape (`Edges.sideways`) and are stood up first."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from PIL import Image

from tagger.core.audit.orientation_runs import LEAST, Orientation, Orientations

SIZE = (20, 28)  # fields across and down that a side is looked at in
ROUNDS = 8
FEWEST = 4  # sides of a set, below which they say nothing of each other
FAINT = 0.5  # of what a set's sides usually say: a side that says less is not called upside down
_GRAIN = 6.0  # levels: what two copies of the same field differ by
_TEMPER = 10.0  # fields that lie together say the same thing over again

Fields = npt.NDArray[np.float32]


def fields_of(crop: Image.Image) -> bytes:
    """The mean colours of 20 x 28 fields of a straight, standing crop (RGB), in reading order: 1680
    bytes."""
    small = crop.resize(SIZE, Image.Resampling.BOX)
    return small.tobytes()


def find_orientations(fields: Sequence[bytes], sets: Sequence[int]) -> Orientations:
    """How sides of one kind lie, in feeding order.

    `fields` are theirs (`fields_of`), `sets` says which set each belongs to, by any number. Of a
    side that has fewer than FEWEST in its set nothing is known."""
    ways = [Orientation.UNKNOWN] * len(fields)
    sure = [0.0] * len(fields)
    groups: dict[int, list[int]] = {}
    for at, name in enumerate(sets):
        groups.setdefault(name, []).append(at)
    for members in groups.values():
        if len(members) < FEWEST:
            continue
        odds = _odds_upright(_array([fields[at] for at in members]))
        usual = FAINT * float(np.median(np.abs(odds)))
        for at, value in zip(members, odds.tolist(), strict=True):
            sure[at] = abs(value)
            ways[at] = _way(value, usual)
    return Orientations(tuple(ways), tuple(sure))


def _way(odds: float, usual: float) -> Orientation:
    """How a side lies whose odds for upright are these, in a set where so much is usual."""
    if odds >= LEAST:
        return Orientation.UPRIGHT
    # a parallel in other colours says less than its mates, not the opposite
    if odds <= -max(LEAST, usual):
        return Orientation.UPSIDE_DOWN
    return Orientation.UNKNOWN


def _array(fields: Sequence[bytes]) -> Fields:
    whole = np.frombuffer(b"".join(fields), np.uint8).reshape(-1, SIZE[1], SIZE[0], 3)
    return whole.astype(np.float32)


def _odds_upright(seen: Fields) -> npt.NDArray[np.float64]:
    """What speaks for each side of a set being upright, as a logarithm of odds, negative for upside
    down."""
    over = seen[:, ::-1, ::-1]
    signs = np.ones(len(seen), dtype=bool)
    odds = np.zeros(len(seen))
    # Each round lays the sides as the last one found them; two layings could take turns for ever.
    for _ in range(ROUNDS):
        odds = _odds(seen, over, signs)
        after = odds >= 0
        if bool((after == signs).all()):
            break
        signs = after
    # Which of the two ways is up cannot be seen: the one that most of the set lies.
    return odds if signs.mean() >= 0.5 else -odds


def _odds(seen: Fields, over: Fields, signs: npt.NDArray[np.bool_]) -> npt.NDArray[np.float64]:
    """Each side against the middle of the others, with these taken to lie as `signs` says (True:
    upright)."""
    laid = np.where(signs[:, None, None, None], seen, over)
    # Among many the side itself hardly moves the median; among few it would speak for itself.
    if len(seen) > 12:
        return _against(seen, over, laid)
    keep = ~np.eye(len(seen), dtype=bool)
    each = [
        _against(seen[at : at + 1], over[at : at + 1], laid[keep[at]])[0] for at in range(len(seen))
    ]
    return np.asarray(each)


def _against(seen: Fields, over: Fields, laid: Fields) -> npt.NDArray[np.float64]:
    """How much better each side fits the middle of those that are `laid` as it is than turned."""
    middle = np.median(laid, axis=0)
    spread = 1.4826 * np.median(np.abs(laid - middle), axis=0) + _GRAIN
    # Bounded: a field where another player stands must not outvote the frame around it.
    as_is = np.minimum(((seen - middle) / spread) ** 2, 9.0)
    turned = np.minimum(((over - middle) / spread) ** 2, 9.0)
    return np.asarray((turned - as_is).sum(axis=(1, 2, 3)) / 2 / 3 / _TEMPER, dtype=np.float64)
