"""What the scanner does to a card: dark bed, a little skew, soft light, noise, JPEG. Lengths are
pixels."""

from __future__ import annotations

import io
import random
from functools import lru_cache

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from tagger.demo.art.brush import fade
from tagger.demo.art.foil import grain, roughened
from tagger.demo.art.sheet import DPI

PAGE = (820, 1130)
MOST_SKEW = 1.2  # degrees
QUALITY = 82
MARK = b"Harbor demo lot"  # the comment in every scan of a demo, by which its own files are known


@lru_cache(maxsize=1)
def _noise() -> Image.Image:
    """The sensor's noise; every page has it moved to another place."""
    # Made once: a million random bytes and a blur for each page would show nothing more.
    return grain(PAGE, random.Random("noise of the scanner"), 7, 0.55)


def _bed(paper: Image.Image, rng: random.Random) -> Image.Image:
    """The dark lid behind the card, with the card's soft shadow and dust; ``paper`` is where the
    card lies."""
    small = (PAGE[0] // 4, PAGE[1] // 4)
    bed = fade(small, ((0.0, (27, 28, 31)), (0.5, (22, 23, 26)), (1.0, (18, 19, 22))))
    # At a quarter of the size: all of it is soft.
    near = paper.resize(small, Image.Resampling.BOX).filter(ImageFilter.GaussianBlur(2.25))
    # The lamp stands to the left and above: light on that side of the card, shadow on the other.
    bed.paste(
        (58, 59, 64),
        (0, 0),
        ImageChops.offset(near, -1, -1).point([round(v * 0.55) for v in range(256)]),
    )
    bed.paste(
        (4, 4, 6), (0, 0), ImageChops.offset(near, 2, 3).point([round(v * 0.8) for v in range(256)])
    )
    bed = bed.resize(PAGE, Image.Resampling.BILINEAR)
    pen = ImageDraw.Draw(bed, "RGBA")
    for _ in range(rng.randint(3, 12)):
        x, y, r = rng.uniform(0, PAGE[0]), rng.uniform(0, PAGE[1]), rng.uniform(0.6, 1.6)
        pen.ellipse((x - r, y - r, x + r, y + r), fill=(120, 120, 124, 150))
    return bed


def scanned(card: Image.Image, rng: random.Random) -> Image.Image:
    """The page that the scanner makes of a card (RGBA): an RGB picture of 820 x 1130 pixels."""
    angle = max(-MOST_SKEW, min(MOST_SKEW, rng.gauss(0, 0.5)))
    # A margin without colour, so that turning mixes the card's edge with nothing.
    loose = Image.new("RGBA", (card.width + 4, card.height + 4), (70, 68, 66, 0))
    loose.paste(card, (2, 2))
    turned = loose.rotate(angle, Image.Resampling.BILINEAR, expand=True)
    x = (PAGE[0] - turned.width) // 2 + rng.randint(-9, 9)
    y = (PAGE[1] - turned.height) // 2 + rng.randint(-11, 11)
    paper = turned.getchannel("A")
    cast = Image.new("L", PAGE, 0)
    cast.paste(paper, (x, y))
    page = _bed(cast, rng)
    page.paste(turned.convert("RGB"), (x, y), paper)
    # The cut edge of the card catches the lamp where it faces it.
    rim = ImageChops.subtract(cast, ImageChops.offset(cast, 1, 1)).point(
        [v // 2 for v in range(256)]
    )
    page.paste((236, 234, 228), (0, 0), rim)
    # No black and no white: a scanner's own light reaches the sensor, and paper is not a mirror.
    page = page.point(
        [round(lamp + v * (246 - lamp) / 255) for lamp in (6, 6, 8) for v in range(256)]
    )
    if rng.random() < 0.25:
        _hair(page, rng)
    noise = ImageChops.offset(_noise(), rng.randrange(PAGE[0]), rng.randrange(PAGE[1]))
    return roughened(page, noise)


def _hair(page: Image.Image, rng: random.Random) -> None:
    """A hair on the glass."""
    x, y = rng.uniform(80, PAGE[0] - 80), rng.uniform(80, PAGE[1] - 80)
    points = [(x, y)]
    for _ in range(9):
        x, y = x + rng.uniform(-7, 7), y + rng.uniform(2, 9)
        points.append((x, y))
    ImageDraw.Draw(page, "RGBA").line(points, fill=(70, 66, 64, 120), width=1)


def jpeg(page: Image.Image) -> bytes:
    """The page as the scanner saves it: JPEG at 300 dpi, known as the demo's own by its comment."""
    out = io.BytesIO()
    page.save(out, "JPEG", quality=QUALITY, dpi=(DPI, DPI), comment=MARK)
    return out.getvalue()
