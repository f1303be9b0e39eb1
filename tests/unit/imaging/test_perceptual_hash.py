"""Hashes of sides, which way up they lie, and what the feeding of a drawn lot is found to have
slipped."""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import lru_cache

import imagehash
import numpy as np
import pytest
from PIL import Image
from support.card_art import natural, side
from support.card_sets import Drawn, card_set, copied
from support.fed_lots import FAULTS, FedLot, fed_sides

from tagger.core.audit.feed_findings import SURE
from tagger.core.audit.feed_traces import traces
from tagger.core.audit.fingerprint import reversed_colours
from tagger.core.audit.orientation_runs import CardWay, upside_runs
from tagger.core.audit.slips import Doubt, Slip, SlipKind
from tagger.imaging.survey.feed_reading import read_feed
from tagger.imaging.survey.fields import fields_of
from tagger.imaging.survey.orientation import find_orientations
from tagger.imaging.survey.perceptual_hash import (
    SAME,
    alike,
    alike_band,
    difference_hash,
    distances,
    packed,
    print_of,
)

KINDS = {
    "missing front": SlipKind.FIRST_MISSING,
    "missing back": SlipKind.SECOND_MISSING,
    "extra scan": SlipKind.EXTRA_SCAN,
    "swapped": SlipKind.SWAPPED,
}


@lru_cache(maxsize=1)
def sets() -> list[list[Drawn]]:
    return [card_set(f"unit {number}", 24, "held") for number in range(2)]


