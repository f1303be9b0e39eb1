"""Whether a picture's file is whole, told from its bytes alone; nothing is decoded.

JPEG by its markers (ITU-T T.81, Annex B), PNG by its chunks and their checksums (W3C PNG, 5.3 and
5.5), WebP by the size in its RIFF header, BMP by the size in its file header, TIFF by whether its
strips lie inside the file."""

from __future__ import annotations

import re
import struct
import zlib
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from operator import add


class Wholeness(StrEnum):
    """What can be said of a file."""

    WHOLE = "whole"
    EMPTY = "empty"
    TRUNCATED = "truncated"
    CORRUPT = "corrupt"
    FOREIGN = "no picture"


@dataclass(frozen=True)
class Report:
    """A file's state and, where it is not whole, what was seen: words for a sentence."""

    state: Wholeness
    seen: str = ""


WHOLE = Report(Wholeness.WHOLE)
# TEM and the restart markers, which no length follows: T.81, B.1.1.3.
_STANDALONE = {0x01, *range(0xD0, 0xD8)}
# What may come behind entropy-coded data: tables, the number of lines, another scan, a comment, an
# application's segment, the end of the image (T.81, B.2).
_AFTER_SCAN = {0xC4, 0xD9, 0xDA, 0xDB, 0xDC, 0xDD, 0xFE, *range(0xE0, 0xF0)}
# Not `ff+`: only what begins with a single byte is searched for at the speed of `bytes.find`.
_IN_SCAN = re.compile(
    rb"\xff\xff*[^\x00\xd0-\xd7\xff]"
)  # what ends entropy-coded data: T.81, B.1.1.5
_RESTART = re.compile(rb"\xff([\xd0-\xd7])")


def check_file(data: bytes) -> Report:
    """Whether the bytes of a scan's file are a whole picture of a kind that is read here."""
    if not data:
        return Report(Wholeness.EMPTY, "no bytes")
    if data[:3] == b"\xff\xd8\xff":
        return _jpeg(data)
    if data[:8] == b"\x89PNG\r\n\x1a\n":
        return _png(data)
    # RIFF's size leaves out itself and the four letters before it.
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return _sized(data, struct.unpack("<I", data[4:8])[0] + 8)
    if data[:2] == b"BM" and len(data) >= 6:
        return _sized(data, struct.unpack("<I", data[2:6])[0])
    if data[:4] in (b"II*\0", b"MM\0*"):
        return _tiff(data)
    return Report(Wholeness.FOREIGN, "it does not begin like a picture")


def _sized(data: bytes, size: int) -> Report:
    """Of a file that should have so many bytes; more of them do no harm."""
    if len(data) >= size:
        return WHOLE
    return Report(Wholeness.TRUNCATED, f"{len(data)} of {size} bytes")


def _jpeg(data: bytes) -> Report:
    """From marker to marker, over the entropy-coded data, to the end of the image (EOI, FFD9)."""
    at, scans = 2, 0
    while at + 2 <= len(data):
        if data[at] != 0xFF:
            return Report(Wholeness.CORRUPT, f"no marker at byte {at}")
        marker = data[at + 1]
        if marker == 0xD9:
            return WHOLE if scans else Report(Wholeness.CORRUPT, "no picture data")
        at = _after_segment(data, at)
        if marker != 0xDA or at > len(data):
            continue
        scans += 1
        found = _IN_SCAN.search(data, at)
        if found is None:
            break
        problem = _entropy_problem(data, at, found)
        if problem:
            return Report(Wholeness.CORRUPT, problem)
        at = found.end() - 2
    return Report(Wholeness.TRUNCATED, "no end marker")


def _after_segment(data: bytes, at: int) -> int:
    """Where the next marker must be after the one at a byte; beyond the data where it is cut."""
    marker = data[at + 1]
    if marker == 0xFF:
        return at + 1  # markers may be filled up with FF: T.81, B.1.1.2
    if marker in _STANDALONE:
        return at + 2
    length = data[at + 2 : at + 4]
    if len(length) < 2:
        return len(data) + 1
    # a length counts its own two bytes
    return at + 2 + max(2, int.from_bytes(length, "big"))


def _entropy_problem(data: bytes, start: int, end: re.Match[bytes]) -> str:
    """What is wrong with entropy-coded data that ends at a marker; empty where nothing is seen."""
    marker = data[end.end() - 1]
    if marker not in _AFTER_SCAN:
        return f"marker {marker:02X} inside the picture"
    part = data[start : end.start()]
    order = [found[1][0] & 7 for found in _RESTART.finditer(part)]
    if any((after - before) % 8 != 1 for before, after in pairwise(order)):
        # T.81, E.1.4: restart markers count from 0 to 7 and over
        return "part of the picture is missing"
    return ""


def _png(data: bytes) -> Report:
    at = 8
    while at + 12 <= len(data):
        length = int.from_bytes(data[at : at + 4], "big")
        kind = data[at + 4 : at + 8]
        if at + 12 + length > len(data):
            break
        checksum = int.from_bytes(data[at + 8 + length : at + 12 + length], "big")
        if zlib.crc32(data[at + 4 : at + 8 + length]) != checksum:
            return Report(Wholeness.CORRUPT, f"checksum of a {kind.decode('latin-1')} chunk")
        if kind == b"IEND":
            return WHOLE
        at += 12 + length
    return Report(Wholeness.TRUNCATED, "no end chunk")


def _tiff(data: bytes) -> Report:
    """Whether the strips or tiles of the first picture lie inside the file (TIFF 6.0, sections 2, 8
    and 15)."""
    try:
        found = _strips(data, "<" if data[:2] == b"II" else ">")
    except struct.error:
        return Report(Wholeness.TRUNCATED, "its directory is past its end")
    starts = found.get(_STRIP_STARTS) or found.get(_TILE_STARTS) or ()
    sizes = found.get(_STRIP_SIZES) or found.get(_TILE_SIZES) or ()
    # a damaged directory may have more of the one than of the other
    end = max(map(add, starts, sizes), default=0)
    return _sized(data, end)


_STRIP_STARTS, _STRIP_SIZES, _TILE_STARTS, _TILE_SIZES = 0x0111, 0x0117, 0x0144, 0x0145
_LAID_OUT = (_STRIP_STARTS, _STRIP_SIZES, _TILE_STARTS, _TILE_SIZES)
_NUMBERS = {3: ("H", 2), 4: ("I", 4)}  # SHORT and LONG: TIFF 6.0, section 2


def _strips(data: bytes, order: str) -> dict[int, tuple[int, ...]]:
    """The values of the tags that say where strips and tiles are. Raises struct.error where they
    lie beyond the data."""
    (first,) = struct.unpack_from(f"{order}I", data, 4)
    (count,) = struct.unpack_from(f"{order}H", data, first)
    found: dict[int, tuple[int, ...]] = {}
    for number in range(count):
        entry = first + 2 + 12 * number
        tag, kind, many, value = struct.unpack_from(f"{order}HHII", data, entry)
        if tag not in _LAID_OUT or kind not in _NUMBERS:
            continue
        letter, size = _NUMBERS[kind]
        # values that fit into four bytes stand in the entry itself
        place = entry + 8 if many * size <= 4 else value
        found[tag] = struct.unpack_from(f"{order}{many}{letter}", data, place)
    return found
