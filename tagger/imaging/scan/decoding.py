"""From a picture's file to its pixels, within what decoding may take (`decode_limit`): as they are,
made smaller by the decoder, or in strips of rows that are made smaller one by one."""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

from PIL import Image

from tagger.imaging.scan.affine_resample import UPRIGHT
from tagger.imaging.scan.decode_limit import (
    MB,
    MOST,
    decoding_bytes,
    wait_for_room,
    webp_bytes,
)
from tagger.imaging.scan.row_strips import row_strips, stored_size

FORMATS = ("JPEG", "PNG", "TIFF", "WEBP", "BMP")
MOST_PIXELS = 178_956_970  # a flatbed sheet at 1200 dpi has 140 million; more is no scan of cards
PAPER = (96, 96, 96)  # behind transparent pixels
BAND = 1_000_000  # pixels that are changed at once where a picture is changed in bands
_RGB = 4  # bytes a pixel
_SMALLER = (1, 2, 4, 8, 16, 32)

# Pillow's own limit; MOST_PIXELS is checked here, before anything is decoded
Image.MAX_IMAGE_PIXELS = None


class TooMuch(Exception):
    """Decoding would take more than it may, as its sentence says without the subject."""

    def __init__(self, needed: int) -> None:
        super().__init__(
            f"would take {needed // MB} MB of memory; {MOST // MB} MB is the most. Save it as JPEG "
            "(not progressive), or scan it with fewer dots per inch."
        )


class TooManyPixels(TooMuch):
    """A picture claims more pixels than a scan of cards has."""

    def __init__(self, size: tuple[int, int]) -> None:
        Exception.__init__(
            self,
            f"claims {size[0]} x {size[1]} pixels; no scan of cards has so many. Check the file.",
        )


class Decoded(NamedTuple):
    """A picture's pixels, not necessarily RGB (see `rgb`), and how many there are for one of the
    file, across and down."""

    picture: Image.Image
    fine: tuple[float, float]


def open_picture(path: Path) -> Image.Image:
    """A picture whose pixels are not read yet. Raises TooManyPixels, TooMuch, and whatever Pillow
    raises where it is no picture."""
    with path.open("rb") as file:
        size = _webp_size(file.read(30))
    if size is not None:
        # Pillow makes room for a WebP's pixels when it opens it
        check_pixels(size)
        _wait_for(webp_bytes(size, path.stat().st_size))
    return Image.open(path, formats=FORMATS)


def check_pixels(size: tuple[int, int]) -> None:
    """Raises TooMuch where a picture claims more pixels than a scan of cards has."""
    if size[0] * size[1] > MOST_PIXELS:
        raise TooManyPixels(size)


def _wait_for(needed: int) -> None:
    if needed > MOST:
        raise TooMuch(needed)
    wait_for_room(needed)


def _webp_size(head: bytes) -> tuple[int, int] | None:
    """The size in a WebP file's first bytes (RFC 9649, 2.5 to 2.7), None where it is none."""
    if head[:4] != b"RIFF" or head[8:12] != b"WEBP" or len(head) < 30:
        return None
    if head[12:16] == b"VP8X":
        return 1 + int.from_bytes(head[24:27], "little"), 1 + int.from_bytes(head[27:30], "little")
    if head[12:16] == b"VP8L":
        (bits,) = struct.unpack_from("<I", head, 21)
        return (bits & 0x3FFF) + 1, ((bits >> 14) & 0x3FFF) + 1
    width, height = struct.unpack_from("<HH", head, 26)
    return width & 0x3FFF, height & 0x3FFF


