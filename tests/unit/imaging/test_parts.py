"""What is measured on turned scans, on parts and on sheets, and sheets taken apart, on scans whose
truth is known."""

from __future__ import annotations

import json
import math
import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageOps
from support.at_night import at_night
from support.card_art import full_bleed, side, written
from support.scanned import Laid, Scanner, fed, jpeg, scan, sheet, turned_over

from tagger.core.audit.fingerprint import Fingerprint
from tagger.core.audit.measured import Measured, measured_from
from tagger.core.feeding.order import part_name, scan_box
from tagger.core.model.pose import Pose
from tagger.errors import PictureError
from tagger.imaging.scan import pictures
from tagger.imaging.scan.pictures import read_picture
from tagger.imaging.survey.measure_lot import measure_scan
from tagger.imaging.survey.split_sheet import split_sheets

TURNS = (0, 90, 180, 270)
# Pillow turns counter-clockwise.
CLOCKWISE = {
    90: Image.Transpose.ROTATE_270,
    180: Image.Transpose.ROTATE_180,
    270: Image.Transpose.ROTATE_90,
}
hashes, numbers = st.integers(0, 2**256 - 1), st.floats(-1e6, 1e6)
prints = st.builds(Fingerprint, hashes, hashes, st.binary(min_size=48, max_size=48))
corners = st.tuples(*[st.tuples(numbers, numbers)] * 4)
measurements = st.builds(
    Measured,
    st.sampled_from(["whole", "corrupt"]),
    print=st.none() | prints,
    fields=st.just(b"") | st.binary(min_size=1680, max_size=1680),
    sideways=st.booleans(),
    corners=st.none() | corners,
    dpi=st.floats(0, 10_000),
)


@given(measurements)
def test_what_was_measured_comes_back_as_it_was_written_down(measured):
    assert measured_from(json.loads(json.dumps(measured.document()))) == measured


GOOD = Measured("whole", corners=((1.5, 2.0), (9.0, 2.0), (9.0, 14.0), (1.0, 14.0)), dpi=300.0)


@pytest.mark.parametrize(
    "change",
    [{"corners": [[1, 2]] * 3}, {"corners": [[1, 2]] * 5}, {"corners": [[1, 2, 3]] * 4},
    {"corners": 7},
     {"corners": [["1", "2"]] * 4}, {"corners": [[math.nan, 1]] * 4}, {"corners": [[10**400, 1]]
     * 4}, {"dpi": -1.0},
     {"dpi": math.inf}, {"dpi": None}, {"dpi": "300"}],
)  # fmt: skip
def test_corners_that_are_none_are_not_read(change):
    assert measured_from(GOOD.document()) == GOOD
    with pytest.raises((TypeError, ValueError)):
        measured_from({**GOOD.document(), **change})


@given(measurements, st.sampled_from(TURNS), st.sampled_from(TURNS))
def test_turns_add_up(measured, one, other):
    assert measured.turned(one).turned(other) == measured.turned((one + other) % 360)
    assert measured.turned(0) == measured
    assert measured.turned(one).corners == measured.corners


def test_another_turn_is_refused():
    with pytest.raises(ValueError, match="45"):
        GOOD.turned(45)


def apart(one: bytes, other: bytes) -> float:
    """The mean difference of two rows of bytes."""
    return sum(abs(a - b) for a, b in zip(one, other, strict=True)) / len(one)


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("sideways", [False, True])
def test_a_turned_measurement_is_that_of_the_turned_scan(tmp_path, sideways, turn):
    rng = random.Random(f"turned {sideways}")
    page = fed(full_bleed(rng, "held").picture, rng, "grey", sideways=sideways).picture
    page.save(tmp_path / "a.png", compress_level=1, dpi=(300, 300))
    (page.transpose(CLOCKWISE[turn]) if turn else page).save(
        tmp_path / "b.png", compress_level=1, dpi=(300, 300)
    )
    turned, own = measure_scan(tmp_path, "a.png").turned(turn), measure_scan(tmp_path, "b.png")
    assert (turned.sideways, turned.dpi) == (own.sideways, own.dpi)
    assert turned.sideways == (sideways != (turn in (90, 270)))
    assert turned.print is not None
    assert own.print is not None
    over = own.turned(180)
    assert over.print is not None
    # Its edges are found anew, to a part of a pixel.
    assert turned.print.hamming_distance(own.print) <= 8
    assert turned.print.hamming_distance(over.print) > 60
    assert apart(turned.fields, own.fields) < 2 < 10 < apart(turned.fields, over.fields)
    assert (
        apart(turned.print.colours, own.print.colours)
        < 1
        < 10
        < apart(turned.print.colours, over.print.colours)
    )