def lot_of(faults: dict[int, str], cards: int = 48) -> FedLot:
    """A lot of both sets, with a fault at each of some cards (counted from 0)."""
    lot = FedLot()
    for at in range(cards):
        kind, here = faults.get(at), len(lot.scans)
        sides = fed_sides(kind)
        if kind == "extra scan":
            here += 1
        if kind:
            lot.faults.append((kind, here))
        lot.scans += [(side, at * 2 // cards, at % 24) for side in sides]
    lot.down = [False] * len(lot.scans)
    return lot


def found_in(lot: FedLot, seed: str) -> list[Slip]:
    return [slip for doubt in doubts_of(lot, seed) for slip in doubt.readings[0].slips]


def doubts_of(lot: FedLot, seed: str) -> Sequence[Doubt]:
    pictures = lot.pictures(sets(), random.Random(seed))
    prints = [print_of(picture) for picture in pictures]
    read = read_feed(
        [fields_of(picture) for picture in pictures],
        lambda a, b: prints[a].may_show_the_same(prints[b]),
    )
    return read.doubts


@pytest.mark.parametrize("seed", range(12))
def test_hashes_are_those_of_imagehash(seed):
    """imagehash.dhash (4.3) with hash_size 16, on drawn cards and on natural pictures
    (scikit-image's data)."""
    rng = random.Random(seed)
    picture = side(rng, "held").picture if seed % 2 else natural(rng, (500, 700), "held")
    assert f"{difference_hash(picture):064x}" == str(imagehash.dhash(picture, hash_size=16))


def test_distances_are_those_of_imagehash():
    rng = random.Random("distances")
    pictures = [natural(rng, (170, 240), "held") for _ in range(6)]
    theirs = [imagehash.dhash(picture, hash_size=16) for picture in pictures]
    ours = [difference_hash(picture) for picture in pictures]
    assert distances(ours[0], packed(ours)).tolist() == [theirs[0] - other for other in theirs]
    assert alike(ours[2], packed(ours))[0] == (2, 0)


def test_a_second_copy_is_alike_and_another_card_is_not():
    rng = random.Random("copies")
    cards = [card.front for card in sets()[0][:10]]
    first = [print_of(copied(card, rng)) for card in cards]
    second = [print_of(copied(card, rng)) for card in cards]
    for at, one in enumerate(first):
        assert one.hamming_distance(second[at]) <= SAME
        assert min(one.hamming_distance(other) for k, other in enumerate(second) if k != at) > SAME
    turned = print_of(copied(cards[0], rng, upside_down=True))
    assert (
        (first[0].upright ^ turned.turned).bit_count() <= SAME < first[0].hamming_distance(turned)
    )


def test_a_side_turned_over_is_as_alike_as_can_be():
    picture = Image.effect_noise((170, 240), 90).convert("RGB")
    other = Image.effect_noise((170, 240), 90).convert("RGB")
    turned = picture.transpose(Image.Transpose.ROTATE_180)
    (to_turned, to_other), _, _ = alike_band([print_of(each) for each in (picture, turned, other)])
    assert to_turned == 6.0
    assert to_other < to_turned


def test_a_lot_without_faults_has_no_findings():
    """Two sets follow each other: the boundary between them is no slip."""
    assert found_in(lot_of({}), "clean") == []


@pytest.mark.parametrize("kind", FAULTS)
def test_one_slip_is_found_at_its_card(kind):
    lot = lot_of({15: kind})
    (slip,) = found_in(lot, kind)
    assert (slip.kind, slip.scan) == (KINDS[kind], lot.faults[0][1])


def test_a_side_missing_where_a_long_set_begins_is_asked_about_and_one_on_its_way_is_not():
    """The scans around could be as well the other sides of the second set; but the lot ends whole.
    That alone is no certainty."""
    (doubt,) = doubts_of(lot_of({30: "missing front"}, cards=60), "begins")
    first = doubt.readings[0]
    assert [(one.kind, one.scan) for one in first.slips] == [(SlipKind.FIRST_MISSING, 60)]
    assert first.share < SURE
    waiting = lot_of({}, cards=24)
    waiting.scans.pop(), waiting.down.pop()
    assert found_in(waiting, "waiting") == []


def test_slips_that_cancel_each_other_out_are_both_found():
    lot = lot_of({9: "missing back", 36: "missing front"})
    found = found_in(lot, "both")
    assert [one.kind for one in found] == [SlipKind.SECOND_MISSING, SlipKind.FIRST_MISSING]


def test_what_looks_alike_or_says_nothing_has_no_slips():
    rng = np.random.default_rng(1)
    grains = [rng.integers(0, 255, 1680, dtype=np.uint8).tobytes() for _ in range(60)]
    for fields in ([], grains[:2], grains, [bytes(1680)] * 60, [b""] * 60):
        assert read_feed(fields, lambda a, b: False).doubts == ()


def test_numbers_and_times_of_files_say_which_of_two_readings_it_is():
    """Two swapped cards beside each other, or a front missing before them and a back behind."""
    fields = [bytes([shade]) * 1680 for _ in range(20) for shade in (60, 190)]
    del fields[20], fields[24]  # front of card 11, back of card 13
    numbers = [at for at in range(1, 41) if at not in (21, 26)]
    names = [f"scan_{at:04d}.jpg" for at in numbers]
    plain = [f"scan_{at:04d}.jpg" for at in range(1, 39)]
    # A duplex machine writes both sides of a card within a tenth of a second, a card in two.
    fed = [(at - 1) // 2 * 2 * 10**9 + at % 2 * 10**8 for at in numbers]
    even, by_names, by_times = (
        read_feed(fields, lambda a, b: False, known).doubts[0].readings
        for known in (
            traces(plain, dict.fromkeys(plain, 5)),
            traces(names, {}),
            traces(plain, dict(zip(plain, fed, strict=True))),
        )
    )
    assert [one.share for one in even] == pytest.approx([0.49, 0.49], abs=0.01)
    missing = [(SlipKind.FIRST_MISSING, 20), (SlipKind.SECOND_MISSING, 23)]
    for readings in (by_names, by_times):
        assert [(slip.kind, slip.scan) for slip in readings[0].slips] == missing
        assert readings[0].share > 0.9


def test_cards_that_lie_upside_down_are_told():
    """Single cards, one of them in both ways, and a run of backs; a design without a top says
    nothing."""
    rng = random.Random("turned")
    lot = lot_of({})
    for at in (10, 11, 41, *range(60, 76)):
        lot.down[at] = at < 60 or at % 2 == 1
    fields = [fields_of(picture) for picture in lot.pictures(sets(), rng)]
    cards = list(zip(fields[::2], fields[1::2], strict=True))
    ways = find_orientations(cards)
    down = [side for way in ways for side in (way.front_down, way.back_down)]
    assert down == lot.down
    assert min(way.share for way in ways) > 0.9
    both_ways = [twice(side) for side in fields]
    cards = list(zip(both_ways[::2], both_ways[1::2], strict=True))
    assert all(way.upright for way in find_orientations([*cards, (b"", b"")]))
    assert find_orientations([]) == []


def twice(side: bytes) -> bytes:
    """A side that looks the same both ways."""
    over = reversed_colours(side)
    return bytes((one + other) // 2 for one, other in zip(side, over, strict=True))


def test_a_run_is_asked_about_where_its_set_is_split_or_it_is_not_certain():
    up, down = CardWay(False, False, 1.0), CardWay(False, True, 0.999)
    unsure, both = CardWay(False, True, 0.9), CardWay(True, True, 0.999)
    silent = CardWay(False, True, 0.6)
    ways = [up] * 20 + [down, silent, down] + [up] * 8 + [unsure, up, both]
    runs = upside_runs(ways, [0] * len(ways))
    assert [(run.first, run.past, run.front, run.back, run.ask) for run in runs] == [
        (20, 23, False, True, False),
        (31, 32, False, True, True),
        (33, 34, True, True, False),
    ]
    (run,) = upside_runs([up, up, down, down], [0] * 4)
    assert run.even
    assert run.ask
    assert len(upside_runs([up, down, down, up, up, up], [0, 0, 1, 1, 1, 1])) == 2
