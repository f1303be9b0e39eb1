"""Scans of machines and artwork that the measuring was not drawn by: `support.scanning`."""

from __future__ import annotations

import io
import math
import random
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image, ImageDraw
from support.scanning import art_tuning, machines_tuning
from support.scanning.cards import Deck
from support.scanning.lots import drawn, in_turn
from support.scanning.machines import Machine, scanned

from tagger.core.audit.audit import audit
from tagger.core.audit.audited_lot import AuditedLot
from tagger.core.audit.card_size import lot_size, settled, size_faults, to_measure_again
from tagger.core.audit.feed_report import Comparing
from tagger.core.audit.findings import FindingKind
from tagger.core.feeding.pairing import first_intake
from tagger.imaging.card.card_edges import CARD_MM, Edges, NoEdges
from tagger.imaging.card.card_side import CardScale, CardSide
from tagger.imaging.card.card_sides import Sides, card_of
from tagger.imaging.card.edge_pairs import Plane
from tagger.imaging.card.edges import find_edges
from tagger.imaging.card.lines import FittedLine
from tagger.imaging.scan import decoder_warnings
from tagger.imaging.scan.jpeg_corruption import broken_at
from tagger.imaging.scan.level_shift import shifted_at
from tagger.imaging.survey.feed_reading import read_feed
from tagger.imaging.survey.measure_lot import measure_scan
from tagger.imaging.survey.orientation import find_orientations
from tagger.imaging.survey.perceptual_hash import alike_band

DESIGNS = {design.name: design for design in art_tuning.DESIGNS}
MACHINES = {machine.name: machine for machine in machines_tuning.MACHINES}


def picture(machine: Machine, number: int, design: str = "gazette") -> Image.Image:
    art = Deck(DESIGNS[design], "unseen").side(number, "front")
    data = scanned(art, machine.own(), random.Random(number)).data
    return Image.open(io.BytesIO(data)).convert("RGB")


def test_a_clean_bed_of_middle_grey_is_not_what_a_decoder_fills_in():
    """A decoder fills in level 128 for data that is not there (T.81, A.3.1); beds have it too."""
    for level in (122, 128, 133):
        clean = {"noise": 0.0, "texture": 0.0, "falloff": 0.0, "dust": 0}
        machine = replace(MACHINES["middle grey"], bed=(level, level), **clean)
        assert broken_at(picture(machine, level)) is None


def test_a_cards_corner_at_the_scans_edge_is_not_a_bed_that_jumps():
    for number in (1, 9, 11, 19):
        assert broken_at(picture(MACHINES["two pixels"], number)) is None


