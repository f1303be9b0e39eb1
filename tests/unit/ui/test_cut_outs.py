"""Print cut out of a scan is shown so that it can be read."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from PIL import Image, ImageDraw

from tagger.core.audit.poses import Poses
from tagger.core.model.arrangement import Card, Fixes
from tagger.core.reading.printed import Box, Spot
from tagger.imaging.scan.print_cut import cut_to_print
from tagger.imaging.scan.scans import ScanReader
from tagger.preview.grey import inked
from tagger.preview.terminal_capabilities import Depth
from tagger.services.scans.sources import FolderSource
from tagger.store.caches.disk_cache import DiskCache
from tagger.ui.desk.modes.proof_lines import lay_out
from tagger.ui.desk.pictures.cut_outs import CutOuts

BLACK, GREY, PAPER = 20, 150, 230


@pytest.mark.parametrize("turn", [90, 270])
def test_a_name_that_runs_up_or_down_is_turned(tmp_path, turn):
    """A strip up the side of a card, which begins black and goes on grey."""
    begins, ends = (BLACK, GREY) if turn == 270 else (GREY, BLACK)
    picture = Image.new("L", (300, 420), 255)
    pen = ImageDraw.Draw(picture)
    pen.rectangle((20, 100, 50, 249), begins)
    pen.rectangle((20, 250, 50, 400), ends)
    picture.save(tmp_path / "a.png")
    spot = Spot("front", Box(20 / 300, 100 / 420, 50 / 300, 400 / 420), turn)
    session = SimpleNamespace(view=SimpleNamespace(arrangement=SimpleNamespace(mending=Fixes())))
    line = SimpleNamespace(
        card=Card(1, "a.png", "b.png"), number_at=spot, name_at=spot, tags=SimpleNamespace(set="")
    )
    keys = []
    CutOuts(session, Poses(False), SimpleNamespace(want=keys.extend)).want(
        [line], ((9, 6), (40, 6))
    )
    reader = ScanReader(tmp_path, DiskCache(tmp_path / "kept"))
    seen = FolderSource(reader).load(*keys[1], (2, 2)).convert("L")
    first, last = (seen.getpixel((int(seen.width * at), seen.height // 2)) for at in (0.2, 0.8))
    # ink is shown light: what is black on the card, and begins the name, more than what is grey
    assert first > last + 60


def test_letters_are_as_large_as_there_is_room_without_what_lies_around_them():
    """Two bars of 20 x 60 in a ring, read as a place of 100 x 90 whose middle they take."""
    piece = Image.new("RGB", (122, 112), (PAPER,) * 3)
    pen = ImageDraw.Draw(piece)
    pen.ellipse((2, -14, 119, 126), outline=(BLACK,) * 3, width=4)
    for left in (36, 66):
        pen.rectangle((left, 26, left + 19, 85), fill=(BLACK,) * 3)
    seen = cut_to_print(piece, (40, 8), 0.5)
    assert seen.size == (40, 8)
    ink = [seen.getpixel((x, y)) > 127 for y in range(8) for x in range(40)]
    # as high as there is room, each bar a third as wide and a quarter more; in pixels half as wide
    # as high
    assert 2 * 8 * 6.7 - 16 <= sum(ink) <= 2 * 8 * 6.7 + 16
    assert not any(ink[y * 40 + x] for y in range(8) for x in range(26, 40))
    few = inked(seen.convert("RGB"), Depth.C16)
    assert {colour for _, (colour, *_) in few.getcolors()} <= {0, 127, 255}


def test_two_lines_of_a_name_stand_beside_each_other():
    piece = Image.new("RGB", (150, 112), (PAPER,) * 3)
    pen = ImageDraw.Draw(piece)
    pen.rectangle((60, 22, 89, 51), fill=(BLACK,) * 3)
    for left in (35, 85):
        pen.rectangle((left, 60, left + 29, 89), fill=(BLACK,) * 3)
    seen = cut_to_print(piece, (60, 8), 0.5)
    row = "".join(" x"[seen.getpixel((x, 4)) > 127] for x in range(60))
    assert [len(bar) for bar in row.split()] == pytest.approx([16] * 3, abs=6)


def test_what_cannot_be_told_from_its_ground_is_shown_as_it_was_read():
    flat = Image.new("RGB", (122, 112), (PAPER,) * 3)
    assert cut_to_print(flat, (40, 8), 0.5).size == (40, 8)
    noise = Image.effect_noise((122, 112), 90).convert("RGB")
    assert cut_to_print(noise, (40, 8), 0.5).getextrema()[1] > 127


@pytest.mark.parametrize(
    ("width", "height", "fine", "lines", "rows"),
    [(80, 19, 2, 4, 4), (80, 19, 3, 6, 3), (120, 35, 2, 8, 4), (120, 35, 3, 11, 3),
     (200, 55, 2, 11, 5), (80, 2, 2, 1, 4)],
)  # fmt: skip
def test_a_page_has_as_many_lines_as_fit_whose_letters_have_seven_pixels(
    width, height, fine, lines, rows
):
    layout = lay_out(width, height, fine)
    assert (layout.lines, layout.rows) == (lines, rows)
    assert layout.boxes[0][1] * fine // 2 >= 7
    assert 3 + layout.number + layout.name + layout.words == width
