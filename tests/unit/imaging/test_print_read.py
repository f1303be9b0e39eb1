"""Print that is read for real: on one small card, one side of which lies the wrong way up."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont

from tagger.core.reading.printed import Box
from tagger.errors import ReadingError
from tagger.extras import installing
from tagger.imaging.reading import asked
from tagger.imaging.reading.asked import CardAsked, SideAsked, model_files
from tagger.imaging.reading.letters import read_line
from tagger.imaging.reading.lines import PrintBox, in_one, line_boxes

# without it these tests would pass and prove nothing: they say so instead
NEEDED = f"the tests of reading need the extra reading: {installing('reading')}"


def drawn_side(lines: list[tuple[int, int, int, str]]) -> Image.Image:
    """A card at 150 dots per inch on a dark bed, with lines of print: x, y, size, text."""
    side = Image.new("RGB", (375, 525), (238, 234, 222))
    pen = ImageDraw.Draw(side)
    for x, y, size, text in lines:
        pen.text((x, y), text, (20, 24, 40), ImageFont.load_default(size))
    scan = Image.new("RGB", (415, 565), (22, 23, 26))
    scan.paste(side, (20, 20))
    return scan


def test_both_sides_of_a_card_are_read_one_of_them_turned_over(tmp_path: Path) -> None:
    assert asked.is_installed(), NEEDED
    from tagger.imaging.reading.card_reader import read_card

    front = drawn_side([(60, 420, 34, "ADA MARSH"), (60, 470, 20, "Harbor Gulls of Low Ness")])
    up = drawn_side([(120, 20, 30, "Harbor Light")]).crop((120, 30, 380, 85))
    front.paste(up.transpose(Image.Transpose.ROTATE_90), (340, 60))
    front.save(tmp_path / "a.png", dpi=(150, 150))
    back = drawn_side(
        [(30, 30, 26, "RC-9"), (130, 30, 26, "Ada Marsh"), (30, 480, 16, "© 1987 Lantern Works")]
    )
    back.rotate(180).save(tmp_path / "b.png", dpi=(150, 150))
    wish = CardAsked(
        {"front": SideAsked("a.png"), "back": SideAsked("b.png"), "gone": SideAsked("c")}
    )
    reading = read_card(tmp_path, wish, model_files())
    said = {text.text.replace(" ", "").lower(): text for text in reading.texts}
    assert {"adamarsh", "rc-9", "©1987lanternworks"} <= set(said)
    # how its scan must be turned to be read there
    assert [said[text].turn for text in ("adamarsh", "rc-9", "harborlight")] == [0, 180, 90]
    assert reading.whole
    assert reading.upside_down == {"back"}
    # where it stands on the scan as it lies: the number at the lower right
    number = said["rc-9"]
    assert number.box.left > 0.7
    assert number.box.top > 0.8
    assert number.on_card.left > 0.7
    assert all(0 <= share <= 1 for _, share in number.others)


def test_what_goes_on_beside_a_part_is_not_read_there(tmp_path: Path) -> None:
    """A strip for the number has the ends of a table's lines in it, too."""
    from tagger.imaging.reading.card_reader import read_card

    drawn_side([(300, 30, 26, "117"), (60, 120, 26, "Harbor Gulls Low Ness")]).save(
        tmp_path / "b.png", dpi=(150, 150)
    )
    wish = CardAsked({"back": SideAsked("b.png")}, {"back": (Box(0.78, 0.0, 1.0, 0.4),)})
    assert [text.text for text in read_card(tmp_path, wish, model_files()).texts] == ["117"]


def test_lines_are_what_hangs_together_and_is_likely_enough() -> None:
    likely = np.zeros((96, 128), dtype=np.float32)
    likely[10:20, 8:60] = 0.9
    likely[14:16, 60:70] = 0.8  # hangs together with it
    likely[40:50, 30:33] = likely[50:60, 33:36] = 0.9  # by a corner
    likely[70:90, 5:60] = 0.4  # more a pattern than print
    likely[70:72, 80:120] = 0.9  # too thin
    one, other = line_boxes(likely)
    assert (one.left, one.right) == pytest.approx((8 - 6.9, 70 + 6.9), abs=0.1)
    assert other.left < 30 < 36 < other.right
    assert line_boxes(np.zeros((32, 32), dtype=np.float32)) == []


def test_pieces_of_a_line_that_runs_up_are_one_line() -> None:
    nine, six = PrintBox(683, 148, 729, 185, 0.9), PrintBox(683, 119, 728, 156, 0.8)
    assert in_one(six, nine) == PrintBox(683, 119, 729, 185, 0.8)
    below = PrintBox(683, 182, 729, 219, 0.9)  # as close as the lines of a table
    assert in_one(nine, below) is None
    assert in_one(PrintBox(400, 119, 700, 156, 0.8), PrintBox(400, 140, 700, 180, 0.8)) is None


def test_a_short_line_comes_with_its_next_likely_readings() -> None:
    alphabet = ("", "4", "1", "7")
    columns = np.asarray(
        [[0.1, 0.9, 0, 0], [0.9, 0.1, 0, 0], [0.02, 0.0, 0.68, 0.3], [1, 0, 0, 0]],
        dtype=np.float32,
    )
    line = read_line(columns, alphabet)
    assert line.text == "41"
    assert line.confidence == pytest.approx(0.62, abs=0.1)
    assert line.others[0][0] == "47"
    assert read_line(np.asarray([[1, 0, 0, 0]], dtype=np.float32), alphabet).text == ""


def test_what_is_missing_is_said_with_what_to_do(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(ReadingError, match=r"cyrillic.onnx is missing. Correct `model` under"):
        model_files(str(tmp_path / "cyrillic.onnx"))
    (tmp_path / "broken.onnx").write_bytes(b"no network")
    from tagger.imaging.reading.models import Networks

    with pytest.raises(ReadingError, match=r"broken.onnx cannot be used: it is damaged"):
        Networks(model_files(str(tmp_path / "broken.onnx")))
    monkeypatch.setattr(asked, "find_spec", lambda name: None)
    assert not asked.is_installed()
    with pytest.raises(ReadingError, match=re.escape(installing("reading"))):
        model_files()
