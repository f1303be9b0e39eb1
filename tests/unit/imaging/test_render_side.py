"""One side or two as a JPEG file to hand over: upright, straight, and with nothing private."""

from __future__ import annotations

import math
import random
import struct
from itertools import pairwise

import cv2
import numpy as np
import pytest
from PIL import Image, ImageChops, ImageDraw, ImageStat
from PIL.TiffImagePlugin import ImageFileDirectory_v2
from support.card_art import paper, written
from support.given_over import handed, middles, opened, segments, shades
from support.scanned import Laid, Scanner, jpeg, scan

from tagger.core.model.pose import Pose
from tagger.errors import PictureError
from tagger.imaging.scan.render_side import ImageOptions, RenderedSide, beside, picture_file
from tagger.imaging.survey.measure_lot import measure_scan

SECRET = b"SN-47110815"


def private(folder) -> list[str]:
    """Scans that say much about themselves (CIPA DC-008, tags 010F, 0131, A431), upright only by
    their tag 0112."""
    exif = Image.Exif()
    exif[0x0112], exif[0x010F], exif[0x0131] = 6, "Somebody", SECRET.decode()
    exif.get_ifd(0x8769)[0xA431] = SECRET.decode()
    exif.get_ifd(0x8825)[1] = "N"
    lying = shades().transpose(Image.Transpose.ROTATE_90)
    xmp = b'<x:xmpmeta xmlns:x="adobe:ns:meta/">' + SECRET + b"</x:xmpmeta>"
    lying.save(folder / "a.jpg", exif=exif, xmp=xmp, comment=SECRET, dpi=(300, 300), quality=98)
    lying.save(folder / "a.webp", exif=exif, xmp=xmp, quality=98, lossless=True)
    lying.save(folder / "a.png", exif=exif, dpi=(300, 300))
    tiff = ImageFileDirectory_v2()
    tiff[0x0112], tiff[0x010E], tiff[0x013B] = 6, SECRET.decode(), SECRET.decode()
    lying.save(folder / "a.tif", tiffinfo=tiff, dpi=(300, 300))
    return ["a.jpg", "a.webp", "a.png", "a.tif"]


@pytest.mark.parametrize("joined", [False, True])
@pytest.mark.parametrize(
    "stand", [Pose(), Pose(corners=((8.0, 8.0), (118.0, 9.0), (117.0, 119.0), (7.0, 118.0)))]
)
def test_nothing_private_is_handed_over(tmp_path, joined, stand):
    """APP0 holds JFIF (ITU-T T.871), APP2 the profile (ICC.1:2022, B.4); all other segments are the
    picture's own."""
    for name in private(tmp_path):
        assert SECRET in (tmp_path / name).read_bytes() or name == "a.png"
        sides = ((name, stand),) * (2 if joined else 1)
        data = picture_file(tmp_path, sides, ImageOptions(joined=joined))
        found = segments(data)
        assert {marker for marker, _ in found} <= {0xE0, 0xE2, 0xDB, 0xC0, 0xC4, 0xDA}
        assert all(body.startswith(b"JFIF\0") for marker, body in found if marker == 0xE0)
        assert all(body.startswith(b"ICC_PROFILE\0") for marker, body in found if marker == 0xE2)
        assert not any(word in data for word in (SECRET, b"Exif", b"xmpmeta", b"Somebody"))


def test_the_exif_orientation_is_obeyed_and_gone(tmp_path):
    for name in private(tmp_path):
        made = opened(handed(tmp_path, name))
        assert np.abs(middles(made) - middles(shades())).max() <= 6, name
        assert not made.getexif()


@pytest.mark.parametrize(("longest", "dots"), [(None, 300), (64, 150), (5000, 300)])
def test_dots_per_inch_follow_the_size(tmp_path, longest, dots):
    """Units 1 are dots per inch: ITU-T T.871, 10.1."""
    shades().save(tmp_path / "a.png", dpi=(300, 300))
    data = handed(tmp_path, "a.png", longest=longest)
    assert max(opened(data).size) == min(longest or 128, 128)
    jfif = next(body for marker, body in segments(data) if marker == 0xE0)
    assert struct.unpack(">BHH", jfif[7:12]) == (1, dots, dots)


def test_without_dots_per_inch_none_are_claimed(tmp_path):
    shades().save(tmp_path / "a.png")
    jfif = next(body for marker, body in segments(handed(tmp_path, "a.png")) if marker == 0xE0)
    assert jfif[7] == 0


def light_card(angle: float, dpi: float = 300):
    """A card of light paper with print on it, on a dark bed."""
    rng = random.Random(f"{angle}")
    art = written(rng, "held").picture
    ImageDraw.Draw(art).rectangle(
        (0, 0, art.width - 1, art.height - 1), outline=paper(rng), width=24
    )
    laid = Laid((415.0, 560.0), angle)
    return scan(
        [art],
        [laid],
        Scanner("black", 16, (0, 0, 1), (1, -1), 2, 3, 1.2, 0.5, 90),
        rng,
        dpi=dpi,
        dust=0,
    )


def outline(picture: Image.Image):
    """The card's middle, size and angle (-45 to 45 degrees) by OpenCV, in pixels with (0, 0) at the
    outer corner."""
    level = cv2.medianBlur(np.asarray(picture.convert("L")), 5)
    mask = cv2.threshold(level, 125, 255, cv2.THRESH_BINARY)[1]
    shapes = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)[0]
    (x, y), (w, h), angle = cv2.minAreaRect(max(shapes, key=cv2.contourArea))
    while abs(angle) > 45:
        w, h, angle = h, w, angle - math.copysign(90, angle)
    return (x + 0.5, y + 0.5), (w + 1, h + 1), angle