@pytest.mark.parametrize("large", [pictures.LARGE, 100_000])
def test_the_corners_are_those_of_the_full_size(tmp_path, monkeypatch, large):
    monkeypatch.setattr(pictures, "LARGE", large)
    rng = random.Random("corners")
    page = fed(full_bleed(rng, "held").picture, rng)
    (tmp_path / "a.jpg").write_bytes(jpeg(page.picture, 300, 92))
    found = measure_scan(tmp_path, "a.jpg")
    assert found.corners is not None
    assert max(map(math.dist, found.corners, page.corners[0])) < (1.0 if large > 1_000_000 else 2.0)
    assert found.dpi == pytest.approx(300)


def test_a_scan_without_a_card_has_no_corners(tmp_path):
    rng = random.Random("none")
    page = scan([], [], Scanner.any(rng, "grey"), rng).picture
    page.save(tmp_path / "a.png", compress_level=1, dpi=(300, 300))
    found = measure_scan(tmp_path, "a.png")
    assert (found.corners, found.dpi) == (None, pytest.approx(300, abs=0.1))
    page.save(tmp_path / "b.png", compress_level=1)
    assert measure_scan(tmp_path, "b.png").dpi == 0


@pytest.fixture(scope="module")
def nine(tmp_path_factory):
    """A folder with a sheet of nine and the sheet turned over, and both scans."""
    folder = tmp_path_factory.mktemp("sheets")
    rng = random.Random("nine")
    fronts = sheet([full_bleed(rng, "held").picture for _ in range(9)], rng, "black")
    backs = turned_over(fronts, [written(rng, "held").picture for _ in range(9)], rng, "long side")
    (folder / "front.jpg").write_bytes(jpeg(fronts.picture, 300, 92))
    (folder / "back.jpg").write_bytes(jpeg(backs.picture, 300, 92))
    return folder, fronts, backs


def inside(box, places) -> float:
    """The least distance in pixels from the corners of a card to the box around them, negative
    beyond it."""
    left, upper, wide, high = box
    return min(min(x - left, y - upper, left + wide - x, upper + high - y) for x, y in places)


def test_a_sheet_is_split_into_its_cards_each_with_its_back(nine):
    folder, fronts, backs = nine
    found = split_sheets(folder, "front.jpg", "back.jpg")
    assert (len(found.fronts), len(found.backs), found.turned) == (9, 9, "long side")
    for at, (front, back) in enumerate(zip(found.fronts, found.backs, strict=True)):
        for name, page in ((front, fronts), (back, backs)):
            box = scan_box(name)
            assert inside(box, page.corners[at]) >= 0  # in reading order, and all of the card
            rooms = [25.4 * inside(box, page.corners[at]) / 300]
            assert max(rooms) <= 3.2
            others = [
                corner for other, four in enumerate(page.corners) if other != at for corner in four
            ]
            assert max(inside(box, [corner]) for corner in others) < 0  # nothing of a neighbour


