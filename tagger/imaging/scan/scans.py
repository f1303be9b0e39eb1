"""The scans of one folder as small pictures, with a place where those are kept for the next
time."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from PIL import Image

from tagger.core.feeding.scan_files import scan_file
from tagger.core.model.pose import PLAIN, Pose
from tagger.errors import PictureError
from tagger.file_stamp import FileStamp, file_stamp

if TYPE_CHECKING:
    from tagger.imaging.scan.pictures import Grid

_HEAD = struct.Struct("<HH")  # width and height in pixels, before the compressed pixels
Region = tuple[float, float, float]


class Copies(Protocol):
    """Keeps bytes under a name, or not: what was put may be gone at any time, but comes back whole
    or not at all. Never raises."""

    def get(self, name: str) -> bytes | None:
        """What was put under a name, None where it is not there."""

    def put(self, name: str, data: bytes) -> None:
        """Keep this. Returns at once."""


class ScanReader:
    """Reads scans of a folder by name. What decodes them is loaded with the first that is not
    kept: of a lot that was opened before, the first cards are."""

    def __init__(self, folder: Path, copies: Copies) -> None:
        self._folder = folder
        self._copies = copies

    def stamp(self, name: str) -> FileStamp | None:
        """The stamp of a scan's file, None where there is none."""
        try:
            return file_stamp(scan_file(self._folder, name))
        except PictureError:
            return None

    def whole(self, name: str, box: tuple[int, int], grid: Grid, pose: Pose = PLAIN) -> Image.Image:
        """See `read_picture`."""

        def read() -> Image.Image:
            from tagger.imaging.scan.pictures import read_picture

            return read_picture(self._folder, name, box, grid, pose)

        return self._kept_or_read(self._key(name, f"whole {box} {grid} {pose}"), read)

    def part(
        self, name: str, region: Region, box: tuple[int, int], grid: Grid, pose: Pose = PLAIN
    ) -> Image.Image:
        """See `read_crop`."""

        def read() -> Image.Image:
            from tagger.imaging.scan.pictures import read_crop

            return read_crop(self._folder, name, region, box, grid, pose)

        return self._kept_or_read(self._key(name, f"part {region} {box} {grid} {pose}"), read)

    def _key(self, name: str, seen: str) -> str:
        """Another one for another file, another state of the file, and whatever else is seen of
        it."""
        return f"{self._folder}\0{name}\0{self.stamp(name)}\0{seen}"

    def _kept_or_read(self, key: str, read: Callable[[], Image.Image]) -> Image.Image:
        data = self._copies.get(key)
        kept = None if data is None else unpacked(data)
        if kept is not None:
            return kept
        picture = read()
        self._copies.put(key, packed(picture))
        return picture


def packed(picture: Image.Image) -> bytes:
    """An RGB picture as bytes."""
    # Quickly rather than well: a preview is waited for, and the disk is large.
    data = zlib.compress(picture.tobytes(), 1)
    return _HEAD.pack(*picture.size) + data


def unpacked(data: bytes) -> Image.Image | None:
    """The picture that was packed, None where the bytes are none."""
    try:
        width, height = _HEAD.unpack_from(data)
        # No more than it claims: bytes that unpack to gigabytes would take the machine with them.
        pixels = zlib.decompressobj().decompress(data[_HEAD.size :], width * height * 3)
        return Image.frombytes("RGB", (width, height), pixels)
    except (struct.error, zlib.error, ValueError):
        return None
