"""A picture of a few cells, with what is hard to draw in two colours a cell."""

from __future__ import annotations

import random

from PIL import Image

SIZE = (40, 57)


def card(seed: int | None = None) -> Image.Image:
    """Smooth, with edges and with grain: the same grain for the same seed, without one another each
    time."""
    card = Image.linear_gradient("L").resize(SIZE).convert("RGB")
    card.paste((190, 40, 60), (5, 5, 20, 30))
    card.paste((20, 90, 200), (12, 21, 33, 50))
    grain = random.Random(seed).randbytes(3 * SIZE[0] * SIZE[1])
    return Image.blend(card, Image.frombytes("RGB", SIZE, grain), 0.15)
