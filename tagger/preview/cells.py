"""Rows of terminal cells: a glyph, its ink and its ground each, and the least text that puts them
on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.preview.colours import RGB, Palette, palette

if TYPE_CHECKING:
    from tagger.preview.terminal_capabilities import Depth

SPACE, FULL = " ", "█"


@dataclass(frozen=True, slots=True)
class CellRow:
    """One row of cells. `glyphs` is a character a cell; `ink` and `ground` are the palette's
    colours of what the glyph fills and what it leaves; `inverse` gives for each glyph the one that
    fills what it leaves."""

    glyphs: str
    ink: Sequence[int]
    ground: Sequence[int]
    depth: Depth
    inverse: dict[str, str]

    @property
    def width(self) -> int:
        """In cells."""
        return len(self.glyphs)

    def ansi(self) -> str:
        """The row as text for the terminal. Only what changes from cell to cell is sent; ends with
        SGR 0."""
        return _ansi(self, palette(self.depth))

    def cells(self) -> Iterator[tuple[str, RGB, RGB]]:
        """(glyph, ink, ground) of each cell, colours as red, green and blue."""
        rgb = palette(self.depth).rgb
        for glyph, ink, ground in zip(self.glyphs, self.ink, self.ground, strict=True):
            yield glyph, rgb(ink), rgb(ground)


def _ansi(row: CellRow, colours: Palette) -> str:
    # One loop without calls: it runs for each cell of each picture on its way to the screen.
    out: list[str] = []
    ink = ground = -1  # as the terminal has them; not known at first
    inverse = row.inverse
    for glyph, fore, back in zip(row.glyphs, row.ink, row.ground, strict=True):
        if fore == back or glyph in (SPACE, FULL):
            colour = back if glyph == SPACE else fore
            if colour == ground:
                out.append(SPACE)
            elif colour == ink:
                # a full block in the ink that is set costs no escape sequence
                out.append(FULL)
            else:
                ground = colour
                out.append(f"\x1b[{colours.ground(colour)}m ")
            continue
        # The same cell with ink and ground exchanged, where that leaves one of the two as it is.
        if fore != ink and back != ground and (fore == ground or back == ink) and glyph in inverse:
            fore, back, glyph = back, fore, inverse[glyph]
        if fore != ink and back != ground:
            out.append(f"\x1b[{colours.ink(fore)};{colours.ground(back)}m")
        elif fore != ink:
            out.append(f"\x1b[{colours.ink(fore)}m")
        elif back != ground:
            out.append(f"\x1b[{colours.ground(back)}m")
        ink, ground = fore, back
        out.append(glyph)
    # What the terminal draws next must not take the colours of this row.
    out.append("\x1b[0m")
    return "".join(out)
