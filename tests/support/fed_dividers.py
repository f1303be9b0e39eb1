"""Lots with dividers between groups, scanned one side after the other, and quick to draw."""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

from PIL import Image

from support.card_sets import card_set
from support.scanned import Scanner, fed, jpeg
from support.scanning import dividers as drawn
from tagger.core.dividers.divider import Divider

DPI = 200
SCANNER = Scanner("black", 16, (0, 0, 1), (1, -1), 2, 3, 1.2, 0.5, 0)
GOLD = Divider("1987 Harbor Light", "Gold", "Near Mint", "box 3, row 1")
PLAIN = Divider("1987 Harbor Light", "", "Near Mint", "box 3, row 2")
MILL = Divider("1985 Mill Pond", "Silver Foil")


@lru_cache(64)
def _sides(divider: Divider) -> Sequence[Image.Image]:
    return drawn.sides(divider)


def divider_side(divider: Divider, at: int) -> Image.Image:
    """Its front (0) or back (1), to be scanned."""
    return _sides(divider)[at].convert("RGB")


@lru_cache(1)
def _cards() -> Sequence[Image.Image]:
    return [side for card in card_set("divided", 20, "held") for side in (card.front, card.back)]


def card_side(at: int) -> Image.Image:
    """A side of a card: 0 the front of the first one, 1 its back, and so on; there are 20."""
    return _cards()[at % 40].resize((500, 700)).convert("RGB")


def scan_into(folder: Path, sides: Sequence[Image.Image | Divider], first: int = 1) -> None:
    """The scans of these sides in their order; a divider stands for both of its sides. They appear
    in the folder together, so that an open lot is not audited half way through them."""
    folder.mkdir(parents=True, exist_ok=True)
    drawn = folder.with_name(f"{folder.name}, being scanned")
    drawn.mkdir()
    number = first
    for side in sides:
        both = [divider_side(side, at) for at in (0, 1)] if isinstance(side, Divider) else [side]
        for art in both:
            rng = random.Random(f"divided {number}")
            picture = fed(art, rng, dpi=DPI, scanner=SCANNER, skew=1.0).picture
            (drawn / f"scan_{number:04d}.jpg").write_bytes(jpeg(picture, DPI, 80))
            number += 1
    for scan in sorted(drawn.iterdir()):
        scan.rename(folder / scan.name)
    drawn.rmdir()
