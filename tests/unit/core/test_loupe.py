"""The loupe: its window stays on the scan, what it shows is what is there, and its place is
remembered by set."""

from __future__ import annotations

import json
import random

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from PIL import Image, ImageChops, ImageDraw, ImageStat
from support.stored import ORIENTATION, jpeg, stored

from tagger.core.audit.measured import Measured
from tagger.core.audit.number_place import NumberSpot
from tagger.core.model.pose import Pose
from tagger.core.session.loupes.loupe import LARGEST, SMALLEST, Loupe, LoupeInUse, Pane, Proposed
from tagger.core.session.loupes.loupe_places import shown_spot
from tagger.errors import PictureError
from tagger.imaging.scan.pictures import read_crop, read_picture
from tagger.preview.grey import LEVELS, legible
from tagger.store.machine.loupes import LoupeFile
from tagger.ui.desk.layout import LINES, PANEL, lay_out

fractions = st.floats(0, 1)
loupes = st.builds(
    Loupe, st.sampled_from(["front", "back"]), fractions, fractions, st.floats(SMALLEST, LARGEST)
)
panes = st.builds(Pane, st.integers(1, 300), st.integers(2, 200), st.floats(0.4, 2.0))
steps = st.lists(
    st.one_of(
        st.tuples(st.just("moved"), st.floats(-3, 3), st.floats(-3, 3)),
        st.tuples(st.just("zoomed"), st.floats(0.3, 3)),
        st.tuples(st.just("flipped")),
    ),
    max_size=8,
)


def inside(loupe: Loupe, pane: Pane) -> bool:
    across, down, slack = loupe.across(pane.width), loupe.down(pane), 1e-9
    return (
        across / 2 - slack <= loupe.x <= 1 - across / 2 + slack
        and down / 2 - slack <= loupe.y <= 1 - down / 2 + slack
        and SMALLEST <= loupe.width <= LARGEST
    )


@given(loupes, panes, steps)
def test_the_window_stays_on_the_scan_whatever_is_done(loupe, pane, steps):
    loupe = loupe.inside(pane)
    assert inside(loupe, pane)
    for name, *given_ in steps:
        loupe = loupe.flipped() if name == "flipped" else getattr(loupe, name)(*given_, pane)
        assert inside(loupe, pane)


