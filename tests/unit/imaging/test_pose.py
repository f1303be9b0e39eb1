"""Scans straight, cropped, turned and in parts, beside Pillow and OpenCV; and what the way there
may not load."""

from __future__ import annotations

import math
import random
import subprocess
import sys

import cv2
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from PIL import Image, ImageChops, ImageDraw, ImageOps, ImageStat
from support.at_night import at_night
from support.card_art import full_bleed
from support.scanned import fed

from tagger.core.feeding.order import part_name
from tagger.core.model.pose import Pose
from tagger.core.model.scan_ref import ScanRef
from tagger.errors import PictureError
from tagger.imaging.scan.pictures import SCALING, read_crop, read_picture, read_whole
from tagger.imaging.scan.scans import ScanReader
from tagger.preview.pictures import Crop, WholePicture
from tagger.services.scans.sources import FolderSource

# Pillow turns counter-clockwise.
CLOCKWISE = {
    90: Image.Transpose.ROTATE_270,
    180: Image.Transpose.ROTATE_180,
    270: Image.Transpose.ROTATE_90,
}
# How a file holds an upright picture, by EXIF orientation (CIPA DC-008, Exif 2.32, 4.6.4.A, tag
# 0112).
STORED = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}
TURNS = (0, 90, 180, 270)


class NoCopies:
    """Keeps nothing."""

    def get(self, name: str) -> bytes | None:
        return None

    def put(self, name: str, data: bytes) -> None:
        pass


def clockwise(picture: Image.Image, turn: int) -> Image.Image:
    return picture.transpose(CLOCKWISE[turn]) if turn else picture


def save(path, picture: Image.Image, orientation: int = 1) -> None:
    way = STORED[orientation]
    exif = Image.Exif()
    exif[0x0112] = orientation
    (picture if way is None else picture.transpose(way)).save(path, exif=exif, quality=98)


def off(one: Image.Image, other: Image.Image) -> float:
    """The mean difference of two pictures, in levels of 256."""
    assert one.size == other.size
    return sum(ImageStat.Stat(ImageChops.difference(one, other)).mean) / 3


def motley(width: int, height: int) -> Image.Image:
    """Smooth shades without symmetry, so that every shift, turn and mirroring shows."""
    some = np.random.default_rng(7).integers(0, 256, (7, 5), np.uint8)
    source = Image.fromarray(some).resize((width, height), Image.Resampling.BICUBIC)
    ramps = [Image.linear_gradient("L").rotate(turn).resize((width, height)) for turn in (0, 90)]
    return Image.merge("RGB", [source, *ramps])


@pytest.fixture(scope="module")
def card(tmp_path_factory):
    """A folder with a crooked card as PNG and JPEG, and the scan."""
    folder = tmp_path_factory.mktemp("card")
    rng = random.Random("stand")
    page = fed(full_bleed(rng, "held").picture, rng, skew=5)
    save(folder / "a.png", page.picture)
    save(folder / "a.jpg", page.picture)
    for orientation in (3, 6, 7):
        save(folder / f"o{orientation}.jpg", page.picture, orientation)
    return folder, page


def by_opencv(page: Image.Image, corners, room: float) -> np.ndarray:
    """OpenCV's getAffineTransform and warpAffine (5.0), in all the scan's pixels; it counts from
    the first one's middle."""
    a, b, _, d = corners
    wide, high = math.dist(a, b), math.dist(a, d)
    size = (round(wide + 2 * room), round(high + 2 * room))
    scale = (size[0] / (wide + 2 * room), size[1] / (high + 2 * room))
    ends = [(room, room), (room + wide, room), (room, room + high)]
    here = np.array([(x * scale[0] - 0.5, y * scale[1] - 0.5) for x, y in ends], np.float32)
    there = np.array([(x - 0.5, y - 0.5) for x, y in (a, b, d)], np.float32)
    return cv2.warpAffine(
        np.asarray(page), cv2.getAffineTransform(there, here), size, flags=cv2.INTER_LANCZOS4
    )


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize(
    ("box", "grid"), [((47, 66), (1, 2)), ((60, 90), (2, 3)), ((90, 140), (2, 2))]
)
@pytest.mark.parametrize("name", ["a.png", "a.jpg", "o3.jpg", "o6.jpg", "o7.jpg"])
def test_a_straight_card_is_what_opencv_and_pillow_make_of_the_whole_scan(
    card, name, box, grid, turn
):
    folder, page = card
    found = read_picture(folder, name, box, grid, Pose(turn, page.corners[0], 300, margin=2.54))
    whole = clockwise(Image.fromarray(by_opencv(page.picture, page.corners[0], 30)), turn)
    fit = max(whole.width / box[0], whole.height / box[1])
    assert found.size == (
        round(whole.width / fit) * grid[0],
        round(round(whole.height / fit) * grid[1] / 2),
    )
    assert off(found, whole.resize(found.size, SCALING)) < 1.8


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("region", [(0.5, 0.5, 0.3), (0.2, 0.9, 0.25), (0.5, 0.3, 1.0)])
@pytest.mark.parametrize("name", ["a.png", "o6.jpg"])
def test_a_piece_of_a_straight_card_is_a_piece_of_what_is_shown(card, name, region, turn):
    folder, page = card
    found = read_crop(
        folder, name, region, (60, 40), (2, 3), Pose(turn, page.corners[0], 300, margin=0)
    )
    whole = clockwise(Image.fromarray(by_opencv(page.picture, page.corners[0], 0)), turn)
    width = region[2] * whole.width
    height = width * 40 / 60
    left = min(max(0, region[0] * whole.width - width / 2), whole.width - width)
    top = min(max(0, region[1] * whole.height - height / 2), whole.height - height)
    piece = whole.resize(
        (120, 60), Image.Resampling.LANCZOS, box=(left, top, left + width, top + height)
    )
    assert off(found, piece) < 2.5


