"""Files that are not whole, damage inside, and what is wrong with a scan."""

from __future__ import annotations

import io
import random
import struct
import zlib

import pytest
from PIL import Image
from support.card_art import Art, blank, bordered, full_bleed, plain_back, written
from support.fed_lots import broken_jpeg
from support.scanned import Scan, Scanner, fed, jpeg, scan

from tagger.core.audit.card_size import size_faults
from tagger.core.audit.feed_report import NO_PRINT
from tagger.core.audit.measured import Measured
from tagger.imaging.card.card_edges import Edges
from tagger.imaging.scan.file_integrity import Wholeness, check_file
from tagger.imaging.scan.jpeg_corruption import broken_at
from tagger.imaging.survey.faults import FaultKind, scan_faults


def drawn(seed: str, make=bordered, **how) -> Scan:
    rng = random.Random(seed)
    art: Art = make(rng, "held")
    return fed(art.picture, rng, how.pop("bed", "black"), skew=1.5, **how)


def saved(kind: str, **how) -> bytes:
    out = io.BytesIO()
    Image.effect_noise((90, 120), 60).convert("RGB").save(out, kind, **how)
    return out.getvalue()


# ITU-T T.81, table B.1: SOI is FFD8, EOI FFD9, SOS FFDA, RSTm FFD0 to FFD7; B.1.1.5: coded data has
# 00 after FF.
JPEGS = {
    "baseline": {},
    "progressive": {"progressive": True},
    "restarts": {"restart_marker_blocks": 3},
}


@pytest.mark.parametrize("how", JPEGS.values(), ids=JPEGS)
def test_a_jpeg_is_whole_to_its_end_marker_and_no_sooner(how):
    data = saved("JPEG", quality=90, **how)
    assert data[-2:] == b"\xff\xd9"
    assert check_file(data).state is Wholeness.WHOLE
    assert check_file(data + b"some camera adds this").state is Wholeness.WHOLE
    for end in {*range(4, len(data), 97), len(data) - 1, len(data) - 2}:
        assert check_file(data[:end]).state is Wholeness.TRUNCATED


def test_the_end_marker_of_a_small_picture_inside_is_not_the_end():
    """A thumbnail in an application segment (T.81, B.2.4.6) has markers of its own."""
    data, inner = saved("JPEG"), saved("JPEG", quality=20)
    segment = b"\xff\xe1" + struct.pack(">H", len(inner) + 2) + inner
    whole = data[:2] + segment + data[2:]
    assert check_file(whole).state is Wholeness.WHOLE
    assert check_file(whole[: len(segment) + 40]).state is Wholeness.TRUNCATED
    # SOI inside the picture
    assert check_file(data[:-2] + b"\xff\xd8" + data[-2:]).state is Wholeness.CORRUPT


