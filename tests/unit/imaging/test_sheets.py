"""Sheets of several cards, and the centering of single ones, on drawn scans whose truth is
known."""

from __future__ import annotations

import math
import random

import pytest
from support.at_night import at_night
from support.card_art import black_bordered, bordered, full_bleed, side, written
from support.scanned import fed, sheet, turned_over

from tagger.imaging.card.card_edges import Edges
from tagger.imaging.card.centering import Centering, NoCentering, measure_centering
from tagger.imaging.card.edges import find_edges
from tagger.imaging.card.sheets import find_cards, match_sheets


@pytest.mark.parametrize(
    ("many", "how"), [(4, "long side"), at_night(4, "short side"), at_night(9, "long side")]
)
def test_the_cards_of_a_sheet_are_found_in_reading_order_and_matched(many, how):
    rng = random.Random(f"sheet {many} {how}")
    fronts = sheet([side(rng, "held").picture for _ in range(many)], rng, "black", gap=3.0)
    backs = turned_over(fronts, [written(rng, "held").picture for _ in range(many)], rng, how)
    seen, behind = find_cards(fronts.picture, 300), find_cards(backs.picture, 300)
    assert len(seen) == len(behind) == many
    near = [
        isinstance(placed.edges, Edges) and max(map(math.dist, placed.edges.corners, corners)) <= 4
        for placed, corners in zip(seen, fronts.corners, strict=True)
    ]
    assert sum(near) >= many - 1  # a black border on a black bed may hide
    match = match_sheets(seen, behind, fronts.picture.size, 300)
    assert match is not None
    own = [
        min(range(many), key=lambda at: math.dist(p.middle, backs.laid[at].middle)) for p in behind
    ]
    assert match.turned == how
    assert [None if at is None else own[at] for at in match.backs] == list(range(many))


def test_a_sheet_without_cards_and_no_backs():
    rng = random.Random("bare")
    page = sheet([side(rng, "held").picture], rng, "grey")
    (only,) = find_cards(page.picture, 300)
    assert match_sheets([only], [], page.picture.size, 300) is None


def test_centering_is_that_of_the_drawn_borders():
    """Shares of opposite borders, the larger first, as the hobby writes them: 55/45 (common
    practice)."""
    for number in range(6):
        rng = random.Random(f"centred {number}")
        art = (bordered, black_bordered)[number % 3 == 2](rng, "held")
        scan = fed(art.picture, rng, "grey")
        edges = find_edges(scan.picture, 300)
        assert isinstance(edges, Edges)
        found = measure_centering(scan.picture, edges)
        assert isinstance(found, Centering)
        assert art.borders is not None
        left, upper, right, lower = art.borders
        assert found.across[0] == pytest.approx(100 * left / (left + right), abs=1.0)
        assert found.down[0] == pytest.approx(100 * upper / (upper + lower), abs=1.0)
        larger = round(max(found.across))
        assert found.written().startswith(f"{larger}/{100 - larger} across")
        assert found.skew == edges.angle


@pytest.mark.parametrize("seed", range(4))
def test_no_centering_is_given_where_the_picture_runs_off_the_edge(seed):
    rng = random.Random(f"bleed {seed}")
    scan = fed(full_bleed(rng, "held").picture, rng, "grey")
    edges = find_edges(scan.picture, 300)
    assert isinstance(edges, Edges)
    assert isinstance(measure_centering(scan.picture, edges), NoCentering)