COLOURS = ((255, 40, 40), (40, 255, 40), (60, 60, 255), (255, 255, 40))


def middle(picture: Image.Image, colour: tuple[int, int, int]) -> tuple[float, float]:
    """Where the middle of all that has a colour lies, in pixels."""
    ys, xs = np.nonzero(np.abs(np.asarray(picture, np.float64) - colour).max(axis=2) < 90)
    return xs.mean() + 0.5, ys.mean() + 0.5


@pytest.mark.parametrize("orientation", [1, 6, 7, *map(at_night, (2, 3, 4, 5, 8))])
@pytest.mark.parametrize("part", [None, (40, 30, 700, 900)])
@pytest.mark.parametrize("turn", TURNS)
def test_the_corners_come_to_lie_where_they_should(tmp_path, turn, part, orientation):
    """Discs of four colours at the corners; clockwise by a quarter, the left lower one comes to lie
    left above."""
    page = Image.new("RGB", (800, 1000))
    pen = ImageDraw.Draw(page)
    for at, colour in zip(((160, 120), (606, 159), (552, 778), (106, 739)), COLOURS, strict=True):
        pen.circle(at, 14, fill=colour)
    corners = tuple(middle(page, colour) for colour in COLOURS)
    save(tmp_path / "a.png", page, orientation)
    name = part_name("a.png", part) if part else "a.png"
    left, upper = part[:2] if part else (0, 0)
    moved = tuple((x - left, y - upper) for x, y in corners)
    found = read_picture(tmp_path, name, (10_000, 10_000), pose=Pose(turn, moved, 254, margin=4))
    wide, high = math.dist(corners[0], corners[1]), math.dist(corners[0], corners[3])
    wide, high = (wide, high) if turn in (0, 180) else (high, wide)
    assert found.size == (round(wide + 80), round(high + 80))
    x, y = found.width / (wide + 80), found.height / (high + 80)  # to whole pixels
    left, right, upper, lower = 40 * x, (40 + wide) * x, 40 * y, (40 + high) * y
    places = ((left, upper), (right, upper), (right, lower), (left, lower))
    for at, colour in enumerate(COLOURS):
        assert math.dist(middle(found, colour), places[(at + turn // 90) % 4]) < 0.1


@settings(max_examples=80, deadline=None)
@given(st.data())
def test_a_part_and_a_turn_are_as_if_the_file_were_so(tmp_path_factory, data):
    folder = tmp_path_factory.mktemp("scans")
    width, height = data.draw(st.integers(8, 130)), data.draw(st.integers(8, 130))
    page = motley(width, height)
    left, upper = data.draw(st.integers(0, width - 4)), data.draw(st.integers(0, height - 4))
    box = (
        left,
        upper,
        data.draw(st.integers(4, width - left)),
        data.draw(st.integers(4, height - upper)),
    )
    turn, orientation = data.draw(st.sampled_from(TURNS)), data.draw(st.sampled_from(list(STORED)))
    ending = data.draw(st.sampled_from(["png", "jpg"]))
    # of so small a part a JPEG's decoder leaves no pixel unmixed, see below
    assume(ending == "png" or min(box[2:]) > 14)
    save(folder / f"a.{ending}", page, orientation)
    with Image.open(folder / f"a.{ending}") as kept:
        page = ImageOps.exif_transpose(kept)
    save(
        folder / "own.png", clockwise(page.crop((left, upper, left + box[2], upper + box[3])), turn)
    )
    name, room = (
        part_name(f"a.{ending}", box),
        (data.draw(st.integers(3, 90)), data.draw(st.integers(3, 90))),
    )
    region = tuple(data.draw(st.floats(0.1, 1)) for _ in range(3))
    # a JPEG's decoder mixes in up to seven pixels from beyond the part
    most = 0.5 if ending == "png" else 8.0
    assert (
        off(
            read_picture(folder, name, room, pose=Pose(turn)),
            read_picture(folder, "own.png", room),
        )
        < most
    )
    here, there = (read_crop(folder, one, region, room, pose=stand) for one, stand in
                   ((name, Pose(turn)), ("own.png", Pose())))  # fmt: skip
    assert off(here, there) < most


def test_a_turned_scan_in_all_its_pixels_is_what_pillow_transposes(tmp_path):
    page = motley(90, 130)
    page.save(tmp_path / "a.png")
    for turn in TURNS:
        found = read_picture(tmp_path, "a.png", (500, 500), pose=Pose(turn))
        assert found.tobytes() == clockwise(page, turn).tobytes()


def test_the_part_of_a_page(tmp_path):
    pages = [motley(90, 130), motley(130, 100).rotate(180)]
    pages[0].save(tmp_path / "a.tif", save_all=True, append_images=pages[1:])
    found = read_picture(tmp_path, "a.tif#page=2&xywh=10,20,60,40", (500, 500))
    assert found.tobytes() == pages[1].crop((10, 20, 70, 60)).tobytes()
    assert (
        read_whole(tmp_path, "a.tif#page=2&xywh=10,20,60,40").upright.tobytes() == found.tobytes()
    )


@pytest.mark.parametrize("box", [(0, 0, 0, 9), (0, 0, 9, 0), (1, 0, 90, 130), (0, 1, 90, 130),
(90, 130, 1, 1),
                                 (0, 0, 999_999_999, 999_999_999)])  # fmt: skip
def test_a_part_that_is_none_says_so_in_one_sentence(tmp_path, box):
    save(tmp_path / "a.jpg", motley(90, 130), 6)
    name = part_name("a.jpg", box)
    for read in (lambda: read_picture(tmp_path, name, (40, 40)), lambda: read_whole(tmp_path, name),
                 lambda: read_crop(tmp_path, name, (0.5, 0.5, 1), (40, 40))):  # fmt: skip
        with pytest.raises(PictureError) as refusal:
            read()
        assert (
            str(refusal.value)
            == f"{name} is not part of its scan of 90 x 130 pixels; split the sheet again."
        )
    assert read_picture(tmp_path, part_name("a.jpg", (0, 0, 90, 130)), (400, 400)).size == (90, 130)


def test_a_straight_card_is_never_enlarged(card):
    folder, page = card
    a, b, _, d = page.corners[0]
    found = read_picture(
        folder, "a.jpg", (5000, 5000), pose=Pose(corners=page.corners[0], dpi=300, margin=0)
    )
    assert found.size == (round(math.dist(a, b)), round(math.dist(a, d)))


def test_without_dots_per_inch_the_margin_is_that_of_a_usual_card(card):
    """2.5 x 3.5 in: common practice."""
    folder, page = card
    known, unknown = (
        read_picture(
            folder, "a.jpg", (5000, 5000), pose=Pose(corners=page.corners[0], dpi=dpi, margin=5)
        )
        for dpi in (300, 0)
    )
    assert unknown.size == pytest.approx(known.size, abs=1)


def test_beyond_the_scan_lies_a_dark_bed_and_not_the_neighbour(tmp_path):
    Image.new("RGB", (300, 400), (250, 240, 230)).save(tmp_path / "a.png")
    level = ((10.0, 10.0), (90.0, 10.0), (90.0, 130.0), (10.0, 130.0))
    crooked = ((10.0, 10.0), (90.0, 14.0), (84.0, 134.0), (4.0, 130.0))
    for corners in (level, crooked):
        stand = Pose(corners=corners, dpi=254, margin=3)
        found = read_picture(tmp_path, "a.png#xywh=0,0,100,150", (500, 500), pose=stand)
        assert found.getpixel((1, 1)) == (24, 24, 26)
        assert found.getpixel((found.width // 2, found.height // 2)) == (250, 240, 230)
    # the scan goes on there, the part does not
    assert found.getpixel((found.width - 2, 60)) == (
        24,
        24,
        26,
    )


FAR = 1e300
SENSELESS = (
    ((5.0, 5.0),) * 4,
    ((0.0, 0.0), (9.0, 0.0), (9.0, 0.0), (0.0, 0.0)),
    ((1e8, 1e8), (2e8, 1e8), (2e8, 2e8), (1e8, 2e8)),
    ((-FAR, 0.0), (FAR, 0.0), (FAR, FAR), (-FAR, FAR)),
)


@pytest.mark.parametrize("corners", SENSELESS)
def test_corners_that_make_no_card_are_left_out(tmp_path, corners):
    page = motley(90, 130)
    page.save(tmp_path / "a.png")
    found = read_picture(tmp_path, "a.png", (400, 400), pose=Pose(90, corners))
    assert found.tobytes() == clockwise(page, 90).tobytes()


@pytest.mark.parametrize(("dpi", "margin"), [(1e9, 2), (300, -1e6), (300, 1e9), (1e-9, 2)])
def test_a_senseless_margin_does_no_harm(tmp_path, dpi, margin):
    motley(90, 130).save(tmp_path / "a.png")
    stand = Pose(0, ((9.0, 9.0), (80.0, 11.0), (78.0, 121.0), (7.0, 119.0)), dpi, margin)
    assert max(read_picture(tmp_path, "a.png", (40, 60), pose=stand).size) <= 60
    assert read_crop(tmp_path, "a.png", (0.5, 0.5, 0.3), (40, 20), pose=stand).width == 40


def test_a_stand_is_one_of_four_turns_and_plain_numbers():
    corners = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, math.nan))
    for make in (lambda: Pose(45), lambda: Pose(corners=corners), lambda: Pose(dpi=math.inf)):
        with pytest.raises(ValueError, match=r"turned by|not finite"):
            make()
    assert len({Pose(), Pose(0), Pose(90)}) == 2


def test_a_dark_card_is_brightened_where_it_is_asked_for(tmp_path):
    motley(300, 400).point(lambda level: level // 4).save(tmp_path / "a.png")
    plain, light = (
        read_picture(tmp_path, "a.png", (60, 80), pose=Pose(levels=on)) for on in (False, True)
    )
    assert (
        ImageStat.Stat(light.convert("L")).mean[0]
        > 1.8 * ImageStat.Stat(plain.convert("L")).mean[0]
    )
    piece = read_crop(tmp_path, "a.png", (0.5, 0.5, 0.5), (60, 40), pose=Pose(levels=True))
    assert ImageStat.Stat(piece.convert("L")).mean[0] > 60


def test_the_desk_asks_for_a_scan_as_it_is_to_be_seen(tmp_path):
    page = motley(90, 130)
    page.save(tmp_path / "a.png")
    source = FolderSource(ScanReader(tmp_path, NoCopies()))
    assert (
        source.load(ScanRef(None, "a.png"), WholePicture((400, 400), Pose(90)), (1, 2)).tobytes()
        == clockwise(page, 90).tobytes()
    )
    seen = Crop((0.5, 0.5, 1.0), (130, 90), False, Pose(270))
    assert off(source.load(ScanRef(None, "a.png"), seen, (1, 2)), clockwise(page, 270)) < 0.5
    assert source.load(ScanRef(None, "a.png"), WholePicture((400, 400)), (1, 2)).size == (90, 130)


def test_showing_a_card_straight_loads_no_numpy(card):
    folder, page = card
    code = f"""
import sys
from pathlib import Path
from tagger.core.model.pose import Pose
from tagger.core.model.scan_ref import ScanRef
from tagger.imaging.scan.scans import ScanReader
from tagger.preview.terminal_capabilities import Depth
from tagger.preview.drawings import DRAWINGS
from tagger.preview.pictures import Crop, WholePicture, drawn
from tagger.services.scans.sources import FolderSource
class NoCopies:
    def get(self, name): pass
    def put(self, name, data): pass
stand = Pose(90, {page.corners[0]}, 300, levels=True)
source = FolderSource(ScanReader(Path({str(folder)!r}), NoCopies()))
for name in ("a.jpg", "a.png#xywh=0,0,800,1100"):
    for seen in (WholePicture((47, 66), stand), Crop((0.5, 0.5, 0.3), (40, 20), True, stand)):
        picture = source.load(ScanRef(None, name), seen, (1, 2))
        assert drawn(picture, DRAWINGS["half blocks"], Depth.C256).rows
print("numpy" in sys.modules)
import tagger.imaging.card.edges
print("numpy" in sys.modules)
"""
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    # that the second is true shows that the first could be
    assert run.stdout.split() == [
        "False",
        "True",
    ]
