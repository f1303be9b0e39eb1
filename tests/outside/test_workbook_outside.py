"""A workbook opened by LibreOffice: what is a number and what a text, sums, filter and links."""

from __future__ import annotations

import shutil
import xml.etree.ElementTree as ElementTree
from collections.abc import Iterator
from pathlib import Path

import openpyxl
import pytest
from outside.conftest import Files, shop_cards
from support.outside import library, program, said

from tagger.cli import main

pytestmark = pytest.mark.nightly
TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
LINK = "{http://www.w3.org/1999/xlink}href"
FLAT = ("--convert-to", "fods", "--outdir")  # OpenDocument as one XML file (ISO/IEC 26300)
SUM = 21.80  # of all prices, 17.80 without that of the last card
Cell = tuple[str, str]
"""(what LibreOffice takes it for, its value)."""


def cells(row: ElementTree.Element) -> Iterator[Cell]:
    for cell in row.iter(f"{TABLE}table-cell"):
        kind = cell.get(f"{OFFICE}value-type", "")
        said = ("".join(line.itertext()).strip() for line in cell.findall(f"{TEXT}p"))
        value = cell.get(f"{OFFICE}value") or "\n".join(said)
        yield from [(kind, value)] * min(int(cell.get(f"{TABLE}number-columns-repeated", 1)), 30)


@pytest.fixture(scope="module")
def opened(files: Files, tmp_path_factory: pytest.TempPathFactory) -> ElementTree.Element:
    """The workbook as LibreOffice has it, with a sum of its prices below them."""
    office = program("soffice", "libreoffice-calc")
    folder = tmp_path_factory.mktemp("office")
    book = openpyxl.load_workbook(files.folder / "b.xlsx")
    sheet = book["cards"]
    price = next(cell for cell in sheet[1] if cell.value == "price")
    last = f"{price.column_letter}{sheet.max_row}"
    sheet[f"{price.column_letter}{sheet.max_row + 2}"] = f"=SUM({price.column_letter}2:{last})"
    book.save(folder / "summed.xlsx")
    shutil.copy(files.folder / "b.xlsx", folder / "as it is.xlsx")
    own = f"-env:UserInstallation={(folder / 'user').as_uri()}"
    for name in ("summed", "as it is"):
        said([office, own, "--headless", *FLAT, folder, folder / f"{name}.xlsx"])
    tree = ElementTree.parse(folder / "as it is.fods").getroot()
    tree.set("sum", list(cells(_rows(folder)[-1]))[price.column - 1][1])
    return tree


def _rows(folder: Path) -> list[ElementTree.Element]:
    root = ElementTree.parse(folder / "summed.fods").getroot()
    rows = next(root.iter(f"{TABLE}table")).iter(f"{TABLE}table-row")
    return [row for row in rows if any(value for _, value in cells(row))]


def test_texts_stay_texts_prices_sum_and_links_lead_to_the_pictures(
    opened: ElementTree.Element, files: Files
) -> None:
    sheet = next(opened.iter(f"{TABLE}table"))
    rows = [list(cells(row)) for row in sheet.iter(f"{TABLE}table-row")]
    heads = [value for _, value in rows[0]]
    records = [dict(zip(heads, row, strict=False)) for row in rows[1 : len(shop_cards()) + 1]]
    for record, tags in zip(records, shop_cards(), strict=True):
        assert record["number"] == ("string", tags.number)
        assert record["subject"] == ("string", tags.subject)
        assert record["serial"][1] == tags.serial
        assert record["serial"][0] in ("", "string")  # 12/99 is no date
        assert record["price"][0] in ("float", "currency")
    assert [record["position"] for record in records][:2] == [("float", "1"), ("float", "2")]
    assert float(opened.get("sum", "")) == pytest.approx(SUM)
    filtered = [one.get(f"{TABLE}display-filter-buttons") for one in opened.iter()]
    assert "true" in filtered
    targets = {str(one.get(LINK)) for one in opened.iter() if ".jpg" in str(one.get(LINK))}
    wanted = {f"./p%20q/{path.name}" for path in (files.folder / "p q").glob("*.jpg")}
    assert targets == wanted
    assert [table.get(f"{TABLE}name") for table in opened.iter(f"{TABLE}table")] == [
        "cards",
        "counts",
    ]


def test_pandas_reads_workbook_and_four_dialects_alike(files: Files) -> None:
    pandas = library("pandas")
    book = pandas.read_excel(
        files.folder / "b.xlsx", engine="calamine", dtype={"number": str, "serial": str}
    )
    assert list(book["number"]) == [tags.number for tags in shop_cards()]
    assert book["price"].sum() == pytest.approx(SUM)
    for form, (sign, decimal, encoding) in {
        ",": (",", ".", "utf-8"),
        ";,": (";", ",", "utf-8"),
        "tab": ("\t", ".", "utf-8"),
        ";, utf-16 quoted": (";", ",", "utf-16"),
    }.items():
        table = files.folder / "dialect.csv"
        words = ["export", str(files.lot), "--to", str(table), "--csv", form, "--no-guard"]
        assert main([*words, "--force", "--quiet", "--only=-1e5"]) in (0, 1)
        read = pandas.read_csv(
            table, sep=sign, decimal=decimal, encoding=encoding, dtype={"number": str}
        )
        assert list(read["subject"]) == [tags.subject for tags in shop_cards()[:-1]]
        assert list(read["number"]) == [tags.number for tags in shop_cards()[:-1]]
        assert read["price"].sum() == pytest.approx(SUM - 4)
