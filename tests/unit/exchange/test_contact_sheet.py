"""Contact sheets: paper of the right size, every card on it once, and no picture of anybody's
overwritten."""

from __future__ import annotations

import errno
import math
import os
import re
import sys
from functools import partial
from itertools import product
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageFont
from pypdf import PdfReader
from support import drawn
from support.shop import lot_of
from support.small_card import card

from tagger.cli import main
from tagger.core.model.tags import Tags
from tagger.exchange.shown import pdf_fonts
from tagger.exchange.shown.contact_sheet import Cell, drawable, pages, picture_pixels
from tagger.exchange.shown.sheet_geometry import a_page
from tagger.store.files import SystemFiles

pytestmark = pytest.mark.usefixtures("work_at_hand")

PAPER = {"a4": (210.0, 297.0), "letter": (8.5 * 25.4, 11 * 25.4)}  # mm: ISO 216; ANSI/ASME Y14.1
POINT = 25.4 / 72  # mm: ISO 32000-1, 8.3.2.3, default user space
CARDS = 16


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """Sixteen cards, not tagged: two pages of A4."""
    drawn.draw_scans(tmp_path / "box", CARDS)
    return tmp_path / "box"


def sheet(lot: Path, name: str, *options: str) -> int:
    return main(["sheet", str(lot), "--to", str(lot.parent / name), *options])


@pytest.mark.parametrize("paper", PAPER)
def test_a_pdf_has_pages_of_the_paper_s_size(lot, paper, capsys, monkeypatch):
    """Read by pypdf. Without the library the pages are pictures, and that is said once."""
    if paper == "letter":
        monkeypatch.setitem(sys.modules, "fpdf", None)
    assert sheet(lot, "out.pdf", "--paper", paper) == 0
    told = capsys.readouterr().err.count("The pages are pictures of their text")
    assert told == (paper == "letter")
    read = PdfReader(lot.parent / "out.pdf", strict=True)
    assert len(read.pages) == math.ceil(CARDS / a_page(paper)) > 1
    for page in read.pages:
        size = (float(page.mediabox.width) * POINT, float(page.mediabox.height) * POINT)
        assert size == pytest.approx(PAPER[paper], abs=0.2)
    if paper == "letter":
        (picture,) = read.pages[0].images
        assert picture.image.size == pytest.approx(
            [side / 25.4 * 200 for side in PAPER[paper]], abs=1
        )
    assert read.metadata
    assert read.metadata.title == "box"


NAMES = {
    "Latin": "Łukasz Núñez-Ørsted",
    "Greek": "Ελένη Ράλλη",
    "Cyrillic": "Жанна Ёлкина",
    "Japanese": "林美咲",
    "Korean": "김하늘",
}


def test_a_pdf_has_names_in_their_own_letters_its_fonts_bookmarks_and_words_for_pictures(
    tmp_path, monkeypatch
):
    """Read by pypdf; tagged pictures as in ISO 32000-1, 14.9.3. A letter that no font has is an
    escape."""
    folder = lot_of(
        tmp_path / "box",
        [Tags(f"Set {at // 4}", str(at), name) for at, name in enumerate(NAMES.values(), 1)],
    )
    for scan in folder.glob("*.jpg"):
        card().save(scan)
    assert sheet(folder, "out.pdf") == 1  # 1: the scans are others than were tagged
    read = PdfReader(tmp_path / "out.pdf", strict=True)
    text = read.pages[0].extract_text()
    # pypdf does not read the encoding of a font with cubic outlines and gives both bytes of a code,
    # and it sees spaces between wide letters
    bare = text.replace("\0", "").replace(" ", "")
    for at, name in enumerate(NAMES.values(), 1):
        assert f"{at}#{at}{name}".replace(" ", "") in bare
    assert [one.title for one in read.outline] == ["Set 0", "Set 1"]
    fonts = [one.get_object() for one in read.pages[0]["/Resources"]["/Font"].values()]
    described = [one["/DescendantFonts"][0].get_object()["/FontDescriptor"] for one in fonts]
    assert len(described) == 2
    assert all({"/FontFile2", "/FontFile3"} & one.get_object().keys() for one in described)
    tree = read.trailer["/Root"]["/StructTreeRoot"]["/K"]
    told = {one.get_object()["/Alt"] for one in tree[0].get_object()["/K"]}
    assert "front of card 1 #1 Łukasz Núñez-Ørsted" in told
    assert read.trailer["/Root"]["/Lang"] == "en"
    # with no font but Pillow's own, as without the packages and on a bare system
    monkeypatch.setattr(pdf_fonts, "_files", lambda: iter(()))
    assert sheet(folder, "out.pdf") == 1
    text = PdfReader(tmp_path / "out.pdf").pages[0].extract_text()
    assert "4  #4 \\u6797\\u7f8e\\u54b2" in text
    assert "1  #1 " in text


