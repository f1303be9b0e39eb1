"""The colour of a card's frame, from the mean colours of its fields, and which cards of a lot have
another one than the cards around them: outliers by the median absolute deviation (Hampel, "The
influence curve and its role in robust estimation", 1974)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

ACROSS, DOWN = 20, 28  # fields of a card, each 3.2 mm
EVEN = 26.0  # levels: a field of the frame is this near to the frame's colour
MOST_UNEVEN = 0.3  # of the frame's fields may be further off: a frame has a logo in it
AROUND = 30  # neighbours that are compared with
LEAST, FRAMED = 12, 0.6  # of them, and part of them, must have a frame
ALIKE = 7.0  # levels: the neighbours have one colour where half of them are this near to it
APART, TIMES = 24.0, 5.0  # levels at least, and times what half of the neighbours are apart
MOST_UNLIKE = 0.2  # of the neighbours may have another colour: with more there are two sets


class FrameColour(NamedTuple):
    """Lightness and two differences of colour (luma, Cb and Cr of ITU-R BT.601), in levels."""

    light: float
    blue: float
    red: float

    def off(self, other: FrameColour) -> float:
        """How far two colours are apart. Lightness counts half: scanners change it from card to
        card, and a sheen does."""
        return max(
            abs(self.light - other.light) / 2,
            abs(self.blue - other.blue),
            abs(self.red - other.red),
        )


def frame_colour(fields: bytes) -> FrameColour | None:
    """The colour of the outermost fields; None where they have no colour in common. `fields` as in
    `Measured`."""
    rim = [fields[3 * at : 3 * at + 3] for at in _RIM]
    if not fields:
        return None
    red, green, blue = (sorted(channel)[len(rim) // 2] for channel in zip(*rim, strict=True))
    near = sum(max(abs(a - red), abs(b - green), abs(c - blue)) <= EVEN for a, b, c in rim)
    if near < (1 - MOST_UNEVEN) * len(rim):
        return None
    light = 0.299 * red + 0.587 * green + 0.114 * blue
    return FrameColour(light, 0.564 * (blue - light), 0.713 * (red - light))


_RIM = [
    across + ACROSS * down
    for down in range(DOWN)
    for across in range(ACROSS)
    if across in (0, ACROSS - 1) or down in (0, DOWN - 1)
]


def unlike_runs(colours: Sequence[FrameColour | None]) -> list[tuple[int, int]]:
    """The stretches, as first and last index, of cards in feeding order whose frame is unlike those
    around it, and alike among themselves."""
    unlike = [at for at in range(len(colours)) if _is_unlike(colours, at)]
    runs: list[tuple[int, int]] = []
    for at in unlike:
        before, colour = colours[at - 1] if at else None, colours[at]
        if runs and runs[-1][1] == at - 1 and before and colour and before.off(colour) < APART / 2:
            runs[-1] = runs[-1][0], at
        else:
            runs.append((at, at))
    return runs


def _is_unlike(colours: Sequence[FrameColour | None], at: int) -> bool:
    own = colours[at]
    first = max(0, min(at - AROUND // 2, len(colours) - AROUND - 1))
    around = [*colours[first:at], *colours[at + 1 : first + AROUND + 1]]
    found = [colour for colour in around if colour is not None]
    # Where most have none, the frame of one is art that happens to be of one colour at its rim.
    if own is None or len(found) < max(LEAST, FRAMED * len(around)):
        return False
    usual = FrameColour(*(sorted(values)[len(found) // 2] for values in zip(*found, strict=True)))
    apart = sorted(colour.off(usual) for colour in found)
    spread = apart[len(apart) // 2]
    least = max(APART, TIMES * spread)
    unlike = sum(off > least for off in apart)
    return spread <= ALIKE and unlike <= MOST_UNLIKE * len(found) and own.off(usual) > least
