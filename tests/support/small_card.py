"""A picture of a few cells, with what is hard to draw in two colours a cell."""

from __future__ import annotations

from PIL import Image


def card() -> Image.Image:
    """Smooth, with edges and with grain."""
    card = Image.linear_gradient("L").resize((40, 57)).convert("RGB")
    card.paste((190, 40, 60), (5, 5, 20, 30))
    card.paste((20, 90, 200), (12, 21, 33, 50))
    return Image.blend(
        card, Image.merge("RGB", [Image.effect_noise(card.size, 40) for _ in range(3)]), 0.15
    )
