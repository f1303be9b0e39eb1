"""Scans as feeders really make them: stretched along their way, on pages wider than high, cropped;
decks of which all backs are plain, or look the same both ways."""

from __future__ import annotations

import io
import math
import random
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw
from support.scanning import art_tuning, machines_tuning
from support.scanning.cards import Deck
from support.scanning.lots import drawn, in_turn
from support.scanning.machines import scanned

from tagger.core.audit.audit import audit
from tagger.core.audit.audited_lot import AuditedLot
from tagger.core.audit.card_size import settled, to_measure_again
from tagger.core.audit.feed_report import Comparing
from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.measured import Measured
from tagger.core.feeding.pairing import first_intake
from tagger.imaging.card import kept_levels
from tagger.imaging.card.around.padding import without_padding
from tagger.imaging.card.card_edges import Edges, NoEdges
from tagger.imaging.card.sheets import find_cards
from tagger.imaging.scan.jpeg_corruption import broken_at
from tagger.imaging.scan.level_shift import shifted_at
from tagger.imaging.survey.feed_reading import read_feed
from tagger.imaging.survey.measure_lot import measure_scan
from tagger.imaging.survey.orientation import find_orientations
from tagger.imaging.survey.perceptual_hash import alike_band

DESIGNS = {design.name: design for design in art_tuning.DESIGNS}
MACHINES = {machine.name: machine for machine in machines_tuning.MACHINES}


def findings(known: dict[str, Measured]) -> list[Finding]:
    """What an audit tells of a lot, as the desk gets it, but that dots are few."""
    arrangement, _ = first_intake(list(known))
    comparing = Comparing(alike_band, find_orientations, read_feed)
    found = audit(AuditedLot(arrangement, list(known)), known.__getitem__, comparing)
    return [finding for finding in found if finding.kind is not FindingKind.FEW_DOTS]


def test_usual_cards_of_a_feeder_that_stretches_are_looked_for_as_they_were_fed(tmp_path: Path):
    """1.3% longer, each of them: neither another size nor a frame of the usual one is taken."""
    machine = replace(MACHINES["white flatbed"], stretch=(1.013, 1.013))
    decks = [Deck(DESIGNS[name], "fed") for name in ("gazette", "ribbon")]
    lot = drawn(tmp_path / "fed", in_turn([0, 1], 6), decks, machine, "fed")
    known = {scan: measure_scan(tmp_path / "fed", scan) for scan in lot}
    size, again = to_measure_again(known)
    known |= {scan: measure_scan(tmp_path / "fed", scan, size) for scan in again}
    known = settled(known)
    given = [(truth.corners, known[scan].corners) for scan, truth in lot.items()]
    off = [
        max(math.dist(*both) for both in zip(true, seen, strict=True))
        for true, seen in given
        if seen is not None
    ]
    assert len(off) >= 10
    assert max(off) <= 3
    assert not findings(known)


