"""Small print made legible: grey, with all the contrast there is."""

from __future__ import annotations

from PIL import Image, ImageOps

LEVELS = 8  # greys from black to white; more cost bytes on the line and make no letter clearer
CUTOFF = 1  # percent of the pixels at either end that specks of dust may take without dulling the rest

_STEPS = [round(round(level * (LEVELS - 1) / 255) * 255 / (LEVELS - 1)) for level in range(256)]


def legible(picture: Image.Image) -> Image.Image:
    """An RGB picture in a few greys, spread from black to white; RGB, the same size."""
    return ImageOps.autocontrast(picture.convert("L"), cutoff=CUTOFF).point(_STEPS).convert("RGB")
