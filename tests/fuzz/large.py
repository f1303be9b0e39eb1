"""Pictures that claim much in few bytes, and large ones that a scanner may make."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

from PIL import Image

# by a PNG's colour type: samples a pixel (W3C PNG, 11.2.2)
_SAMPLES = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
_WEBP = struct.pack("<4sI4s4sI", b"RIFF", 26, b"WEBP", b"VP8L", 13)


def webp(width: int, height: int) -> bytes:
    """Nothing but the header of a lossless WebP, 34 bytes: RFC 9649, 2.6 and 3.4."""
    return _WEBP + b"\x2f" + struct.pack("<I", width - 1 | height - 1 << 14) + bytes(9)


def png(width: int, height: int, bits: int, colours: int, room: int | None = None) -> bytes:
    """Black, in next to no bytes; its rows end too early beyond `room`."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        checksum = struct.pack(">I", zlib.crc32(kind + data))
        return struct.pack(">I", len(data)) + kind + data + checksum

    pack = zlib.compressobj(1)
    rows = bytes(1 + (width * _SAMPLES[colours] * bits + 7) // 8) * 100
    data = b"".join(pack.compress(rows) for _ in range(-(-(room or height) // 100))) + pack.flush()
    head = struct.pack(">IIBBBBB", width, height, bits, colours, 0, 0, 0)
    palette = chunk(b"PLTE", bytes(768)) if colours == 3 else b""
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + palette
        + chunk(b"IDAT", data)
        + chunk(b"IEND", b"")
    )


def large_pictures(folder: Path, few: bool) -> list[str]:
    """The names of what was written."""
    written = {"a.webp": webp(16383, 16383), "b.webp": webp(13000, 13000)}
    written["grey16.png"] = png(11900, 14900, 16, 0)
    if not few:
        for bits, colours in ((8, 2), (8, 6), (16, 2), (8, 3), (1, 0), (16, 4)):
            written[f"colours{colours}bits{bits}.png"] = png(11900, 14900, bits, colours)
    for name, data in written.items():
        (folder / name).write_bytes(data)
    return [*written, *_saved(folder, few)]


def _saved(folder: Path, few: bool) -> list[str]:
    sheet = Image.new("RGB", (5100, 7000), (30, 60, 90))
    sheets = {"sheet1.jpg": {}, "sheet2.jpg": {}, "sheet3.jpg": {"progressive": True}}
    if not few:
        sheets |= {"sheet.tif": {"compression": "tiff_lzw"}, "sheet.bmp": {}}
    for name, how in sheets.items():
        sheet.save(folder / name, **how)
    if not few:
        Image.new("CMYK", (10000, 14000), (9, 9, 9, 9)).save(
            folder / "four.tif", compression="tiff_lzw"
        )
        sheets["four.tif"] = {}
    return list(sheets)
