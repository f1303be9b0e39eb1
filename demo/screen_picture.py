"""A terminal's screen as a picture: a monospaced font where the system has one, block characters
drawn as rectangles, so that previews join without seams."""

from __future__ import annotations

from pathlib import Path

import pyte
from PIL import Image, ImageDraw, ImageFont

MARGIN = 8
PLACES = (
    "/usr/share/fonts/truetype/dejavu/DejaVuSansMono{}.ttf",
    "/usr/share/fonts/dejavu-sans-mono-fonts/DejaVuSansMono{}.ttf",
    "/usr/share/fonts/TTF/DejaVuSansMono{}.ttf",
    "/Library/Fonts/DejaVuSansMono{}.ttf",
)
GROUND, INK = (17, 22, 26), (217, 212, 197)
# The sixteen colours as xterm has them by default; all others come as red, green and blue.
NAMED = {
    "black": (0, 0, 0), "red": (205, 0, 0), "green": (0, 205, 0), "brown": (205, 205, 0),
    "blue": (0, 0, 238), "magenta": (205, 0, 205), "cyan": (0, 205, 205),
    "white": (229, 229, 229),
}  # fmt: skip
# Quarters of a cell that a character fills: upper left, upper right, lower left, lower right.
BLOCKS = {
    "▀": "1100", "▄": "0011", "█": "1111", "▌": "1010", "▐": "0101", "▘": "1000", "▝": "0100",
    "▖": "0010", "▗": "0001", "▚": "1001", "▞": "0110", "▛": "1110", "▜": "1101", "▙": "1011",
    "▟": "0111",
}  # fmt: skip

Colour = tuple[int, int, int]


class ScreenPicture:
    """Draws screens, one like the other."""

    def __init__(self, size: int) -> None:
        """`size` of the font, in pixels."""
        plain, bold = (_font(style, size) for style in ("", "-Bold"))
        self._fonts = {False: plain, True: bold}
        self._wide = round(plain.getlength("M"))
        top, bottom = plain.getbbox("|█")[1::2]
        self._high = max(2 * self._wide, round(bottom - top) // 2 * 2)

    def image(self, screen: pyte.Screen) -> Image.Image:
        """The screen as it stands."""
        wide, high = self._wide, self._high
        size = screen.columns * wide + 2 * MARGIN, screen.lines * high + 2 * MARGIN
        image = Image.new("RGB", size, GROUND)
        draw = ImageDraw.Draw(image)
        for y in range(screen.lines):
            for x in range(screen.columns):
                self._cell(draw, MARGIN + x * wide, MARGIN + y * high, screen.buffer[y][x])
        return image

    def _cell(self, draw: ImageDraw.ImageDraw, x: int, y: int, cell: pyte.screens.Char) -> None:
        ink, ground = _colour(cell.fg, INK), _colour(cell.bg, GROUND)
        if cell.reverse:
            ink, ground = ground, ink
        right, bottom = x + self._wide - 1, y + self._high - 1
        if ground != GROUND:
            draw.rectangle((x, y, right, bottom), fill=ground)
        quarters = BLOCKS.get(cell.data)
        if quarters is None:
            if cell.data.strip():
                font = self._fonts[cell.bold]
                draw.text((x, y + self._high * 0.78), cell.data, fill=ink, font=font, anchor="ls")
            return
        across, down = x + self._wide // 2, y + self._high // 2
        corners = ((x, y), (across, y), (x, down), (across, down))
        ends = ((across - 1, down - 1), (right, down - 1), (across - 1, bottom), (right, bottom))
        for filled, start, end in zip(quarters, corners, ends, strict=True):
            if filled == "1":
                draw.rectangle((*start, *end), fill=ink)


def _font(style: str, size: int) -> ImageFont.FreeTypeFont:
    for place in PLACES:
        path = Path(place.format(style))
        if path.exists():
            return ImageFont.truetype(str(path), size)
    found = ImageFont.load_default(size)
    assert isinstance(found, ImageFont.FreeTypeFont)
    return found


def _colour(name: str, usual: Colour) -> Colour:
    if name == "default":
        return usual
    if name in NAMED:
        return NAMED[name]
    if name.startswith("bright"):
        return tuple(min(255, part + 50) for part in NAMED[name.removeprefix("bright")])  # type: ignore[return-value]
    return int(name[:2], 16), int(name[2:4], 16), int(name[4:6], 16)
