"""Half blocks: two pixels a cell, one above the other, with U+2580 UPPER HALF BLOCK and U+2584 LOWER HALF BLOCK."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from PIL import Image

from tagger.preview.colours import Depth, Palette, palette

UPPER, LOWER, FULL, SPACE = "▀", "▄", "█", " "


@dataclass(frozen=True, slots=True)
class CellRow:
    """One row of cells. `top` and `bottom` are the palette's colours of each cell's upper and lower pixel."""

    top: Sequence[int]
    bottom: Sequence[int]
    depth: Depth

    @property
    def width(self) -> int:
        """In cells."""
        return len(self.top)

    def ansi(self) -> str:
        """The row as text for the terminal. Only what changes from cell to cell is sent; ends with SGR 0."""
        return _ansi(self.top, self.bottom, palette(self.depth))

    def cells(self) -> Iterator[tuple[str, tuple[int, int, int], tuple[int, int, int]]]:
        """(character, foreground, background) of each cell, colours as red, green and blue."""
        rgb = palette(self.depth).rgb
        for upper, lower in zip(self.top, self.bottom, strict=True):
            yield UPPER, rgb(upper), rgb(lower)


def draw(picture: Image.Image, depth: Depth) -> list[CellRow]:
    """An RGB picture as rows of cells, two pixel rows a row of cells; an odd last row is doubled."""
    if picture.height % 2:
        taller = Image.new("RGB", (picture.width, picture.height + 1))
        taller.paste(picture.crop((0, picture.height - 1, picture.width, picture.height)), (0, picture.height))
        taller.paste(picture, (0, 0))
        picture = taller
    colours = palette(depth).indexes(picture)
    width = picture.width
    rows = [colours[start : start + width] for start in range(0, len(colours), width)]
    return [CellRow(top, bottom, depth) for top, bottom in zip(rows[::2], rows[1::2], strict=True)]


def _ansi(top: Sequence[int], bottom: Sequence[int], colours: Palette) -> str:
    out: list[str] = []
    ink = ground = -1
    for upper, lower in zip(top, bottom, strict=True):
        if upper == lower:
            if upper == ground:
                out.append(SPACE)
            elif upper == ink:
                out.append(FULL)
            else:
                ground = upper
                out.append(f"\x1b[{colours.ground(upper)}m ")
            continue
        straight = upper == ink or lower == ground or not (lower == ink or upper == ground)
        fore, back, block = (upper, lower, UPPER) if straight else (lower, upper, LOWER)
        if fore != ink and back != ground:
            out.append(f"\x1b[{colours.ink(fore)};{colours.ground(back)}m")
        elif fore != ink:
            out.append(f"\x1b[{colours.ink(fore)}m")
        elif back != ground:
            out.append(f"\x1b[{colours.ground(back)}m")
        ink, ground = fore, back
        out.append(block)
    out.append("\x1b[0m")
    return "".join(out)
