"""Which known card a card looks like: the rule, the index against plain counting, and what holds
for both."""

from __future__ import annotations

import random
from functools import lru_cache

import imagehash
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from support.card_sets import Drawn, card_set, copied

from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.audit.signature import (
    FAR,
    LOOK_BYTES,
    MARGIN,
    NEAR,
    NEAR_FRONT,
    CardSides,
    Signature,
    SignatureDistance,
    SignatureMatch,
    choose,
    kept_side,
    known_card,
    says_enough,
)
from tagger.core.model.tags import Tags
from tagger.imaging.survey.hamming_index import NearestNeighbourIndex
from tagger.imaging.survey.perceptual_hash import print_of

SETS, CARDS = 6, 8


@lru_cache(maxsize=1)
def cards() -> list[tuple[str, str, Drawn]]:
    """(set, number, card) of six drawn sets."""
    return [
        (f"set {s}", str(n), c)
        for s in range(SETS)
        for n, c in enumerate(card_set(f"alike {s}", CARDS, "held"))
    ]


def look(card: Drawn, seed: str, *, upside_down: bool = False) -> Signature:
    """How a copy of a card looks, in a scan of its own."""
    rng = random.Random(seed)
    front, back = (copied(side, rng, upside_down=upside_down) for side in (card.front, card.back))
    return Signature(print_of(front), print_of(back))


@lru_cache(maxsize=1)
def looks() -> list[Signature]:
    return [look(card, f"known {at}") for at, (_, _, card) in enumerate(cards())]


def kept(at: int) -> bytes:
    set_name, number, _ = cards()[at]
    return looks()[at].kept(set_name, number)


def index(numbers: list[int]) -> NearestNeighbourIndex:
    known = NearestNeighbourIndex()
    known.add(numbers, b"".join(map(kept, numbers)))
    return known


def test_another_copy_is_found_and_the_bits_are_those_of_imagehash():
    """imagehash.dhash (4.3) with hash_size 16 counts the bits that differ."""
    known = index(list(range(len(cards()))))
    found = 0
    for at, (_, _, card) in enumerate(cards()):
        rng = random.Random(f"again {at}")
        sides = [copied(side, rng) for side in (card.front, card.back)]
        alike = known.find(Signature(*map(print_of, sides)))
        if alike is None:
            continue
        found += 1
        assert alike.key == at
        rng = random.Random(f"known {at}")
        theirs = [
            imagehash.dhash(_small(side), hash_size=16)
            - imagehash.dhash(_small(copied(drawn, rng)), hash_size=16)
            for side, drawn in zip(sides, (card.front, card.back), strict=True)
        ]
        assert [alike.distance_front, alike.distance_back] == theirs
    assert found >= 0.9 * len(cards())


def _small(picture: Image.Image) -> Image.Image:
    return picture if picture.width <= 340 else picture.resize((170, 240), Image.Resampling.BOX)


def test_another_number_of_the_same_design_and_another_set_are_not_proposed():
    for at in range(0, len(cards()), 5):
        known = index([number for number in range(len(cards())) if number != at])
        assert known.find(look(cards()[at][2], f"again {at}")) is None


def test_a_card_scanned_upside_down_is_found():
    known = index(list(range(len(cards()))))
    found = [known.find(look(cards()[at][2], f"over {at}", upside_down=True)) for at in range(12)]
    assert [alike.key for alike in found if alike is not None] == [
        at for at in range(12) if found[at] is not None
    ]
    assert sum(alike is not None for alike in found) >= 10


def test_a_card_is_never_proposed_as_itself():
    known = index([3, 4])
    assert known.find(looks()[3]) == SignatureMatch(3, 0, 0, True)
    assert known.find(looks()[3], leave_out=[3]) is None


def test_of_two_copies_that_are_named_differently_none_is_proposed():
    known = index([3])
    known.add([90], looks()[3].kept("set 0", "another"))
    assert known.find(looks()[3]) is None
    known.add([90], looks()[3].kept("SET 0", "3"))
    alike = known.find(looks()[3])
    assert alike is not None
    assert alike.key == 3


def test_cards_without_a_number_are_told_by_their_subject():
    known = NearestNeighbourIndex()
    known.add(
        [1, 2],
        looks()[0].kept("set 0", "", "Ada Marsh") + looks()[0].kept("set 0", "", "Bo Lunden"),
    )
    assert known.find(looks()[0]) is None
    known.add([2], looks()[0].kept("set 0", "", "ada marsh"))
    assert known.find(looks()[0]) is not None


