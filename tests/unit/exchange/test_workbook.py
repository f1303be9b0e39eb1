"""A workbook that a person works in, read by openpyxl and by calamine, which did not write it."""

from __future__ import annotations

import errno
import gc
import io
import os
import sys
import tempfile
import zipfile
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
import python_calamine
from hypothesis import given
from hypothesis import strategies as st
from support.small_card import card
from support.tabled import as_bytes, lot_folder, lot_of, tags_of
from xlsxwriter.exceptions import FileCreateError
from xlsxwriter.workbook import Workbook
from xlsxwriter.worksheet import Worksheet

from tagger.cli import main
from tagger.core.lot.fields import further_columns
from tagger.core.model.tags import Tags
from tagger.exchange.price_cells import price_number, price_of_number, same_price
from tagger.exchange.rows import RowCount, inventory
from tagger.exchange.set_counts import SetCounts
from tagger.exchange.table_reader import read_table

PRICES = ("$1.50", "$0.10", "$0.20", "ask me", "€2,00", "$1,234.5", "")


def tags(at: int, price: str) -> Tags:
    return Tags(
        set=f"Set {at % 2}", number=f"00{at}", subject="Ada Marsh", serial="12/99", price=price
    )


@pytest.fixture(scope="module")
def data() -> bytes:
    lot = lot_of(*(tags(at, price) for at, price in enumerate(PRICES)))
    return as_bytes(inventory(lot, RowCount(sets=SetCounts())), ".xlsx")


def test_text_stays_text_and_prices_sum(data: bytes) -> None:
    sheet = openpyxl.load_workbook(io.BytesIO(data))["cards"]
    heads = [cell.value for cell in sheet[1]]
    of = {name: [row[heads.index(name)] for row in sheet.iter_rows(min_row=2)] for name in heads}
    assert [cell.value for cell in of["number"]] == [f"00{at}" for at in range(7)]
    for name in ("number", "serial", "front"):
        assert {(cell.data_type, cell.number_format) for cell in of[name]} == {("s", "@")}
    assert {(cell.data_type, cell.number_format) for cell in of["position"]} == {("n", "0")}
    assert [cell.value for cell in of["price"]] == [1.5, 0.1, 0.2, "ask me", 2, 1234.5, None]
    assert of["price"][0].number_format == '"$"0.00'
    numbers = [cell.value for cell in of["price"] if cell.data_type == "n" and cell.value]
    assert sum(numbers) == pytest.approx(1238.3)


def test_its_head_stays_and_filters_and_columns_are_as_wide_as_their_text(data: bytes) -> None:
    sheet = openpyxl.load_workbook(io.BytesIO(data))["cards"]
    assert sheet.freeze_panes == "A2"
    assert sheet.auto_filter.ref == f"A1:O{len(PRICES) + 1}"
    assert all(cell.font.bold for cell in sheet[1])
    heads = [cell.value for cell in sheet[1]]
    wide = sheet.column_dimensions["ABCDEFGHIJKLMNO"[heads.index("subject")]].width
    assert len("Ada Marsh") <= wide <= 2 * len("Ada Marsh")


def test_the_second_sheet_has_the_counts(data: bytes) -> None:
    book = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(data))
    assert book.sheet_names == ["cards", "counts"]
    rows = book.get_sheet_by_name("counts").to_python()
    assert rows == [
        ["set", "cards", "tagged", "set aside", "untagged", "sum of prices $", "sum of prices EUR"],
        ["Set 0", 4, 4, 0, 0, 1.7, 2],
        ["Set 1", 3, 3, 0, 0, 1234.6, ""],
        ["all", 7, 7, 0, 0, 1236.3, 2],
    ]


