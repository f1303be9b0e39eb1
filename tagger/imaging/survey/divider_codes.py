"""The codes of dividers looked for in scans (QR, ISO/IEC 18004), by way of the zxing-cpp library,
which is an extra: without it nothing is found.

Most scans are cards and have none: they are looked at once, made small. Only one that seems to have
the stripes of a divider, or in which a code was found that cannot be read, is looked at again in
all its pixels, and then a little blurred, which closes the gaps of thin ink."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from importlib import import_module
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageFilter

from tagger.core.dividers.divider import LONGEST, read_payload
from tagger.core.dividers.seen import NONE_SEEN, CodeSeen
from tagger.errors import PictureError
from tagger.imaging.scan.pictures import read_grey

SMALL, FULL = 525, 1250  # pixels of the longer side: a card at 150 dpi, and at 300
STRIPED = 0.22  # see `striped`: of tuning scans 1 card in 60 has more
# halves of a time: a stripe comes 7 times on a card, and up to 8.5 in a scan with its margins
TIMES = slice(13, 18)
PLAIN = 10  # levels that say nothing
# pixels of a scan that are looked at for stripes, and the columns that either of them may be in
ROWS, COLUMNS, EDGE = 96, 72, 27
LIGHT = 170  # levels of grey: of paper in any lamp
LOCAL, GLOBAL = "LocalAverage", "GlobalHistogram"
# pixels of the longer side, of the blur, and how black is told: read off low ink, tuning printers
BLURRED = ((1250, 1.5, LOCAL), (850, 1.5, LOCAL), (600, 0.8, LOCAL), (850, 1.5, GLOBAL),
           (600, 0.8, GLOBAL), (500, 0.8, LOCAL))  # fmt: skip
BARE = 40  # levels: what paper varies by, with a speck of dust
_EVERY, _BESIDE = 4, 3  # every so many pixels of bare paper; columns that are averaged
Levels = npt.NDArray[np.uint8]


@lru_cache(1)
def reader() -> Any:
    """The library, None where it is not installed."""
    try:
        return import_module("zxingcpp")
    except ImportError:
        return None


def look_for_codes(folder: Path, names: Sequence[str]) -> list[CodeSeen]:
    """What is seen on each of these scans. Nothing is raised: what cannot be read shows nothing."""
    return [look_for_code(folder, name) for name in names]


def look_for_code(folder: Path, name: str) -> CodeSeen:
    """The same for one scan."""
    if reader() is None:
        return NONE_SEEN
    try:
        return _looked_at(folder, name)
    except PictureError:
        return NONE_SEEN
    except Exception:  # whatever one odd scan brings about, the others are to be looked at
        return NONE_SEEN


def _looked_at(folder: Path, name: str) -> CodeSeen:
    small = read_grey(folder, name, SMALL)
    levels = np.asarray(small)
    seen, hopeful = code_in(levels)
    if seen is not None:
        return seen
    if not hopeful and striped(levels) < STRIPED:
        return CodeSeen(blank=_is_bare(levels))
    for picture, binarizer in _finer(folder, name, small):
        seen, _ = code_in(np.asarray(picture), binarizer)
        if seen is not None:
            return seen
    return CodeSeen(blank=_is_bare(levels))


def _finer(folder: Path, name: str, small: Image.Image) -> Iterator[tuple[Image.Image, str]]:
    """The scan in other sizes, blurred a little, and how black is told from white in it."""
    full = read_grey(folder, name, FULL)
    if full.size != small.size:
        yield full, LOCAL
    for longest, radius, binarizer in BLURRED:
        yield _smaller(full, longest).filter(ImageFilter.GaussianBlur(radius)), binarizer


def _smaller(picture: Image.Image, longest: int) -> Image.Image:
    scale = longest / max(picture.size)
    if scale >= 1:
        return picture
    size = (round(picture.width * scale), round(picture.height * scale))
    return picture.resize(size, Image.Resampling.BOX)


def code_in(levels: Levels, binarizer: str = LOCAL) -> tuple[CodeSeen | None, bool]:
    """One of our codes in a picture, as its levels of grey, None where there is none; and whether
    there is a code that cannot be read."""
    library = reader()
    found = library.read_barcodes(
        levels,
        formats=library.BarcodeFormat.QRCode,
        try_downscale=False,
        try_invert=False,
        binarizer=getattr(library.Binarizer, binarizer),
        return_errors=True,
    )
    for code in found:
        text = _text(code)
        if text and read_payload(text) is not None:
            return CodeSeen(text, _turn(code)), True
    return None, any(not code.valid for code in found)


def _text(code: Any) -> str:
    """The text of a code, empty where it is none of ours by its length or its bytes."""
    data = code.bytes
    if not code.valid or len(data) > LONGEST:
        return ""
    try:
        return str(data.decode("utf-8"))
    except UnicodeDecodeError:
        return ""


def _turn(code: Any) -> int:
    """How the scan has to be turned clockwise; the library says by how much the code is."""
    return int(-round(code.orientation / 90) * 90 % 360)


def striped(levels: Levels) -> float:
    """How much of what changes along the long sides of a scan, in levels of grey, comes and goes as
    the stripes of a divider do, 0 to 1."""
    if levels.shape[1] > levels.shape[0]:
        levels = levels.T
    edges = levels[_looked_for_stripes(levels.shape)]
    strips = edges.reshape(ROWS, -1, _BESIDE).mean(axis=2, dtype=np.float32)
    strips -= strips.mean(axis=0)
    waves = (_waves() @ strips).reshape(2, -1, strips.shape[1])
    power = np.square(waves).sum(axis=0).max(axis=0) * (2 / ROWS)
    share = power / (np.square(strips).sum(axis=0) + ROWS * PLAIN**2)
    # of each edge the strip that shows them most
    return float(share.reshape(2, -1).max(axis=1).min())


@lru_cache(16)
def _looked_for_stripes(shape: tuple[int, int]) -> Any:
    """The pixels of both edges of a scan."""
    rows, columns = (
        np.linspace(0, side - 1, many).astype(int)
        for side, many in zip(shape, (ROWS, COLUMNS), strict=True)
    )
    return np.ix_(rows, np.concatenate((columns[:EDGE], columns[-EDGE:])))


@lru_cache(1)
def _waves() -> npt.NDArray[np.float32]:
    """What a strip is multiplied with for how much it comes and goes in each of these times, as
    even and as odd waves: few of all that a transform would give."""
    # twice as long as a strip, so that it tells halves of a time
    times = np.arange(TIMES.start, TIMES.stop)[:, None] * np.arange(ROWS) * (np.pi / ROWS)
    return np.concatenate((np.cos(times), np.sin(times))).astype(np.float32)


def _is_bare(levels: Levels) -> bool:
    """Whether the middle of a scan shows nothing but paper."""
    high, wide = levels.shape
    middle = levels[high // 4 : high * 3 // 4 : _EVERY, wide // 4 : wide * 3 // 4 : _EVERY]
    return bool(middle.size and middle.min() >= LIGHT and np.ptp(middle) <= BARE)
