"""Lettering from one typeface: bold, narrow, wide and slanted, with accents.

The typeface is the one Pillow carries inside itself, so a card is lettered alike on every machine.
It has no accented letters; the accents are drawn here. Sizes are pixels of the em on the picture
lettered."""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from PIL import Image, ImageDraw, ImageFont

if TYPE_CHECKING:
    from tagger.demo.art.brush import Ink

# Letters that Unicode does not take apart into a letter and an accent (they have no
# decomposition), and dashes that the typeface lacks.
_STROKED = {"ø": "o", "Ø": "O", "ł": "l", "Ł": "L"}
_DASHES = {"–": "-", "—": "-"}


@dataclass(frozen=True)
class Face:
    """How a line is lettered.

    ``size`` is the em in pixels, ``weight`` the extra stroke as a share of the em, ``width`` a
    factor (1 is normal), ``slant`` degrees to the right and ``tracking`` extra space as a share of
    the em."""

    size: float
    weight: float = 0.0
    width: float = 1.0
    slant: float = 0.0
    tracking: float = 0.0


@lru_cache(maxsize=64)
def _font(size: float) -> ImageFont.FreeTypeFont:
    # Without FreeType, Pillow gives a bitmap font of one size instead, and says nothing.
    font = ImageFont.load_default(size)
    if not isinstance(font, ImageFont.FreeTypeFont):
        raise RuntimeError(
            "this Pillow was built without FreeType, which the demo needs to letter its cards"
        )
    return font


def _plain(text: str) -> list[tuple[str, str]]:
    """Each letter as the typeface has it, with the mark it needs: a combining accent, "/" or
    nothing."""
    letters: list[tuple[str, str]] = []
    for letter in unicodedata.normalize("NFC", text):
        if letter in _STROKED:
            letters.append((_STROKED[letter], "/"))
            continue
        parts = unicodedata.normalize("NFD", _DASHES.get(letter, letter))
        letters.append((parts[0], parts[1:2]))
    return letters


def _space(face: Face) -> float:
    """The space between letters in pixels: tracking, and half of what bold strokes take away."""
    return (face.tracking + face.weight * 0.9) * face.size


@lru_cache(maxsize=1024)
def _places(base: str, face: Face) -> tuple[float, ...]:
    font = _font(face.size)
    step = _space(face)
    # From the length of the whole beginning, less its last letter: so kerning counts.
    ends = (font.getlength(base[: i + 1]) - font.getlength(base[i]) for i in range(len(base)))
    return tuple(end + i * step for i, end in enumerate(ends))


@lru_cache(maxsize=1024)
def measure(text: str, face: Face) -> float:
    """The width of a line in pixels, without the lean of a slant."""
    base = "".join(letter for letter, _ in _plain(text))
    length = _font(face.size).getlength(base) + _space(face) * max(0, len(base) - 1)
    return length * face.width


def narrowed(text: str, face: Face, room: float) -> Face:
    """The face that sets the text in ``room`` pixels: narrower first, down to 70 %, then
    smaller."""
    length = measure(text, face)
    if length <= room or length == 0:
        return face
    # Squeezed further, the strokes would close up; what is still too long gets smaller.
    squeeze = max(0.7, room / length)
    return replace(
        face, width=face.width * squeeze, size=face.size * min(1.0, room / (length * squeeze))
    )


def cap_height(size: float) -> float:
    """The height of a capital or a digit in pixels, for an em of ``size`` pixels."""
    box = _font(100).getbbox("H", anchor="ls")
    return -box[1] * size / 100


def lettering(text: str, face: Face) -> tuple[Image.Image, int, int]:
    """A mask ("L") of one line, and where its start on the baseline lies in it: x and y in
    pixels."""
    letters = _plain(text)
    base = "".join(letter for letter, _ in letters)
    font, bold = _font(face.size), face.weight * face.size
    # Room for accents above, hooks below and strokes that stand out at either end.
    pad = math.ceil(face.size * 0.25 + bold)
    rise, drop = math.ceil(face.size * 1.15 + bold), math.ceil(face.size * 0.35 + bold)
    natural = math.ceil(measure(text, replace(face, width=1.0)))
    mask = Image.new("L", (natural + 2 * pad, rise + drop), 0)
    pen = ImageDraw.Draw(mask)
    for (letter, mark), x in zip(letters, _places(base, face), strict=True):
        pen.text((pad + x, rise), letter, fill=255, font=font, anchor="ls", stroke_width=bold)
        if mark:
            _mark(pen, mark, letter, pad + x, rise, face)
    if face.width != 1.0:
        mask = mask.resize(
            (max(1, round(mask.width * face.width)), mask.height), Image.Resampling.LANCZOS
        )
        pad = round(pad * face.width)
    if face.slant:
        # A shear around the baseline: letters keep their feet where they stood.
        lean = math.tan(math.radians(face.slant))
        extra = math.ceil(lean * rise)
        size = (mask.width + extra + math.ceil(lean * drop), mask.height)
        shift = math.ceil(lean * drop)
        mask = mask.transform(
            size,
            Image.Transform.AFFINE,
            (1, lean, -lean * rise - shift, 0, 1, 0),
            Image.Resampling.BILINEAR,
        )
        pad += shift
    return mask, pad, rise