def test_a_card_that_stands_on_a_wide_page_does_not_lie(tmp_path: Path):
    """Whether or not its edges are sure."""
    for name in ("white flatbed", "black feeder"):
        art = Deck(DESIGNS["gazette"], "wide").side(1, "front")
        done = scanned(art, MACHINES[name].own(), random.Random(3), size=(61.0, 91.5))
        page = Image.open(io.BytesIO(done.data)).convert("RGB")
        level = page.getpixel((2, 2))
        wide = Image.new("RGB", (page.width * 2, page.height), level)
        wide.paste(page, (page.width // 3, 0))
        wide.save(tmp_path / "wide.jpg", quality=90, dpi=(150, 150))
        assert not measure_scan(tmp_path, "wide.jpg").sideways


def test_a_card_that_was_found_by_its_frame_and_its_shadow_is_one_card(tmp_path: Path):
    sheet = Image.new("RGB", (1000, 1200), (246, 232, 200))
    pen = ImageDraw.Draw(sheet)
    pen.rectangle((204, 254, 708, 958), fill=(160, 148, 120))  # its shadow
    pen.rectangle((200, 250, 699, 949), fill=(250, 238, 208))
    pen.rectangle((232, 282, 668, 840), outline=(90, 70, 40), width=4)
    pen.rectangle((240, 290, 660, 832), fill=(60, 110, 150))
    cards = [one for one in find_cards(sheet, 200) if isinstance(one.edges, Edges)]
    assert len(cards) == 1


def test_lines_that_are_no_edges_are_in_pixels_of_the_whole_scan():
    none = NoEdges("unclear", lines=((1.0, 2.0), (5.0, 2.0), (5.0, 8.0), (1.0, 8.0)))
    assert none.resized(2.0).lines == ((2.0, 4.0), (10.0, 4.0), (10.0, 16.0), (2.0, 16.0))
    assert none.moved((10, 20)).lines == ((11.0, 22.0), (15.0, 22.0), (15.0, 28.0), (11.0, 28.0))
    assert NoEdges("no card").resized(2.0).moved((1, 1)) == NoEdges("no card")


def lot_of(
    folder: Path, fronts: list[Image.Image], backs: list[Image.Image]
) -> dict[str, Measured]:
    """What is measured of cards with these sides, on a black bed."""
    folder.mkdir()
    source = random.Random(folder.name)
    for at, (front, back) in enumerate(zip(fronts, backs, strict=True)):
        for number, art in ((2 * at + 1, front), (2 * at + 2, back)):
            done = scanned(art, MACHINES["black feeder"].own(), source)
            (folder / f"scan{number:04}.jpg").write_bytes(done.data)
    names = sorted(path.name for path in folder.iterdir())
    return settled({name: measure_scan(folder, name) for name in names})


def fronts(count: int) -> list[Image.Image]:
    return [Deck(DESIGNS["gazette"], "plain").side(at, "front") for at in range(count)]


def plain_back(number: int, printed: bool = True) -> Image.Image:
    side = Image.new("RGB", (600, 840), (250, 250, 246))
    if printed:
        ImageDraw.Draw(side).text((270, 380), str(number), fill=(90, 90, 90), font_size=60)
    return side


def test_backs_that_are_all_nearly_blank_are_how_the_deck_looks(tmp_path: Path):
    known = lot_of(tmp_path / "nearly", fronts(8), [plain_back(at) for at in range(8)])
    assert not findings(known)
    # one among others is told
    others = [Deck(DESIGNS["gazette"], "plain").side(at, "back") for at in range(8)]
    known = lot_of(tmp_path / "one", fronts(8), [*others[:5], plain_back(1), *others[6:]])
    (told,) = [one for one in findings(known) if one.kind is FindingKind.NEARLY_BLANK]
    assert told.scans == ("scan0012.jpg",)


def test_backs_that_are_all_blank_are_told_once(tmp_path: Path):
    known = lot_of(
        tmp_path / "blank", fronts(6), [plain_back(at, printed=False) for at in range(6)]
    )
    (told,) = findings(known)
    assert told.kind is FindingKind.BLANK
    assert "the backs of this lot are blank" in told.detail


def test_dust_on_some_of_the_blank_backs_is_told_with_them(tmp_path: Path):
    backs = [plain_back(at, printed=at in (1, 4)) for at in range(7)]
    known = lot_of(tmp_path / "dust", fronts(7), backs)
    assert {known[f"scan{2 * at + 2:04}.jpg"].faults[0][0] for at in (1, 4)} == {"nearly blank"}
    (told,) = findings(known)
    assert "the backs of this lot are blank" in told.detail


@pytest.mark.parametrize("end", ["upper", "lower", "left", "right"])
def test_the_strip_that_a_machine_measures_its_light_by_is_no_part_of_the_card(tmp_path, end):
    """White, then fields from black to white, all across one end of the page."""
    done = scanned(
        Deck(DESIGNS["gazette"], "strip").side(1, "front"),
        MACHINES["black feeder"].own(),
        random.Random(5),
    )
    page = Image.open(io.BytesIO(done.data)).convert("RGB")
    turn = {"upper": 0, "right": 270, "lower": 180, "left": 90}[end]
    page = page.rotate(-turn, expand=True)
    strip = Image.new("RGB", (page.width, 26), (244, 245, 242))
    for field in range(9):
        box = (page.width * field // 9, 14, page.width * (field + 1) // 9, 26)
        strip.paste((25 * field + 20,) * 3, box)
    longer = Image.new("RGB", (page.width, page.height + 26))
    longer.paste(strip, (0, 0))
    longer.paste(page, (0, 26))
    dots = done.dpi, done.dpi
    longer.rotate(turn, expand=True).save(tmp_path / "strip.jpg", quality=90, dpi=dots)
    corners = measure_scan(tmp_path, "strip.jpg").corners
    assert corners is not None
    across, down = 26 * (end == "left"), 26 * (end == "upper")
    true = [(x + across, y + down) for x, y in done.corners]
    assert max(math.dist(*both) for both in zip(true, corners, strict=True)) <= 3


def test_a_page_that_ends_in_what_lies_on_it_has_no_strip():
    """A card that fills the page to its end leaves bed beside it; a plain page has none."""
    page = Image.new("RGB", (500, 700), (30, 31, 33))
    page.paste((240, 238, 230), (40, 0, 460, 600))
    assert without_padding(page)[1] == (0, 0)
    assert without_padding(page)[0].size == page.size


def test_a_scan_without_dots_per_inch_is_measured_by_what_scanners_are_set_to(tmp_path):
    """The feeder made the card 1.5% shorter: by its shape alone nothing would be found."""
    machine = replace(MACHINES["black feeder"], stretch=(0.985, 0.985))
    art = Deck(DESIGNS["gazette"], "undotted").side(2, "front")
    done = scanned(art, machine.own(), random.Random(7))
    Image.open(io.BytesIO(done.data)).save(tmp_path / "bare.png")
    seen = measure_scan(tmp_path, "bare.png")
    assert seen.corners is not None
    assert seen.dpi == done.dpi
    assert max(math.dist(*both) for both in zip(done.corners, seen.corners, strict=True)) <= 3


def test_a_page_that_is_hardly_wider_than_high_says_not_how_a_card_lies(tmp_path: Path):
    """A square card, of which no size is known."""
    page = Image.new("RGB", (600, 520), (40, 41, 43))
    page.paste(Deck(DESIGNS["gazette"], "square").side(1, "front").resize((400, 400)), (90, 60))
    page.save(tmp_path / "square.png")
    seen = measure_scan(tmp_path, "square.png")
    assert seen.corners is None
    assert not seen.sideways


def test_a_fine_pattern_that_looks_the_same_both_ways_has_no_top(tmp_path: Path):
    """Dots of which each scan shows another moiré: nothing says which way they lie."""
    side = Image.new("RGB", (600, 840), (70, 100, 40))
    pen = ImageDraw.Draw(side)
    for row, y in enumerate(range(0, 841, 21)):
        for x in range(0 if row % 2 else 10, 601, 20):
            pen.ellipse((x - 6, y - 6, x + 6, y + 6), fill=(245, 245, 240))
    for far in range(40, 400, 60):
        pen.ellipse((300 - far, 420 - far, 300 + far, 420 + far), outline=(245, 245, 240), width=8)
    known = lot_of(tmp_path / "dots", fronts(10), [side] * 10)
    assert not [one for one in findings(known) if one.kind is FindingKind.UPSIDE_DOWN]


def test_what_a_cropping_machine_leaves_of_margins_is_said_once(tmp_path: Path):
    machine = next(one for one in machines_tuning.MACHINES if one.cropping)
    decks = [Deck(DESIGNS["gazette"], "crop")]
    lot = drawn(tmp_path / "crop", in_turn([0], 10), decks, machine, "crop")
    known = settled({scan: measure_scan(tmp_path / "crop", scan) for scan in lot})
    told = [one for one in findings(known) if one.kind is FindingKind.NO_MARGIN]
    assert len(told) <= 1


def framed(page: Image.Image, width: int) -> Image.Image:
    """A scan over whose edges a program drew a white frame."""
    done = Image.new("RGB", page.size, (255, 255, 255))
    inner = page.crop((width, width, page.width - width, page.height - width))
    done.paste(inner, (width, width))
    return done


def test_a_white_frame_over_the_edges_of_a_page_is_no_bed(tmp_path: Path):
    art = Deck(DESIGNS["gazette"], "framed").side(1, "front")
    machine = replace(MACHINES["black feeder"].own(), margin=(5, 8))
    done = scanned(art, machine, random.Random(5), size=(67.0, 95.0))
    page = Image.open(io.BytesIO(done.data)).convert("RGB")
    framed(page, 9).save(tmp_path / "framed.jpg", quality=90, dpi=(150, 150))
    corners = measure_scan(tmp_path, "framed.jpg", (67.0, 95.0)).corners
    assert corners is not None
    assert max(math.dist(*both) for both in zip(done.corners, corners, strict=True)) <= 2


def test_a_card_with_a_white_rim_left_around_it_is_not_in_a_frame():
    """A machine that crops leaves as much as it happens to; a card is no bed of one colour."""
    card = Image.linear_gradient("L").resize((375, 525)).convert("RGB")
    even = Image.new("RGB", (393, 543), (255, 255, 255))
    even.paste(card, (9, 9))
    assert without_padding(even)[1] == (0, 0)
    plain = Image.new("RGB", (393, 543), (255, 255, 255))
    plain.paste(Image.new("RGB", (378, 524), (70, 60, 90)), (9, 11))
    assert without_padding(plain)[1] == (0, 0)


@pytest.mark.parametrize("size", [(1, 1), (20, 30), (60, 191), (200, 200)])
@pytest.mark.parametrize("inside", [(255, 255, 255), (30, 30, 30)])
def test_small_and_empty_pictures_have_no_frame(size, inside):
    page = Image.new("RGB", size, (255, 255, 255))
    page.paste(inside, (size[0] // 3, size[1] // 3, size[0] * 2 // 3, size[1] * 2 // 3))
    assert without_padding(page)[1] == (0, 0)


def test_the_mark_of_a_roller_beside_a_printed_line_is_no_damage():
    """It is lighter for some millimetres, right across, and then the bed is as it was."""
    page = np.full((640, 480, 3), (92, 95, 78), np.float32)
    page += np.random.default_rng(4).normal(0, 0.8, page.shape)
    page[40:600, 60:420] = (240, 236, 222)
    page[320:342] += np.array([8, 8, 8])
    page[320:322, 90:390] = (70, 90, 80)
    shown = Image.fromarray(np.clip(page, 0, 255).astype(np.uint8))
    assert broken_at(shown) is None
    page[320:] += np.array([8, 8, 8])  # and from here on: damage
    assert broken_at(Image.fromarray(np.clip(page, 0, 255).astype(np.uint8))) == 320


def test_an_edge_of_print_that_leans_over_a_border_of_blocks_is_no_damage():
    y, x = np.mgrid[0:640, 0:480]
    below = 1 / (1 + np.exp(-(y - 160 + x / 480) / 1.0))
    page = np.stack([60 + 160 * below, 25 + 180 * below, 148 + 90 * below], axis=2)
    assert shifted_at(Image.fromarray(page.astype(np.uint8))) is None


def test_a_photo_in_a_scan_as_large_as_a_card_is_not_the_card(tmp_path: Path):
    """Of the usual shape, and as dark around as a bed: the file's dots are right."""
    page = Image.new("RGB", (755, 1054), (27, 27, 30))
    photo = Deck(DESIGNS["gazette"], "photo").side(1, "front").resize((290, 406))
    page.paste(photo, (415, 60))
    page.save(tmp_path / "dark.jpg", quality=92, dpi=(300, 300))
    known = measure_scan(tmp_path, "dark.jpg")
    assert known.dpi == 300
    assert not known.has("too few dots per inch")


@pytest.mark.parametrize("end", [0, 1, 2, 3])
def test_strips_are_the_same_on_a_page_too_large_for_a_whole_grey_one(monkeypatch, end):
    """A filled-in end of each side, beyond a bed with grain."""
    grain = np.random.default_rng(end).integers(60, 72, (400, 300, 3), np.uint8)
    strip = [slice(None), slice(None)]
    strip[1 - end % 2] = slice(0, 40) if end < 2 else slice(-40, None)
    grain[tuple(strip)] = 0
    found = without_padding(Image.fromarray(grain))[1]
    corner = {0: (40, 0), 1: (0, 40)}.get(end, (0, 0))
    assert all(0 <= one - wanted <= 1 for one, wanted in zip(found, corner, strict=True))
    monkeypatch.setattr(kept_levels, "MOST_GREY", 0)
    seen, begins = without_padding(Image.fromarray(grain))
    assert begins == found
    assert min(seen.size) < 300 or seen.height < 400
