"""The inventory as a file: valid by RFC 4180 and by the published schema, harmless in a
spreadsheet, always whole."""

from __future__ import annotations

import csv
import errno
import io
import json
import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from tagger.cli import main
from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.session.session import Session
from tagger.exchange.table import Table
from tagger.exchange.table_writer import write_csv
from tagger.services.guide.json_schemas import schema_text
from tagger.store.files import SystemFiles
from tagger.store.lot.lot_file import LotFile

HEADER = [
    "position", "front", "back", "set", "number", "subject", "team", "parallel", "serial",
    "condition", "place", "note",
    "state", "stock number",
]  # fmt: skip
SCHEMA = json.loads(schema_text("export"))
LIST = """set,number,name,team,parallels,Rarity,note,position
1987 Harbor Light,23,Ada Marsh,Gulls,Gold /99,common,old,p
1987 Harbor Light,24,"=Bo ""Bear"" Lund",Foxes,,rare,,q
"""


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """Four cards: a gold one, one set aside with a note, one with a formula for a name, and an
    untagged one."""
    folder = tmp_path / "box 12"
    folder.mkdir()
    for number in range(1, 8):
        (folder / f"scan_{number}.jpg").write_bytes(b"x")
    (tmp_path / "harbor.csv").write_text(LIST, encoding="utf-8")
    session = Session(LotFile(folder, "box 12"))
    session.candidates.matcher = Matcher(Index(parse_checklist(LIST.encode(), "list.csv", "list")))
    session.take_in([f"scan_{number}.jpg" for number in range(1, 8)])
    session.take(session.candidates.of("23 g 12/99 nm at=box 3, row 2")[0])
    session.take(session.candidates.of("23 note=see back")[0])
    session.step(-1)
    session.set_aside("two names")
    session.take(session.candidates.of("24")[0])
    session.take_in(
        [f"scan_{number}.jpg" for number in range(1, 8)], [str(tmp_path / "harbor.csv")]
    )
    session.close()
    return folder


def exported(lot: Path, name: str) -> bytes:
    target = lot.parent / name
    assert main(["export", str(lot), "--to", str(target)]) == 0
    return target.read_bytes()


def to_csv(table: Table) -> bytes:
    parts: list[bytes] = []
    write_csv(table, "lot", parts.append)
    return b"".join(parts)


