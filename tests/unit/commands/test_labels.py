"""Labels and dividers as PDF: the text read back by pypdf, the bars by a library that did not make
them."""

from __future__ import annotations

import sys
from pathlib import Path

import pypdf
import pytest
import zxingcpp
from support.pdf_drawn import drawn

from tagger.cli import main
from tagger.config import Settings
from tagger.core.lot.running import stock_number
from tagger.core.model.tags import Mark, Marking, State, Tags
from tagger.exchange.shown.label_grids import GRIDS
from tagger.exchange.shown.sheet_geometry import PAPERS
from tagger.services.guide.help_pages import page_text
from tagger.services.opening import change
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.paths import lot_place

HARBOR, POND = "1987 Harbor Light", "1985 Mill Pond"
CARDS = (
    Tags(HARBOR, "22", "Ivo Lund", condition="Near Mint", place="box 7, row 1", price="3.50 €"),
    Tags(HARBOR, "23", "Ada\x1b[31m Marsh", parallel="Gold", serial="12/99", place="box 7, row 2"),
    Tags(POND, "5", "Åsa Reed", place="box 12", extra=(("price", "$2"),)),
    Tags(POND, "6", "Bo Reed", place="box 12"),
)


@pytest.fixture
def numbers(tmp_path: Path) -> list[str]:
    """The stock numbers of a lot of four cards; the last one is sold."""
    folder = tmp_path / "spring"
    folder.mkdir()
    for scan in range(1, 2 * len(CARDS) + 1):
        (folder / f"scan_{scan:04d}.jpg").touch()
    with change(lot_place(folder, None), Settings()) as session:
        marks = [Mark(State.TAGGED, tags) for tags in CARDS]
        marks[-1] = Mark(State.TAGGED, CARDS[-1], gone="sold")
        ids = [pair.id for pair in session.view.arrangement.pairs]
        session.enter(
            "tagged", [Marking(id, Mark(), mark) for id, mark in zip(ids, marks, strict=True)]
        )
    lot = read_lot(folder)
    return [stock_number(lot.part, lot.mark(id)) for id in ids]


def labels(folder: Path, *words: str, status: int = 0) -> pypdf.PdfReader | None:
    target = folder / "made.pdf"
    target.unlink(missing_ok=True)
    assert main(["labels", *words, "--to", str(target)]) == status
    return pypdf.PdfReader(target) if target.exists() else None


def lines(read: pypdf.PdfReader | None) -> list[str]:
    """What stands on the pages, a text after the other."""
    assert read is not None
    found: list[str] = []
    for page in read.pages:
        page.extract_text(visitor_text=lambda text, *_: found.append(text.strip()))
    return list(filter(None, found))


def test_a_card_has_its_number_as_text_and_as_bars_that_find_reads(
    numbers: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for paper, grids in GRIDS.items():
        for grid in (grids[0], grids[-1]):  # the largest labels, and the smallest
            read = labels(tmp_path, "--paper", paper, "--grid", grid.name, "--price")
            assert read is not None
            codes = zxingcpp.read_barcodes(drawn(read.pages[0]))
            scanned = {code.text for code in codes}
            assert scanned == {number.replace("-", "") for number in numbers[:3]}, grid
            assert {code.format for code in codes} == {zxingcpp.BarcodeFormat.Code128}
            assert set(numbers[:3]) < set(lines(read))
    said = lines(labels(tmp_path, "--price"))
    # by place: box 7 before box 12; in their own letters, escapes as text; the sold card has none
    assert said == [
        numbers[0], "3.50 EUR", "#22 Ivo Lund", "base, Near Mint", HARBOR,
        numbers[1], "#23 Ada\\x1b[31m Marsh", "Gold 12/99", HARBOR,
        numbers[2], "$2.00", "#5 Åsa Reed", "base", POND,
    ]  # fmt: skip
    assert "3.50 EUR" not in lines(labels(tmp_path, "ivo"))
    capsys.readouterr()
    assert main(["find", numbers[1].replace("-", "")]) == 0
    assert "Marsh" in capsys.readouterr().out


def test_boxes_rows_and_dividers_say_what_is_there(
    numbers: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    read = labels(tmp_path, "--boxes")
    assert read is not None
    codes = sorted(code.text for code in zxingcpp.read_barcodes(drawn(read.pages[0])))
    assert codes == ["at=box 12", "at=box 7", "at=box 7, row 1", "at=box 7, row 2"]
    # what a hand scanner types is found
    capsys.readouterr()
    assert main(["find", codes[2]]) == 0
    assert capsys.readouterr().out.count("box 7, row 1") == 1
    assert lines(read) == [
        "box 7", "2 cards", HARBOR,
        "box 7, row 1", "1 card", HARBOR,
        "box 7, row 2", "1 card", HARBOR,
        "box 12", "1 card", POND,
    ]  # fmt: skip
    assert lines(labels(tmp_path, "--dividers", "box", "7", "--paper", "letter")) == [
        *HARBOR.split(), "box 7, row 1", "1 card", *HARBOR.split(), "box 7, row 2", "1 card",
    ]  # fmt: skip
    # a page that was begun: two labels on the first, one on the second
    read = labels(tmp_path, "--skip", "22")
    assert read is not None
    assert [page.extract_text().count("#") for page in read.pages] == [2, 1]


def test_what_cannot_be_printed_is_said(
    numbers: list[str],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for words, status, told in (
        (("--grid", "9x9"), 2, "Unknown grid '9x9' on a4. Choose one of 2x4, "),
        (("--grid", "3x8:80x37"), 2, "is 240 x 296 mm, larger than a page of a4 (210 x 297 mm)"),
        (("--grid", "3x8:5x37"), 2, "a label needs at least 10 mm each way"),
        (("--skip", "24"), 2, "--skip takes a whole number from 0 to 23 for this grid."),
        (("--boxes", "--price"), 2, "--price goes with the labels of cards."),
        (("nobody",), 1, "There is nothing to label."),
    ):
        assert labels(tmp_path, *words, status=status) is None
        assert told in capsys.readouterr().err
    monkeypatch.setitem(sys.modules, "fpdf", None)
    assert labels(tmp_path, status=3) is None
    assert "Labels need the extra pdf, which is not installed" in capsys.readouterr().err


def test_the_grids_fit_their_pages_and_stand_on_the_help_page() -> None:
    shown = page_text("export")
    for paper, grids in GRIDS.items():
        for grid in grids:
            assert all(a <= b for a, b in zip(grid.span(), PAPERS[paper], strict=True))
            assert f"| {grid.name} | {grid.wide:g} x {grid.high:g} |" in shown
