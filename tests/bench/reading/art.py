"""Abstract pictures for the fronts of cards, by numpy alone."""

from __future__ import annotations

import numpy as np
from PIL import Image, ImageFilter

KINDS = 6


def picture(rng: np.random.Generator, size: tuple[int, int], kind: int) -> Image.Image:
    """A picture of one of `KINDS` kinds."""
    wide, high = size
    y, x = np.mgrid[0:high, 0:wide].astype(np.float32)
    colours = rng.integers(20, 236, (3, 3)).astype(np.float32)
    if kind == 0:  # slow waves
        mix = np.sin(x / rng.uniform(40, 120) + np.sin(y / rng.uniform(30, 90)) * 2) * 0.5 + 0.5
    elif kind == 1:  # rings
        cx, cy = rng.uniform(0, wide), rng.uniform(0, high)
        mix = np.sin(np.hypot(x - cx, y - cy) / rng.uniform(8, 30)) * 0.5 + 0.5
    elif kind == 2:  # cells: the nearest of some points
        points = rng.uniform(0, 1, (24, 2)) * (wide, high)
        far = np.min([np.hypot(x - px, y - py) for px, py in points], axis=0)
        mix = far / far.max()
    elif kind == 3:  # stripes aslant
        slope = rng.uniform(0.3, 2)
        mix = ((x + slope * y) // rng.uniform(12, 50) % 2).astype(np.float32)
    elif kind == 4:  # clouds
        mix = np.zeros((high, wide), dtype=np.float32)
        for octave in (4, 9, 20, 44):
            grain = Image.fromarray((rng.random((octave, octave)) * 255).astype(np.uint8))
            mix += np.asarray(grain.resize(size, Image.Resampling.BICUBIC), np.float32) / octave
        mix /= mix.max()
    else:  # blocks
        grid = rng.random((rng.integers(5, 14), rng.integers(4, 11))).astype(np.float32)
        blocks = Image.fromarray((grid * 255).astype(np.uint8)).resize(size, 0)
        mix = np.asarray(blocks, np.float32) / 255
    mix = mix[:, :, None]
    levels = np.where(mix < 0.5, colours[0] + (colours[1] - colours[0]) * mix * 2,
                      colours[1] + (colours[2] - colours[1]) * (mix * 2 - 1))  # fmt: skip
    levels += rng.normal(0, 5, levels.shape)
    return Image.fromarray(np.clip(levels, 0, 255).astype(np.uint8)).filter(
        ImageFilter.GaussianBlur(0.6)
    )