def test_restart_markers_out_of_turn_are_a_missing_stretch():
    """T.81, E.1.4: restart markers are numbered modulo 8 in turn."""
    data = saved("JPEG", restart_marker_blocks=3)
    start, end = data.find(b"\xff\xd2"), data.find(b"\xff\xd4")
    assert 0 < start < end
    assert check_file(data[:start] + data[end:]).state is Wholeness.CORRUPT


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "BMP", "TIFF"])
def test_other_files_are_whole_or_not(kind):
    data = saved(kind)
    assert check_file(data).state is Wholeness.WHOLE
    assert check_file(data[: len(data) * 2 // 3]).state is Wholeness.TRUNCATED


def test_a_png_whose_checksum_is_wrong_is_corrupt():
    data = bytearray(saved("PNG"))
    at = data.find(b"IDAT") + 30
    data[at] ^= 1
    assert check_file(bytes(data)).state is Wholeness.CORRUPT
    assert zlib.crc32(b"IEND") == int.from_bytes(data[-4:], "big")  # the end chunk is still right


def test_no_bytes_and_other_bytes():
    assert check_file(b"").state is Wholeness.EMPTY
    assert check_file(b"a letter to a friend").state is Wholeness.FOREIGN


def test_damage_inside_is_seen_and_whole_scans_are_not_accused():
    seen = damaged = 0
    for number in range(24):
        page = drawn(f"damage {number}")
        data = jpeg(page.picture)
        with Image.open(io.BytesIO(data)) as picture:
            assert broken_at(picture.convert("RGB")) is None
        rng = random.Random(number)
        start = data.find(b"\xff\xda") + 14
        broken = bytearray(data)
        at = rng.randrange(start, len(data) - 6000)
        broken[at : at + 2000] = bytes(2000)
        damaged += 1
        with Image.open(io.BytesIO(bytes(broken))) as picture:
            seen += broken_at(picture.convert("RGB")) is not None
    assert seen >= damaged - 1


def test_a_picture_that_ends_in_grey_is_broken_where_the_grey_begins():
    page = drawn("grey").picture
    page.paste((128, 128, 128), (0, 800, page.width, page.height))
    row = broken_at(page)
    assert row is not None
    assert abs(row - 800) <= 8


def test_dust_on_the_bed_beside_straight_print_is_no_damage():
    for number in range(8):
        page = drawn(f"dust {number}", written).picture
        for x in (3, 9, page.width - 6):
            page.paste((230, 230, 230), (x, 480, x + 5, 483))
        with Image.open(io.BytesIO(jpeg(page))) as picture:
            assert broken_at(picture.convert("RGB")) is None


def test_drawn_damage_differs_from_the_file():
    data = jpeg(drawn("damage").picture)
    assert all(broken_jpeg(data, random.Random(n)) != data for n in range(8))


def kinds(picture: Image.Image, dpi: float | None = 300) -> set[FaultKind]:
    return {fault.kind for fault in scan_faults(picture, dpi, jpeg=True).faults}


@pytest.mark.parametrize("make", [bordered, full_bleed, written])
@pytest.mark.parametrize("bed", ["black", "grey"])
def test_a_good_scan_has_no_faults(make, bed):
    assert kinds(drawn("good one", make, bed=bed).picture) == set()


def test_a_picture_of_two_flat_halves_is_no_padding_all_over() -> None:
    halves = Image.new("RGB", (150, 80), "#a02020")
    halves.paste("#f0f0f0", (0, 40, 150, 80))
    assert kinds(halves) == set()


def test_a_blank_side_and_a_nearly_blank_one_and_an_empty_bed():
    assert kinds(drawn("blank", blank).picture) == {FaultKind.BLANK}
    assert kinds(drawn("plain", plain_back).picture) == {FaultKind.NEARLY_BLANK}
    rng = random.Random(2)
    assert kinds(scan([], [], Scanner.any(rng, "black"), rng).picture) == {FaultKind.EMPTY_BED}


def judged(picture: Image.Image) -> tuple[str, str] | None:
    """What is said of a single scan's size."""
    look = scan_faults(picture, 300, jpeg=False)
    card = (0.0, 0.0)
    if isinstance(look.edges, Edges) and look.edges.contrast:
        card = (look.edges.width, look.edges.height)
    known = Measured(
        "whole",
        print=NO_PRINT,
        dpi=look.dpi or 0.0,
        size=picture.size,
        card=card,
        reached=look.extent.reached,
        shown=look.extent.size,
    )
    return size_faults({"scan": known}).get("scan")


def test_a_card_cut_by_the_edge_and_one_without_a_margin():
    page = drawn("cut", full_bleed)
    (left, upper), _, (right, lower), _ = page.corners[0]
    cut = page.picture.crop((round(left) + 90, 0, *page.picture.size))
    assert judged(cut) == ("cut", "left")
    close = page.picture.crop((round(left) - 14, round(upper) - 14, *page.picture.size))
    rng = random.Random("close")
    near = fed(full_bleed(rng, "held").picture, rng, skew=0.0)
    (left, upper), _, (right, lower), _ = near.corners[0]
    tight = near.picture.crop((0, 0, near.picture.width, round(lower) + 3))
    assert judged(close) in (None, ("no margin", "upper"), ("no margin", "left, upper"))
    assert judged(tight) == ("no margin", "lower")
    assert right > left


@pytest.mark.parametrize("said", [100, 300, None])
def test_too_few_dots_are_seen_whatever_the_file_says(said):
    look = scan_faults(drawn("few", dpi=100).picture, said, jpeg=True)
    assert [fault.kind for fault in look.faults] == [FaultKind.FEW_DOTS]
    assert isinstance(look.edges, Edges)
    assert look.dpi == pytest.approx(100, rel=0.02)


def test_an_odd_size_is_named_in_millimetres():
    """Larger than the lot's cards: two went through together, or the feeder stretched the scan."""
    page = drawn("odd", full_bleed).picture
    long = page.resize((page.width, page.height * 11 // 10), Image.Resampling.BICUBIC)
    said = judged(long)
    assert said is not None
    assert said[0] == "odd size"
    assert said[1].endswith("mm")