def test_a_small_picture_is_the_large_one_made_smaller(tmp_path):
    """Also where the decoder itself comes near to what is wanted: a half, a quarter of the scan."""
    page = light_card(0.7)
    (tmp_path / "a.jpg").write_bytes(jpeg(page.picture, quality=92))
    stand = Pose(0, page.corners[0], 300.0, 1.0)
    large = opened(handed(tmp_path, "a.jpg", stand, quality=98))
    for longest in (208, 224, 360, 445, 530):
        small = opened(handed(tmp_path, "a.jpg", stand, longest=longest, quality=98))
        wanted = np.asarray(large.resize(small.size, Image.Resampling.LANCZOS), float)
        off = np.abs(np.asarray(small, float) - wanted)
        # one that lies a pixel farther down is 10 to 14 levels off
        assert off.mean() < 5, longest


@pytest.mark.parametrize("angle", [-2.4, -0.7, 0.0, 1.3, 3.1])
@pytest.mark.parametrize("turn", [0, 90, 180])
def test_the_card_stands_straight_with_its_margin(tmp_path, angle, turn):
    page = light_card(angle)
    (tmp_path / "a.jpg").write_bytes(jpeg(page.picture, quality=92))
    assert abs(outline(page.picture)[2] - angle) < 0.1  # OpenCV sees how it lies
    found = measure_scan(tmp_path, "a.jpg")
    made = opened(handed(tmp_path, "a.jpg", Pose(turn, found.corners, found.dpi, 3.0)))
    middle, size, off = outline(made)
    a, b, _, d = page.corners[0]
    expected = (math.dist(a, b), math.dist(a, d))
    expected = expected[::-1] if turn == 90 else expected
    room = 3.0 / 25.4 * 300
    assert abs(off) < 0.1
    for at in (0, 1):
        # one half of a pixel at each end is the threshold's
        assert abs(size[at] - expected[at]) < 1.5
        assert abs(middle[at] - made.size[at] / 2) < 1
        assert abs(made.size[at] - expected[at] - 2 * room) < 1.5
    # Pillow turns counter-clockwise
    upright = np.asarray(made.convert("L").rotate(turn, expand=True), float)
    straight = handed(tmp_path, "a.jpg", Pose(0, found.corners, found.dpi, 3.0))
    assert np.abs(upright - np.asarray(opened(straight).convert("L"), float)).mean() < 1


def test_front_and_back_are_joined_side_by_side(tmp_path):
    for name, colour, size in (
        ("f.png", (200, 40, 40), (250, 350)),
        ("b.png", (40, 40, 200), (350, 250)),
    ):
        Image.new("RGB", size, colour).save(tmp_path / name, dpi=(100, 100))
    made = opened(
        picture_file(tmp_path, (("f.png", Pose()), ("b.png", Pose())), ImageOptions(joined=True))
    )
    gap = made.width - 600
    assert made.height == 350
    assert 5 <= gap <= 20
    spots = {
        (100, 100): (200, 40, 40),
        (250 + gap + 100, 175): (40, 40, 200),
        (250 + gap // 2, 175): (255,) * 3,
    }
    spots[250 + gap + 100, 20] = (255,) * 3
    for spot, colour in spots.items():
        assert max(abs(a - b) for a, b in zip(made.getpixel(spot), colour, strict=True)) < 8
    small = opened(
        picture_file(
            tmp_path, (("f.png", Pose()), ("b.png", Pose())), ImageOptions(longest=300, joined=True)
        )
    )
    assert small.width == 300
    assert small.info["dpi"][0] == pytest.approx(100 * 300 / made.width, abs=1)


def test_sides_that_are_not_equally_fine_are_joined_in_the_coarser_scale():
    fine, coarse = (
        RenderedSide(Image.new("RGB", size), dpi, b"")
        for size, dpi in (((500, 700), 200), ((250, 350), 100))
    )
    for left, right in ((fine, coarse), (coarse, fine)):
        made = beside(left, right, None)
        assert (made.picture.height, made.dpi) == (350, 100)


def test_levels_are_put_on_where_they_are_asked_for(tmp_path):
    shades().point(lambda level: level // 4).save(tmp_path / "a.png")
    dark, light = (
        ImageStat.Stat(opened(handed(tmp_path, "a.png", Pose(levels=on))).convert("L")).mean[0]
        for on in (False, True)
    )
    assert light > 1.8 * dark


def test_quality_is_what_it_costs(tmp_path):
    (tmp_path / "a.jpg").write_bytes(jpeg(light_card(1.0).picture, quality=95))
    sizes = [len(handed(tmp_path, "a.jpg", quality=quality)) for quality in (30, 60, 90, 100)]
    assert all(b > 1.2 * a for a, b in pairwise(sizes))
    best = opened(handed(tmp_path, "a.jpg", quality=100))
    assert max(ImageStat.Stat(ImageChops.difference(best, Image.open(tmp_path / "a.jpg"))).mean) < 2


def test_what_is_no_picture_says_so_in_one_sentence(tmp_path):
    (tmp_path / "a.jpg").write_bytes(b"no picture")
    with pytest.raises(PictureError, match=r"^b\.jpg is missing from the folder\.$"):
        handed(tmp_path, "b.jpg")
    with pytest.raises(PictureError, match=r"^a\.jpg cannot be shown: [^\n]*\.$"):
        handed(tmp_path, "a.jpg")