@given(loupes, panes, st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
def test_a_move_and_its_opposite_lead_back_where_no_edge_is_in_the_way(loupe, pane, dx, dy):
    start = loupe.inside(pane)
    there = start.moved(dx, dy, pane)
    assume(abs(there.x - start.x - dx * start.across(pane.width)) < 1e-9)
    assume(abs(there.y - start.y - dy * start.down(pane)) < 1e-9)
    back = there.moved(-dx, -dy, pane)
    assert (back.x, back.y) == pytest.approx((start.x, start.y), abs=1e-9)


@given(loupes, panes)
def test_at_the_edge_a_move_does_nothing_and_the_way_back_starts_at_once(loupe, pane):
    edge = loupe.moved(1e6, 0, pane)
    assert edge.moved(1, 0, pane) == edge
    assume(edge.across(pane.width) < 0.9)
    assert edge.moved(-0.1, 0, pane).x < edge.x


@given(loupes, panes, st.floats(0.5, 2))
def test_a_zoom_keeps_the_middle_and_can_be_taken_back(loupe, pane, factor):
    start = loupe.inside(pane)
    assume(SMALLEST <= start.width * factor <= LARGEST)
    there = start.zoomed(factor, pane)
    assert there.zoomed(1 / factor, pane).width == pytest.approx(start.width)
    if factor <= 1:
        assert (there.x, there.y) == (start.x, start.y)


@given(loupes)
def test_the_other_side_of_the_other_side_is_this_one(loupe):
    assert loupe.flipped().side != loupe.side
    assert loupe.flipped().flipped() == loupe


@given(loupes, st.integers(1, 79))
def test_a_narrow_pane_shows_less_at_the_same_scale(loupe, pixels):
    assert loupe.across(pixels) / pixels == pytest.approx(loupe.across(80) / 80)
    assert loupe.across(pixels + 200) == loupe.width


def test_seven_points_are_six_pixels_high_at_first():
    """Capital figures are about 0.7 of the type size high; a point is 1/72 inch; a scan is 820
    pixels at 300 dpi."""
    per_inch = 80 / (Loupe().across(80) * 820 / 300)
    assert 7 * 0.7 / 72 * per_inch >= 6


class Memory:
    """Loupes by set, in memory, and how often one was kept."""

    def __init__(self) -> None:
        self.kept: dict[str, Loupe] = {}
        self.times = 0

    def get(self, set_name: str) -> Loupe | None:
        return self.kept.get(set_name)

    def put(self, set_name: str, loupe: Loupe) -> None:
        self.kept[set_name] = loupe
        self.times += 1


LEFT, RIGHT = Loupe("back", 0.2, 0.2), Loupe("front", 0.8, 0.2)


def test_each_set_has_its_place_and_a_new_one_has_the_last():
    memory = Memory()
    loupe = LoupeInUse(memory)
    assert loupe.at("A") == Loupe()
    loupe.put("A", LEFT)
    assert loupe.at("B") == LEFT
    loupe.put("B", RIGHT)
    assert (loupe.at("A"), loupe.at("B"), loupe.at("")) == (LEFT, RIGHT, RIGHT)
    assert memory.times == 0
    loupe.save()
    loupe.save()
    assert memory.kept == {"A": LEFT, "B": RIGHT, "": RIGHT}
    assert memory.times == 3
    assert LoupeInUse(memory).at("A") == LEFT


def test_a_loupe_that_was_never_moved_is_not_kept():
    memory = Memory()
    loupe = LoupeInUse(memory)
    for name in ("", "A", "B"):
        loupe.put(name, loupe.at(name))
    loupe.save()
    assert memory.kept == {}


NUMBER = Proposed(4, Loupe("back", 0.5, 0.1))


def test_the_number_is_proposed_until_the_dealer_puts_the_loupe_elsewhere():
    memory = Memory()
    loupe = LoupeInUse(memory)
    assert loupe.at("A") == Loupe()
    assert loupe.at("A", NUMBER) == NUMBER.loupe
    loupe.put("A", LEFT, NUMBER)
    assert loupe.at("A", NUMBER) == loupe.at("B", NUMBER) == LEFT
    assert loupe.at("C", Proposed(5, RIGHT)) == RIGHT
    loupe.save()
    assert memory.kept == {"A": LEFT, "B": LEFT}
    assert LoupeInUse(memory).at("A", NUMBER) == LEFT


def test_what_was_put_without_a_set_is_for_its_design_alone():
    memory = Memory()
    memory.kept[""] = RIGHT
    loupe = LoupeInUse(memory)
    assert loupe.at("", NUMBER) == NUMBER.loupe
    loupe.put("", LEFT, NUMBER)
    assert loupe.at("", NUMBER) == loupe.at("A", NUMBER) == LEFT
    assert loupe.at("", Proposed(5, RIGHT)) == RIGHT


@given(loupes, panes)
def test_four_steps_go_through_the_corners(loupe, pane):
    corners = [loupe.in_next_corner(pane)]
    for _ in range(4):
        corners.append(corners[-1].in_next_corner(pane))
    assert corners[0] == corners[4]
    assert all(corner == corner.inside(pane) for corner in corners)


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_a_place_on_the_card_is_found_where_the_whole_scan_is_shown(turn):
    """A card that lies straight on its scan, 2 mm of 254 dpi and more around it."""
    corners = ((20.0, 20.0), (655.0, 20.0), (655.0, 909.0), (20.0, 909.0))
    known = Measured("whole", corners=corners, dpi=254.0, size=(675, 929))
    spot = NumberSpot(0.9, 0.2, 0.05, 0.02)
    found = shown_spot(spot, Pose(turn), known)
    kept = shown_spot(spot, Pose(turn, corners, 254.0), known)
    assert found == pytest.approx(spot, abs=1e-3)
    assert kept == pytest.approx(spot, abs=1e-9)


def printed(width: int = 820, height: int = 1130) -> Image.Image:
    """A page with small print all over."""
    page = Image.new("RGB", (width, height), (225, 215, 190))
    draw = ImageDraw.Draw(page)
    source = random.Random(4)
    for y in range(0, height, 22):
        for x in range(0, width, 36):
            draw.text((x, y), str(source.randrange(1000)), fill=(60, 30, 20), font_size=18)
    return page


def reference(
    page: Image.Image, region: tuple[float, float, float], box: tuple[int, int]
) -> Image.Image:
    """The part as Pillow cuts it out of the whole and resizes it; `region` lies on the page."""
    x, y, width = region[0] * page.width, region[1] * page.height, region[2] * page.width
    height = width * box[1] / box[0]
    edges = (x - width / 2, y - height / 2, x + width / 2, y + height / 2)
    return page.resize(box, Image.Resampling.LANCZOS, box=edges)


def difference(one: Image.Image, other: Image.Image) -> float:
    """The mean difference of two pictures, in levels of 256."""
    assert one.size == other.size
    return sum(ImageStat.Stat(ImageChops.difference(one, other)).mean) / 3


@pytest.mark.parametrize("box", [(81, 14), (37, 30), (240, 100)])
@pytest.mark.parametrize("region", [(0.5, 0.5, 0.325), (0.79, 0.885, 0.2), (0.3, 0.3, 0.55)])
@pytest.mark.parametrize(("ending", "most"), [("png", 0.5), ("jpg", 8.0)])
def test_a_part_is_what_pillow_cuts_out_and_resizes(tmp_path, ending, most, region, box):
    page = printed()
    page.save(tmp_path / f"a.{ending}", quality=95)
    found = read_crop(tmp_path, f"a.{ending}", region, box)
    assert found.mode == "RGB"
    assert difference(found, reference(page, region, box)) < most


@pytest.mark.parametrize("ending", ["jpg", "png", "tif", "webp"])
@pytest.mark.parametrize("orientation", ORIENTATION)
def test_a_part_of_a_turned_scan_is_that_part_of_the_upright_one(tmp_path, orientation, ending):
    page = printed(164, 226).resize((82, 113))
    picture = stored(page, orientation)
    if ending == "tif":
        picture.save(tmp_path / "a.tif", tiffinfo={0x0112: orientation})
    else:
        exif = Image.Exif()
        exif[0x0112] = orientation
        picture.save(tmp_path / f"a.{ending}", exif=exif, quality=100, lossless=True)
    region = (0.7, 0.3, 0.4)
    found = read_crop(tmp_path, f"a.{ending}", region, (40, 16))
    assert difference(found, reference(page, region, (40, 16))) < (8.0 if ending == "jpg" else 0.5)


@settings(max_examples=60)
@given(
    st.tuples(fractions, fractions, st.floats(0, 1)),
    st.tuples(st.integers(1, 90), st.integers(1, 60)),
    st.integers(1, 50),
    st.integers(1, 50),
    st.sampled_from(["png", "jpg"]),
)
def test_a_part_fills_its_box_or_is_as_high_as_the_scan(
    tmp_path_factory, region, box, width, height, ending
):
    folder = tmp_path_factory.mktemp("scans")
    Image.new("RGB", (width, height), (200, 40, 90)).save(folder / f"a.{ending}", quality=95)
    found = read_crop(folder, f"a.{ending}", region, box)
    assert found.width == box[0]
    whole = max(1, round(height * box[0] / max(1.0, region[2] * width)))
    assert found.height == min(box[1], whole)
    assert all(abs(a - b) < 12 for a, b in zip(found.getpixel((0, 0)), (200, 40, 90), strict=True))


@pytest.mark.parametrize(
    "damage", [lambda d: b"", lambda d: d[: len(d) // 2], lambda d: b"no picture", None]
)
def test_a_part_of_a_faulty_scan_gives_the_sentence_that_the_whole_gives(tmp_path, damage):
    if damage is not None:
        (tmp_path / "a.jpg").write_bytes(damage(jpeg(tmp_path)))
    said = []
    for read in (lambda: read_crop(tmp_path, "a.jpg", (0.5, 0.5, 0.3), (40, 20)),
                 lambda: read_picture(tmp_path, "a.jpg", (40, 20))):  # fmt: skip
        with pytest.raises(PictureError) as refusal:
            read()
        said.append(str(refusal.value))
    assert said[0] == said[1]


def test_faint_print_gets_all_the_contrast_in_a_few_greys():
    faint = Image.blend(Image.new("RGB", (120, 60), (150, 160, 150)), printed(120, 60), 0.2)
    shown = legible(faint)
    assert shown.size == faint.size
    greys = {pixel for _, pixel in shown.getcolors()}
    assert all(red == green == blue for red, green, blue in greys)
    assert {(0, 0, 0), (255, 255, 255)} <= greys
    assert len(greys) <= len(LEVELS)


def test_loupes_come_back_from_their_file(tmp_path):
    kept = LoupeFile(tmp_path / "data")
    assert kept.get("A") is None
    kept.put("A", LEFT)
    LoupeFile(tmp_path / "data").put("B\x1b[2J", RIGHT)  # another lot at work meanwhile
    kept.put("A", LEFT.flipped())
    again = LoupeFile(tmp_path / "data")
    assert (again.get("A"), again.get("B\x1b[2J"), again.get("")) == (LEFT.flipped(), RIGHT, None)
    assert (
        len(json.loads((tmp_path / "data" / "loupes.json").read_text(encoding="ascii"))["loupes"])
        == 2
    )


ENTRY = {"set": "A", "side": "back", "x": 0.2, "y": 0.2, "width": 0.3}


@pytest.mark.parametrize(
    "text",
    [
        "", "{", "[]", "7", "null", '{"loupes": 7}', '{"loupes": {"1": {}}}', '{"loupes": {"1": '
'null}}', "\0" * 50,
        *(json.dumps({"loupes": {id: ENTRY | wrong}}) for id, wrong in (
            ("1", {"side": "edge"}), ("1", {"x": "far"}), ("1", {"x": float("nan")}), ("1",
            {"y": -3}),
            ("1", {"width": 0}), ("1", {"width": 1e9}), ("one", {}),
        )),
    ],
)  # fmt: skip
def test_a_damaged_file_is_as_none_and_is_made_afresh(tmp_path, text):
    (tmp_path / "loupes.json").write_text(text, encoding="ascii")
    (tmp_path / "lots.json").write_text("{}", encoding="ascii")
    kept = LoupeFile(tmp_path)
    assert kept.get("A") is None
    kept.put("A", RIGHT)
    assert LoupeFile(tmp_path).get("A") == RIGHT
    assert (tmp_path / "lots.json").read_text(encoding="ascii") == "{}"


def test_a_folder_that_cannot_be_used_is_passed_over_and_the_sitting_goes_on(tmp_path):
    (tmp_path / "data").write_text("a file", encoding="ascii")
    kept = LoupeFile(tmp_path / "data")
    assert kept.get("A") is None
    kept.put("A", LEFT)
    assert kept.get("A") == LEFT
    assert (tmp_path / "data").read_text(encoding="ascii") == "a file"


@pytest.mark.parametrize(
    ("columns", "rows", "below", "least"),
    [(80, 24, False, 7), (120, 40, True, 8), (200, 60, False, 20)],
)
def test_the_loupe_has_its_rows_at_each_size(columns, rows, below, least):
    layout = lay_out(columns, rows, "both")
    assert layout.below == below
    assert layout.loupe_rows >= least


@given(st.integers(40, 400), st.integers(10, 150), st.sampled_from(["both", "front", "back"]))
def test_all_fits_on_the_screen(columns, rows, face):
    layout = lay_out(columns, rows, face)
    assert layout.face in ((face, "front") if face == "both" else (face,))
    if columns >= PANEL + 12:
        assert layout.preview * (2 if layout.face == "both" else 1) + PANEL <= columns
    assert 0 <= layout.loupe_rows <= rows - LINES
    assert layout.loupe_rows == 0 or layout.loupe_rows >= 7
