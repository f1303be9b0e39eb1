"""The stripes along both long sides of a divider, by which one is known whose code cannot be
read."""

from __future__ import annotations

from itertools import pairwise

# mm from the side of a card of 2.5 x 3.5 in, and the height of a block
OUTSIDE, INSIDE, BLOCK = 2.5, 7.5, 6.35
BLOCKS = 14
DARK = range(0, BLOCKS, 2)  # the blocks that are black, from above
# A side is kept as 20 x 28 fields of red, green and blue: a block is two of them high.
_ACROSS, _DOWN = 20, 28
_COLUMNS = (1, _ACROSS - 2)  # the columns of fields that lie within the stripes
_TINT, _STEP = 40, 60  # levels: less colour, and more contrast, than ink on paper shows
_MOST_WRONG = 2  # of the 13 steps from block to block, where a card is soiled or torn


def looks_like_divider(fields: bytes) -> bool:
    """Whether a side, as its 20 x 28 mean colours, has the stripes of a divider, either way up."""
    if len(fields) != 3 * _ACROSS * _DOWN:
        return False
    return all(_is_striped(_blocks(fields, column)) for column in _COLUMNS)


def _blocks(fields: bytes, column: int) -> list[float] | None:
    """The grey of the blocks of a column; None where they are coloured."""
    greys = []
    for row in range(_DOWN):
        at = 3 * (row * _ACROSS + column)
        colour = fields[at : at + 3]
        # One coloured field is enough: black stripes on paper have none, printed borders mostly do.
        if max(colour) - min(colour) > _TINT:
            return None
        greys.append(sum(colour) / 3)
    return [(one + other) / 2 for one, other in zip(greys[::2], greys[1::2], strict=True)]


def _is_striped(blocks: list[float] | None) -> bool:
    if blocks is None:
        return False
    steps = [after - before for before, after in pairwise(blocks)]
    # Upside down, dark and light blocks change places: 14 is an even count. So both are tried.
    up = sum(step * (-1) ** at >= _STEP for at, step in enumerate(steps))
    down = sum(-step * (-1) ** at >= _STEP for at, step in enumerate(steps))
    return bool(max(up, down) >= len(steps) - _MOST_WRONG)
