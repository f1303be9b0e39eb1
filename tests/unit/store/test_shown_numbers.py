"""Numbers of a workbook as their formats show them (format codes: ECMA-376 part 1, 18.8.31)."""

from __future__ import annotations

import io

import openpyxl
import pytest

from tagger.store.shown_numbers import format_of
from tagger.store.workbooks import read_sheets


@pytest.mark.parametrize(
    ("code", "shown"),
    [
        ("000", "007"),
        ('"RC-"0', "RC-7"),
        ("\\N\\o\\. 00", "No. 07"),
        ("0000;[Red]-0000", "0007"),
        ('0"a"', "7a"),
    ],
)
def test_a_number_has_the_zeros_and_the_text_of_its_format(code, shown):
    found = format_of(code)
    assert found is not None
    assert found.shown("7") == shown


@pytest.mark.parametrize("code", ["General", "0", "0.00", "#,##0", "yyyy-mm-dd", "0" * 30_000, ""])
def test_other_formats_change_nothing(code):
    assert format_of(code) is None


def test_a_sheet_is_read_as_it_is_shown():
    book = openpyxl.Workbook()
    sheet = book.active
    for row in (["No.", "Player"], [7, "Ada Marsh"], [12, "Bo Lund"]):
        sheet.append(row)
    sheet["A2"].number_format = "000"
    data = io.BytesIO()
    book.save(data)
    (read,) = read_sheets(data.getvalue(), "list.xlsx")
    numbers = [line.partition("\t")[0] for line in read.text.splitlines()]
    assert numbers == ["No.", "007", "12"]
