"""A large picture in strips of rows, so that it is never in memory as a whole.

Raw pixels are cut where a row ends. A TIFF's strips are packed each for itself (TIFF 6.0, section
3): some of them with a directory of their own are a smaller TIFF. A PNG is one packed stream whose
rows are told from the row above (W3C PNG, 9.2): some rows behind the last one before them are a
smaller PNG. What comes in any other way is not read in strips."""

from __future__ import annotations

import io
import itertools
import struct
import zlib
from collections.abc import Iterator
from typing import Any

from PIL import Image

STRIP = 8_000_000  # bytes of one strip's rows, about

# kept of a TIFF's directory: what says how its strips are packed
_SHORTS = (258, 259, 262, 266, 277, 284, 317, 320, 338, 339, 530)
_LONGS = (292, 293)
_WIDTH, _LENGTH, _STARTS, _ROWS, _SIZES, _TABLES = 256, 257, 273, 278, 279, 347
_PLANAR, _TILES, _OLD_JPEG = 284, 322, 6
_SHORT, _LONG, _UNDEFINED = 3, 4, 7
# by a PNG's bits a sample and colour type: bytes a pixel, Pillow's mode (W3C PNG, 11.2.2)
_PNG = {(8, 0): (1, "L"), (8, 2): (3, "RGB"), (8, 4): (2, "LA"), (8, 6): (4, "RGBA"),
        (16, 0): (2, "I;16")}  # fmt: skip


def row_strips(picture: Image.Image) -> Iterator[Image.Image] | None:
    """The picture's strips from above, as stored, each in its own mode; None where it has none.
    What is damaged raises whatever a decoder raises."""
    if picture.format == "PNG":
        return _png(picture)
    tiles = getattr(picture, "tile", [])
    if tiles and all(_is_raw(one, stored_size(picture)[0]) for one in tiles):
        return itertools.chain.from_iterable(_raw(picture, one) for one in _from_above(tiles))
    if picture.format == "TIFF":
        return _tiff(picture)
    return None


def stored_size(picture: Image.Image) -> tuple[int, int]:
    """Width and height as stored: Pillow gives a TIFF's as they are when it is turned upright."""
    tags = getattr(picture, "tag_v2", None)
    return picture.size if tags is None else (int(tags[_WIDTH]), int(tags[_LENGTH]))


def _is_raw(tile: Any, width: int) -> bool:
    box, given = tile[1], tile[3]
    return tile[0] == "raw" and (box[0], box[2]) == (0, width) and isinstance(given, tuple)


def _from_above(tiles: Any) -> Any:
    return sorted(tiles, key=lambda one: one[1][1])