def test_blank_sides_are_like_no_other():
    white = print_of(Image.new("RGB", (250, 350), (240, 238, 230)))
    shade = print_of(Image.linear_gradient("L").rotate(90).resize((250, 350)).convert("RGB"))
    assert not says_enough(white)
    assert not says_enough(shade)
    for blank in (white, shade):
        known = NearestNeighbourIndex()
        known.add([1], Signature(blank, blank).kept("a", "1"))
        assert known.find(Signature(blank, blank)) is None
        assert known.find(looks()[0]) is None


def test_without_backs_only_the_nearest_fronts_count_and_nothing_is_sure():
    front, back = looks()[0].front, looks()[0].back
    known = index([0])
    assert known.find(Signature(front, None)) == SignatureMatch(0, 0, None, False)
    assert known.find(Signature(None, back)) is None
    assert known.find(Signature(None, None)) is None
    alone = NearestNeighbourIndex()
    alone.add([0], Signature(front, None).kept("set 0", "0"))
    assert alone.find(looks()[0]) == SignatureMatch(0, 0, None, False)


def test_the_same_shapes_in_other_colours_are_no_copy():
    """Two levels' worth of colours decide where hashes cannot: the hash is the same, the ink is
    not."""
    front, back = looks()[0].front, looks()[0].back
    assert front is not None
    assert back is not None
    other = bytes(255 - value for value in front.colours)
    assert index([0]).find(Signature(Fingerprint(front.upright, front.turned, other), back)) is None


def test_an_index_that_does_not_fit_its_keys_is_refused():
    with pytest.raises(ValueError, match="looks are"):
        NearestNeighbourIndex().add([1, 2], bytes(LOOK_BYTES))


@given(st.permutations(range(12)), st.lists(st.integers(0, 11)), st.integers(0, 11))
def test_the_order_of_adding_does_not_matter_and_what_was_forgotten_is_never_proposed(
    order, gone, asked
):
    query = look(cards()[asked][2], f"asked {asked}")
    at_once, one_by_one = index(list(range(12))), NearestNeighbourIndex()
    for number in order:
        one_by_one.add([number], kept(number))
        if number in gone:
            one_by_one.remove([number])
    at_once.remove(gone)
    assert len(at_once) == len(one_by_one) == 12 - len(set(gone))
    alike = at_once.find(query)
    assert alike == one_by_one.find(query)
    assert alike is None or alike.key not in gone
    if asked in gone:
        assert alike is None


bits = st.integers(0, 120)
seen = st.builds(
    SignatureDistance,
    st.integers(0, 9),
    st.integers(0, 3),
    bits,
    st.floats(0, 9),
    st.none() | bits,
    st.just(0.0) | st.floats(0, 9),
)


@given(st.lists(seen, max_size=8), st.randoms(use_true_random=False))
def test_what_is_chosen_is_near_and_stands_alone(known, rng):
    chosen = choose(known)
    mixed = list(known)
    rng.shuffle(mixed)
    assert choose(mixed) == chosen
    if chosen is None:
        return
    told = [
        one
        for one in known
        if (one.key, one.front, one.back)
        == (chosen.key, chosen.distance_front, chosen.distance_back)
    ]
    taken = min(told, key=lambda one: one.distance)
    assert taken.distance <= (NEAR_FRONT if taken.back is None else NEAR)
    kind = [one for one in known if (one.back is None) == (taken.back is None)]
    assert all(one.distance >= taken.distance for one in kind)
    assert all(one.distance - taken.distance >= MARGIN for one in kind if one.card != taken.card)
    assert not (chosen.sure and chosen.distance_back is None)


@given(st.lists(st.integers(0, 2**256 - 1), min_size=1, max_size=20), st.integers(0, 2**256 - 1))
def test_many_looks_are_gone_through_as_one_by_one(hashes, asked):
    """Counted with Python's own whole numbers; a hash next to the one asked for is among them."""
    colours = bytes(range(48))
    query = Fingerprint(asked, asked, colours)
    near = [value if at else asked ^ (value & 0xFF) for at, value in enumerate(hashes)]
    known = NearestNeighbourIndex()
    rows = [
        Signature(Fingerprint(value, value, colours), Fingerprint(asked, asked, colours)).kept(
            "a", "1"
        )
        for value in near
    ]
    known.add(range(len(near)), b"".join(rows))
    alike = known.find(Signature(query, query))
    if not says_enough(query):
        assert alike is None
        return
    told = {
        at: (value ^ asked).bit_count()
        for at, value in enumerate(near)
        if says_enough(Fingerprint(value, 0, colours))
    }
    best = min(told, key=lambda at: (told[at], at), default=None)
    if alike is None:
        assert best is None or told[best] > FAR
    else:
        assert (alike.key, alike.distance_front, alike.distance_back) == (best, told[alike.key], 0)


