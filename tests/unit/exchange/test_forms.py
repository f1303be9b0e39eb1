"""The forms of a table: JSON Lines, spreadsheets, rows written as they come; hostile cells stay
what they are."""

from __future__ import annotations

import csv
import io
import itertools
import json
import os
import signal
import subprocess
import sys
import tomllib
import zipfile
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.tabled import as_bytes, lot_folder

from tagger.cli import main
from tagger.core.lot.cells import FORMULA, guarded, plain, unguarded
from tagger.errors import LotError
from tagger.exchange.table import Table
from tagger.exchange.table_writer import FORMS

HOSTILE = (
    "=1+1", "@SUM(A1)", "+1", "-1", '=HYPERLINK("http://x.invalid","y")', "#N/A", "TRUE", "1e5",
    "007", "12/99",
    "_x0041_", "'=1", "<b>&amp;]]>", 'a"b', "a,b;c\td", "  two  ",
    "http://x.invalid", "=", "'", "\u202eabc", "😀é",
)  # fmt: skip
COLUMNS = ("position", "=a", "b")


def hostile_table() -> Table:
    return Table(COLUMNS, tuple((at, plain(cell), "") for at, cell in enumerate(HOSTILE, start=1)))


@pytest.mark.parametrize("ending", FORMS)
def test_hostile_cells_come_back_as_they_were(ending):
    """Read by other programs' readers: Python's csv and json, openpyxl."""
    data = as_bytes(hostile_table(), ending)
    found = {
        ".csv": from_csv,
        ".json": from_json,
        ".jsonl": from_json_lines,
        ".xlsx": from_workbook,
    }[ending](data)
    assert [cells[1] for cells in found] == [plain(cell) for cell in HOSTILE]
    assert [cells[0] for cells in found] == list(range(1, len(HOSTILE) + 1))


def from_csv(data: bytes) -> list[list[int | str]]:
    header, *rows = csv.reader(io.StringIO(data.decode("utf-8"), newline=""), strict=True)
    assert header == ["position", "'=a", "b"]
    assert not any(cell.startswith(FORMULA) for row in rows for cell in row)
    return [[int(row[0]), unguarded(row[1]), row[2]] for row in rows]


def from_json(data: bytes) -> list[list[int | str]]:
    document = json.loads(data)
    assert (document["lot"], document["columns"]) == ("lot", list(COLUMNS))
    return [list(card.values()) for card in document["cards"]]


def from_json_lines(data: bytes) -> list[list[int | str]]:
    assert data.endswith(b"\n")
    return [list(json.loads(line).values()) for line in data.decode("utf-8").split("\n")[:-1]]


def from_workbook(data: bytes) -> list[list[int | str]]:
    sheet = openpyxl.load_workbook(io.BytesIO(data)).active
    header, *rows = sheet.iter_rows()
    assert [cell.value for cell in header] == list(COLUMNS)
    assert {cell.data_type for row in rows for cell in row[1:2]} == {"s"}
    # what is typed later stays text too: an empty cell has the format of its column
    assert {cell.number_format for row in rows for cell in row[1:2]} == {"@"}
    assert [sheet.column_dimensions[name].number_format for name in "ABC"] == ["0", "@", "@"]
    # openpyxl does not undo the escapes of ECMA-376 part 1, 22.9.2.19, which keep `_x0041_` from
    # being read as A
    return [
        [row[0].value, row[1].value.replace("_x005F_", "_"), row[2].value or ""] for row in rows
    ]


def test_a_workbook_holds_no_formula_and_no_link():
    """ECMA-376 part 1, 18.3.1.40: a formula is an element f. Looked for without any spreadsheet
    library."""
    with zipfile.ZipFile(io.BytesIO(as_bytes(hostile_table(), ".xlsx"))) as packed:
        sheet = next(name for name in packed.namelist() if name.startswith("xl/worksheets/"))
        content = packed.read(sheet).decode("utf-8")
        tags = {
            element.tag.rpartition("}")[2] for element in ElementTree.fromstring(content).iter()
        }
    assert "t" in tags
    assert ">_x005F_x0041_<" in content  # part 1, 22.9.2.19: without it spreadsheets read A
    assert not tags & {"f", "hyperlink"}


@given(st.text(max_size=12))
def test_a_guarded_text_comes_back_and_starts_no_formula(text):
    assert unguarded(guarded(text)) == text
    assert not guarded(text).startswith(FORMULA)


@given(st.sampled_from(FORMULA), st.integers(0, 3), st.text(max_size=4))
def test_apostrophes_of_the_text_itself_are_kept(sign, count, rest):
    text = "'" * count + sign + rest
    assert guarded(text) == f"'{text}"
    assert unguarded(guarded(text)) == text