def test_a_part_is_measured_and_shown_like_a_scan_of_its_own(nine):
    folder, fronts, _ = nine
    found = split_sheets(folder, "front.jpg", None)
    assert (found.backs, found.turned, found.ask) == ((None,) * 9, "", False)
    digests = set()
    for name, truth in zip(found.fronts, fronts.corners, strict=True):
        measured = measure_scan(folder, name)
        assert measured.state == "whole"
        assert not measured.has("corrupt", "several cards", "no card", "blank")
        left, upper, *_ = scan_box(name)
        assert measured.corners is not None
        moved = [(x + left, y + upper) for x, y in measured.corners]
        assert max(map(math.dist, moved, truth)) < 3
        digests.add(measured.digest)
        shown = read_picture(
            folder, name, (63, 88), pose=Pose(corners=measured.corners, dpi=measured.dpi, margin=0)
        )
        assert shown.size in [(63, 88), (62, 88), (63, 87)]
    assert len(digests) == 9
    with Image.open(folder / "front.jpg") as kept:
        left, upper, wide, high = scan_box(name)
        kept.crop((left, upper, left + wide, upper + high)).save(folder / "own.tif", dpi=(300, 300))
    own = measure_scan(folder, "own.tif")
    assert (own.print, own.fields) == (measured.print, measured.fields)
    assert max(map(math.dist, own.corners, measured.corners)) < 0.02
    assert own.digest != measured.digest


def test_the_parts_of_a_scan_that_lies_otherwise_in_its_file(nine):
    """Boxes are of the upright scan: EXIF orientation 6 is stored a quarter counter-clockwise (CIPA
    DC-008, 4.6.4.A)."""
    folder, *_ = nine
    exif = Image.Exif()
    exif[0x0112] = 6
    with Image.open(folder / "front.jpg") as kept:
        kept.transpose(Image.Transpose.ROTATE_90).save(
            folder / "o.png", compress_level=1, exif=exif, dpi=(300, 300)
        )
        kept.save(folder / "p.png", compress_level=1, dpi=(300, 300))
    with Image.open(folder / "o.png") as stored:
        assert ImageOps.exif_transpose(stored).size == kept.size
    turned, plain = (split_sheets(folder, name, None).fronts for name in ("o.png", "p.png"))
    assert [name.partition("#")[2] for name in turned] == [name.partition("#")[2] for name in plain]
    one, other = measure_scan(folder, turned[4]), measure_scan(folder, plain[4])
    assert replace(one, digest="") == replace(other, digest="")