@pytest.mark.parametrize("paper", PAPER)
def test_of_png_each_page_is_a_file_that_says_its_size(lot, paper):
    assert sheet(lot, "out.png", "--paper", paper) == 0
    names = sorted(path.name for path in lot.parent.glob("*.png"))
    assert names == [
        f"out-{number}.png" for number in range(1, math.ceil(CARDS / a_page(paper)) + 1)
    ]
    for name in names:
        with Image.open(lot.parent / name) as page:
            assert page.info["dpi"] == pytest.approx((200, 200), abs=0.1)
            size = tuple(pixels / 200 * 25.4 for pixels in page.size)
            assert size == pytest.approx(PAPER[paper], abs=0.2)


def test_one_page_keeps_the_name_and_numbers_sort_as_names(tmp_path, monkeypatch):
    # small pages: their names are what counts here
    monkeypatch.setattr("tagger.commands.exchange.sheet.pages", partial(pages, dpi=40))
    drawn.draw_scans(tmp_path / "few", 1)
    assert sheet(tmp_path / "few", "few.png") == 0
    assert [path.name for path in tmp_path.glob("few*.png")] == ["few.png"]
    drawn.draw_scans(tmp_path / "many", 9 * a_page("letter") + 1, size=(60, 84))
    assert sheet(tmp_path / "many", "many.png", "--paper", "letter") == 0
    assert sorted(path.name for path in tmp_path.glob("many*.png")) == [
        f"many-{n:02}.png" for n in range(1, 11)
    ]


@pytest.mark.parametrize("paper", PAPER)
def test_every_picture_is_on_its_page_once_whole_and_in_reading_order(paper):
    count, dpi = a_page(paper) + 2, 100
    high = picture_pixels(dpi)
    colours = [
        (40 + 5 * number, side * 100, 200 - number) for number in range(count) for side in (0, 1)
    ]
    solid = [Image.new("RGB", (round(high * 5 / 7), high), colour) for colour in colours]
    cards = [Cell((f"card {n}", "", ""), solid[2 * n], solid[2 * n + 1]) for n in range(count)]
    made = list(pages(cards, count, "box", "foot", paper, dpi))
    assert len(made) == 2
    for number, page in enumerate(made):
        here = colours[2 * a_page(paper) * number :][: 2 * a_page(paper)]
        seen = {colour: times for times, colour in page.getcolors(1 << 20)}
        assert [colour for colour in colours if colour in seen] == here
        places = []
        for colour in here:
            # nothing lies over it
            assert seen[colour] == pytest.approx(solid[0].width * high, rel=0.03)
            left, upper, right, lower = _box(page, colour)
            assert min(left, upper, page.width - right, page.height - lower) > 5 / 25.4 * dpi
            places.append((upper, left))
        assert places == sorted(places)


def _box(page: Image.Image, colour: tuple[int, int, int]) -> tuple[int, int, int, int]:
    apart = ImageChops.difference(page, Image.new("RGB", page.size, colour)).convert("L")
    box = apart.point([255, *[0] * 255]).getbbox()
    assert box
    return box


def test_a_missing_side_leaves_its_place_empty_and_is_told(lot, capsys):
    (lot / "scan_0003.jpg").write_bytes(b"no picture")
    assert sheet(lot, "out.pdf") == 1
    assert "card 2: scan_0003.jpg" in capsys.readouterr().err
    assert len(PdfReader(lot.parent / "out.pdf").pages) == 2


