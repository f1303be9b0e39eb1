"""The colours a terminal has, and pictures in them.

Escape sequences are SGR of ECMA-48 (8.3.117) with the indexed and direct colours of ITU-T T.416 as
xterm takes them. The 256 colours are xterm's: 16 system colours, a 6 x 6 x 6 cube on the levels 0,
95, 135, 175, 215, 255, and 24 greys."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from PIL import Image, ImageFilter

from tagger.preview.terminal_capabilities import Depth

RGB = tuple[int, int, int]

# The system colours as xterm draws them by default; terminals differ.
SYSTEM: tuple[RGB, ...] = (
    (0, 0, 0), (205, 0, 0), (0, 205, 0), (205, 205, 0), (0, 0, 238), (205, 0, 205), (0, 205, 205),
    (229, 229, 229),
    (127, 127, 127), (255, 0, 0), (0, 255, 0), (255, 255, 0),
    (92, 92, 255), (255, 0, 255), (0, 255, 255), (255, 255, 255),
)  # fmt: skip
# what a difference of colour weighs over one of lightness when one among 256 is chosen
COLOUR = 1.6
_LEVELS = (0, 95, 135, 175, 215, 255)
_CUBE = tuple((r, g, b) for r in _LEVELS for g in _LEVELS for b in _LEVELS)
_GREYS = tuple((8 + 10 * step,) * 3 for step in range(24))
XTERM: tuple[RGB, ...] = (*SYSTEM, *_CUBE, *((g, g, g) for g, _, _ in _GREYS))


class Palette:
    """Colours of one depth. A colour is a whole number; `ink` and `ground` give its SGR
    parameters."""

    def __init__(self, depth: Depth) -> None:
        self.depth = depth

    def indexes(self, picture: Image.Image) -> Sequence[int]:
        """The picture's colours, row by row."""
        if self.depth is Depth.TRUE:
            return _true(picture.tobytes())
        if self.depth is Depth.GREY:
            return [_grey(level) for level in picture.convert("L").tobytes()]
        if self.depth is Depth.C256:
            seen = picture.filter(perceptual())
            return [
                index + 16
                for index in seen.quantize(palette=_seen(), dither=Image.Dither.NONE).tobytes()
            ]
        return _among_sixteen(picture)

    def nearest(self, rgb: RGB) -> int:
        """The colour that comes nearest to red, green and blue."""
        return self.indexes(Image.new("RGB", (1, 1), rgb))[0]

    def ink(self, colour: int) -> str:
        """SGR parameters that set the foreground."""
        # 30 to 37, and 90 to 97 for the bright ones
        if self.depth is Depth.C16:
            return str(colour + (30 if colour < 8 else 82))
        return f"38;{self._code(colour)}"

    def ground(self, colour: int) -> str:
        """SGR parameters that set the background."""
        if self.depth is Depth.C16:
            return str(colour + (40 if colour < 8 else 92))
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


def _true(data: bytes) -> list[int]:
    """The colours of pixels of three bytes each as whole numbers, in 32 levels a channel."""
    # The lowest three bits are cut off: no eye sees them in a cell, and equal neighbours cost no
    # bytes.
    return [
        (data[i] & 0xF8) << 16 | (data[i + 1] & 0xF8) << 8 | (data[i + 2] & 0xF8)
        for i in range(0, len(data), 3)
    ]


def _among_sixteen(picture: Image.Image) -> bytes:
    """The nearest system colour of each pixel."""
    # few terminals have so few
    from PIL import ImageEnhance

    # Among sixteen colours most of a scan is nearest to a grey; stronger colours in flat areas are
    # told apart.
    strong = ImageEnhance.Contrast(ImageEnhance.Color(picture).enhance(2.2)).enhance(1.3)
    return strong.quantize(palette=_system(), dither=Image.Dither.NONE).tobytes()


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
def perceptual() -> ImageFilter.Color3DLUT:
    """From red, green and blue to the way `oklab` sees them, by a table and what lies between."""
    return ImageFilter.Color3DLUT.generate(13, _coded)


def oklab(red: float, green: float, blue: float) -> tuple[float, float, float]:
    """Lightness 0 to 1, and how red rather than green and yellow rather than blue a colour is,
    about -0.4 to 0.4.

    Red, green and blue are sRGB (IEC 61966-2-1) from 0 to 1. The matrices are B. Ottosson's, "A
    perceptual color space for image processing", 2020, https://bottosson.github.io/posts/oklab/.
    """
    r, g, b = _linear(red), _linear(green), _linear(blue)
    long = (0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b) ** (1 / 3)
    medium = (0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b) ** (1 / 3)
    short = (0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b) ** (1 / 3)
    return (
        0.2104542553 * long + 0.7936177850 * medium - 0.0040720468 * short,
        1.9779984951 * long - 2.4285922050 * medium + 0.4505937099 * short,
        0.0259040371 * long + 0.7827717662 * medium - 0.8086757660 * short,
    )


def _linear(channel: float) -> float:
    """The light of one channel of sRGB, 0 to 1 (IEC 61966-2-1)."""
    if channel <= 0.04045:
        return channel / 12.92
    return float(((channel + 0.055) / 1.055) ** 2.4)


def _coded(red: float, green: float, blue: float) -> tuple[float, float, float]:
    """As three channels from 0 to 1. Lightness counts less than colour: cards are told apart by
    their colours, and a muted brown should become a brown that is too light or dark before it
    becomes a grey."""
    light, redness, yellowness = oklab(red, green, blue)
    return light, 0.5 + redness * COLOUR, 0.5 + yellowness * COLOUR


@cache
def _seen() -> Image.Image:
    """Cube and greys of the 256 colours as a palette, as `perceptual` gives them."""
    # Without the system colours: terminals draw those as they or their users like.
    colours = Image.new("RGB", (len(XTERM) - 16, 1))
    colours.putdata(XTERM[16:])
    seen = colours.filter(perceptual()).tobytes()
    return _carried([(seen[i], seen[i + 1], seen[i + 2]) for i in range(0, len(seen), 3)])


@cache
def _system() -> Image.Image:
    """The sixteen system colours as a palette."""
    return _carried(SYSTEM)


def _carried(colours: Sequence[RGB]) -> Image.Image:
    """A picture that carries these colours as its palette, as Pillow's `quantize` wants it."""
    # Filled up with a colour that is there: empty places of a palette are black.
    padded = (*colours, *((colours[-1],) * (256 - len(colours))))
    carrier = Image.new("P", (1, 1))
    carrier.putpalette([channel for colour in padded for channel in colour])
    return carrier
