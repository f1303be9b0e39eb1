"""Cells in colours as they are to the same cells in colours that the terminal has.

Among 256 colours few are muted, and most of a card is. A cell in which nothing is to be seen but
one such colour is drawn as a fine check of two colours whose mean it is. While the mean is near
enough the check goes on as it is, which costs three bytes a cell; so truer colours cost no more on
the line than the nearest ones would."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import Any, NamedTuple

from PIL import Image, ImageChops

from tagger.preview.cells import CellRow
from tagger.preview.colours import RGB, XTERM, palette
from tagger.preview.terminal_capabilities import Depth

# Distances are levels of 0 to 255, twice red plus three times green plus twice blue.
EVEN = 40  # between a cell's two colours, below which it is drawn as one
HELD = 70  # between a cell and the check in force, below which that goes on
NEAR = 55  # that a colour in force may be further from a pixel than the nearest is
CLOSE = 24  # between a cell and the nearest colour, below which no second one is needed
CHECK = 320  # between the two colours of a check: more would be seen as a pattern


class TwoColourCells(NamedTuple):
    """A picture as cells of two colours. `masks` has a row a row of cells; a cell's pixels are
    bits, 1 for the upper left, then in reading order, set where a pixel has the ink. `ink` and
    `ground` are RGB, a pixel a cell."""

    masks: Sequence[Sequence[int]]
    ink: Image.Image
    ground: Image.Image


class Glyphs(NamedTuple):
    """A drawing's glyphs by mask, and the masks of a check for cells at even and at odd places."""

    by_mask: Sequence[str]
    check: tuple[int, int]
    inverse: dict[str, str]


def glyphs(by_mask: Sequence[str], check: tuple[int, int]) -> Glyphs:
    """Glyphs in the order of their masks, with the one that fills what another leaves."""
    return Glyphs(by_mask, check, dict(zip(by_mask, reversed(by_mask), strict=True)))


def painted(fit: TwoColourCells, shapes: Glyphs, depth: Depth) -> list[CellRow]:
    """The cells in the colours of a depth."""
    if depth is Depth.C256:
        return _checked(fit, shapes)
    width, rows = fit.ink.size
    # in one picture: sixteen colours are chosen by its contrast
    both = Image.new("RGB", (width, rows * 2))
    both.paste(fit.ink, (0, 0))
    both.paste(fit.ground, (0, rows))
    colours = palette(depth).indexes(both)
    lines = [colours[start : start + width] for start in range(0, len(colours), width)]
    return [
        CellRow(
            "".join([shapes.by_mask[mask] for mask in masks]), ink, ground, depth, shapes.inverse
        )
        for masks, ink, ground in zip(fit.masks, lines[:rows], lines[rows:], strict=True)
    ]


def _checked(fit: TwoColourCells, shapes: Glyphs) -> list[CellRow]:
    """The cells in 256 colours, even ones as a check."""
    width = fit.ink.width
    colours = palette(Depth.C256)
    middle = Image.blend(fit.ink, fit.ground, 0.5)
    first = colours.indexes(middle)
    # Half of what the nearest colour lacks is put on top of what is wanted; the nearest to that
    # makes up for it.
    near = Image.new("RGB", middle.size)
    near.putdata([XTERM[colour] for colour in first])
    beyond = ImageChops.add(middle, ImageChops.subtract(middle, near, scale=2))
    second = colours.indexes(
        ImageChops.subtract(beyond, ImageChops.subtract(near, middle, scale=2))
    )
    single = _below(CLOSE, near, middle)
    even = _below(EVEN, fit.ink, fit.ground)
    inks, grounds = colours.indexes(fit.ink), colours.indexes(fit.ground)
    seen = [picture.get_flattened_data() for picture in (fit.ink, fit.ground, middle)]
    columns = (even, single, first, second, inks, grounds, *seen)
    rows = []
    for y, masks in enumerate(fit.masks):
        at = slice(y * width, (y + 1) * width)
        cells = zip(masks, *(column[at] for column in columns), strict=True)
        rows.append(CellRow(*_line(cells, y, shapes), Depth.C256, shapes.inverse))
    return rows


def _below(most: int, one: Image.Image, other: Image.Image) -> bytes:
    """Not 0 for each pixel that is nearer than `most` in two RGB pictures."""
    apart = ImageChops.difference(one, other).convert("L", (2 / 7, 3 / 7, 2 / 7, 0))
    return apart.point([255 if level * 7 < most else 0 for level in range(256)]).tobytes()


def _line(cells: Iterable[tuple[Any, ...]], y: int, shapes: Glyphs) -> tuple[str, bytes, bytes]:
    """Glyphs, inks and grounds of a row of cells: mask, whether a cell is even, whether one colour
    is enough, the colours of a check, of ink and of ground, and the colours as they are of ink, of
    ground and of their mean."""
    glyphs: list[str] = []
    inks: list[int] = []
    grounds: list[int] = []
    one = two = -1  # the colours in force
    held: RGB | None = None  # what they are as a check, None where they are too far apart for one
    checks = [shapes.by_mask[mask] for mask in shapes.check]
    for x, (mask, even, single, first, second, ink, ground, over, under, middle) in enumerate(
        cells
    ):
        if even:
            # A check that goes on costs its glyph alone, so it may be farther off than a new one.
            if held is None or _apart(held, middle) >= HELD:
                one, two, held = _even_colours(first, second, bool(single))
            glyphs.append(checks[(x + y) & 1])
        else:
            one, two = _kept(one, two, ink, over), _kept(two, one, ground, under)
            held = _check(one, two)
            glyphs.append(shapes.by_mask[mask])
        inks.append(one)
        grounds.append(two)
    return "".join(glyphs), bytes(inks), bytes(grounds)


def _even_colours(first: int, second: int, single: bool) -> tuple[int, int, RGB]:
    """The two colours of an even cell, and what they look like together: a check where it is
    wanted and would not be seen as one, else the first alone."""
    if not single:
        # In one order, so that the same two make the same check wherever they meet.
        one, two = sorted((first, second))
        held = _check(one, two)
        if held is not None:
            return one, two, held
    return first, first, XTERM[first]


def _kept(one: int, two: int, nearest: int, wanted: RGB) -> int:
    """A colour in force where it is nearly as good as the nearest to what is wanted."""
    if nearest in (one, two):
        return nearest
    enough = _apart(XTERM[nearest], wanted) + NEAR
    for colour in (one, two):
        if colour >= 0 and _apart(XTERM[colour], wanted) < enough:
            return colour
    return nearest


@cache
def _check(one: int, two: int) -> RGB | None:
    """What a check of two colours looks like from afar, None where it would be seen as a check."""
    a, b = XTERM[one], XTERM[two]
    if _apart(a, b) > CHECK:
        return None
    return (a[0] + b[0]) // 2, (a[1] + b[1]) // 2, (a[2] + b[2]) // 2


def _apart(one: RGB, other: RGB) -> int:
    return abs(one[0] - other[0]) * 2 + abs(one[1] - other[1]) * 3 + abs(one[2] - other[2]) * 2