def test_what_the_font_cannot_draw_is_written_plainly_or_as_an_escape():
    font = ImageFont.load_default(20)
    assert drawable("Ada #23, 12/99 <b>~", font) == "Ada #23, 12/99 <b>~"
    assert drawable("Núñez, ŁUKASZ Ørsted, Weiß", font) == "Nunez, LUKASZ Orsted, Weiss"
    assert drawable("Ж山", font) == "\\u0416\\u5c71"


@pytest.mark.parametrize(
    ("target", "status"),
    [
        ("out.jpg", 2),
        ("box/scan_0001.jpg", 2),
        ("none/out.pdf", 3),
        ("none/out.png", 3),
        ("box", 2),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line(lot, tmp_path, capsys, target, status):
    before = {path: path.read_bytes() for path in lot.iterdir()}
    assert sheet(lot, target) == status
    assert re.fullmatch(r"tagger: [^\n]+\n", capsys.readouterr().err)
    assert {path: path.read_bytes() for path in lot.iterdir()} == before
    assert [path.name for path in tmp_path.iterdir()] == ["box"]


@pytest.mark.parametrize("kept", ["a scan", "no picture"])
def test_a_picture_that_is_no_sheet_is_never_written_over(lot, tmp_path, capsys, kept):
    """The second page would take the name of another lot's scan."""
    other = tmp_path / "out-2.png"
    if kept == "a scan":
        Image.new("RGB", (20, 28)).save(other)
    else:
        other.write_bytes(b"foreign")
    before = other.read_bytes()
    assert sheet(lot, "out.png") == 2
    assert "out-2.png already exists, and tagger did not write it" in capsys.readouterr().err
    assert other.read_bytes() == before
    assert not (tmp_path / "out-1.png").exists()


def test_a_scan_of_the_lot_is_never_written_over(tmp_path, capsys):
    drawn.draw_scans(tmp_path / "box", CARDS, "scan-{}.png")
    before = {path: path.read_bytes() for path in (tmp_path / "box").iterdir()}
    assert sheet(tmp_path / "box", "box/scan.png") == 2
    assert "scan-1.png belongs to the lot itself" in capsys.readouterr().err
    assert {path: path.read_bytes() for path in (tmp_path / "box").iterdir()} == before


def test_sheets_of_before_are_written_anew(lot, tmp_path):
    assert sheet(lot, "out.png") == 0
    first = (tmp_path / "out-2.png").read_bytes()
    for name in ("scan_0031.jpg", "scan_0032.jpg"):
        (lot / name).write_bytes((lot / "scan_0001.jpg").read_bytes())
    assert sheet(lot, "out.png") == 0
    assert (tmp_path / "out-2.png").read_bytes() != first


def test_pages_of_a_longer_sheet_are_removed_unless_they_were_changed(lot, tmp_path, capsys):
    assert sheet(lot, "out.png") == 0
    for scan in (lot / f"scan_{at:04d}.jpg" for at in range(3, 33)):
        scan.unlink()
    (tmp_path / "out-9.png").write_bytes(b"somebody's own")
    assert sheet(lot, "out.png") == 0
    assert "; 2 old pages removed." in capsys.readouterr().err
    assert {path.name for path in tmp_path.glob("*.png")} == {"out.png", "out-9.png"}


def test_a_write_that_fails_leaves_nothing_half(lot, tmp_path, capsys, monkeypatch):
    (tmp_path / "out.pdf").write_bytes(b"old and whole")

    def fail(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    main(["audit", str(lot)])  # what is measured is kept before the disk fails
    capsys.readouterr()
    for call, name in product(("write_at", "sync", "replace"), ("out.pdf", "out.png")):
        with monkeypatch.context() as patch:
            patch.setattr(SystemFiles, call, fail)
            assert main(["sheet", str(lot), "--to", str(tmp_path / name), "--force"]) == 3
        assert f"{name} cannot be written: No space left on device." in capsys.readouterr().err
        left = {path.name: path.read_bytes() for path in tmp_path.iterdir() if path.is_file()}
        assert left == {"out.pdf": b"old and whole"}, (call, name)
