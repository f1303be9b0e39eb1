"""The scanner of the second press: a lid, a slant, blur, grain, a tint, and JPEG."""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
from PIL import Image, ImageFilter

_LIDS = ((18, 18, 20), (48, 48, 46), (8, 8, 8), (70, 74, 78))


def scanned(side: Image.Image, path: Path, dpi: int, rng: random.Random) -> None:
    """Write a card's side as a scan of it: 2.5 x 3.5 in and a margin, RGB, JPEG."""
    lid = _LIDS[rng.randrange(len(_LIDS))]
    card = side.resize((round(2.5 * dpi), round(3.5 * dpi)), Image.Resampling.LANCZOS)
    margin = round(dpi * 0.12)
    bed = Image.new("RGB", (card.width + 2 * margin, card.height + 2 * margin), lid)
    bed.paste(card, (margin + rng.randint(-9, 9), margin + rng.randint(-9, 9)))
    bed = bed.rotate(rng.gauss(0, 0.6), Image.Resampling.BICUBIC, fillcolor=lid)
    bed = bed.filter(ImageFilter.GaussianBlur(rng.uniform(0.3, 0.75) * dpi / 300))
    light = np.asarray(bed, np.float32)
    tint = np.array([rng.uniform(0.93, 1.03) for _ in range(3)], np.float32)
    grain = np.random.default_rng(rng.randrange(2**32)).normal(0, rng.uniform(1.5, 5), light.shape)
    made = np.clip(light * tint + rng.uniform(-4, 9) + grain, 0, 255).astype(np.uint8)
    Image.fromarray(made).save(path, quality=rng.randint(68, 90), dpi=(dpi, dpi))