def test_cards_without_a_partner_are_not_lost(tmp_path):
    """Of six places one had no card before the sheet was turned over, and another one none after
    it."""
    rng = random.Random("partners")
    scanner = Scanner.any(rng, "black")
    size = (1800, 3420)
    places = [(450 + 900 * (at % 2), 570 + 1130 * (at // 2)) for at in range(6)]
    laid = [
        Laid((x + rng.uniform(-20, 20), y + rng.uniform(-20, 20)), rng.uniform(-1, 1))
        for x, y in places
    ]
    over = [Laid((size[0] - one.middle[0], one.middle[1]), -one.angle) for one in laid]
    there = {
        "f.jpg": {at: laid[at] for at in (0, 1, 2, 3, 4)},
        "b.jpg": {at: over[at] for at in (0, 2, 3, 4, 5)},
    }
    for name, cards in there.items():
        arts = [full_bleed(rng, "held").picture for _ in cards]
        page = scan(arts, list(cards.values()), scanner, rng, page=size).picture
        (tmp_path / name).write_bytes(jpeg(page, 300, 92))
    found = split_sheets(tmp_path, "f.jpg", "b.jpg")

    def held(name: str | None) -> int | None:
        """Which card is on a part."""
        cards = there[name.partition("#")[0]] if name else {}
        return next(
            (at for at, one in cards.items() if inside(scan_box(name), [one.middle]) > 0), None
        )

    pairs = [
        (held(front), held(back)) for front, back in zip(found.fronts, found.backs, strict=True)
    ]
    assert pairs == [(0, 0), (1, None), (2, 2), (3, 3), (4, 4), (None, 5)]
    assert found.turned == "long side"


def test_a_part_is_split_again_into_parts_of_the_scan(nine):
    folder, fronts, _ = nine
    _, upper, *_ = scan_box(split_sheets(folder, "front.jpg", None).fronts[3])
    outer = part_name("front.jpg", (0, upper, fronts.picture.width, 1150))
    found = split_sheets(folder, outer, None).fronts
    assert len(found) == 3
    for at, name in enumerate(found, start=3):
        assert inside(scan_box(name), fronts.corners[at]) >= 0
        assert name.startswith("front.jpg#xywh=")


@pytest.mark.parametrize(
    ("cards", "dpi", "said"),
    [(1, 300, "one card"), (0, 300, "no card"), (1, None, "dots per inch")],
)
def test_what_is_no_sheet_says_so(tmp_path, cards, dpi, said):
    rng = random.Random("one")
    page = scan([side(rng, "held").picture] * cards, [Laid((900, 1200), 1)] * cards,
    Scanner.any(rng, "grey"), rng,
                page=(1800, 2400)).picture  # fmt: skip
    page.save(tmp_path / "a.png", compress_level=1, **({"dpi": (dpi, dpi)} if dpi else {}))
    with pytest.raises(PictureError, match=rf"^a\.png .*{said}.*\.$"):
        split_sheets(tmp_path, "a.png", None)
    with pytest.raises(PictureError, match=r"gone\.jpg is missing"):
        split_sheets(tmp_path, "gone.jpg", None)


@pytest.mark.parametrize("many", [2, at_night(4), 9])
def test_a_scan_of_several_cards_says_how_many_and_nothing_else(tmp_path, many):
    rng = random.Random(f"several {many}")
    page = sheet([full_bleed(rng, "held").picture for _ in range(many)], rng, "black")
    (tmp_path / "a.jpg").write_bytes(jpeg(page.picture, 300, 92))
    found = measure_scan(tmp_path, "a.jpg")
    assert (found.state, found.faults, found.print, found.corners) == (
        "whole", (("several cards", f"{many} cards"),), None, None,
    )  # fmt: skip
    assert measured_from(found.document()) == found


def test_one_card_on_a_large_scan_is_not_several(tmp_path):
    rng = random.Random("large")
    for name, size in (("card.bmp", (63.5, 88.9)), ("photo.bmp", (120.0, 200.0))):
        art = full_bleed(rng, "held").picture
        page = scan(
            [art], [Laid((1200, 1500), 2, size)], Scanner.any(rng, "black"), rng, page=(2480, 3508)
        ).picture
        page.save(tmp_path / name, dpi=(300, 300))
    assert not measure_scan(tmp_path, "card.bmp").has("several cards")
    assert measure_scan(tmp_path, "card.bmp").corners is not None
    assert not measure_scan(tmp_path, "photo.bmp").has("several cards")


def test_a_usual_scan_is_not_searched_for_several_cards(tmp_path, monkeypatch):
    asked = []
    monkeypatch.setattr(
        "tagger.imaging.survey.faults.find_cards", lambda *given: asked.append(given) or []
    )
    rng = random.Random("usual")
    (tmp_path / "a.jpg").write_bytes(jpeg(fed(full_bleed(rng, "held").picture, rng).picture, 300))
    page = sheet([full_bleed(rng, "held").picture for _ in range(2)], rng, "grey")
    page.picture.save(tmp_path / "silent.png", compress_level=1)
    measure_scan(tmp_path, "a.jpg")
    measure_scan(tmp_path, "silent.png")
    assert asked == []
    (tmp_path / "b.jpg").write_bytes(jpeg(page.picture, 300))
    measure_scan(tmp_path, "b.jpg")
    assert len(asked) == 1


def test_a_part_beyond_its_scan_is_unreadable(tmp_path):
    Image.new("RGB", (90, 130)).save(tmp_path / "a.png")
    found = measure_scan(tmp_path, "a.png#xywh=0,0,91,130")
    assert found.state == "unreadable"
    assert found.seen.startswith("a.png#xywh=0,0,91,130 is not part of its scan of 90 x 130 pixels")