def records(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8"), newline=""), strict=True))


def test_a_row_a_card_in_feeding_order(lot):
    header, *rows = records(exported(lot, "out.csv"))
    assert header == [*HEADER, "Rarity", "checklist note", "checklist position"]
    assert rows == [
        ["1", "scan_1.jpg", "scan_2.jpg", "1987 Harbor Light", "23", "Ada Marsh", "Gulls",
         "Gold", "12/99",
         "Near Mint", "box 3, row 2", "", "tagged", "", "common", "old", "p"],
        ["2", "scan_3.jpg", "scan_4.jpg", "1987 Harbor Light", "23", "Ada Marsh", "Gulls", "", "",
         "", "", "two names; see back", "set aside", "", "common", "old", "p"],
        ["3", "scan_5.jpg", "scan_6.jpg", "1987 Harbor Light", "24",
         '\'=Bo "Bear" Lund', "Foxes", "", "",
         "", "", "", "tagged", "", "rare", "", "q"],
        ["4", "scan_7.jpg", *[""] * 10, "untagged", "", "", "", ""],
    ]  # fmt: skip


def test_every_line_ends_in_crlf_and_the_text_is_utf_8(lot):
    """RFC 4180, section 2, rule 1."""
    data = exported(lot, "out.csv")
    assert data.count(b"\r\n") == data.count(b"\n") == data.count(b"\r") == 5
    assert data.endswith(b"\r\n")
    assert not data.startswith(b"\xef\xbb\xbf")


@pytest.mark.parametrize(
    ("cells", "line"),
    [
        (("aaa", "bbb", "ccc"), b"aaa,bbb,ccc\r\n"),
        (("aaa", "b \r\nbb", "ccc"), b'aaa,"b \r\nbb",ccc\r\n'),
        (("aaa", 'b"bb', "ccc"), b'aaa,"b""bb",ccc\r\n'),
        (("zzz", "y,y", "x x"), b'zzz,"y,y",x x\r\n'),
    ],
)
def test_the_examples_of_rfc_4180_section_2(cells, line):
    """Quotation marks only where a rule asks for them."""
    assert to_csv(Table(("a", "b", "c"), (cells,))) == b"a,b,c\r\n" + line


@given(st.lists(st.tuples(st.text(max_size=12), st.text(max_size=12)), min_size=1, max_size=5))
def test_any_text_comes_back_as_it_was_or_with_an_apostrophe(rows):
    header, *found = records(to_csv(Table(("a", "b"), tuple(rows))))
    assert header == ["a", "b"]
    for cell, back in zip(
        (c for row in rows for c in row), (c for row in found for c in row), strict=True
    ):
        assert back in (cell, f"'{cell}")
        assert not back.startswith(("=", "+", "-", "@", "\t", "\r"))


@pytest.mark.parametrize(
    "sign", ["=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20"]
)
def test_no_cell_and_no_column_name_starts_a_formula(sign):
    """OWASP, "CSV Injection": =, +, -, @, tab, carriage return, line feed, and the full-width
    forms."""
    header, row = records(to_csv(Table((f"{sign}a", "b"), ((f"{sign}1+1", f"x{sign}"),))))
    assert header == [f"'{sign}a", "b"]
    assert row == [f"'{sign}1+1", f"x{sign}"]


def test_the_json_form_is_valid_by_the_published_schema(lot):
    Draft202012Validator.check_schema(SCHEMA)
    document = json.loads(exported(lot, "out.json"))
    assert list(Draft202012Validator(SCHEMA).iter_errors(document)) == []
    assert (document["lot"], document["columns"][:14]) == ("box 12", HEADER)
    first, second, third, last = document["cards"]
    assert (first["position"], first["serial"], first["Rarity"]) == (1, "12/99", "common")
    assert (second["state"], second["note"]) == ("set aside", "two names; see back")
    assert third["subject"] == '=Bo "Bear" Lund'
    assert (last["state"], last["back"]) == ("untagged", "")


def test_the_schema_refuses_what_is_no_inventory(lot):
    document = json.loads(exported(lot, "out.json"))
    validator = Draft202012Validator(SCHEMA)
    for spoil in (
        lambda d: d["cards"][0].pop("set"),
        lambda d: d["cards"][0].update(position=0),
        lambda d: d["cards"][0].update(state="lost"),
        lambda d: d["cards"][0].update(Rarity=3),
        lambda d: d.update(more=1),
    ):
        spoilt = json.loads(json.dumps(document))
        spoil(spoilt)
        assert not validator.is_valid(spoilt)


def test_both_forms_say_the_same(lot):
    header, *rows = records(exported(lot, "out.csv"))
    document = json.loads(exported(lot, "out.json"))
    assert document["columns"] == header
    as_text = [[str(value) for value in card.values()] for card in document["cards"]]
    assert as_text == [[cell.removeprefix("'") for cell in row] for row in rows]


def test_columns_of_a_checklist_never_hide_ours(tmp_path):
    content = (
        "number,name,Note,NOTE,checklist note,State,=x,price,Price\n7,Ada Marsh,1,2,3,4,5,6,7\n"
    )
    session = Session(LotFile(tmp_path, "lot"))
    session.candidates.matcher = Matcher(
        Index(parse_checklist(content.encode(), "list.csv", "list"))
    )
    session.take_in(["1.jpg", "2.jpg"])
    session.take(session.candidates.of("7")[0])
    session.close()
    (tmp_path / "1.jpg").write_bytes(b"x")
    (tmp_path / "2.jpg").write_bytes(b"x")
    (tmp_path / "out").mkdir()
    assert main(["export", str(tmp_path), "--to", str(tmp_path / "out" / "a.json")]) == 0
    document = json.loads((tmp_path / "out" / "a.json").read_bytes())
    further = document["columns"][14:]
    assert len({name.casefold() for name in document["columns"]}) == len(document["columns"]) == 21
    assert [document["cards"][0][name] for name in further] == ["1", "2", "3", "4", "5", "6", "7"]
    assert document["cards"][0]["note"] == ""


def test_names_that_are_no_utf_8_are_exported_as_escapes(tmp_path, lot):
    folder = tmp_path / "odd"
    folder.mkdir()
    for raw in (b"a\xff_1.jpg", b"a\xff_2.jpg"):
        (Path(os.fsdecode(os.fsencode(folder) + b"/" + raw))).write_bytes(b"x")
    assert main(["export", str(folder), "--to", str(tmp_path / "odd.csv")]) == 0
    assert main(["export", str(folder), "--to", str(tmp_path / "odd.json")]) == 0
    assert records((tmp_path / "odd.csv").read_bytes())[1][1:3] == ["a\\xff_1.jpg", "a\\xff_2.jpg"]
    assert Draft202012Validator(SCHEMA).is_valid(json.loads((tmp_path / "odd.json").read_bytes()))


def test_a_lot_that_was_never_opened_is_exported_untagged_and_stays_unopened(tmp_path):
    folder = tmp_path / "new"
    folder.mkdir()
    (folder / "1.jpg").write_bytes(b"x")
    assert main(["export", str(folder), "--to", str(tmp_path / "new.csv")]) == 0
    assert records((tmp_path / "new.csv").read_bytes())[1][-2:] == ["untagged", ""]
    assert [path.name for path in folder.iterdir()] == ["1.jpg"]


@pytest.mark.parametrize(
    "name", ["scan_1.jpg", "lot.json", "LOT.JSON/../lot.json", "inner.csv", "a.ods", "a", "a.jpg"]
)
def test_what_must_not_be_written_over_is_refused_and_left_alone(lot, capsys, name):
    (lot / "inner.csv").mkdir()
    (lot / "LOT.JSON").mkdir()
    before = {path: path.read_bytes() for path in lot.iterdir() if path.is_file()}
    assert main(["export", str(lot), "--to", f"{lot}/{name}"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert said.err.startswith("tagger: ")
    assert {path: path.read_bytes() for path in lot.iterdir() if path.is_file()} == before


def test_a_checklist_of_the_lot_is_not_written_over(lot, capsys):
    checklist = lot.parent / "harbor.csv"
    checklist.write_text(LIST)
    assert main(["export", str(lot), "--to", str(lot / ".." / "harbor.csv")]) == 2
    assert "checklist" in capsys.readouterr().err
    assert checklist.read_text() == LIST


def test_another_kind_of_file_is_refused_by_a_sentence(lot, capsys):
    assert main(["export", str(lot), "--to", str(lot.parent / "out.ods")]) == 2
    assert ".csv, .json, .jsonl or .xlsx file" in capsys.readouterr().err


def test_a_folder_that_is_not_there_is_named(lot, capsys):
    assert main(["export", str(lot), "--to", str(lot.parent / "nowhere" / "out.csv")]) == 3
    assert "There is no folder" in capsys.readouterr().err


@pytest.mark.parametrize("call", ["write_at", "sync", "replace"])
def test_a_write_that_fails_leaves_the_old_file_whole(lot, capsys, monkeypatch, call):
    target = lot.parent / "out.csv"
    target.write_bytes(b"old and whole")

    def fail(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(SystemFiles, call, fail)
    assert main(["export", str(lot), "--to", str(target), "--force"]) == 3
    assert "cannot be written" in capsys.readouterr().err
    assert target.read_bytes() == b"old and whole"
    assert sorted(path.name for path in lot.parent.iterdir()) == [
        "box 12", "harbor.csv", "out.csv",
    ]  # fmt: skip


def test_how_many_cards_are_not_tagged_is_told(lot, capsys):
    exported(lot, "out.csv")
    said = capsys.readouterr()
    assert said.out == ""
    assert "4 cards written" in said.err
    assert "2 of them not tagged" in said.err