def test_a_decoder_tells_of_data_that_ends_too_early(monkeypatch):
    """ITU-T T.81, B.2.1: an image ends with EOI. Here it comes before all blocks were coded."""
    out = io.BytesIO()
    picture(MACHINES["black feeder"], 1).save(out, "JPEG", quality=80)
    data = out.getvalue()
    cut = data[: len(data) * 3 // 4].rstrip(b"\xff") + b"\xff\xd9"
    monkeypatch.setattr(decoder_warnings, "_decoder", lambda: None)
    assert decoder_warnings.decoded_strictly(cut) == decoder_warnings.Strict(None)
    monkeypatch.undo()
    pytest.importorskip("simplejpeg")
    assert "premature" in decoder_warnings.decoded_strictly(cut).warning
    whole = decoder_warnings.decoded_strictly(data)
    assert whole.warning == ""
    with Image.open(io.BytesIO(data)) as same:
        assert whole.picture is not None
        assert whole.picture.tobytes() == same.convert("RGB").tobytes()


@pytest.mark.parametrize("name", ["white flatbed", "black, sharpened"])
def test_the_size_of_the_cards_is_read_off_the_lot(tmp_path, name):
    """Cards of 67 x 95 mm: said once, and their edges are found. A shadow, or the halo that
    sharpening draws, stands out from the bed as they do."""
    machine, decks = MACHINES[name], [Deck(DESIGNS["gazette"], "large")]
    lot = drawn(tmp_path / "lot", in_turn([0], 2), decks, machine, "sizes", (67.0, 95.0))
    known = {name: measure_scan(tmp_path / "lot", name) for name in lot}
    size, again = to_measure_again(known)
    assert size == pytest.approx((67.0, 95.0), abs=0.3)
    known |= {name: measure_scan(tmp_path / "lot", name, size) for name in again}
    known = settled(known)
    assert lot_size(known.values()) == pytest.approx(size, abs=0.1)
    # On a light bed nothing is said of a card whose sides do not agree.
    given = {scan: one.corners for scan, one in known.items() if one.corners is not None}
    assert len(given) >= len(lot) - (name == "white flatbed")
    for scan, corners in given.items():
        truth = lot[scan]
        # 3 pixels at 300 dots per inch
        worst = max(math.dist(*both) for both in zip(truth.corners, corners, strict=True))
        assert worst <= 3 * machine.dpi / 300
    arrangement, _ = first_intake(list(known))
    comparing = Comparing(alike_band, find_orientations, read_feed)
    found = audit(AuditedLot(arrangement, list(known)), known.__getitem__, comparing)
    told = [finding.kind for finding in found if finding.kind is not FindingKind.FEW_DOTS]
    assert told == [FindingKind.LOT_SIZE]


def test_small_cards_with_their_shadow_are_not_taken_for_usual_ones(tmp_path):
    """59 x 86 mm and a shadow that fades over 2 mm on each side make 63 x 88 mm."""
    machine = replace(MACHINES["white flatbed"], shadow=30, lean=20, reach=1.1)
    decks = [Deck(DESIGNS[name], "small") for name in ("rainbow", "night")]
    lot = drawn(tmp_path / "lot", in_turn([0, 1], 3), decks, machine, "small", (59.0, 86.0))
    known = {name: measure_scan(tmp_path / "lot", name) for name in lot}
    size, again = to_measure_again(known)
    assert size == pytest.approx((59.0, 86.0), abs=0.3)
    known |= {name: measure_scan(tmp_path / "lot", name, size) for name in again}
    for name, one in settled(known).items():
        assert one.corners is not None
        # 6 pixels at 300 dots per inch
        worst = max(math.dist(*both) for both in zip(lot[name].corners, one.corners, strict=True))
        assert worst <= 6 * machine.dpi / 300


def test_pale_cards_in_a_wide_shadow_are_measured_by_their_edges(tmp_path):
    """63 x 88 mm: half a millimetre of the shadow on each side makes a usual card of them."""
    machine = Machine("wide", (234, 234), shadow=30, lean=20, reach=0.9, skew=1.4, quality=75)
    art, given = Deck(DESIGNS["pale"], "wide"), 0
    for number in (1, 2, 3):
        for side in ("front", "back"):
            source = random.Random(f"{number} {side}")
            done = scanned(art.side(number, side), machine, source, size=(63.0, 88.0))
            (tmp_path / "wide.jpg").write_bytes(done.data)
            corners = measure_scan(tmp_path, "wide.jpg").corners
            # 6 pixels at 300 dots per inch
            if corners is not None:
                worst = max(math.dist(*both) for both in zip(done.corners, corners, strict=True))
                assert worst <= 3
                given += 1
    assert given >= 4


def test_a_long_card_that_the_feeder_stretched_is_of_the_lots_size(tmp_path):
    """120 mm by 1.3% longer are 1.6 mm more."""
    art = Deck(DESIGNS["gazette"], "long").side(2, "front")
    machine = replace(MACHINES["black feeder"], stretch=(1.013, 1.013))
    done = scanned(art, machine.own(), random.Random(1), size=(70.0, 120.0))
    (tmp_path / "long.jpg").write_bytes(done.data)
    corners = measure_scan(tmp_path, "long.jpg", (70.0, 120.0)).corners
    assert corners is not None
    assert max(math.dist(*both) for both in zip(done.corners, corners, strict=True)) <= 2


def test_a_card_that_only_its_shadow_tells_from_a_white_bed(tmp_path):
    """At 150 dpi, on a lamp that loses light at the ends: within 3 pixels at 300 dpi."""
    for design in ("gazette", "pale", "wide"):
        art = Deck(DESIGNS[design], "faint").side(3, "back")
        done = scanned(art, MACHINES["white, paper-like"].own(), random.Random(design))
        (tmp_path / "white.jpg").write_bytes(done.data)
        corners = measure_scan(tmp_path, "white.jpg").corners
        assert corners is not None
        assert all(math.dist(*both) <= 1.5 for both in zip(done.corners, corners, strict=True))


def test_what_is_cut_off_is_seen_beside_a_shadow(tmp_path):
    art = Deck(DESIGNS["rainbow"], "cut").side(2, "front")
    machine = MACHINES["white flatbed"].own()
    for number, side in enumerate(("left", "lower")):
        done = scanned(art, machine, random.Random(number), missing=(side, 3.0))
        (tmp_path / "cut.jpg").write_bytes(done.data)
        known = {"cut.jpg": measure_scan(tmp_path, "cut.jpg")}
        kind, sides = size_faults(known)["cut.jpg"]
        assert kind == "cut"
        assert side in sides


def test_all_that_follows_a_wrong_difference_has_other_levels():
    """A block's first coefficient is coded as the difference to the one before: T.81, F.1.1.5.1."""
    plain = picture(MACHINES["black feeder"], 1)
    levels = np.asarray(plain, np.int16)
    assert shifted_at(plain) is None
    for row, column, by in (
        (320, 160, (30, 30, 30)),
        (16, 240, (0, -40, 60)),
        (480, 0, (25, 0, 0)),
    ):
        later = levels.copy()
        later[row : row + 16, column:] += np.array(by, np.int16)
        later[row + 16 :] += np.array(by, np.int16)
        shown = Image.fromarray(np.clip(later, 0, 255).astype(np.uint8))
        found = shifted_at(shown)
        # Where it begins with a row of blocks, the end of the row above jumps.
        assert found is not None
        assert row - 8 <= found <= row
    # A machine that fills its picture up takes all to one level.
    levels[480:] = 40
    assert shifted_at(Image.fromarray(levels.astype(np.uint8))) is None


def test_what_a_machine_filled_in_beyond_its_bed_is_no_part_of_the_card(tmp_path):
    """A strip below (padded black), and the same picture with the strip above."""
    art = Deck(DESIGNS["gazette"], "padded").side(1, "front")
    done = scanned(art, MACHINES["padded black"].own(), random.Random(1))
    (tmp_path / "below.jpg").write_bytes(done.data)
    with Image.open(io.BytesIO(done.data)) as below:
        high = below.height
        below.rotate(180).save(tmp_path / "above.png", dpi=(done.dpi, done.dpi))
    found = measure_scan(tmp_path, "below.jpg").corners
    turned = measure_scan(tmp_path, "above.png").corners
    assert found is not None
    assert turned is not None
    assert all(math.dist(*both) <= 2 for both in zip(done.corners, found, strict=True))
    wide = done.size[0]
    moved = [(wide - x, high - y) for x, y in turned[2:] + turned[:2]]
    assert all(math.dist(*both) <= 2 for both in zip(done.corners, moved, strict=True))


def test_a_card_darker_than_its_bed_is_no_shadow(tmp_path):
    """A green back with a white frame on middle grey: no line of its print is taken for it."""
    art = Deck(art_tuning.DESIGNS[2], "my").side(4, "back")
    done = scanned(art, MACHINES["middle grey"].own(), random.Random("my middle grey 10"))
    (tmp_path / "dark.jpg").write_bytes(done.data)
    corners = measure_scan(tmp_path, "dark.jpg").corners
    assert corners is not None
    assert all(math.dist(*both) <= 1.5 for both in zip(done.corners, corners, strict=True))


def lattice(step: int) -> Image.Image:
    """A side filled with a lattice, the lower half of it set off from the upper one."""
    side = Image.new("RGB", (600, 840), (70, 30, 44))
    pen = ImageDraw.Draw(side)
    for at in range(-840, 1440, step):
        for way in (840, -840):
            pen.line((at, 0, at + way, 840), fill=(238, 236, 228), width=5)
    half = side.crop((0, 0, 600, 420))
    side.paste(half.transpose(Image.Transpose.ROTATE_180), (0, 420))
    return side


def test_a_lattice_that_fills_a_side_is_print_and_its_seam_no_damage(tmp_path):
    for number, machine in enumerate(("black feeder", "black, sharpened", "middle grey")):
        art, rng = lattice(28 + 4 * number), random.Random(number)
        (tmp_path / "a.jpg").write_bytes(scanned(art, MACHINES[machine].own(), rng).data)
        kinds = {kind for kind, _ in measure_scan(tmp_path, "a.jpg").faults}
        assert kinds <= {"too few dots per inch"}, machine


def test_a_faint_pattern_that_fills_a_side_is_print_and_bare_paper_is_blank(tmp_path):
    """Waves of a few levels, as on backs of playing cards; and paper with fibres, of which each is
    as dark."""
    y, x = np.mgrid[0:840, 0:600]
    waves = np.sin((y + 12 * np.sin(x / 30)) / 5) > 0.3
    fibres = np.random.default_rng(7).random((840, 600)) > 0.97
    for marks, is_blank in ((waves, False), (fibres, True)):
        side = Image.fromarray((246 - 13 * marks).astype(np.uint8)).convert("RGB")
        for machine in ("black feeder", "white flatbed", "grey levels"):
            data = scanned(side, MACHINES[machine].own(), random.Random(machine)).data
            (tmp_path / "a.jpg").write_bytes(data)
            kinds = {kind for kind, _ in measure_scan(tmp_path, "a.jpg").faults}
            assert bool(kinds & {"blank", "nearly blank"}) is is_blank, machine


def test_waves_and_lint_on_the_bed_beside_print_are_no_damage():
    """Level print that begins on a row of blocks, and a bed that varies as lamps and lint do."""
    y, x = np.mgrid[0:640, 0:480]
    for wave, lint in ((2.5, False), (0.0, True)):
        grey = 40 + wave * np.sin(y / 7.0)
        grey[40:600, 40:440] = 150
        grey[336:600, 40:440] = np.where(x % 9 < 5, 40, 220)[336:600, 40:440]
        if lint:
            for step in range(24):
                grey[330 + step, 2 + step // 3 : 4 + step // 3] += 70
        page = Image.fromarray(np.clip(grey, 0, 255).astype(np.uint8)).convert("RGB")
        assert broken_at(page) is None


def test_two_opposite_sides_that_are_one_line_are_no_card():
    """As on a scan of a near-white card on white, of which hardly anything stands out."""
    plane = Plane(np.zeros((9, 9, 4), np.uint8), (0.0, 9.0), 4.0, turned=False)
    side = CardSide(FittedLine(4.0, 0.0), 1.0, False, 1.0, 1.0, plane, 1)
    found = card_of(Sides(side, side, side, side), CardScale(300.0, CARD_MM, known=False))
    assert isinstance(found, NoEdges)


@pytest.mark.parametrize("name", ["gazette", "shield", "night"])
def test_a_card_of_another_size_is_seen_past_its_shadow_on_grey(name):
    """67 x 95 mm: print that is as far apart as a usual card's sides is not its edge, nor is a
    border darker than the bed a sleeve."""
    machine = Machine("grey lid", (116, 116), dpi=200, shadow=7, lean=14, reach=1.2)
    for side in ("front", "back"):
        art = Deck(DESIGNS[name], "x").side(1, side)
        done = scanned(art, machine, random.Random(name), size=(67.0, 95.0))
        with Image.open(io.BytesIO(done.data)) as page:
            found = find_edges(page.convert("RGB"), done.dpi, own_size=True)
        assert isinstance(found, Edges)
        assert all(math.dist(*both) <= 2 for both in zip(done.corners, found.corners, strict=True))


def test_doubted_sides_that_fan_out_are_no_card():
    """A feeder may shear a card, which leaves its opposite sides parallel."""
    upright, lying = (
        Plane(np.zeros((1100, 1100, 4), np.uint8), (0.0, 1000.0), 500.0, turned=turned)
        for turned in (False, True)
    )
    slope = math.tan(math.radians(0.3))
    for one, other, fits in ((slope, slope, True), (0.0, slope, False)):
        left, right = (FittedLine(at, 0.0) for at in (0.0, 750.0))
        upper, lower = FittedLine(0.0, one), FittedLine(1050.0, other)
        sides = Sides(
            *(
                CardSide(line, 1.0, False, 1.0, 1.0, upright, 1, doubt=0.1)
                for line in (left, right)
            ),
            *(CardSide(line, 1.0, False, 1.0, 1.0, lying, 1, doubt=0.1) for line in (upper, lower)),
        )
        found = card_of(sides, CardScale(300.0, CARD_MM, known=True))
        assert isinstance(found, Edges) is fits


def test_sleeves_are_told_once_for_the_lot_and_bare_cards_not_at_all(tmp_path):
    grey = replace(MACHINES["grey, lamp off"], holder="sleeve", margin=(4, 8))
    shadow = replace(grey, holder="", shadow=24, lean=16, reach=1.0)
    for name, machine in (("sleeves", MACHINES["sleeves"]), ("grey", grey), ("bare", shadow)):
        lot = drawn(
            tmp_path / name, in_turn([0], 2), [Deck(DESIGNS["ribbon"], name)], machine, name
        )
        known = settled({scan: measure_scan(tmp_path / name, scan) for scan in lot})
        arrangement, _ = first_intake(list(known))
        comparing = Comparing(alike_band, find_orientations, read_feed)
        found = audit(AuditedLot(arrangement, list(known)), known.__getitem__, comparing)
        told = [finding for finding in found if finding.kind is not FindingKind.FEW_DOTS]
        assert [one.kind for one in told] == [FindingKind.HOLDERS] * (name != "bare")
        assert all("3 mm wider and 5 mm higher" in one.detail for one in told)


@pytest.mark.parametrize("name", ["grey, banded", "banded", "rollers"])
@pytest.mark.parametrize("level", [40, 95])
def test_a_stripe_of_the_bed_is_no_side_of_the_card(name, level):
    # a machine's name says where its stripes are: those of the first lie right beside the card
    machine = Machine(name, (level, level), bands=25, noise=1.6, stretch=(0.996, 1.004))
    art = Deck(DESIGNS["gazette"], "striped")
    for number in (1, 2, 3):
        truth = scanned(art.side(number, "front"), machine, random.Random(number))
        with Image.open(io.BytesIO(truth.data)) as file:
            found = find_edges(file.convert("RGB"), machine.dpi, own_size=True)
        assert isinstance(found, Edges)
        assert max(map(math.dist, found.corners, truth.corners)) * 300 / machine.dpi < 3
