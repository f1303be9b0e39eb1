"""Pictures that are handed over: what is in their files, and a profile and a page of colours to
make them of."""

from __future__ import annotations

import io
import random
import struct

import numpy as np
from PIL import Image, ImageDraw

from tagger.core.model.pose import PLAIN as AS_IT_IS
from tagger.core.model.pose import Pose
from tagger.imaging.scan.render_side import ImageOptions, picture_file

# Primaries adapted to D50, as X Y Z, and the gamma: "Adobe RGB (1998) Color Image Encoding".
WIDE = ((0.60974, 0.31111, 0.01947), (0.20528, 0.62567, 0.06087), (0.14919, 0.06322, 0.74457))
GAMMA = 2 + 51 / 256
# The same of sRGB: ICC, "How to interpret the sRGB color space (specified in IEC 61966-2-1) for ICC
# profiles".
PLAIN = ((0.43607, 0.22249, 0.01392), (0.38515, 0.71687, 0.09708), (0.14307, 0.06061, 0.71410))


def wide_profile(kind: bytes = b"mntr") -> bytes:
    """A display profile of three primaries and a gamma, version 2.1 (ICC.1:2001-04, 6.1, 6.2,
    6.3.1.1)."""

    def fixed(*values: float) -> bytes:
        return b"".join(struct.pack(">i", round(value * 65536)) for value in values)

    text = b"wide\0"
    curve = b"curv" + bytes(4) + struct.pack(">IH", 1, round(GAMMA * 256)) + bytes(2)
    desc = b"desc" + bytes(4) + struct.pack(">I", len(text)) + text + bytes(78)
    tags = {
        b"desc": desc + bytes(-len(desc) % 4),
        b"cprt": b"text" + bytes(4) + b"none" + bytes(4),
        b"wtpt": b"XYZ " + bytes(4) + fixed(0.9642, 1.0, 0.8249),
        **{
            name: b"XYZ " + bytes(4) + fixed(*one)
            for name, one in zip((b"rXYZ", b"gXYZ", b"bXYZ"), WIDE, strict=True)
        },
        **dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve),
    }
    at, table, data = 128 + 4 + 12 * len(tags), b"", b""
    for name, body in tags.items():
        table += name + struct.pack(">II", at + len(data), len(body))
        data += body
    size = at + len(data)
    head = (
        struct.pack(">I4sI4s4s4s", size, b"lcms", 0x02100000, kind, b"RGB ", b"XYZ ")
        + bytes(12)
        + b"acsp"
    )
    head += bytes(28) + fixed(0.9642, 1.0, 0.8249)
    return head + bytes(128 - len(head)) + struct.pack(">I", len(tags)) + table + data


def segments(data: bytes) -> list[tuple[int, bytes]]:
    """The marker segments of a JPEG file with what is in them, up to the end of image: ITU-T T.81,
    B.1.1 and B.2."""
    assert data[:2] == b"\xff\xd8"
    found, at = [], 2
    while True:
        assert data[at] == 0xFF, "no marker where there must be one"
        marker = data[at + 1]
        if marker == 0xD9:
            assert at + 2 == len(data), "bytes behind the end of image"
            return found
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        found.append((marker, data[at + 4 : at + 2 + length]))
        at += 2 + length
        # the coded picture: up to a marker that is no stuffed zero and no restart
        if marker == 0xDA:
            while data[at] != 0xFF or data[at + 1] == 0 or 0xD0 <= data[at + 1] <= 0xD7:
                at += 1


def shades() -> Image.Image:
    """Flat fields of many colours, each 16 pixels wide, so that a JPEG keeps their middles."""
    page = Image.new("RGB", (8 * 16, 8 * 16))
    pen = ImageDraw.Draw(page)
    rng = random.Random(3)
    for at in range(64):
        x, y = at % 8 * 16, at // 8 * 16
        pen.rectangle((x, y, x + 15, y + 15), fill=tuple(rng.randrange(20, 236) for _ in range(3)))
    return page


def middles(picture: Image.Image) -> np.ndarray:
    return np.asarray(picture.convert("RGB"), dtype=float)[8::16, 8::16].reshape(-1, 3)


def opened(data: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(data))
    picture.load()
    return picture


def handed(folder, name: str, stand: Pose = AS_IT_IS, **wish) -> bytes:
    return picture_file(folder, ((name, stand),), ImageOptions(**{"quality": 100, **wish}))
