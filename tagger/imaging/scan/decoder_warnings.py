"""What a JPEG's decoder itself says of a file: that coded data ended too early, or that some was
left over. Pillow's decoder keeps that to itself; simplejpeg (optional: `tagger[damage]`) hands it
on. Without it damage is told from the pixels alone."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from typing import Any

from PIL import Image

from tagger.imaging.card.kept_levels import keep_levels

# Some machines fill a file up before its end marker: so few bytes of one of these say nothing.
FILLING, FILLERS = 2, b"\x00\xff"
_LEFT_OVER = re.compile(r"(\d+) extraneous bytes before marker 0xd9")


@dataclass(frozen=True)
class Strict:
    """A picture, RGB, and what its decoder said of it, empty where nothing; None: it is not to be
    had here."""

    picture: Image.Image | None
    warning: str = ""


@cache
def _decoder() -> Any:
    try:
        return import_module("simplejpeg")
    except ImportError:
        return None


def decoded_strictly(data: bytes) -> Strict:
    """A JPEG's file decoded, with its decoder's warnings; where there are any, without a
    picture."""
    decoder = _decoder()
    if decoder is None:
        return Strict(None)
    try:
        return Strict(_picture_of(decoder.decode_jpeg(data, "RGBX", strict=True)))
    except ValueError as error:
        return Strict(None, _damage(str(error), data))


def _picture_of(pixels: Any) -> Image.Image:
    # Pillow's own way fills the picture with black beforehand; its rows have four bytes a pixel.
    picture = Image.new("RGB", (pixels.shape[1], pixels.shape[0]), None)
    picture.frombytes(pixels.data, "raw", "RGBX")
    keep_levels(picture, pixels)
    return picture


def _damage(said: str, data: bytes) -> str:
    """A decoder's warning, if it is of damage: other files are none that it reads."""
    left_over = _LEFT_OVER.search(said)
    if left_over and int(left_over[1]) <= FILLING:
        end = data.rfind(b"\xff\xd9")
        if not data[end - int(left_over[1]) : end].strip(FILLERS):
            return ""
    damage = "Corrupt JPEG data" in said or "Premature end" in said
    return said.partition(": ")[2] or said if damage else ""