@pytest.mark.parametrize(
    ("document", "value"),
    [
        (b'"\\uD834\\uDD1E"', "\U0001d11e"),
        (b'{"Image": {"Width": 800, "Animated" : false, "IDs": [116, 943]}}', None),
    ],
)
def test_the_examples_of_rfc_8259(document, value):
    """Sections 7 and 13: what they say is what our JSON says of the same text, and each line of
    ours is a text by the grammar (Python's json, strict)."""
    read = json.loads(document)
    text = json.dumps(read) if value is None else value
    for ending in (".json", ".jsonl"):
        data = as_bytes(Table(("a",), ((text,),)), ending)
        line = json.loads(data)
        assert (line["cards"][0] if ending == ".json" else line) == {"a": text}
        assert not data.startswith(b"\xef\xbb\xbf")  # section 8.1: no byte order mark


@pytest.mark.parametrize("ending", FORMS)
def test_a_table_without_rows_is_a_table(ending):
    data = as_bytes(Table(("a", "b"), ()), ending)
    if ending == ".json":
        assert json.loads(data) == {
            "format": 1,
            "lot": "lot",
            "columns": ["a", "b"],
            "cards": [],
        }
    elif ending == ".jsonl":
        assert data == b""
    elif ending == ".csv":
        assert data == b"a,b\r\n"
    else:
        assert [
            [c.value for c in row] for row in openpyxl.load_workbook(io.BytesIO(data)).active
        ] == [["a", "b"]]


@pytest.mark.parametrize("ending", [".csv", ".json", ".jsonl"])
def test_rows_are_written_as_they_come(ending):
    """Before the last rows are made the first are written, so memory does not grow with the
    rows."""
    made = 0
    written: list[int] = []

    def rows() -> Iterator[tuple[int, str]]:
        nonlocal made
        for made in range(1, 5001):
            yield made, "x" * 20

    FORMS[ending](Table(("a", "b"), rows()), "lot", lambda data: written.append(made))
    assert written[0] <= 300
    assert max(later - sooner for sooner, later in itertools.pairwise(written)) <= 300
    assert written[-1] == 5000


def test_without_the_library_one_sentence_says_what_to_install(tmp_path, capsys, monkeypatch):
    monkeypatch.setitem(sys.modules, "xlsxwriter", None)
    folder = lot_folder(tmp_path)
    assert main(["export", str(folder), "--to", str(tmp_path / "out.xlsx")]) == 3
    said = capsys.readouterr().err
    assert "pipx install '.[xlsx]'" in said
    assert said.count("\n") == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == ["box 12", "harbor.csv"]


def test_a_text_that_no_spreadsheet_holds_is_refused():
    """ECMA-376 part 1, 18.3.1.4 and the limits that spreadsheets publish: 32,767 characters a
    cell."""
    as_bytes(Table(("a",), (("x" * 32_767,),)), ".xlsx")
    with pytest.raises(LotError, match="32,767"):
        as_bytes(Table(("a",), (("x" * 32_768,),)), ".xlsx")


def test_an_export_that_is_killed_leaves_no_half_file(tmp_path):
    """Killed while rows are written: the old file is whole, and the next export works."""
    folder = lot_folder(tmp_path)
    target = tmp_path / "out.csv"
    target.write_bytes(b"old and whole")
    code = (
        "import sys, time; from tagger import cli; from tagger.exchange import table_writer\n"
        "def slow(*given):\n    given[2](b'half'); print('half', flush=True); time.sleep(60)\n"
        "table_writer.FORMS['.csv'] = slow; cli.main(sys.argv[1:])"
    )
    command = [sys.executable, "-c", code, "export", str(folder), "--to", str(target), "--force"]
    for sign in (signal.SIGKILL, signal.SIGINT):
        with subprocess.Popen(command, stdout=subprocess.PIPE, env=dict(os.environ)) as run:
            assert run.stdout is not None
            assert run.stdout.readline() == b"half\n"
            run.send_signal(sign)
            run.wait(timeout=30)
        assert target.read_bytes() == b"old and whole"
    assert main(["export", str(folder), "--to", str(target), "--force"]) == 0
    assert target.read_bytes().startswith(b"position,")


def test_a_json_export_by_a_layout_says_what_a_row_is(tmp_path):
    folder = lot_folder(tmp_path)
    for name, entries in (("counts", "kinds"), ("listing", "cards")):
        target = tmp_path / f"{name}.json"
        assert main(["export", str(folder), "--to", str(target), "--layout", name]) == 0
        document = json.loads(target.read_bytes())
        assert list(document) == ["format", "lot", "columns", entries]
        assert [list(entry) for entry in document[entries]] == [document["columns"]] * 3


def test_what_lies_beside_the_code_is_packed_with_it():
    """Each file that is no Python is meant by the package data that pyproject.toml names."""
    top = Path(__file__).parents[3]
    patterns = tomllib.loads((top / "pyproject.toml").read_text())["tool"]["setuptools"][
        "package-data"
    ]
    packed = {
        path
        for package, globs in patterns.items()
        for pattern in globs
        for path in (top / package.replace(".", "/")).glob(pattern)
    }
    beside = {
        path
        for path in (top / "tagger").rglob("*")
        if path.is_file() and path.suffix not in (".py", ".pyc")
    }
    assert packed == beside
    assert top / "tagger" / "exchange" / "layout" / "layouts" / "listing.toml" in packed
