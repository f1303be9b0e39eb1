"""Lists in workbooks: their sheets are lists; what claims too much, or is no list, is refused in a
sentence."""

from __future__ import annotations

import io
import sys
import zipfile
from pathlib import Path

import openpyxl
import pytest

from tagger.cli import main
from tagger.errors import LotError
from tagger.services.lists.list_reading import notes_of
from tagger.store.read_lists import read_checklist

END = b"</sheetData>"
FAR = {
    "a row beyond all": b'<row r="99999999999"><c r="A99999999999"><v>1</v></c></row>',
    "the last cell of all": b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>',
    "other quotation marks": b"<row r = '1048576'><c r = 'XFD1048576'><v>1</v></c></row>",
    "written as characters": b'<row r="1048576"><c r="&#88;FD1048576"><v>1</v></c></row>',
}
_CELL = '<table:table-cell office:value-type="string"{}><text:p>x</text:p></table:table-cell>'
REPEATED = {
    "rows and cells": '<table:table-row table:number-rows-repeated="1048576">'
    + _CELL.format(' table:number-columns-repeated="16384"')
    + "</table:table-row>",
    "empty cells between": "<table:table-row>"
    + _CELL.format("")
    + '<table:table-cell table:number-columns-repeated="999999999"/>'
    + _CELL.format("")
    + "</table:table-row>",
}


def book(*sheets: tuple[str, list[list[object]]]) -> bytes:
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in sheets:
        page = made.create_sheet(name)
        for row in rows:
            page.append(row)
    file = io.BytesIO()
    made.save(file)
    return file.getvalue()


def changed(data: bytes, name: str, old: bytes, new: bytes) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as had, zipfile.ZipFile(file, "w") as packed:
        for part in had.namelist():
            content = had.read(part)
            packed.writestr(part, content.replace(old, new) if part == name else content)
    return file.getvalue()


