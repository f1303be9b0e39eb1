"""One side of a card as a picture to hand over: in its pose, in its own colours or sRGB, with
nothing private."""

from __future__ import annotations

import io
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from PIL import Image

from tagger.imaging.scan.pictures import SCALING, SQUARE, read_with_colours
from tagger.imaging.scan.profiles import in_srgb, srgb

if TYPE_CHECKING:
    from tagger.core.model.pose import Pose

LONGEST = 65_500  # pixels: no side of a JPEG that Pillow writes can have more
SMALL = 300_000  # pixels
GAP = 0.03  # between two sides that are joined, of the height
BETWEEN = (255, 255, 255)


@dataclass(frozen=True)
class ImageOptions:
    """How pictures are to be: at most `longest` pixels (None: as fine as the scan, as far as memory
    allows), JPEG `quality` (1 to 100), turned into sRGB, front and back joined in one. Pictures are
    never enlarged."""

    longest: int | None = None
    quality: int = 90
    srgb: bool = False
    joined: bool = False


@dataclass(frozen=True)
class RenderedSide:
    """A picture, RGB; its dots per inch, None where they are not known; its ICC profile, empty
    where it has none."""

    picture: Image.Image
    dpi: float | None
    profile: bytes


def render_side(folder: Path, name: str, pose: Pose, wish: ImageOptions) -> RenderedSide:
    """A side as it is to be handed over. Raises PictureError."""
    longest = min(wish.longest or LONGEST, LONGEST)
    read = read_with_colours(folder, name, (longest, longest), SQUARE, pose)
    picture, scale, in_file, profile = read
    # What was measured on the card goes before what the file says, which may be wrong.
    dpi = pose.dpi or in_file
    made = RenderedSide(picture, dpi and dpi * scale, profile)
    return _srgb(made) if wish.srgb else made


def picture_file(folder: Path, sides: tuple[tuple[str, Pose], ...], wish: ImageOptions) -> bytes:
    """A JPEG file (ITU-T T.81) of one or two sides, those of two beside each other. It holds
    pixels, dots per inch and the profile, and nothing else of what the scans say about themselves.
    Raises PictureError."""
    first, *others = (render_side(folder, name, pose, wish) for name, pose in sides)
    for other in others:
        first = beside(first, other, wish.longest)
    return encoded(first, wish.quality)


def beside(left: RenderedSide, right: RenderedSide, longest: int | None) -> RenderedSide:
    """Two pictures in one, in the coarser one's scale; in sRGB where they have not the same
    profile."""
    if left.profile != right.profile:
        left, right = _srgb(left), _srgb(right)
    left, right = _equally_fine(left, right)
    one, two = left.picture, right.picture
    high = max(one.height, two.height)
    gap = round(high * GAP)
    page = Image.new("RGB", (one.width + gap + two.width, high), BETWEEN)
    page.paste(one, (0, (high - one.height) // 2))
    page.paste(two, (one.width + gap, (high - two.height) // 2))
    made = RenderedSide(page, left.dpi if right.dpi else None, left.profile)
    return _scaled(made, min(1.0, min(longest or LONGEST, LONGEST) / max(page.size)))


def _equally_fine(left: RenderedSide, right: RenderedSide) -> tuple[RenderedSide, RenderedSide]:
    # Front and back of a card are equally large, whatever they were scanned at.
    if left.dpi and right.dpi and abs(left.dpi / right.dpi - 1) > 0.01:
        coarser = min(left.dpi, right.dpi)
        return _scaled(left, coarser / left.dpi), _scaled(right, coarser / right.dpi)
    return left, right


def encoded(side: RenderedSide, quality: int) -> bytes:
    """The bytes of a JPEG file."""
    plain = side.picture
    # a picture made of another carries on what that one said of itself, and comments would be
    # written; it is not copied first, since it may be large
    plain.info = {}
    out = io.BytesIO()
    # Code tables of its own make a small picture a tenth smaller in no more time; of a large one
    # they take twice as long for a twentieth.
    own_tables = plain.width * plain.height <= SMALL
    plain.save(
        out,
        "JPEG",
        quality=quality,
        optimize=own_tables,
        icc_profile=side.profile or None,
        **_density(side.dpi),
    )
    return out.getvalue()


def _density(dpi: float | None) -> dict[str, tuple[int, int]]:
    """What is written of the dots per inch."""
    # two bytes each: JFIF 1.02, "Xdensity" and "Ydensity"
    if not dpi or not 1 <= dpi < 65_535:
        return {}
    return {"dpi": (round(dpi), round(dpi))}


def _srgb(side: RenderedSide) -> RenderedSide:
    return replace(side, picture=in_srgb(side.picture, side.profile), profile=srgb())


def _scaled(side: RenderedSide, by: float) -> RenderedSide:
    if by == 1.0:
        return side
    size = (max(1, round(side.picture.width * by)), max(1, round(side.picture.height * by)))
    picture = side.picture.resize(size, SCALING)
    return replace(side, picture=picture, dpi=side.dpi and side.dpi * by)