def test_numbers_of_numpy_are_taken_too():
    known = NearestNeighbourIndex()
    known.add(np.array([5, 6]), kept(0) + kept(1))
    known.remove(np.array([5]))
    alike = known.find(looks()[1])
    assert alike is not None
    assert (alike.key, type(alike.key), len(known)) == (6, int, 1)


def test_parallel_serial_number_and_condition_are_never_offered():
    tags = Tags(
        "1987 Harbor Light",
        "23",
        "Ada Marsh",
        "Gulls",
        "Gold",
        "12/99",
        "Mint",
        "box 12",
        "corner",
        False,
    )
    card = known_card(CardSides("/lots/12", "a.jpg", "b.jpg"), "box 12", tags, looks()[0])
    assert card.offered() == Tags("1987 Harbor Light", "23", "Ada Marsh", "Gulls")
    known = NearestNeighbourIndex()
    known.add(
        [1, 2],
        card.look + known_card(card.scans, "", Tags("1987 Harbor Light", "23"), looks()[0]).look,
    )
    assert known.find(looks()[0]) is not None


@given(
    st.binary(min_size=48, max_size=48),
    st.integers(2**40 - 1, 2**256 - 1).filter(lambda n: 20 <= n.bit_count() <= 236),
)
def test_colours_are_kept_to_two_levels(colours, upright):
    """Reckoned by plain fractions: a light to half a level, a tint to two levels."""
    kept = kept_side(Fingerprint(upright, 0, colours))
    fields = [tuple(colours[at : at + 3]) for at in range(0, 48, 3)]
    assert int.from_bytes(kept[:32], "big") == upright
    for (red, green, blue), light in zip(fields, kept[32:48], strict=True):
        assert abs(red / 4 + green / 2 + blue / 4 - light) <= 0.5
    for quarter, (x, y) in enumerate(((0, 0), (2, 0), (0, 2), (2, 2))):
        four = [fields[(y + dy) * 4 + x + dx] for dy in (0, 1) for dx in (0, 1)]
        for at, ink in enumerate((0, 2)):
            mean = sum(field[ink] - field[1] for field in four) / 4
            assert 0 <= mean - 2 * (kept[48 + 2 * quarter + at] - 128) < 2


def test_a_lighter_scan_has_the_same_colours_and_a_turned_one_too():
    """Only the colours of this front are turned and dimmed by a twelfth; the hashes stay."""
    front, back = looks()[0].front, looks()[0].back
    assert front is not None
    fields = [front.colours[at : at + 3] for at in range(0, 48, 3)]
    for colours, upright, turned in (
        (bytes(round(value * 0.92) for value in front.colours), front.upright, front.turned),
        (b"".join(reversed(fields)), front.turned, front.upright),
    ):
        assert index([0]).find(
            Signature(Fingerprint(upright, turned, colours), back)
        ) == SignatureMatch(0, 0, 0, True)
    wrong = Fingerprint(front.upright, front.turned, b"".join(reversed(fields)))
    assert index([0]).find(Signature(wrong, None)) is None


def test_a_known_card_without_a_front_is_never_near():
    """A dark front with little on it is near to nothing at all, if nothing were a front."""
    dark = Fingerprint((1 << 22) - 1, (1 << 22) - 1, bytes(48))
    known = NearestNeighbourIndex()
    known.add([1], Signature(None, looks()[0].back).kept("a", "1"))
    assert known.find(Signature(dark, None)) is None
    known.add([1], Signature(dark, None).kept("a", "1"))
    assert known.find(Signature(dark, None)) == SignatureMatch(1, 0, None, False)


def test_sure_is_what_nothing_else_comes_near_to():
    first = SignatureDistance(1, 1, 20, 0.0, 20)
    for bits, chosen in ((40 + MARGIN - 1, None), (40 + MARGIN, False), (40 + 2 * MARGIN, True)):
        alike = choose([SignatureDistance(2, 2, int(bits), 0.0, 0), first])
        assert (alike and alike.sure) is chosen
    assert choose([SignatureDistance(1, 1, 50, 0.0, 50)]) == SignatureMatch(1, 50, 50, False)
