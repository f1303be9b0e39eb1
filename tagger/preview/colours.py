"""The colours a terminal has, and pictures in them.

Escape sequences are SGR of ECMA-48 (8.3.117) with the indexed and direct colours of ITU-T T.416 as xterm takes them.
The 256 colours are xterm's: 16 system colours, a 6 x 6 x 6 cube on the levels 0, 95, 135, 175, 215, 255, and 24 greys.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from functools import cache

from PIL import Image, ImageEnhance

RGB = tuple[int, int, int]

# The system colours as xterm draws them by default; terminals differ.
SYSTEM: tuple[RGB, ...] = (
    (0, 0, 0), (205, 0, 0), (0, 205, 0), (205, 205, 0), (0, 0, 238), (205, 0, 205), (0, 205, 205), (229, 229, 229),
    (127, 127, 127), (255, 0, 0), (0, 255, 0), (255, 255, 0),
    (92, 92, 255), (255, 0, 255), (0, 255, 255), (255, 255, 255),
)  # fmt: skip
_LEVELS = (0, 95, 135, 175, 215, 255)
_CUBE = tuple((r, g, b) for r in _LEVELS for g in _LEVELS for b in _LEVELS)
_GREYS = tuple((8 + 10 * step,) * 3 for step in range(24))
XTERM: tuple[RGB, ...] = (*SYSTEM, *_CUBE, *((g, g, g) for g, _, _ in _GREYS))


class Depth(StrEnum):
    """How many colours previews may use."""

    TRUE = "true"
    C256 = "256"
    C16 = "16"
    GREY = "grey"


class Palette:
    """Colours of one depth. A colour is a whole number; `ink` and `ground` give its SGR parameters."""

    def __init__(self, depth: Depth) -> None:
        self.depth = depth

    def indexes(self, picture: Image.Image) -> Sequence[int]:
        """The picture's colours, row by row."""
        if self.depth is Depth.TRUE:
            data = picture.tobytes()
            # The lowest three bits are cut off: no eye sees them in a cell, and equal neighbours cost no bytes.
            return [
                (data[i] & 0xF8) << 16 | (data[i + 1] & 0xF8) << 8 | (data[i + 2] & 0xF8)
                for i in range(0, len(data), 3)
            ]
        if self.depth is Depth.GREY:
            return [_grey(level) for level in picture.convert("L").tobytes()]
        if self.depth is Depth.C256:
            return [
                index + 16 for index in picture.quantize(palette=_carrier(16, 256), dither=Image.Dither.NONE).tobytes()
            ]
        # Among sixteen colours most of a scan is nearest to a grey; stronger colours in flat areas are told apart.
        strong = ImageEnhance.Contrast(ImageEnhance.Color(picture).enhance(2.2)).enhance(1.3)
        return strong.quantize(palette=_carrier(0, 16), dither=Image.Dither.NONE).tobytes()

    def ink(self, colour: int) -> str:
        """SGR parameters that set the foreground."""
        if self.depth is Depth.C16:
            return str(30 + colour if colour < 8 else 82 + colour)
        return f"38;{self._code(colour)}"

    def ground(self, colour: int) -> str:
        """SGR parameters that set the background."""
        if self.depth is Depth.C16:
            return str(40 + colour if colour < 8 else 92 + colour)
        return f"48;{self._code(colour)}"

    def rgb(self, colour: int) -> RGB:
        """The colour as red, green and blue, 0 to 255."""
        if self.depth is Depth.TRUE:
            return colour >> 16, colour >> 8 & 255, colour & 255
        return XTERM[colour]

    def _code(self, colour: int) -> str:
        if self.depth is Depth.TRUE:
            return f"2;{colour >> 16};{colour >> 8 & 255};{colour & 255}"
        return f"5;{colour}"


@cache
def palette(depth: Depth) -> Palette:
    """The one palette of a depth."""
    return Palette(depth)


@cache
def _grey(level: int) -> int:
    """The nearest of black, xterm's 24 greys and white to a level of 0 to 255."""
    choices: tuple[int, ...] = (16, *range(232, 256), 231)
    return min(choices, key=lambda index: (abs(XTERM[index][0] - level), index))


@cache
def _carrier(first: int, end: int) -> Image.Image:
    """A picture that carries a part of the 256 colours as its palette, as Pillow's `quantize` wants it."""
    colours = XTERM[first:end]
    padded = (*colours, *((colours[-1],) * (256 - len(colours))))
    carrier = Image.new("P", (1, 1))
    carrier.putpalette([channel for colour in padded for channel in colour])
    return carrier
