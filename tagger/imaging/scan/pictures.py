"""One scan or a part of it, decoded no larger than it is needed, upright by its own EXIF
orientation and in its pose."""

from __future__ import annotations

import math
import stat
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple, TypeVar

from PIL import Image
from PIL.ImageFile import ImageFile

from tagger.core.feeding.order import Box, scan_box, split_scan
from tagger.core.feeding.scan_files import scan_file
from tagger.core.model.pose import PLAIN, Pose
from tagger.core.model.text import printable
from tagger.errors import PictureError
from tagger.imaging.card.deskew import levelled, levels_for
from tagger.imaging.scan.affine_resample import (
    ONE_LOOK,
    UPRIGHT,
    Look,
    Resampling,
    resampling,
    stored_box,
    upright_size,
)
from tagger.imaging.scan.decode_limit import (
    DRAWN,
    SHARE,
    decoding_bytes,
    picture_read,
    wait_for_room,
)
from tagger.imaging.scan.decoder_words import DecoderWords, decoders_kept_quiet
from tagger.imaging.scan.decoding import Decoded, TooMuch, check_pixels, decoded, open_picture, rgb
from tagger.imaging.scan.row_strips import png_exif

BLOCK = 8  # pixels: a JPEG's blocks, ITU-T T.81, A.3.3
LARGE = 40_000_000  # pixels: a flatbed sheet at 600 dpi and more
# pixels: a sheet at 300 dpi; of more, the strict decoder's own copies would take too much memory
STRICT = 12_000_000
# bytes a pixel that measuring takes beside the pixels, for one of what it is given
MEASURING = 4
# the same of what is handed over: two sides and the page that they are put on
HANDED_OVER = 12
Drawn = TypeVar("Drawn")

Grid = tuple[int, int]
"""Pixels that a terminal cell has across and down. A cell is one wide and two high, so (1, 2) gives
square pixels."""
SQUARE: Grid = (1, 2)
SCALING = Image.Resampling.BICUBIC


def read_picture(
    folder: Path, name: str, box: tuple[int, int], grid: Grid = SQUARE, pose: Pose = PLAIN
) -> Image.Image:
    """A scan, or a part of one, as an RGB picture that fits into `box` (width, height in square
    pixels) and is never enlarged; seen as `pose` says.

    With another grid than SQUARE it has more and other pixels in the same room. Orientation is the
    EXIF tag 0x0112 of the picture, all eight values (CIPA DC-008, Exif 2.32, 4.6.4.A). Raises
    PictureError, which names the file and the reason."""
    return _read(
        folder,
        name,
        lambda picture, part: _fitted(
            picture, _shown(picture, part, pose), box, grid, pose, _PLAINLY
        ),
    )


def read_crop(
    folder: Path,
    name: str,
    region: tuple[float, float, float],
    box: tuple[int, int],
    grid: Grid = SQUARE,
    pose: Pose = PLAIN,
) -> Image.Image:
    """A piece of a scan as an RGB picture that fills `box` (width, height in square pixels),
    enlarged where it must be.

    `region` is the piece's middle and its width as fractions (0 to 1) of what `pose` shows of the
    scan: x, y, width. Its height follows from the shape of the box; it is moved to lie on what is
    shown, and where it is higher than that it is cut, and the picture with it. Grid, orientation
    and errors as in `read_picture`."""
    return _read(
        folder,
        name,
        lambda picture, part: _piece(picture, _shown(picture, part, pose), region, box, grid, pose),
    )


class Coloured(NamedTuple):
    """A picture, RGB; how many of its pixels there are for one of the scan's; the dots per inch
    that the file names, of the scan; and the ICC profile of the pixels, empty where there is
    none."""

    picture: Image.Image
    scale: float
    dpi: float | None
    profile: bytes


class Making(NamedTuple):
    """How a picture is made: how pixels become RGB, and how they are looked up."""

    pixels: Callable[[Image.Image], Image.Image] = rgb
    look: Look | None = None


_PLAINLY = Making()


def read_with_colours(
    folder: Path, name: str, box: tuple[int, int], grid: Grid, pose: Pose
) -> Coloured:
    """As `read_picture`, with what is needed to hand it over. Pixels that are no red, green and
    blue are made so by their profile. Loads numpy."""

    def coloured(picture: Image.Image, part: Box | None) -> Coloured:
        return _coloured(picture, _shown(picture, part, pose), (box, grid), pose)

    return _read(folder, name, coloured)


def read_grey(folder: Path, name: str, least: int) -> Image.Image:
    """A scan, or a part of one, in levels of grey and upright, as small as its decoder makes it
    with at least so many pixels on its longer side, as far as it has them. Raises PictureError."""

    def grey(picture: Image.Image, part: Box | None) -> Image.Image:
        size, orientation = picture.size, _orientation(picture)
        made = decoded(picture, least / max(part[2:] if part else size), mode="L")
        made.picture.load()
        seen = made.picture if made.picture.mode == "L" else rgb(made.picture).convert("L")
        if part is not None:
            left, upper, right, lower = stored_box(size, orientation, part, 1)
            across, down = made.fine
            seen = seen.crop((left * across, upper * down, right * across, lower * down))
        way = UPRIGHT[orientation]
        return seen if way is None else seen.transpose(way)

    return _read(folder, name, grey)


