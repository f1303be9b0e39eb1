"""Beds with stripes that run along the whole scan: a card's side is not taken for one of them."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from PIL import Image, ImageDraw
from support.card_art import bordered, full_bleed
from support.scanned import Scan, fed

from tagger.imaging.card.around.stripes import without_stripes
from tagger.imaging.card.background import bed_of, pixels
from tagger.imaging.card.card_edges import Edges
from tagger.imaging.card.edges import find_edges

Stripe = tuple[float, float, float]  # from where to where, and by how many levels


def striped(scan: Scan, stripes: list[Stripe], upper: bool = True, lower: bool = True) -> Image:
    """The scan's picture with stripes on its bed, from the top to the card, from there to the foot,
    or both."""
    picture = np.asarray(scan.picture, dtype=np.float32).copy()
    card = Image.new("L", scan.picture.size)
    ImageDraw.Draw(card).polygon([tuple(corner) for corner in scan.corners[0]], fill=255)
    free = np.asarray(card) == 0
    half = picture.shape[0] // 2
    free[:half] &= upper
    free[half:] &= lower
    for start, end, levels in stripes:
        columns = slice(round(start), round(end))
        picture[:, columns] += levels * free[:, columns, None]
    return Image.fromarray(np.clip(picture, 0, 255).astype(np.uint8))


def beside(scan: Scan, px: float, wide: float, levels: float) -> list[Stripe]:
    """A stripe so many pixels right of the card, one left of it and one across its middle."""
    x = [corner[0] for corner in scan.corners[0]]
    middle = sum(x) / 4
    return [
        (max(x) + px, max(x) + px + wide, levels),
        (min(x) - px - wide, min(x) - px, -levels / 2),
        (middle, middle + 2 * wide, levels),
    ]


def drawn(seed: str, make, bed: str) -> Scan:
    rng = random.Random(seed)
    return fed(make(rng, "held").picture, rng, bed)


@pytest.mark.parametrize("bed", ["black", "grey"])
@pytest.mark.parametrize("make", [bordered, full_bleed])
@pytest.mark.parametrize(("px", "wide", "levels"), [(8, 9, 30), (16, 30, 18), (22, 5, 60)])
def test_a_stripe_beside_the_card_is_no_side_of_it(bed, make, px, wide, levels):
    scan = drawn(f"stripes {bed} {px}", make, bed)
    picture = striped(scan, beside(scan, px, wide, levels))
    upright = find_edges(picture, 300, own_size=True)
    assert isinstance(upright, Edges)
    assert max(map(math.dist, upright.corners, scan.corners[0])) < 1.5
    turned = find_edges(picture.transpose(Image.Transpose.ROTATE_90), 300, own_size=True)
    assert isinstance(turned, Edges)
    assert turned.width == pytest.approx(upright.height, abs=0.1)
    assert turned.height == pytest.approx(upright.width, abs=0.1)


def coarse(picture: Image) -> np.ndarray:
    return pixels(picture.reduce(4))


@pytest.mark.parametrize("bed", ["black", "grey", "white"])
def test_a_plain_bed_has_no_stripes(bed):
    scan = drawn(f"plain {bed}", bordered, bed)
    seen = coarse(scan.picture)
    assert without_stripes(scan.picture, seen, bed_of(seen)) is None


def test_what_is_at_one_end_alone_is_no_stripe():
    scan = drawn("one end", bordered, "black")
    picture = striped(scan, beside(scan, 16, 20, 40), lower=False)
    seen = coarse(picture)
    assert without_stripes(picture, seen, bed_of(seen)) is None


def test_a_card_that_lies_on_a_stripe_is_as_it_was():
    scan = drawn("below", bordered, "grey")
    picture = striped(scan, beside(scan, 16, 20, 40))
    seen = coarse(picture)
    even = without_stripes(picture, seen, bed_of(seen))
    assert even is not None
    x, y = (round(sum(places) / 4) for places in zip(*scan.corners[0], strict=True))
    box = (x - 200, y - 300, x + 200, y + 300)
    before, after = (np.asarray(one.crop(box), dtype=int) for one in (picture, even))
    # what has the very colour of the striped bed is the bed's
    assert np.mean(np.abs(before - after).max(axis=2) > 2) < 0.02
