"""What decoding a picture may take: known from its header before a pixel is read, and held for all
workers together to `TOTAL` bytes.

A small picture is decoded at any time, a large one only by whoever has the turn; one that takes
more than `MOST` is read smaller, or not at all."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from PIL import Image

MB = 1 << 20
TOTAL = 512 * MB  # bytes: two workers with all that they hold
WORKER = 64 * MB  # a worker with its libraries, before it decodes anything
SHARE = 88 * MB  # what a picture may take beside others
MOST = TOTAL - 2 * WORKER - SHARE  # what one may take while all others are within their share
DRAWN = 16_000_000  # pixels of a picture that is handed over: a card at 1200 dpi has 15 million

_BYTES = {"1": 1, "L": 1, "P": 1, "I;16": 2, "I;16B": 2, "I;16L": 2, "I;16N": 2}
_OTHERS = 4  # bytes a pixel: Pillow keeps RGB in four
# libwebp's animation decoder keeps two canvases of four bytes, gives out a copy, Pillow keeps one
_WEBP = 16
_ROWS_PER_STRIP, _TILE_WIDTH, _TILE_LENGTH = 278, 322, 323  # tags: TIFF 6.0, sections 8 and 15


def decoding_bytes(picture: Image.Image, halved: int = 1) -> int:
    """Bytes that an opened picture takes while it is decoded in its own mode; a JPEG one `halved`th
    as wide and high."""
    pixels = picture.width * picture.height
    own = pixels * _BYTES.get(picture.mode, _OTHERS)
    if picture.format == "JPEG":
        return own // halved**2 + _coefficients(picture)
    if picture.format == "WEBP":
        return webp_bytes(picture.size, 0)
    if picture.format == "TIFF":
        return own + _largest_strip(picture)
    return own


def webp_bytes(size: tuple[int, int], file: int) -> int:
    """The same of a WebP file of so many bytes, which is read as a whole."""
    return size[0] * size[1] * _WEBP + file


def _coefficients(picture: Image.Image) -> int:
    """What a JPEG's decoder keeps of a picture that comes in more than one scan: two bytes for each
    sample of each component (ITU-T T.81, annex G; A.2.3 for scans of single components)."""
    layers = getattr(picture, "layer", ())
    if not layers or not (picture.info.get("progressive") or _in_several_scans(picture, layers)):
        return 0
    across, down = max(one[1] for one in layers), max(one[2] for one in layers)
    samples = sum(one[1] * one[2] for one in layers) / max(1, across * down)
    return int(picture.width * picture.height * samples * 2)


def _in_several_scans(picture: Image.Image, layers: Sequence[object]) -> bool:
    file = getattr(picture, "fp", None)
    if file is None:
        return False
    # Pillow has read up to the first scan's header, which says how many components the scan has
    end = file.tell()
    file.seek(0)
    head: bytes = file.read(end)
    at = head.rfind(b"\xff\xda")
    return 0 <= at < len(head) - 4 and head[at + 4] < len(layers)


def _largest_strip(picture: Image.Image) -> int:
    """What libtiff unpacks at once."""
    tags = getattr(picture, "tag_v2", {})
    rows = _number(tags.get(_ROWS_PER_STRIP), picture.height)
    across, down = _number(tags.get(_TILE_WIDTH), 0), _number(tags.get(_TILE_LENGTH), 0)
    strip = min(rows, picture.height) * picture.width
    return max(strip, across * down) * _BYTES.get(picture.mode, _OTHERS)


def _number(value: object, otherwise: int) -> int:
    return value if isinstance(value, int) else otherwise


class _Turn:
    """Held by one thread at a time."""

    def __init__(self) -> None:
        lock = threading.Lock()
        self._own = threading.local()
        self._get: Callable[[], object] = lock.acquire
        self._give: Callable[[], object] = lock.release
        self.kept = False  # to the end of a worker's task

    def between_processes(self, get: Callable[[], object], give: Callable[[], object]) -> None:
        self._get, self._give, self.kept = get, give, True

    def take(self) -> None:
        if not getattr(self._own, "has", False):
            self._get()
            self._own.has = True

    def give(self) -> None:
        if getattr(self._own, "has", False):
            self._own.has = False
            self._give()


_turn = _Turn()


def wait_for_room(needed: int) -> None:
    """Return when so many bytes may be taken: at once where they are few."""
    if needed > SHARE:
        _turn.take()


def picture_read() -> None:
    """What was read of a picture is as small as what others may take at any time; in a worker that
    is said by `task_done`."""
    if not _turn.kept:
        _turn.give()


def task_done() -> None:
    """A worker has let go of its pictures."""
    _turn.give()


def take_turns(waiting: Connection, giving: Connection) -> None:
    """In a worker: large pictures one at a time among all that have these ends of a pipe, in which
    one byte goes around."""
    _turn.between_processes(
        lambda: os.read(waiting.fileno(), 1), lambda: os.write(giving.fileno(), b".")
    )