class WholeScan(NamedTuple):
    """A scan, or the part of one that is named, decoded in all its pixels, RGB: as `stored` (from
    the first row and column of a block on) and `upright`.

    `dpi` is the dots per inch of these (None: the file names none). `factor` is how many pixels of
    the full size are one of these, a power of 2, and `size` the full size, upright. `coded`: the
    blocks of a JPEG are as stored, so that damage can be looked for. `warning` is what the decoder
    said of the file, empty where nothing or where it cannot."""

    stored: Image.Image
    upright: Image.Image
    dpi: float | None
    factor: int
    size: tuple[int, int]
    coded: bool
    warning: str = ""


def read_whole(folder: Path, name: str) -> WholeScan:
    """A scan in all its pixels; a JPEG of more than LARGE pixels half as fine, and whatever would
    take more memory than it may as fine as it may. Raises PictureError."""
    return _read(folder, name, _whole)


def _dpi(picture: Image.Image) -> float | None:
    in_file = picture.info.get("dpi")
    if not in_file:
        return None
    # A PNG has dots per metre, whole ones: 200 dpi would come back as 199.9996, and be too few.
    dpi = round(float(in_file[0]), 2)
    # 1 is what many programs write for "not known"; beyond 10,000 no scanner is.
    return dpi if 1 < dpi < 10_000 else None


def _coloured(
    picture: Image.Image,
    seen: Resampling,
    wanted: tuple[tuple[int, int], Grid],
    pose: Pose,
) -> Coloured:
    from tagger.imaging.scan.profiles import in_rgb, profile_of
    from tagger.imaging.scan.two_pass import two_pass

    (box, grid), dpi, made = wanted, _dpi(picture), b""

    def pixels(raw: Image.Image) -> Image.Image:
        nonlocal made
        raw.load()
        coloured, made = in_rgb(raw, profile_of(raw))
        return rgb(coloured)

    # no finer than can be held beside the pixels that it is made of
    fits = math.sqrt(min(1.0, DRAWN / max(1.0, seen.size[0] * seen.size[1])))
    room = (min(box[0], int(seen.size[0] * fits)), min(box[1], int(seen.size[1] * fits)))
    wait_for_room(room[0] * room[1] * HANDED_OVER)
    making = Making(pixels, two_pass)
    small = _fitted(picture, seen, (max(1, room[0]), max(1, room[1])), grid, pose, making)
    return Coloured(small, min(1.0, max(small.size) / max(seen.size)), dpi, made)


def _whole(picture: Image.Image, part: Box | None) -> WholeScan:
    dpi = _dpi(picture)
    size = picture.size
    orientation = _orientation(picture)
    way = UPRIGHT[orientation]
    further = MEASURING + 4 * (way is not None)
    # A JPEG's decoder can halve it on the way.
    large = picture.format == "JPEG" and size[0] * size[1] > LARGE
    made = decoded(picture, 0.5 if large else 1.0, further)
    stored, warning = _with_warning(made)
    factor = max(1, round(1 / made.fine[0]))
    coded = picture.format == "JPEG" and factor == 1
    cut = stored
    if part is not None:
        left, upper, right, lower = stored_box(size, orientation, part, factor)
        cut = stored.crop((left, upper, right, lower))
        # damage begins at a block, so the part is looked at from one on
        stored = stored.crop((left - left % BLOCK, upper - upper % BLOCK, right, lower))
    upright = cut if way is None else cut.transpose(way)
    full = upright_size(size, orientation) if part is None else part[2:]
    return WholeScan(stored, upright, dpi and dpi / factor, factor, full, coded, warning)


def _with_warning(made: Decoded) -> tuple[Image.Image, str]:
    """The picture, RGB, and what its decoder says of its file."""
    picture = made.picture
    file = picture.fp if isinstance(picture, ImageFile) else None
    # What is decoded half as fine is so by Pillow, which says nothing.
    whole = made.fine[0] == 1.0 and picture.format == "JPEG" and picture.mode in ("RGB", "L")
    if file is None or not whole or picture.width * picture.height > STRICT:
        return rgb(picture), ""
    from tagger.imaging.scan.decoder_warnings import decoded_strictly

    before = file.tell()
    file.seek(0)
    strict = decoded_strictly(file.read())
    file.seek(before)
    return strict.picture or rgb(picture), strict.warning


def _read(folder: Path, name: str, draw: Callable[[Image.Image, Box | None], Drawn]) -> Drawn:
    page = split_scan(name)[1]
    shown = printable(name)
    path = _readable(folder, name)
    try:
        with decoders_kept_quiet() as words, open_picture(path) as picture:
            if page:
                picture.seek(page)
            check_pixels(picture.size)
            return draw(picture, _part(picture, name))
    except PictureError:
        raise
    except TooMuch as error:
        raise PictureError(f"{shown} {error}") from None
    except Exception as error:  # decoders raise nearly anything on damaged files
        raise PictureError(f"{shown} cannot be shown: {_reason(error, words)}.") from None
    finally:
        picture_read()


