"""One scan or a part of it, decoded no larger than it is needed, upright by its own EXIF orientation."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from PIL import Image, ImageOps

from tagger.core.order import split_scan
from tagger.core.scan_files import scan_file
from tagger.core.text import printable
from tagger.errors import PictureError

FORMATS = ("JPEG", "PNG", "TIFF", "WEBP", "BMP")
MOST_PIXELS = 178_956_970  # a flatbed sheet at 1200 dpi has 140 million; more is no scan of cards
LARGE = 40_000_000  # pixels: a flatbed sheet at 600 dpi and more
PAPER = (96, 96, 96)  # behind transparent pixels
Drawn = TypeVar("Drawn")

Image.MAX_IMAGE_PIXELS = None  # Pillow's own limit; MOST_PIXELS is checked here, before anything is decoded


Grid = tuple[int, int]
"""Pixels that a terminal cell has across and down. A cell is one wide and two high, so (1, 2) gives square pixels."""
SQUARE: Grid = (1, 2)
SCALING = Image.Resampling.BICUBIC


def read_picture(folder: Path, name: str, box: tuple[int, int], grid: Grid = SQUARE) -> Image.Image:
    """A scan as an RGB picture that fits into `box` (width, height in square pixels) and is never enlarged.

    With another grid than SQUARE it has more and other pixels in the same room.
    Orientation is the EXIF tag 0x0112 of the picture, all eight values (CIPA DC-008, Exif 2.32, 4.6.4.A).
    Raises PictureError, which names the file and the reason.
    """
    return _read(folder, name, lambda picture: _upright(picture, box, grid))


def read_crop(
    folder: Path, name: str, region: tuple[float, float, float], box: tuple[int, int], grid: Grid = SQUARE
) -> Image.Image:
    """A part of a scan as an RGB picture that fills `box` (width, height in square pixels), enlarged where it must be.

    `region` is the part's middle and its width as fractions (0 to 1) of the upright scan: x, y, width. Its height
    follows from the shape of the box; it is moved to lie on the scan, and where it is higher than the scan it is cut,
    and the picture with it. Grid, orientation and errors as in `read_picture`.
    """
    return _read(folder, name, lambda picture: _part(picture, region, box, grid))


@dataclass(frozen=True)
class Whole:
    """A scan decoded whole, RGB: as `stored` and `upright`; `dpi` is the dots per inch that its file names
    (None: it names none); `coded`: its blocks are as stored, so that damage can be looked for."""

    stored: Image.Image
    upright: Image.Image
    dpi: float | None
    coded: bool


def read_whole(folder: Path, name: str) -> Whole:
    """A scan in all its pixels; a JPEG of more than LARGE pixels half as fine. Raises PictureError."""
    return _read(folder, name, _whole)


def _whole(picture: Image.Image) -> Whole:
    said = picture.info.get("dpi")
    dpi = float(said[0]) if said and 1 < float(said[0]) < 10_000 else None
    width = picture.width
    if picture.width * picture.height > LARGE:
        picture.draft("RGB", (picture.width // 2, picture.height // 2))
    stored = _rgb(picture)
    coded = picture.format == "JPEG" and stored.width == width
    if dpi is not None:
        dpi *= stored.width / width if picture.format == "JPEG" else 1.0
    return Whole(stored, _turned(stored, picture), dpi, coded)


def _read(folder: Path, name: str, draw: Callable[[Image.Image], Drawn]) -> Drawn:
    page = split_scan(name)[1]
    shown = printable(name)
    path = scan_file(folder, name)
    try:
        size = path.stat().st_size
    except FileNotFoundError:
        raise PictureError(f"{shown} is gone from the folder.") from None
    except OSError as error:
        raise PictureError(f"{shown} cannot be read: {error.strerror}.") from None
    if size == 0:
        raise PictureError(f"{shown} is an empty file; scan this side again.")
    try:
        with Image.open(path, formats=FORMATS) as picture:
            if page:
                picture.seek(page)
            if picture.width * picture.height > MOST_PIXELS:
                raise PictureError(
                    f"{shown} claims {picture.width} x {picture.height} pixels; no scan of cards has so many."
                )
            return draw(picture)
    except PictureError:
        raise
    except Exception as error:  # decoders raise nearly anything on damaged files
        raise PictureError(f"{shown} cannot be shown: {_reason(error)}.") from None


def _upright(picture: Image.Image, box: tuple[int, int], grid: Grid) -> Image.Image:
    whole = _swapped(picture.size, picture)
    factor = max(whole[0] / box[0], whole[1] / box[1], 1.0)
    target = _stretched((max(1, round(whole[0] / factor)), max(1, round(whole[1] / factor))), grid)
    if factor == 1.0 and grid == SQUARE:
        return _turned(_rgb(picture), picture)
    wanted = _swapped(target, picture)
    drafted = picture.draft("RGB", (wanted[0] * 2, wanted[1] * 2))
    # The decoder rounds the size that it makes itself up; the scan ends a part of a pixel before the edge.
    return _turned(_rgb(picture).resize(wanted, SCALING, box=drafted[1] if drafted else None), picture)


def _stretched(size: tuple[int, int], grid: Grid) -> tuple[int, int]:
    """From square pixels to those of a grid in the same room."""
    return size[0] * grid[0], max(1, round(size[1] * grid[1] / 2))


def _part(picture: Image.Image, region: tuple[float, float, float], box: tuple[int, int], grid: Grid) -> Image.Image:
    whole = _swapped(picture.size, picture)
    width = max(1.0, region[2] * whole[0])
    height = min(whole[1], width * box[1] / box[0])
    left = min(max(0.0, region[0] * whole[0] - width / 2), whole[0] - width)
    top = min(max(0.0, region[1] * whole[1] - height / 2), whole[1] - height)
    scale = box[0] / width
    target = _stretched((box[0], min(box[1], max(1, round(height * scale)))), grid)
    enough = 1.5 * scale * grid[0]  # a decoder's own halving blurs print that is then hardly made smaller
    if enough < 1:
        picture.draft("RGB", _swapped((math.ceil(whole[0] * enough), math.ceil(whole[1] * enough)), picture))
    upright = _turned(_rgb(picture), picture)
    across, down = upright.width / whole[0], upright.height / whole[1]  # what the decoder left out
    right, bottom = min((left + width) * across, upright.width), min((top + height) * down, upright.height)
    return upright.resize(target, Image.Resampling.LANCZOS, box=(left * across, top * down, right, bottom))


def _swapped(size: tuple[int, int], picture: Image.Image) -> tuple[int, int]:
    """From a size of the upright picture to one as it is stored, or back."""
    # Pillow turns a TIFF itself, when it is decoded, and gives its size as turned beforehand.
    turned = picture.getexif().get(0x0112, 1) in (5, 6, 7, 8) and picture.format != "TIFF"
    return (size[1], size[0]) if turned else size


def _turned(pixels: Image.Image, picture: Image.Image) -> Image.Image:
    """Upright, by the orientation that the picture's file gives."""
    if 0x0112 in picture.getexif():
        pixels.getexif()[0x0112] = picture.getexif()[0x0112]
        pixels = ImageOps.exif_transpose(pixels)
    return pixels


def _rgb(picture: Image.Image) -> Image.Image:
    picture.load()
    if picture.mode == "RGB":
        return picture
    if picture.mode.startswith(("I;16", "I", "F")):
        grey = picture.convert("F")
        brightest = grey.getextrema()[1]
        scale = 255.0 / 65535.0 if isinstance(brightest, float) and brightest > 255 else 1.0
        return grey.point(lambda value: value * scale).convert("L").convert("RGB")
    if "A" in picture.getbands() or "transparency" in picture.info:
        rgba = picture.convert("RGBA")
        page = Image.new("RGB", rgba.size, PAPER)
        page.paste(rgba, mask=rgba.getchannel("A"))
        return page
    return picture.convert("RGB")


def _reason(error: Exception) -> str:
    text = str(error).lower()
    if "truncated" in text or isinstance(error, EOFError):
        return "the file ends too early; scan this side again"
    if "cannot identify" in text:
        return "it is no picture that can be read, or its start is damaged"
    if isinstance(error, MemoryError):
        return "it needs more memory than there is"
    return printable(str(error) or type(error).__name__, 120).rstrip(".")
