"""One side of a card as a picture to hand over: as it is to stand, in its own colours or sRGB, with
nothing private."""

from __future__ import annotations

import io
from dataclasses import dataclass, replace
from pathlib import Path

from PIL import Image

from tagger.core.model.pose import Pose
from tagger.imaging.scan.pictures import SCALING, SQUARE, read_with_colours
from tagger.imaging.scan.profiles import in_srgb, srgb

LONGEST = 65_500  # pixels: no side of a JPEG that Pillow writes can have more
GAP = 0.03  # between two sides that are joined, of the height
BETWEEN = (255, 255, 255)


@dataclass(frozen=True)
class ImageOptions:
    """How pictures are to be: at most `longest` pixels (None: as fine as the scan), JPEG `quality`
    (1 to 100), turned into sRGB, front and back joined in one. Pictures are never enlarged."""

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


def read_handed(folder: Path, name: str, stand: Pose, wish: ImageOptions) -> RenderedSide:
    """A side as it is to be handed over. Raises PictureError."""
    longest = min(wish.longest or LONGEST, LONGEST)
    picture, scale, said, profile = read_with_colours(
        folder, name, (longest, longest), SQUARE, stand
    )
    dpi = stand.dpi or said
    made = RenderedSide(picture, dpi * scale if dpi else None, profile)
    return _srgb(made) if wish.srgb else made


def picture_file(folder: Path, sides: tuple[tuple[str, Pose], ...], wish: ImageOptions) -> bytes:
    """A JPEG file (ITU-T T.81) of one or two sides, those of two beside each other. It holds
    pixels, dots per inch and the profile, and nothing else of what the scans say about themselves.
    Raises PictureError."""
    read = [read_handed(folder, name, stand, wish) for name, stand in sides]
    return encoded(
        read[0] if len(read) == 1 else beside(read[0], read[1], wish.longest), wish.quality
    )


def beside(left: RenderedSide, right: RenderedSide, longest: int | None) -> RenderedSide:
    """Two pictures in one, in the coarser one's scale; in sRGB where they have not the same
    profile."""
    if left.profile != right.profile:
        left, right = _srgb(left), _srgb(right)
    if left.dpi and right.dpi and abs(left.dpi / right.dpi - 1) > 0.01:
        left, right = (
            _scaled(one, min(left.dpi, right.dpi) / dpi)
            for one, dpi in ((left, left.dpi), (right, right.dpi))
        )
    one, two = left.picture, right.picture
    high = max(one.height, two.height)
    gap = round(high * GAP)
    page = Image.new("RGB", (one.width + gap + two.width, high), BETWEEN)
    page.paste(one, (0, (high - one.height) // 2))
    page.paste(two, (one.width + gap, (high - two.height) // 2))
    made = RenderedSide(page, left.dpi if right.dpi else None, left.profile)
    return _scaled(made, min(1.0, min(longest or LONGEST, LONGEST) / max(page.size)))


def encoded(handed: RenderedSide, quality: int) -> bytes:
    """The bytes of a JPEG file."""
    plain = handed.picture.copy()
    # a picture made of another carries on what that one said of itself, and comments would be
    # written
    plain.info = {}
    out = io.BytesIO()
    dots = (
        {"dpi": (round(handed.dpi), round(handed.dpi))}
        if handed.dpi and 1 <= handed.dpi < 65_535
        else {}
    )
    plain.save(out, "JPEG", quality=quality, icc_profile=handed.profile or None, **dots)
    return out.getvalue()


def _srgb(handed: RenderedSide) -> RenderedSide:
    return replace(handed, picture=in_srgb(handed.picture, handed.profile), profile=srgb())


def _scaled(handed: RenderedSide, by: float) -> RenderedSide:
    if by == 1.0:
        return handed
    size = (max(1, round(handed.picture.width * by)), max(1, round(handed.picture.height * by)))
    return replace(
        handed, picture=handed.picture.resize(size, SCALING), dpi=handed.dpi and handed.dpi * by
    )
