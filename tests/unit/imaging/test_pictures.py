"""Scans as pictures: upright, in plain colours, no larger than asked for; what is no scan says so
in one sentence."""

from __future__ import annotations

import os
import struct
import subprocess
import sys
import zlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageChops, ImageDraw, ImageStat
from support.stored import BLUE, GREEN, GREY, ORIENTATION, RED, jpeg, stored, upright

from tagger.errors import LotError, PictureError
from tagger.imaging.scan.folder import list_scans
from tagger.imaging.scan.pictures import SCALING, read_crop, read_picture, read_whole

BOX = (1000, 1000)


def fields(picture: Image.Image) -> list[tuple[int, int, int]]:
    """The colours in the middle of the four fields, reading order."""
    width, height = picture.size
    return [
        picture.getpixel((x, y))
        for y in (height // 4, height * 3 // 4)
        for x in (width // 4, width * 3 // 4)
    ]


def near(picture: Image.Image, expected: list[tuple[int, int, int]], by: int = 12) -> bool:
    return all(
        abs(have - want) <= by
        for pair in zip(fields(picture), expected, strict=True)
        for have, want in zip(*pair, strict=True)
    )


@pytest.mark.parametrize("box", [BOX, (24, 60)], ids=["whole", "small"])
@pytest.mark.parametrize("ending", ["jpg", "png", "tif", "webp"])
@pytest.mark.parametrize("orientation", ORIENTATION)
def test_a_picture_is_turned_as_its_exif_tag_says(tmp_path, orientation, ending, box):
    picture = stored(upright(), orientation)
    if ending == "tif":
        picture.save(tmp_path / "a.tif", tiffinfo={0x0112: orientation})
    else:
        exif = Image.Exif()
        exif[0x0112] = orientation
        picture.save(tmp_path / f"a.{ending}", exif=exif, quality=95)
    found = read_picture(tmp_path, f"a.{ending}", box)
    assert found.size == ((64, 96) if box == BOX else (24, 36))
    assert found.mode == "RGB"
    assert near(found, [RED, GREEN, BLUE, GREY], 40 if ending in ("jpg", "webp") else 12)


@pytest.mark.parametrize("value", [0, 9, 65535])
def test_an_orientation_that_is_none_is_ignored(tmp_path, value):
    exif = Image.Exif()
    exif[0x0112] = value
    upright().save(tmp_path / "a.png", exif=exif)
    assert near(read_picture(tmp_path, "a.png", BOX), [RED, GREEN, BLUE, GREY])


def test_pages_of_a_tiff_come_in_order(tmp_path):
    pages = [Image.new("RGB", (20, 28), colour) for colour in (RED, GREEN, BLUE)]
    pages[0].save(tmp_path / "lot.tif", save_all=True, append_images=pages[1:])
    names = list_scans(tmp_path).scans
    assert names == ("lot.tif#page=1", "lot.tif#page=2", "lot.tif#page=3")
    assert [read_picture(tmp_path, name, BOX).getpixel((5, 5)) for name in names] == [
        RED,
        GREEN,
        BLUE,
    ]
    with pytest.raises(PictureError):
        read_picture(tmp_path, "lot.tif#page=4", BOX)


@pytest.mark.parametrize("name", ["a.bmp", "a.png", "a.webp", "a.tiff", "a.jpe", "A.JPG"])
def test_each_kind_of_file_is_read(tmp_path, name):
    upright().save(tmp_path / name, quality=95)
    assert list_scans(tmp_path).scans == (name,)
    assert near(read_picture(tmp_path, name, BOX), [RED, GREEN, BLUE, GREY], 40)


def greys(mode: str) -> Image.Image:
    """Black, a third, two thirds and white in 16 bits."""
    out = Image.new(mode, (64, 96))
    for x, y, level in ((0, 0, 0), (32, 0, 21845), (0, 48, 43690), (32, 48, 65535)):
        out.paste(level, (x, y, x + 32, y + 48))
    return out


def test_what_the_program_keeps_beside_the_scans_is_no_file_of_the_dealers(tmp_path):
    for name in (
        "lot.json",
        "lot.json.new",
        "lot.journal",
        "lot.journal.cut-1",
        ".lot.lock",
        "notes.txt",
    ):
        (tmp_path / name).write_text("x")
    assert list_scans(tmp_path).ignored == 1


@pytest.mark.parametrize("box", [BOX, (24, 24)], ids=["whole", "small"])
@pytest.mark.parametrize(
    ("mode", "name"), [("I;16", "a.png"), ("I;16", "a.tif"), ("I;16B", "a.tif"), ("I", "a.tif")]
)
def test_sixteen_bits_of_grey_become_eight(tmp_path, mode, name, box):
    if mode == "I;16B":
        raw = greys("I;16").tobytes()
        Image.frombytes(
            mode, (64, 96), b"".join(raw[i : i + 2][::-1] for i in range(0, len(raw), 2))
        ).save(tmp_path / name)
    else:
        greys(mode).save(tmp_path / name)
    assert near(read_picture(tmp_path, name, box), [(0,) * 3, (85,) * 3, (170,) * 3, (255,) * 3])


@pytest.mark.parametrize("mode", ["L", "1", "P", "CMYK", "YCbCr", "LAB"])
def test_other_kinds_of_pixels_become_plain_colours(tmp_path, mode):
    name = {"CMYK": "a.jpg", "YCbCr": "a.jpg", "LAB": "a.tif"}.get(mode, "a.png")
    if mode == "LAB":
        Image.new("LAB", (64, 96), (255, 128, 128)).save(tmp_path / name)
        expected = [(255, 255, 255)] * 4
    else:
        upright().convert(mode).save(tmp_path / name, quality=95)
        expected = fields(upright().convert(mode).convert("RGB"))
    found = read_picture(tmp_path, name, BOX)
    assert found.mode == "RGB"
    assert near(found, expected, 40)


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P"])
def test_clear_pixels_show_the_paper_behind(tmp_path, mode):
    picture = upright().convert("RGBA")
    picture.paste((255, 0, 255, 0), (32, 48, 64, 96))
    options = {}
    if mode == "P":
        picture = Image.new("P", (64, 96), 0)
        picture.putpalette([*RED, *GREEN, 255, 0, 255])
        picture.paste(2, (32, 48, 64, 96))
        options = {"transparency": 2}
    elif mode == "LA":
        picture = picture.convert("LA")
    picture.save(tmp_path / "a.png", **options)
    red, _, _, clear = fields(read_picture(tmp_path, "a.png", BOX))
    assert clear == (96, 96, 96)
    assert red != (96, 96, 96)


@settings(max_examples=60)
@given(st.integers(1, 90), st.integers(1, 90), st.integers(1, 60), st.integers(1, 60))
def test_a_picture_fits_its_box_keeps_its_shape_and_is_never_enlarged(
    tmp_path_factory, width, height, across, down
):
    folder = tmp_path_factory.mktemp("scans")
    Image.new("RGB", (width, height), RED).save(folder / "a.png")
    found = read_picture(folder, "a.png", (across, down))
    assert found.width <= min(width, across)
    assert found.height <= min(height, down)
    factor = max(width / across, height / down, 1.0)
    assert abs(found.width - width / factor) <= 1
    assert abs(found.height - height / factor) <= 1


def chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def bomb(side: int) -> bytes:
    """A valid PNG of side x side black pixels, one bit each: small as a file, huge when
    unpacked."""
    squeeze = zlib.compressobj(1)
    rows = b"\0" * (side // 8 + 1) * 1000
    data = b"".join(squeeze.compress(rows) for _ in range(side // 1000)) + squeeze.flush()
    head = struct.pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


MEASURED = """
import resource, sys
from pathlib import Path
from tagger.errors import PictureError
from tagger.imaging.scan.pictures import SCALING, read_crop, read_picture, read_whole
unit = 1 if sys.platform == "darwin" else 1024
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit
try:
    read_picture(Path(sys.argv[1]), "bomb.png", (100, 100))
except PictureError as error:
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit - before, error)
"""


def test_a_picture_of_900_million_pixels_is_refused_before_it_takes_memory(tmp_path):
    data = bomb(30_000)
    assert len(data) < 1_000_000
    (tmp_path / "bomb.png").write_bytes(data)
    run = subprocess.run(
        [sys.executable, "-c", MEASURED, tmp_path], capture_output=True, text=True, check=True
    )
    grown, said = run.stdout.split(" ", 1)
    assert said.startswith("bomb.png claims 30000 x 30000 pixels")
    assert int(grown) < 40_000_000


@pytest.mark.parametrize(
    ("damage", "reason"),
    [
        (lambda data: b"", "is an empty file"),
        (lambda data: data[: len(data) // 2], "ends too early"),
        (lambda data: data[:10], "cannot be shown"),
        (lambda data: b"a letter to a friend\n", "is not a readable image"),
        (lambda data: b"\0" * len(data), "is not a readable image"),
        (lambda data: b"GIF89a" + data, "is not a readable image"),
    ],
)
def test_a_damaged_scan_is_named_with_the_reason(tmp_path, damage, reason):
    (tmp_path / "scan_7.jpg").write_bytes(damage(jpeg(tmp_path)))
    with pytest.raises(PictureError) as refusal:
        read_picture(tmp_path, "scan_7.jpg", (100, 100))
    assert str(refusal.value).startswith("scan_7.jpg ")
    assert reason in str(refusal.value)
    assert str(refusal.value).endswith(".")


@pytest.mark.filterwarnings("ignore::UserWarning")
@settings(max_examples=80)
@given(
    st.integers(0, 3000),
    st.binary(min_size=1, max_size=40),
    st.sampled_from(["jpg", "png", "tif", "bmp", "webp"]),
)
def test_any_damage_gives_a_picture_or_a_sentence(tmp_path_factory, at, junk, ending):
    folder = tmp_path_factory.mktemp("scans")
    path = folder / f"a.{ending}"
    upright(48, 64).save(path)
    data = path.read_bytes()
    path.write_bytes(data[: at % len(data)] + junk + data[at % len(data) + len(junk) :])
    assert len(list_scans(folder).scans) >= 1
    try:
        said = read_picture(folder, path.name, (30, 30)).mode
    except PictureError as error:
        said = str(error)
    assert said == "RGB" or said.startswith(f"a.{ending} ")


QUIET = """
import sys
from pathlib import Path
from tagger.errors import PictureError
from tagger.imaging.scan.folder import list_scans
from tagger.imaging.scan.pictures import SCALING, read_crop, read_picture, read_whole
for name in list_scans(Path(sys.argv[1])).scans:
    try:
        read_picture(Path(sys.argv[1]), name, (30, 30))
    except PictureError as error:
        print(error)
"""


def test_the_decoders_own_warnings_stay_off_the_screen(tmp_path):
    upright().save(tmp_path / "a.tif", tiffinfo={270: "x" * 400})
    (tmp_path / "a.tif").write_bytes((tmp_path / "a.tif").read_bytes()[:200])
    run = subprocess.run(
        [sys.executable, "-c", QUIET, tmp_path], capture_output=True, text=True, check=True
    )
    assert run.stdout.startswith("a.tif cannot be shown")
    assert run.stderr == ""


def test_a_missing_scan_is_named(tmp_path):
    with pytest.raises(PictureError, match=r"^scan_7\.jpg is missing from the folder\.$"):
        read_picture(tmp_path, "scan_7.jpg", BOX)


def test_a_hostile_name_is_shown_harmless_and_its_picture_is_read(tmp_path):
    for raw in (
        b"a\x1b[31m.jpg",
        b"b\n.jpg",
        b"c\xff.jpg",
        "d\u202e.jpg".encode(),
        b"e%s{0}.jpg",
        b"-f.jpg",
    ):
        upright().save(os.fsdecode(os.path.join(os.fsencode(tmp_path), raw)), format="JPEG")
    names = list_scans(tmp_path).scans
    assert len(names) == 6
    for name in names:
        assert read_picture(tmp_path, name, BOX).size == (64, 96)
        (tmp_path / name).write_bytes(b"")
        with pytest.raises(PictureError) as refusal:
            read_picture(tmp_path, name, BOX)
        assert str(refusal.value).isprintable()


def test_only_scans_are_listed_and_other_files_are_counted(tmp_path):
    for name in ("b_2.jpg", "b_10.JPEG", "a.tiff"):
        (tmp_path / name).write_bytes(b"x")
    for name in ("notes.txt", "Thumbs.db", "list.csv", "jpg", "c.jpg.part"):
        (tmp_path / name).write_bytes(b"x")
    for name in (".hidden.jpg", "lot.json", "lot.json.new", ".lot.lock"):
        (tmp_path / name).write_bytes(b"x")
    (tmp_path / "folder.jpg").mkdir()
    (tmp_path / "broken.jpg").symlink_to(tmp_path / "nowhere")
    found = list_scans(tmp_path)
    assert found.scans == ("a.tiff", "b_2.jpg", "b_10.JPEG")
    assert found.ignored == 7


def test_a_folder_that_cannot_be_read_is_named(tmp_path):
    with pytest.raises(LotError, match="cannot be read"):
        list_scans(tmp_path / "nowhere")


def printed_page(width: int = 820, height: int = 1130) -> Image.Image:
    """Shades with small print and lines on them, as a card has them."""
    page = Image.merge(
        "RGB",
        [Image.linear_gradient("L").rotate(turn).resize((width, height)) for turn in (0, 90, 180)],
    )
    draw = ImageDraw.Draw(page)
    for y in range(20, height - 20, 24):
        draw.text((30, y), "0 1 2 3 harbor light 4 5 6 7 " * 3, fill=(30, 20, 40), font_size=18)
        draw.line((0, y, width, y + 9), fill=(240, 230, 200), width=3)
    return page


@pytest.mark.parametrize("ending", ["jpg", "png"])
@pytest.mark.parametrize("grid", [(1, 2), (2, 2), (2, 3)])
@pytest.mark.parametrize("box", [(40, 68), (47, 66), (80, 110)])
def test_a_small_picture_is_what_pillow_makes_of_the_whole(tmp_path, ending, grid, box):
    """The reference decodes all of the scan and resizes it once, by the same filter."""
    page = printed_page()
    page.save(tmp_path / f"a.{ending}", quality=95)
    found = read_picture(tmp_path, f"a.{ending}", box, grid)
    with Image.open(tmp_path / f"a.{ending}") as whole:
        reference = whole.convert("RGB").resize(found.size, SCALING)
    assert sum(ImageStat.Stat(ImageChops.difference(found, reference)).mean) / 3 < 2


@pytest.mark.parametrize("grid", [(1, 2), (2, 2), (2, 3)])
def test_another_grid_has_other_pixels_in_the_same_room(tmp_path, grid):
    printed_page().save(tmp_path / "a.png")
    square = read_picture(tmp_path, "a.png", (47, 66))
    found = read_picture(tmp_path, "a.png", (47, 66), grid)
    assert found.size == (square.width * grid[0], round(square.height * grid[1] / 2))
    assert read_crop(tmp_path, "a.png", (0.5, 0.5, 0.3), (80, 14), grid).size == (
        80 * grid[0],
        7 * grid[1],
    )


@pytest.mark.parametrize("dots", [200, 300, 600])
def test_dots_per_inch_that_a_png_keeps_per_metre_come_back_whole(tmp_path, dots):
    """7874 in a metre are 199.9996 in an inch: no scan at 200 dpi has too few for that."""
    Image.new("RGB", (40, 60), "white").save(tmp_path / "scan.png", dpi=(dots, dots))
    assert read_whole(tmp_path, "scan.png").dpi == dots
