"""A card as a feeder scans it: on a dark bed, a little askew, so many dots per inch, a JPEG."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image, ImageFilter

BED = (22, 23, 26)


def scan(side: Image.Image, path: Path, dpi: int, rng: np.random.Generator) -> None:
    """Write one side of a card, drawn at 300 dpi."""
    frame = Image.new("RGB", (side.width + 90, side.height + 90), BED)
    frame.paste(side, tuple(45 + int(v) for v in rng.integers(-12, 13, 2)))
    seen = frame.rotate(float(rng.normal(0, 0.7)), Image.Resampling.BICUBIC, fillcolor=BED)
    if dpi != 300:
        size = (round(frame.width * dpi / 300), round(frame.height * dpi / 300))
        seen = seen.resize(size, Image.Resampling.LANCZOS)
    seen = seen.filter(ImageFilter.GaussianBlur(float(rng.uniform(0.3, 0.8)) * dpi / 300))
    levels = np.asarray(seen, np.float32) * rng.uniform(0.92, 1.04) + rng.normal(0, 2.5, (
        seen.height, seen.width, 1
    ))  # fmt: skip
    Image.fromarray(np.clip(levels, 0, 255).astype(np.uint8)).save(
        path, quality=int(rng.integers(78, 93)), dpi=(dpi, dpi)
    )