def decoded(picture: Image.Image, enough: float, further: int = 0, mode: str = "RGB") -> Decoded:
    """The pixels of an opened picture, no fewer than `enough` (0 to 1) of them each way as far as
    memory allows; `further` bytes a pixel are needed beside them. A JPEG is decoded in `mode`, RGB
    or grey (L), which takes less. Raises TooMuch."""
    size = picture.size
    if picture.format == "JPEG":
        smaller = _by_draft(picture, enough, further)
        if smaller > 1 or mode != "RGB":
            made = picture.draft(mode, (size[0] // smaller, size[1] // smaller))
            # It rounds its size up; the scan ends a part of a pixel before the edge.
            if made is not None:
                return Decoded(picture, (made[1][2] / size[0], made[1][3] / size[1]))
        return Decoded(picture, (1.0, 1.0))
    pixels = size[0] * size[1]
    own = decoding_bytes(picture)
    least = max(one for one in _SMALLER if one == 1 or enough * one <= 1)
    for smaller in (1, *(one for one in _SMALLER if one >= max(2, least))):
        needed = own + pixels * (_beside(picture, smaller) + further) // smaller**2
        if needed <= MOST:
            wait_for_room(needed)
            if smaller == 1:
                return Decoded(picture, (1.0, 1.0))
            picture.load()
            return Decoded(_in_bands(picture, smaller), (1 / smaller, 1 / smaller))
    return _by_strips(picture, least, further)


def _beside(picture: Image.Image, smaller: int) -> int:
    """Bytes a pixel that an RGB picture takes beside the one that it is made of."""
    return 0 if picture.mode == "RGB" and smaller == 1 else _RGB


def _by_draft(picture: Image.Image, enough: float, further: int) -> int:
    """How much smaller a JPEG is decoded."""
    pixels = picture.width * picture.height
    least = next((one for one in (8, 4, 2) if _leaves(picture, one, enough)), 1)
    beside = _RGB * (picture.mode != "RGB") + further
    for smaller in (one for one in (1, 2, 4, 8) if one >= least):
        needed = decoding_bytes(picture, smaller) + pixels * beside // smaller**2
        if needed <= MOST:
            wait_for_room(needed)
            return smaller
    raise TooMuch(needed)


def _leaves(picture: Image.Image, smaller: int, enough: float) -> bool:
    """Whether a picture made so much smaller is as fine as it must be."""
    return enough * smaller <= 1 + 1e-9 and min(picture.size) >= smaller


def _by_strips(picture: Image.Image, least: int, further: int) -> Decoded:
    """A picture too large to be decoded as a whole, made smaller strip by strip."""
    strips = row_strips(picture)
    if strips is None:
        raise TooMuch(max(decoding_bytes(picture), MOST + 1))
    width, height = stored_size(picture)
    each = width * height * (_RGB + further)
    # half of the room is for the strips
    able = [one for one in _SMALLER[1:] if each // one**2 <= MOST // 2]
    smaller = max(able[0], least)
    wait_for_room(each // smaller**2 + MOST // 4)
    gathered = _Gathered((width, height), smaller)
    for strip in strips:
        gathered.add(_numbers(strip))
    made = gathered.whole()
    # Pillow turns a TIFF's pixels itself where it decodes them as a whole
    way = UPRIGHT.get(_turned(picture))
    made = made if way is None else made.transpose(way)
    made.info = dict(picture.info)
    return Decoded(made, (1 / smaller, 1 / smaller))


class _Gathered:
    """One picture of strips from above, each made smaller as it comes."""

    def __init__(self, size: tuple[int, int], smaller: int) -> None:
        self._width, self._smaller = size[0], smaller
        self._size = (-(-size[0] // smaller), -(-size[1] // smaller))
        self._made: Image.Image | None = None
        self._rest: Image.Image | None = None  # the rows that are too few for one of the result
        self._row = 0

    def add(self, strip: Image.Image) -> None:
        if self._made is None:
            self._made = Image.new(strip.mode, self._size)
        if self._rest is not None:
            strip = _stacked(self._rest, strip)
        whole = strip.height // self._smaller * self._smaller
        self._put(strip.crop((0, 0, self._width, whole)))
        self._rest = None
        if whole < strip.height:
            self._rest = strip.crop((0, whole, self._width, strip.height))

    def whole(self) -> Image.Image:
        """All of it. Raises OSError where strips are missing."""
        if self._rest is not None:
            self._put(self._rest)
        if self._made is None or self._row < self._size[1]:
            raise OSError("image file is truncated")
        return self._made

    def _put(self, rows: Image.Image) -> None:
        if rows.height and self._made is not None:
            self._made.paste(rows.reduce(self._smaller), (0, self._row))
            self._row += -(-rows.height // self._smaller)


def _turned(picture: Image.Image) -> int:
    tags = getattr(picture, "tag_v2", None)
    turned = 1 if tags is None else tags.get(0x0112, 1)
    return turned if isinstance(turned, int) else 1


def _numbers(strip: Image.Image) -> Image.Image:
    """A strip as pixels that can be averaged; sixteen bits stay what they are."""
    if _is_deep(strip):
        return strip.convert("F")
    return strip if strip.mode in ("L", "RGB", "CMYK", "LAB") else rgb(strip)


def _stacked(upper: Image.Image, lower: Image.Image) -> Image.Image:
    both = Image.new(lower.mode, (lower.width, upper.height + lower.height))
    both.paste(upper, (0, 0))
    both.paste(lower, (0, upper.height))
    return both


def rgb(picture: Image.Image) -> Image.Image:
    """A picture in red, green and blue of eight bits; what can be seen through lies on `PAPER`."""
    picture.load()
    if picture.mode == "RGB":
        return picture
    return _in_bands(picture, 1)


def _in_bands(picture: Image.Image, smaller: int) -> Image.Image:
    """The same, one `smaller`th as wide and high, band by band: at no time is there more than one
    further picture beside the given one."""
    change = _band_change(picture)
    width, height = picture.size
    made = Image.new("RGB", (-(-width // smaller), -(-height // smaller)))
    upper = 0
    for band in map(change, _bands(picture, smaller)):
        made.paste(band.reduce(smaller) if smaller > 1 else band, (0, upper // smaller))
        upper += band.height
    made.info = dict(picture.info)
    return made


def _bands(picture: Image.Image, multiple: int = 1) -> Iterator[Image.Image]:
    """A picture's rows from above, some at a time: a multiple of so many, but for the last ones."""
    width, height = picture.size
    rows = max(1, BAND // (width * multiple)) * multiple
    for upper in range(0, height, rows):
        yield picture.crop((0, upper, width, min(height, upper + rows)))


def _brightest(band: Image.Image) -> float:
    most = band.convert("F").getextrema()[1]
    return most if isinstance(most, float) else 0.0


def _band_change(picture: Image.Image) -> Callable[[Image.Image], Image.Image]:
    """How a part of a picture is changed into RGB."""
    if _is_deep(picture):
        # Sixteen bits are not said to be that: such a picture is known by values beyond eight.
        deep = max(_brightest(band) for band in _bands(picture)) > 255
        scale = 255.0 / 65535.0 if deep else 1.0
        return lambda band: _eight_bits(band, scale)
    if "A" in picture.getbands() or "transparency" in picture.info:
        return _on_paper
    return lambda band: band.convert("RGB")


def _is_deep(picture: Image.Image) -> bool:
    return picture.mode.startswith(("I;16", "I", "F"))


def _eight_bits(band: Image.Image, scale: float) -> Image.Image:
    return band.convert("F").point(lambda value: value * scale).convert("L").convert("RGB")


def _on_paper(band: Image.Image) -> Image.Image:
    rgba = band.convert("RGBA")
    page = Image.new("RGB", rgba.size, PAPER)
    page.paste(rgba, mask=rgba.getchannel("A"))
    return page
