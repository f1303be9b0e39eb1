"""A picture's colours: its ICC profile (ICC.1:2022) kept, or turned into sRGB (IEC 61966-2-1) by
littleCMS."""

from __future__ import annotations

import io
from functools import lru_cache
from typing import Any

from PIL import Image, ImageCms

_DATE = slice(24, 36)  # of a profile's making: ICC.1:2022, 7.2.10; without it all copies are alike
_DAY = bytes((7, 208, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0))  # 1 January 2000
# by a profile's colour space: modes
_SPACES = {"RGB": ("RGB",), "GRAY": ("L",), "CMYK": ("CMYK",), "Lab": ("LAB",)}
_MODES_OF_RGB = ("RGB", "RGBA", "RGBX", "P", "PA")
_MOST = 255 * 65_519  # bytes that a JPEG file has room for: ICC.1:2022, B.4
_PERCEPTUAL = ImageCms.Intent.PERCEPTUAL


@lru_cache(maxsize=1)
def srgb() -> bytes:
    """The profile of sRGB."""
    made = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    made[_DATE] = _DAY
    return bytes(made)


def profile_of(picture: Image.Image) -> bytes:
    """The profile that a picture carries, where it can be read and is one for its kind of pixels;
    empty otherwise."""
    data = picture.info.get("icc_profile")
    if not isinstance(data, bytes) or not 0 < len(data) <= _MOST:
        return b""
    mode = "RGB" if picture.mode in _MODES_OF_RGB else picture.mode
    # A profile for another kind of pixels would turn these into any colours at all.
    if mode not in _SPACES.get(_space(data), ()) or _transform(data, mode) is None:
        return b""
    return data


def in_rgb(picture: Image.Image, profile: bytes) -> tuple[Image.Image, bytes]:
    """A picture whose pixels are red, green and blue, with its profile: another kind goes through
    its profile into sRGB. A picture without a profile is given back as it is."""
    if not profile or _space(profile) == "RGB":
        return picture, profile
    into_srgb = _transform(profile, picture.mode)
    if into_srgb is None:
        return picture, b""
    return into_srgb.apply(picture), srgb()


def in_srgb(picture: Image.Image, profile: bytes) -> Image.Image:
    """RGB pixels of a profile as those of sRGB; without a profile they are taken for sRGB already
    (common practice, no source)."""
    if profile in (b"", srgb()):
        return picture
    into_srgb = _transform(profile, "RGB")
    return picture if into_srgb is None else into_srgb.apply(picture)


@lru_cache(maxsize=8)
def _space(profile: bytes) -> str:
    try:
        return str(ImageCms.getOpenProfile(io.BytesIO(profile)).profile.xcolor_space).strip()
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return ""


@lru_cache(maxsize=8)
def _transform(profile: bytes, mode: str) -> Any:
    """What takes pixels of a profile into sRGB, None where the profile cannot be used."""
    try:
        return ImageCms.buildTransform(
            io.BytesIO(profile),
            io.BytesIO(srgb()),
            mode,
            "RGB",
            _PERCEPTUAL,
            ImageCms.Flags.BLACKPOINTCOMPENSATION,
        )
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return None