def open_document(content: str) -> bytes:
    names = {"office": "office", "table": "table", "text": "text"}
    spaces = " ".join(
        f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"' for name in names
    )
    whole = (
        f"<office:document-content {spaces}><office:body><office:spreadsheet>"
        f'<table:table table:name="a">{content}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        packed.writestr("content.xml", whole)
    return file.getvalue()


CARDS = [["No", "Player"], [1, "Ada Marsh"]]


def test_each_sheet_is_a_list(tmp_path: Path) -> None:
    path = tmp_path / "1987 Harbor Light.xlsx"
    path.write_bytes(
        book(("Base", CARDS), ("Rookies", CARDS), ("1988 Mill Pond", CARDS), ("Empty", []))
    )
    rows = [(row.set, row.number, row.extra) for row in read_checklist(path).rows]
    assert rows == [
        ("1987 Harbor Light", "1", ()),
        ("1987 Harbor Light", "1", (("subset", "Rookies"),)),
        ("1988 Mill Pond", "1", ()),
    ]


def test_a_sheet_beside_those_of_several_sets_is_a_set_of_its_own(tmp_path: Path) -> None:
    """`Harbor Promos` is part of neither year; `Rookies` says nothing of its own, and is."""

    def page(title: str, prefix: str) -> list[list[object]]:
        cards = [[f"{prefix}{at}", f"Card {prefix}{at}"] for at in range(1, 4)]
        return [[title], [], ["No.", "Name"], *cards, ["Total", 3]]

    path = tmp_path / "harbor.xlsx"
    pages = (
        ("One", page("Harbor Cards (2019)", "H")),
        ("Two", page("Harbor Cards (2021)", "G")),
        ("More", page("Harbor Specials", "P-")),
        ("Rookies", page("Rookies", "R-")),
    )
    path.write_bytes(book(*pages))
    read = read_checklist(path)
    sets = {name: [row.number for row in rows] for name, rows in read.sets.items()}
    assert list(sets) == ["Harbor Cards (2019)", "Harbor Cards (2021)", "Harbor Specials"]
    assert sets["Harbor Specials"] == ["P-1", "P-2", "P-3", "R-1", "R-2", "R-3"]
    assert not any("the file's name" in one.problem for one in read.problems)
    assert notes_of(read, "harbor.xlsx")[0] == "sheet One, line 7: total 'Total 3', not a card"


@pytest.mark.parametrize("cells", FAR.values(), ids=FAR.keys())
def test_a_cell_far_away_is_refused(cells: bytes, tmp_path: Path) -> None:
    path = tmp_path / "far.xlsx"
    path.write_bytes(changed(book(("a", CARDS)), "xl/worksheets/sheet1.xml", END, cells + END))
    with pytest.raises(LotError, match="claims a sheet of"):
        read_checklist(path)


@pytest.mark.parametrize("content", REPEATED.values(), ids=REPEATED.keys())
def test_repeated_cells_are_refused(content: str, tmp_path: Path) -> None:
    path = tmp_path / "far.ods"
    path.write_bytes(open_document(content))
    with pytest.raises(LotError, match="claims a sheet of"):
        read_checklist(path)


def test_a_hundred_thousand_sheets_and_entities_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "many.xlsx"
    more = b"".join(b'<sheet name="s%d" sheetId="%d"/>' % (n, n) for n in range(2, 100_000))
    data, end = book(("a", CARDS)), b"</sheets>"
    path.write_bytes(changed(data, "xl/workbook.xml", end, more + end))
    with pytest.raises(LotError, match="more than 500 sheets"):
        read_checklist(path)
    twice = more[: more.index(b"/>") + 2]
    path.write_bytes(changed(data, "xl/workbook.xml", end, twice + end))
    with pytest.raises(LotError, match="lists 2 sheets, but has 1"):
        read_checklist(path)
    kind = b'<!DOCTYPE a [<!ENTITY b "c">]><worksheet'
    path.write_bytes(changed(book(("a", CARDS)), "xl/worksheets/sheet1.xml", b"<worksheet", kind))
    with pytest.raises(LotError, match="document type"):
        read_checklist(path)


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("a.pdf", b"%PDF-1.7 and more", "a PDF document, not a list"),
        ("a.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "an old spreadsheet"),
        ("a.csv", bytes(range(256)) * 9, "a binary file, not a list"),
        ("a.zip", b"PK\x03\x04" + bytes(100), "a packed file, not a list"),
    ],
)
def test_a_binary_file_is_refused_in_one_sentence(
    name: str, data: bytes, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    assert main(["checklist", str(path)]) == 3
    told = capsys.readouterr().err
    assert said in told
    assert told.count("\n") == 1


def test_without_the_extra_a_workbook_is_refused_by_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.xlsx"
    path.write_bytes(book(("a", CARDS)))
    monkeypatch.setitem(sys.modules, "python_calamine", None)
    with pytest.raises(LotError, match="needs the extra xlsx"):
        read_checklist(path)


def test_a_number_is_read_as_its_format_shows_it(tmp_path: Path) -> None:
    """ECMA-376 part 1, 18.8.31: `0` is a digit, text in quotation marks is itself."""
    made = openpyxl.Workbook()
    page = made.active
    for row in (["No.", "Player", "Price"], [7, "Ada Marsh", 2], [12, "Lee Gold", 3]):
        page.append(row)
    page["A2"].number_format, page["A3"].number_format = "000", '"RC-"000'
    page["C2"].number_format = "0.00"
    made.save(tmp_path / "1987 Harbor Light.xlsx")
    rows = read_checklist(tmp_path / "1987 Harbor Light.xlsx").rows
    assert [(row.number, dict(row.extra)["Price"]) for row in rows] == [
        ("007", "2"),
        ("RC-012", "3"),
    ]


def test_a_hidden_sheet_is_not_read(tmp_path: Path) -> None:
    rows = [["Set", "No.", "Player"], ["1987 Harbor Light", 1, "Ada Marsh"]]
    made = openpyxl.load_workbook(
        io.BytesIO(book(("List", rows), ("Old", [rows[0], ["X", 2, "No"]])))
    )
    made["Old"].sheet_state = "hidden"
    made.save(tmp_path / "list.xlsx")
    assert [row.number for row in read_checklist(tmp_path / "list.xlsx").rows] == ["1"]