def _readable(folder: Path, name: str) -> Path:
    """The file of a scan. Raises PictureError where there is none, or nothing in it."""
    path, shown = scan_file(folder, name), printable(name)
    try:
        found = path.stat()
    except FileNotFoundError:
        raise PictureError(f"{shown} is missing from the folder.") from None
    except OSError as error:
        raise PictureError(f"{shown} cannot be read: {error.strerror}.") from None
    if not stat.S_ISREG(found.st_mode):  # a pipe would be waited for
        raise PictureError(f"{shown} is not a file.")
    if found.st_size == 0:
        raise PictureError(f"{shown} is an empty file; rescan this side.")
    return path


def _part(picture: Image.Image, name: str) -> Box | None:
    """The part of its picture that a scan is, None where it is all of it; raises PictureError where
    it is none."""
    part = scan_box(name)
    if part is not None:
        wide, high = upright_size(picture.size, _orientation(picture))
        left, upper, width, height = part
        if not (width and height and left + width <= wide and upper + height <= high):
            raise PictureError(
                f"{printable(name)} is not part of its scan of {wide} x {high} pixels; split the "
                "sheet again."
            )
    return part


def _shown(picture: Image.Image, part: Box | None, pose: Pose) -> Resampling:
    return resampling(picture.size, _orientation(picture), part, pose)


def _fitted(
    picture: Image.Image,
    seen: Resampling,
    box: tuple[int, int],
    grid: Grid,
    pose: Pose,
    making: Making,
) -> Image.Image:
    width, height = seen.size
    factor = max(width / box[0], height / box[1], 1.0)
    target = _stretched((max(1, round(width / factor)), max(1, round(height / factor))), grid)
    fine = max(target[0] / width, target[1] / height)
    made = decoded(picture, fine if making.look and _is_halved(fine) else 2 * fine)
    whole = (0, 0, width, height)
    read = making.pixels(made.picture)
    return _levelled(seen.paint(read, made.fine, whole, target, SCALING, making.look), pose)


def _is_halved(fine: float) -> bool:
    """Whether a decoder that makes a scan half, a quarter or an eighth as large comes so near to
    what is wanted that hardly anything is left to be made smaller. That is as good as what is
    decoded twice as fine, in half the time; elsewhere a decoder's halving is coarser than the
    resampling after it."""
    return any(fine * smaller <= 1 <= fine * smaller * ONE_LOOK for smaller in (2, 4, 8))


def _stretched(size: tuple[int, int], grid: Grid) -> tuple[int, int]:
    """From square pixels to those of a grid in the same room."""
    return size[0] * grid[0], max(1, round(size[1] * grid[1] / 2))


def _piece(
    picture: Image.Image,
    seen: Resampling,
    region: tuple[float, float, float],
    box: tuple[int, int],
    grid: Grid,
    pose: Pose,
) -> Image.Image:
    whole = seen.size
    width = min(whole[0], max(1.0, region[2] * whole[0]))
    height = min(whole[1], width * box[1] / box[0])
    left = min(max(0.0, region[0] * whole[0] - width / 2), whole[0] - width)
    top = min(max(0.0, region[1] * whole[1] - height / 2), whole[1] - height)
    scale = box[0] / width
    target = _stretched((box[0], min(box[1], max(1, round(height * scale)))), grid)
    # a decoder's own halving blurs print that is then hardly made smaller
    made = decoded(picture, 1.5 * scale * grid[0])
    piece = (left, top, left + width, top + height)
    look = Image.Resampling.LANCZOS
    return _levelled(seen.paint(rgb(made.picture), made.fine, piece, target, look), pose)


def _levelled(picture: Image.Image, pose: Pose) -> Image.Image:
    return levelled(picture, levels_for(picture)) if pose.levels else picture


def _orientation(picture: Image.Image) -> int:
    """The EXIF orientation by which the pixels have to be turned, 1 to 8; to be asked before they
    are decoded."""
    # Pillow turns a TIFF itself, when it is decoded, and gives its size as turned beforehand.
    if picture.format == "TIFF":
        return 1
    if picture.format == "PNG" and decoding_bytes(picture) > SHARE:
        # Pillow would decode all of it to see what stands behind the pixels
        picture.info.setdefault("exif", png_exif(picture))
    tag = picture.getexif().get(0x0112, 1)
    return tag if isinstance(tag, int) and tag in UPRIGHT else 1


def _reason(error: Exception, words: DecoderWords) -> str:
    text = str(error).lower()
    if "truncated" in text or isinstance(error, EOFError):
        return "the file ends too early; rescan this side"
    if "cannot identify" in text:
        return "it is not a readable image, or its start is damaged"
    if isinstance(error, MemoryError):
        return "it needs more memory than there is"
    said = words.first() if "decoder error" in text else ""
    return said or printable(str(error) or type(error).__name__, 120).rstrip(".")