def _mark(
    pen: ImageDraw.ImageDraw, mark: str, letter: str, x: float, baseline: float, face: Face
) -> None:
    """Draw the accent of one letter that starts at ``x`` on the baseline."""
    em = face.size
    left, top, right, bottom = _font(em).getbbox(letter, anchor="ls")
    middle, height = x + (left + right) / 2, baseline + top
    stem = em * 0.066 + face.weight * em * 1.2
    thick = max(1, round(stem))
    over = height - em * 0.1 - face.weight * em
    if mark == "/":
        box = (x + left, height, x + right, baseline + bottom)
        _slash(pen, letter, box, em, max(1, round(stem * 0.8)))
    elif mark == "\u0327":
        hook = ((0.0, 0.0), (0.05, 0.1), (-0.07, 0.16))
        line = [(middle + a * em, baseline + b * em) for a, b in hook]
        pen.line(line, fill=255, width=thick, joint="curve")
    else:
        _accent(pen, mark, (middle, over), em, stem)


def _tilde(pen: ImageDraw.ImageDraw, at: tuple[float, float], em: float, stem: float) -> None:
    middle, over = at
    wave = [(k / 12 - 1, math.sin(math.pi * (k / 12))) for k in range(25)]
    line = [(middle + em * 0.17 * a, over - em * (0.045 * b + 0.03)) for a, b in wave]
    pen.line(line, fill=255, width=max(1, round(stem * 0.85)), joint="curve")


def _accent(
    pen: ImageDraw.ImageDraw, mark: str, at: tuple[float, float], em: float, stem: float
) -> None:
    """Draw what stands above a letter; ``at`` is the middle of its foot."""
    middle, over = at
    if mark == "\u0308":
        for dx in (-0.13, 0.13):
            _dot(pen, middle + dx * em, over - em * 0.02, stem * 0.68)
    elif mark == "\u030a":
        _dot(pen, middle, over - em * 0.04, em * 0.1 + stem / 2)
        _dot(pen, middle, over - em * 0.04, em * 0.1 - stem / 2, fill=0)
    elif mark == "\u0303":
        _tilde(pen, at, em, stem)
    else:
        # Grave leans to the left; acute, and any other that is short and slanted, to the right.
        lean = -1 if mark == "\u0300" else 1
        foot = (middle - lean * em * 0.05, over + em * 0.03)
        head = (middle + lean * em * 0.1, over - em * 0.11)
        pen.line((*foot, *head), fill=255, width=max(1, round(stem)))


def _slash(
    pen: ImageDraw.ImageDraw,
    letter: str,
    box: tuple[float, float, float, float],
    em: float,
    thick: int,
) -> None:
    """Draw the bar through an o or an l whose ink lies in ``box``."""
    left, top, right, bottom = box
    y = (top + bottom) / 2
    if letter in "oO":
        x, half, tall = (left + right) / 2, (right - left) * 0.5, (bottom - top) * 0.55
    elif letter == "L":
        # Only its stem is crossed, which is at the left.
        x, half, tall = left + em * 0.06, em * 0.17, em * 0.085
    else:
        x, half, tall = (left + right) / 2, em * 0.14, em * 0.085
    pen.line((x - half, y + tall, x + half, y - tall), fill=255, width=thick)


def _dot(pen: ImageDraw.ImageDraw, x: float, y: float, radius: float, fill: int = 255) -> None:
    pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=fill)


def write(
    picture: Image.Image,
    at: tuple[float, float],
    text: str,
    face: Face,
    colour: Ink,
    anchor: str = "l",
) -> tuple[int, int, int, int]:
    """Letter one line on a picture with its baseline at ``at``; ``anchor`` is l, m or r.

    Gives the box of the ink in pixels: left, top, right, bottom.
    """
    mask, start, rise = lettering(text, face)
    shift = {"l": 0.0, "m": 0.5, "r": 1.0}[anchor] * measure(text, face)
    x, y = round(at[0] - shift) - start, round(at[1]) - rise
    # The mask is thinned, since a pasted colour has no opacity of its own.
    if len(colour) == 4:
        opacity = colour[3] / 255
        mask = mask.point([round(v * opacity) for v in range(256)])
    picture.paste(colour[:3], (x, y), mask)
    box = mask.getbbox() or (0, 0, 0, 0)
    return (x + box[0], y + box[1], x + box[2], y + box[3])


def wrapped(text: str, face: Face, room: float) -> list[str]:
    """The text broken into lines of at most ``room`` pixels."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if line and measure(longer, face) > room:
            lines.append(line)
            line = word
        else:
            line = longer
    return [*lines, line] if line else lines