def test_a_workbook_comes_back_without_a_difference(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, target = lot_folder(tmp_path), tmp_path / "box.xlsx"
    assert main(["export", str(folder), "--to", str(target)]) == 0
    capsys.readouterr()
    assert main(["import", str(folder), str(target)]) == 0
    said = capsys.readouterr()
    assert (said.out, said.err) == ("", "The file matches box 12; there is nothing to import.\n")
    book = openpyxl.load_workbook(target)
    sheet = book["cards"]
    heads = [cell.value for cell in sheet[1]]
    at = heads.index("Price") + 1
    sheet.cell(2, at).value, sheet.cell(2, at).number_format = 2.25, '"$"0.00'
    sheet.cell(4, at).value = None
    book.save(target)
    assert main(["import", str(folder), str(target), "--yes"]) == 0
    assert tags_of(folder, 1).price == "$2.25"
    # What was emptied and given again is the last column of that card, and not of the table.
    again = tmp_path / "again.xlsx"
    assert main(["export", str(folder), "--to", str(again)]) == 0
    assert list(read_table(again.read_bytes(), ".xlsx", "again").headings) == heads


def test_further_columns_keep_their_order_where_a_card_has_them_in_another() -> None:
    usual, moved = (("Price", "1"), ("Rarity", "c")), (("Rarity", "c"), ("Price", "2"))
    cards = [Tags(number="1", extra=extra) for extra in (moved, usual[1:], usual, usual)]
    assert further_columns(lot_of(*cards)) == ("Price", "Rarity")


@given(
    st.decimals(0, 10**11, places=2),
    st.sampled_from(("$", "C$", "USD ", "", "€")),
    st.sampled_from((" EUR", "€", "")),
)
def test_a_price_comes_back_from_its_number_and_format(
    amount: Decimal, before: str, behind: str
) -> None:
    text = f"{before}{amount}{'' if before else behind}"
    number, shows = price_number(text)
    read = price_of_number(number, shows)
    if before or behind:
        assert read == text
    assert Decimal(repr(number)) == amount
    assert same_price(read or str(number), text)


def test_what_more_digits_than_a_spreadsheet_has_stays_text() -> None:
    assert price_number("123456789012.1234") is None
    assert price_number("1-2") is None
    assert price_of_number(7, "0") is None


@pytest.mark.parametrize("full", ["while a row is written", "when it is packed"])
def test_a_full_disk_leaves_the_old_workbook_and_its_base(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, full: str
) -> None:
    folder, target = lot_folder(tmp_path), tmp_path / "box.xlsx"
    words = ["export", str(folder), "--to", str(target)]
    assert main(words) == 0
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir() if path.is_file()}
    no_space = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def fail(*given: object) -> None:
        raise no_space if "row" in full else FileCreateError(no_space)

    where, name = (Worksheet, "_write_string") if "row" in full else (Workbook, "_store_workbook")
    monkeypatch.setattr(where, name, fail)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "box 12"))
    capsys.readouterr()
    assert main(words) == 3
    assert capsys.readouterr().err.splitlines() == [
        f"tagger: {target} cannot be written: No space left on device."
    ]
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir() if path.is_file()} == before
    assert not [
        path for path in folder.iterdir() if not path.name.startswith(("scan", "lot", ".lot"))
    ]


def test_one_that_is_stopped_while_it_is_packed_leaves_nothing_that_complains(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    complaints: list[object] = []

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(sys, "unraisablehook", complaints.append)
    monkeypatch.setattr(zipfile.ZipFile, "write", stop)
    with pytest.raises(KeyboardInterrupt):
        as_bytes(inventory(lot_of(tags(1, ""))), ".xlsx")
    gc.collect()
    assert not complaints


def test_pictures_are_shown_small_and_linked_and_the_table_is_imported_all_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = lot_folder(tmp_path)
    card().save(folder / "scan_1.jpg", dpi=(30, 30))
    book, words = tmp_path / "b.xlsx", ["export", str(folder), "--thumbnails", "--to"]
    assert main([*words, str(tmp_path / "a.csv")]) == 2
    assert "--thumbnails goes with --to FILE.xlsx." in capsys.readouterr().err
    # the other scans are no pictures, and one is another than was tagged
    assert main([*words, str(book), "--images", str(tmp_path / "p q")]) == 1
    assert "more pictures could not be made" in capsys.readouterr().err
    sheet = openpyxl.load_workbook(book)["cards"]
    heads = [cell.value for cell in sheet[1]]
    assert heads[-3:] == ["front picture", "back picture", "picture"]
    cell = sheet.cell(2, heads.index("front picture") + 1)
    assert (cell.value, cell.hyperlink.target) == ("0001-front.jpg", "p%20q\\0001-front.jpg")
    (picture,) = sheet._images
    assert (picture.anchor._from.row, picture.anchor._from.col) == (1, len(heads) - 1)
    assert sheet.row_dimensions[2].height == 60
    # it stays in its row, whatever dots per inch its scan has
    assert (picture.anchor.to.row, picture.anchor.to.col) == (1, len(heads) - 1)
    capsys.readouterr()
    assert main(["import", str(folder), str(book)]) == 0
    assert capsys.readouterr().err == "The file matches box 12; there is nothing to import.\n"


def test_columns_that_were_put_in_another_order_are_imported_and_keep_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The table is read by its headings, and the edited file itself is never written."""
    folder = lot_folder(tmp_path)
    path = tmp_path / "b.xlsx"
    assert main(["export", str(folder), "--to", str(path)]) == 0
    book = openpyxl.load_workbook(path)
    sheet = book["cards"]
    rows = [[cell.value for cell in row][::-1] for row in sheet.iter_rows()]
    rows[1][rows[0].index("note")] = "turned"
    for row, cells in zip(sheet.iter_rows(), rows, strict=True):
        for cell, value in zip(row, cells, strict=True):
            cell.value = value
            if isinstance(value, str):
                cell.data_type = "s"  # openpyxl makes a formula of what begins like one
    book.save(path)
    before = path.read_bytes()
    assert main(["import", str(folder), str(path), "--yes"]) == 0
    assert capsys.readouterr().out == 'card 1: note "" → "turned"\n'
    assert path.read_bytes() == before
    assert tags_of(folder, 1).note == "turned"
