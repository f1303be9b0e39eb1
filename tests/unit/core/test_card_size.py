"""What the size of a lot's cards is, and what is odd beside it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tagger.core.audit.card_size import USUAL, lot_size, settled, size_faults, to_measure_again
from tagger.core.audit.feed_report import NO_PRINT
from tagger.core.audit.measured import Measured

CORNERS = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
SEEN = Measured("whole", print=NO_PRINT, corners=CORNERS, dpi=300.0, size=(850, 1150))


def lot(*cards: tuple[float, float]) -> dict[str, Measured]:
    """Scans on which a card of this size was measured."""
    return {f"{at:02d}": replace(SEEN, card=card) for at, card in enumerate(cards)}


def test_the_size_is_the_one_that_fronts_and_backs_have():
    assert lot_size(lot(*[(59.1, 86.0), (58.9, 86.1)] * 5).values()) == (59.0, 86.05)
    assert lot_size(lot(*[USUAL] * 8).values()) == USUAL
    # three scans say nothing
    assert lot_size(lot(*[(59.0, 86.0)] * 3).values()) == USUAL


def test_a_frame_on_one_side_of_the_cards_is_not_their_size():
    """A plate as dark as the bed on every back leaves 54 mm of it."""
    known = lot(*[USUAL, (54.0, 88.9)] * 6)
    assert lot_size(known.values()) == USUAL
    assert size_faults(known) == {}
    judged = settled(known)
    assert [judged[scan].corners is None for scan in sorted(judged)] == [False, True] * 6


def test_small_cards_with_a_narrow_bed_are_not_usual_ones_that_were_cropped():
    """Cards of 59 x 86 mm, with 1.7 mm of bed on each side, make scans as large as a usual card."""
    sizes = [(59.1, 86.0), (58.9, 86.1)] * 4
    narrow = {scan: replace(one, size=(739, 1056)) for scan, one in lot(*sizes).items()}
    assert lot_size(narrow.values()) == (59.0, 86.05)
    # cropped to 63.8 x 89.2 mm: the inside of an uneven border
    cropped = {scan: replace(one, size=(754, 1054)) for scan, one in lot(*sizes).items()}
    assert lot_size(cropped.values()) == USUAL
    assert all(one.corners is None for one in settled(cropped).values())
    # and of an even one, on scans with an uneven rim
    frames = lot(*[(57.5, 82.9)] * 8)
    rimmed = {scan: replace(one, size=(739, 1056)) for scan, one in frames.items()}
    assert lot_size(rimmed.values()) == USUAL


def test_much_smaller_cards_in_scans_as_large_as_a_usual_one_are_what_they_are():
    """Tobacco cards of 44 x 67 mm: no border is as wide as what is seen around them."""
    small = {scan: replace(one, size=(732, 1040)) for scan, one in lot(*[(44.0, 67.7)] * 8).items()}
    assert lot_size(small.values()) == (44.0, 67.7)


def test_usual_cards_that_the_feeder_stretched_are_looked_for_as_they_were_fed():
    lines = replace(SEEN, corners=None, lines=(63.6, 90.1))
    known = {f"{at:02d}": lines for at in range(8)} | {"08": replace(SEEN, card=(63.5, 88.8))}
    assert to_measure_again(known) == ((63.6, 90.1), sorted(known))
    again = replace(SEEN, card=(63.6, 90.1), asked=(63.6, 90.1))
    known = dict.fromkeys(known, again)
    assert to_measure_again(known) == ((63.6, 90.1), [])
    assert settled(known) == known
    assert lot_size(known.values()) == USUAL
    # larger both ways is no stretch, but a shadow
    shadows = {f"{at:02d}": replace(lines, lines=(64.6, 90.1)) for at in range(8)}
    assert to_measure_again(shadows) == (USUAL, [])


def test_cards_that_the_feeder_stretched_each_otherwise_are_still_of_one_size():
    """Six of 57 x 89 mm, each longer or shorter by 1.2% at most."""
    long = (88.3, 90.1, 90.1, 89.8, 88.7, 89.2)
    known = lot(*[(57.0, one) for one in long])
    size = lot_size(known.values())
    assert size[0] == 57.0
    assert 88.9 < size[1] < 89.5
    assert size_faults(known) == {}
    # of long ones 1.5% is more than what cards of one size are cut by
    tarots = lot(*[(70.0, one) for one in (118.6, 120.0, 120.2, 120.0, 120.1, 121.7)])
    assert all(one.corners is not None for one in settled(tarots).values())
    # as wide as it is, no card becomes so much wider
    wide = lot(*[(70.0, 120.0)] * 8, (71.6, 120.0))
    assert settled(wide)["08"].corners is None


def test_what_was_not_of_the_lots_size_is_measured_again_once():
    known = lot(*[(67.0, 95.0)] * 8) | {"08": SEEN, "09": replace(SEEN, asked=(67.0, 95.0))}
    assert to_measure_again(known) == ((67.0, 95.0), ["08"])
    assert settled(known)["08"].corners is None
    assert settled(known)["09"].corners is not None
    assert to_measure_again(lot(*[USUAL] * 8)) == (USUAL, [])


def test_odd_is_what_is_larger_than_the_lots_cards():
    known = lot(*[(67.0, 95.0)] * 8, (67.0, 99.0), (60.0, 95.0))
    assert size_faults(known) == {"08": ("odd size", "67.0 x 99.0 mm")}


def test_a_pile_of_smaller_cards_in_a_lot_is_not_cut():
    """On scans that are all as small; one by itself has no room for its card."""
    small = replace(SEEN, size=(590, 850), corners=None)
    usual = lot(*[USUAL] * 12)
    assert size_faults(usual | {f"{at}": small for at in range(20, 30)}) == {}
    assert size_faults(usual | {"20": small}) == {"20": ("cut", "")}


def test_two_cards_that_overlap_are_larger_than_one():
    """What stands out is far too long for a card, though no side of it was sure."""
    seen = replace(SEEN, corners=None, lines=(63.0, 160.0))
    known = lot(*[USUAL] * 8) | {"08": seen}
    assert size_faults(known) == {"08": ("odd size", "63.0 x 160.0 mm")}
    for other in ((63.0, 100.0), (63.0, 190.0), (70.0, 160.0)):
        assert size_faults(known | {"08": replace(seen, lines=other)}) == {}


def test_what_most_cards_of_a_small_lot_are_is_no_odd_size():
    """Four scans, each stretched otherwise, agree on no size."""
    sizes = [(67.1, 96.1), (66.9, 95.7), (67.0, 97.9), (67.0, 93.6)]
    assert size_faults(lot(*sizes)) == {}


def test_cut_is_what_the_lots_size_says_is_missing():
    cut = replace(SEEN, corners=None, reached=("left",), shown=(60.0, 88.8))
    known = lot(*[USUAL] * 6) | {"cut": cut, "near": replace(cut, shown=(62.6, 88.9))}
    assert size_faults(known) == {"cut": ("cut", "left"), "near": ("no margin", "left")}
    # as dark as the bed, so that nothing of its edges stands out: 62 mm of bed and card
    small = replace(SEEN, corners=None, size=(732, 1150))
    assert size_faults(known | {"small": small})["small"] == ("cut", "")


def test_a_machine_that_crops_cuts_nothing_by_a_millimetre():
    page = replace(SEEN, corners=None, size=(752, 1050), reached=("left", "right"))
    known = {f"{at:02d}": replace(page, size=(752 - at, 1050 + at)) for at in range(10)}
    assert {kind for kind, _ in size_faults(known).values()} == {"no margin"}
    short = known | {"short": replace(page, size=(752, 1010))}
    assert size_faults(short)["short"] == ("cut", "left, right")


def test_what_single_scans_are_not_sure_of_most_of_them_can_agree_on():
    """A white bed: of each card only lines were seen, on some not even those of the same size."""
    lines = replace(SEEN, corners=None, lines=(59.1, 86.0))
    known = {f"{at:02d}": lines for at in range(10)}
    known |= {f"{at}": replace(lines, lines=(52.0, 70.0 + at)) for at in range(20, 24)}
    assert lot_size(known.values()) == (59.1, 86.0)
    assert to_measure_again(known) == ((59.1, 86.0), list(known))
    # found by then, they keep their edges and the lot its size
    again = {scan: replace(SEEN, asked=(59.1, 86.0)) for scan in known}
    assert lot_size(again.values()) == (59.1, 86.0)
    assert to_measure_again(again) == ((59.1, 86.0), [])
    assert all(one.corners is not None for one in settled(again).values())
    # edges of the usual size weigh as much
    assert lot_size((known | lot(*[(0.0, 0.0)] * 40)).values()) == USUAL


def test_the_size_of_one_side_is_borne_out_by_what_stands_out_on_the_other():
    """Fronts with a border as dark as the bed, of which hardly any is measured: what stands out on
    them is as large as the backs, with a shadow."""
    dark = replace(SEEN, corners=None, shown=(59.6, 87.0))
    known = {f"{at:02d}": replace(SEEN, card=(59.0, 86.0)) if at % 2 else dark for at in range(12)}
    assert lot_size(known.values()) == (59.0, 86.0)
    # a plate on every back, smaller than the fronts
    larger = {scan: replace(one, shown=(63.6, 89.0)) for scan, one in known.items()}
    assert lot_size(larger.values()) == USUAL


def test_scans_that_are_cut_to_the_card_have_its_size():
    """Cards of 59 x 86 mm, cut out to the edge: nothing is cut off, and nothing measured again."""
    page = replace(SEEN, corners=None, size=(700, 1018), shown=(59.0, 80.0), reached=("left",))
    known = {f"{at:02d}": replace(page, size=(700 + at % 4, 1018)) for at in range(10)}
    assert lot_size(known.values()) == pytest.approx((59.4, 86.2), abs=0.1)
    assert {kind for kind, _ in size_faults(known).values()} == {"no margin"}
    assert to_measure_again(known)[1] == []


def test_a_size_that_one_side_alone_says_is_the_lots_where_nothing_shows_more():
    """Fronts with a border as dark as the bed, of which less is seen; backs that stand out."""
    seen = [(59.0, 86.1), (58.9, 86.0), (59.1, 86.0), (59.0, 86.0)]
    shown = [(50.0, 75.0), (56.5, 83.4), (53.0, 86.0), (56.6, 85.3)]
    fronts = {f"{at}a": replace(SEEN, corners=None, shown=size) for at, size in enumerate(shown)}
    backs = {f"{at}b": replace(SEEN, card=size, shown=size) for at, size in enumerate(seen)}
    known = dict(sorted((fronts | backs).items()))
    assert lot_size(known.values()) == pytest.approx((59.0, 86.0))
    # a front that shows more; too few backs
    more = known | {"0a": replace(SEEN, corners=None, shown=(63.6, 89.0))}
    assert lot_size(more.values()) == USUAL
    few = known | {"0b": replace(SEEN, corners=None)}
    assert lot_size(few.values()) == USUAL


def test_what_is_seen_of_usual_cards_on_one_side_alone_is_not_the_lots_size():
    """The inside of an even border, and what a dark strip leaves of a card."""
    for part in ((57.5, 82.9), (63.5, 78.0), (54.0, 88.9)):
        known = lot(*[(0.0, 0.0), part] * 6)
        assert lot_size(known.values()) == USUAL


def test_a_size_is_not_borne_out_by_cards_that_were_measured_larger():
    fronts = [replace(SEEN, card=(55.6, 88.9), shown=(55.6, 88.9))] * 4
    backs = [replace(SEEN, card=(57.0, 89.0), shown=(57.0, 89.0))] * 4
    lots = [one for pair in zip(fronts, backs, strict=True) for one in pair]
    assert lot_size(lots) == USUAL
    # by their shadow alone they may be
    shadows = [replace(SEEN, corners=None, shown=(57.0, 89.8))] * 4
    lots = [one for pair in zip(fronts, shadows, strict=True) for one in pair]
    assert lot_size(lots) == pytest.approx((55.6, 88.9))


def test_small_cards_of_which_little_stands_out_are_not_all_cut():
    """Of 44 x 68 mm on a bed as dark as they are: no scan has room for a usual card."""
    small = replace(SEEN, corners=None, dpi=300.0, size=(640, 920), shown=(40.0, 60.0))
    known = {f"{at:02d}": small for at in range(8)}
    assert size_faults(known) == {}
    assert size_faults(known | {"03": replace(small, reached=("left",))})["03"][0] == "cut"


def test_a_shadow_that_dark_fronts_go_over_into_is_not_in_the_lots_size():
    """Light backs show where the card ends, a millimetre before the shadow does."""
    light = replace(SEEN, corners=None, shown=(71.9, 121.2), lines=(70.0, 120.0))
    dark = replace(SEEN, card=(71.0, 120.2))
    known = {f"{at:02d}": light if at % 2 else dark for at in range(12)}
    assert lot_size(known.values()) == (70.0, 120.0)
    # a frame is smaller both ways
    framed = replace(light, lines=(69.8, 119.0))
    known = {scan: framed if one is light else one for scan, one in known.items()}
    assert lot_size(known.values()) == (71.0, 120.2)