def _raw(picture: Image.Image, tile: Any) -> Iterator[Image.Image]:
    """The rows of raw pixels that lie in one piece."""
    (_, top, width, bottom), start, (rawmode, stride, way) = tile[1], tile[2], tile[3][:3]
    if not stride:
        # as many bytes as the same pixels packed
        stride = len(Image.new(picture.mode, (width, 1)).tobytes("raw", rawmode))
    step = max(1, STRIP // stride)
    for first in range(top, bottom, step):
        rows = min(step, bottom - first)
        # a BMP's rows come from below
        before = first - top if way == 1 else bottom - first - rows
        data = _read(picture, start + before * stride, rows * stride)
        size = (width, rows)
        yield Image.frombytes(picture.mode, size, data, "raw", rawmode, stride, way)


def _read(picture: Image.Image, start: int, size: int) -> bytes:
    file: Any = picture.fp  # type: ignore[attr-defined]
    file.seek(start)
    return bytes(file.read(size))


def _tiff(picture: Image.Image) -> Iterator[Image.Image] | None:
    tags: Any = picture.tag_v2  # type: ignore[attr-defined]
    width, height = stored_size(picture)
    rows = tags.get(_ROWS, height)
    single = tags.get(_PLANAR, 1) == 1 and _TILES not in tags and tags.get(259) != _OLD_JPEG
    starts, sizes = tags.get(_STARTS, ()), tags.get(_SIZES, ())
    if not (single and isinstance(starts, tuple) and len(starts) == len(sizes) > 1):
        return None
    if not 0 < rows < height or rows * width * 4 > 4 * STRIP:
        return None
    return _tiff_strips(picture, list(zip(starts, sizes, strict=True)), rows)


def _tiff_strips(
    picture: Image.Image, places: list[tuple[int, int]], rows: int
) -> Iterator[Image.Image]:
    width, height = stored_size(picture)
    some = max(1, STRIP // (rows * width * 4))
    for at in range(0, len(places), some):
        here = places[at : at + some]
        high = min(len(here) * rows, height - at * rows)
        if high <= 0:
            return
        small = _small_tiff(picture, here, (width, high), rows)
        with Image.open(io.BytesIO(small), formats=("TIFF",)) as strip:
            strip.load()
            yield strip


def _small_tiff(
    picture: Image.Image, places: list[tuple[int, int]], size: tuple[int, int], rows: int
) -> bytes:
    """Some strips with a directory of their own."""
    tags: Any = picture.tag_v2  # type: ignore[attr-defined]
    order = "<" if tags.prefix == b"II" else ">"
    data = b""
    starts: list[int] = []
    for start, length in places:
        starts.append(8 + len(data))
        data += _read(picture, start, length)
    entries = [(tag, _SHORT, _many(tags[tag])) for tag in _SHORTS if tag in tags]
    entries += [(tag, _LONG, _many(tags[tag])) for tag in _LONGS if tag in tags]
    entries += [(_WIDTH, _LONG, (size[0],)), (_LENGTH, _LONG, (size[1],)), (_ROWS, _LONG, (rows,))]
    entries += [(_STARTS, _LONG, tuple(starts)), (_SIZES, _LONG, tuple(one[1] for one in places))]
    if _TABLES in tags:
        entries.append((_TABLES, _UNDEFINED, tuple(tags[_TABLES])))
    data += b"\0" * (len(data) % 2)
    return _tiff_file(order, data, sorted(entries))


def _many(value: Any) -> tuple[int, ...]:
    return tuple(map(int, value)) if isinstance(value, tuple) else (int(value),)


def _tiff_file(order: str, data: bytes, entries: list[tuple[int, int, tuple[int, ...]]]) -> bytes:
    """A file of one directory behind its data: TIFF 6.0, section 2."""
    head = struct.pack(f"{order}2sHI", b"II" if order == "<" else b"MM", 42, 8 + len(data))
    # the directory, then the values that have no room in it
    room = 8 + len(data) + 2 + 12 * len(entries) + 4
    directory, beyond = struct.pack(f"{order}H", len(entries)), b""
    for tag, kind, values in entries:
        letter = {_SHORT: "H", _LONG: "I", _UNDEFINED: "B"}[kind]
        packed = struct.pack(f"{order}{len(values)}{letter}", *values)
        directory += struct.pack(f"{order}HHI", tag, kind, len(values))
        if len(packed) <= 4:
            directory += packed.ljust(4, b"\0")
        else:
            directory += struct.pack(f"{order}I", room + len(beyond))
            beyond += packed + b"\0" * (len(packed) % 2)
    return head + data + directory + b"\0\0\0\0" + beyond


def _png(picture: Image.Image) -> Iterator[Image.Image] | None:
    head = _read(picture, 16, 13)
    width, height, bits, colours, _, _, interlaced = struct.unpack(">IIBBBBB", head)
    if interlaced or (bits, colours) not in _PNG or "transparency" in picture.info:
        return None
    return _png_strips(picture, (width, height), (bits, colours))


def _png_strips(
    picture: Image.Image, size: tuple[int, int], kind: tuple[int, int]
) -> Iterator[Image.Image]:
    width, height = size
    each, mode = _PNG[kind]
    row = 1 + width * each
    step = max(1, STRIP // row)
    above = bytes(row)  # what stands above the first row counts as zeros
    rows = _unpacked(picture, row * step)
    for first in range(0, height, step):
        here = min(step, height - first)
        data = next(rows)[: here * row]
        header = struct.pack(">IIBBBBB", width, here + 1, *kind, 0, 0, 0)
        packed = zlib.compress(above + data, 0)
        small = b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", header)
        small += _chunk(b"IDAT", packed) + _chunk(b"IEND", b"")
        with Image.open(io.BytesIO(small), formats=("PNG",)) as both:
            if both.mode != mode:
                raise OSError(f"unexpected mode {both.mode}")
            strip = both.crop((0, 1, width, here + 1))
        last = strip.crop((0, here - 1, width, here))
        above = b"\0" + (last.tobytes("raw", "I;16B") if mode == "I;16" else last.tobytes())
        yield strip


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def _unpacked(picture: Image.Image, step: int) -> Iterator[bytes]:
    """The rows of a PNG as they are told, so many bytes at a time. Raises OSError where they end
    too early."""
    unpack = zlib.decompressobj()
    waiting = b""
    for part in _packed(picture):
        # zlib's own bound: a part of some bytes may unpack to a thousand times as many
        part = unpack.unconsumed_tail + part
        while part:
            waiting += unpack.decompress(part, step)
            part = unpack.unconsumed_tail
            while len(waiting) >= step:
                yield waiting[:step]
                waiting = waiting[step:]
        if unpack.eof:
            break
    if waiting:
        yield waiting
    raise OSError("image file is truncated")


def _packed(picture: Image.Image) -> Iterator[bytes]:
    """What stands in a PNG's IDAT chunks, in parts."""
    for kind, at, length in _chunks(picture):
        if kind == b"IDAT":
            for start in range(0, length, 1 << 16):
                yield _read(picture, at + start, min(1 << 16, length - start))


def _chunks(picture: Image.Image) -> Iterator[tuple[bytes, int, int]]:
    """The kind of each of a PNG's chunks, where what it holds begins, and how long that is."""
    at = 8
    while len(head := _read(picture, at, 8)) == 8:
        length, kind = struct.unpack(">I4s", head)
        yield kind, at + 8, length
        at += 12 + length


def png_exif(picture: Image.Image) -> bytes:
    """What a PNG that is not read yet says in Exif, wherever it stands (W3C PNG, 11.3.4.5)."""
    file: Any = picture.fp  # type: ignore[attr-defined]
    before = file.tell()
    try:
        for kind, at, length in _chunks(picture):
            if kind == b"eXIf" and length < _MOST_EXIF:
                return b"Exif\0\0" + _read(picture, at, length)
    finally:
        file.seek(before)
    return b""


_MOST_EXIF = 1 << 16  # bytes, as in a JPEG
