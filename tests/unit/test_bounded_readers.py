"""Whatever lies where a file is expected, or stands in it: one sentence, no trace, no waiting."""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
import zipfile
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from support.small_card import card

from tagger.cli import main
from tagger.core.session.session import Session
from tagger.store.lot.journal import encode
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, config_file, data_folder

ROOM = Path(__file__).parents[2] / "tagger"
SECONDS = 30  # nothing here takes one; a reader that waits for ever is ended by it


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """A lot of two cards, both tagged, on this machine's list, and an export of it."""
    folder = tmp_path / "box 12"
    folder.mkdir()
    scans = [f"scan_{number}.png" for number in range(1, 5)]
    for name in scans:
        card().save(folder / name)
    session = Session(LotFile(folder, "box 12"), clock=lambda: 1000.0)
    session.take_in(scans)
    session.take_unlisted("7 marsh")
    session.take_unlisted("8 lund")
    session.close()
    LotList(data_folder()).opened(LotPlace(folder, folder))
    assert main(["export", str(folder), "--to", str(tmp_path / "same.csv")]) == 0
    return folder


def fifo(path: Path) -> None:
    path.unlink(missing_ok=True)
    path.parent.mkdir(parents=True, exist_ok=True)
    os.mkfifo(path)


def endless(path: Path) -> None:
    path.unlink(missing_ok=True)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.symlink_to("/dev/zero")


def sparse(path: Path) -> None:
    path.unlink(missing_ok=True)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        file.truncate(1 << 40)


def one_sentence(words: list[str], statuses: tuple[int, ...]) -> str:
    """Run a command in a process of its own, with two gigabytes of addresses; what it says."""
    held = ["sh", "-c", 'ulimit -v 2097152; exec "$@"', "sh"]
    command = [*held, sys.executable, "-m", "tagger", *words]
    done = subprocess.run(command, capture_output=True, text=True, timeout=SECONDS)
    assert done.returncode in statuses, done
    assert "Traceback" not in done.stderr
    return done.stderr


@pytest.mark.parametrize("make", [fifo, endless, sparse])
@pytest.mark.parametrize("what", ["settings", "checklist", "import", "layout", "json", "journal"])
def test_what_is_no_file_or_endless_is_told(
    lot: Path, tmp_path: Path, what: str, make: Callable[[Path], None]
) -> None:
    odd, folder = tmp_path / "odd.csv", str(lot)
    places = {
        "settings": (config_file(), ["value"]),
        "checklist": (odd, ["checklist", str(odd)]),
        "import": (odd, ["import", folder, str(odd), "--yes"]),
        "layout": (odd, ["export", folder, "--to", f"{tmp_path}/new.csv", "--layout", str(odd)]),
        "json": (lot / "lot.json", ["status", folder]),
        "journal": (lot / "lot.journal", ["status", folder]),
    }
    path, words = places[what]
    make(path)
    said = one_sentence(words, (1, 2, 3))
    assert path.name in said
    assert any(word in said for word in ("not a regular file", "too large", "larger than"))


SETTINGS = {
    "nan": "[preview]\nmargin = nan",
    "digits": f"[preview]\nmargin = {'9' * 5000}",
    "exponent": "[preview]\nmargin = 1e999999999999999999999",
    "levels": f"x = {'[' * 1000}{']' * 1000}",
    "tables": f"x = {'{a=' * 1000}1{'}' * 1000}",
    "factor": "[value]\nGood = 1e-999999999999999999",
}


@pytest.mark.parametrize("text", SETTINGS.values(), ids=SETTINGS.keys())
def test_settings_with_impossible_numbers_are_told(
    text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    config_file().parent.mkdir(parents=True)
    config_file().write_text(text, encoding="utf-8")
    assert main(["value"]) == 2
    assert capsys.readouterr().err.startswith(f"tagger: {config_file()}, line ")


def rewritten(lot: Path, change: Callable[[dict[str, Any]], object]) -> None:
    """Change the last line of a journal that has marks, with a right checksum, and nothing else;
    lot.json is gone."""
    (lot / "lot.json").unlink()
    lines = (lot / "lot.journal").read_bytes().splitlines(keepends=True)
    at = max(at for at, line in enumerate(lines) if b'"k":"do"' in line)
    record = json.loads(lines[at])[1]
    change(record)
    lines[at] = encode(record)
    (lot / "lot.journal").write_bytes(b"".join(lines))


SENSELESS: dict[str, Callable[[dict[str, Any]], object]] = {
    "no kind": lambda record: record.pop("k"),
    "no marks": lambda record: record.pop("marks"),
    "no desk": lambda record: record.pop("desk"),
    "no link": lambda record: record.pop("u"),
    "marks of text": lambda record: record.update(marks="x"),
    "a number for a set": lambda record: record["marks"][0][-1].update(set=7),
    "endless": lambda record: record.update(desk=[{"position": float("inf")}] * 2),
}


@pytest.mark.parametrize("change", SENSELESS.values(), ids=SENSELESS.keys())
def test_a_journal_s_line_that_says_nothing_of_a_lot_is_damage(
    lot: Path, change: Callable[[dict[str, Any]], object], capsys: pytest.CaptureFixture[str]
) -> None:
    rewritten(lot, change)
    capsys.readouterr()
    assert main(["status", str(lot)]) == 1
    assert "lot.journal is damaged in line" in capsys.readouterr().err
    assert main(["repair", str(lot), "--apply"]) == 0
    assert main(["status", str(lot)]) == 0


def test_a_change_that_lacks_its_fields_is_not_undone(lot: Path) -> None:
    """lot.json vouches for what it covers, so that its lines are read first by undo."""
    record = {"k": "do", "label": "odd", "u": 0, "marks": []}
    journal = (lot / "lot.journal").read_bytes()
    number = journal.count(b"\n")
    body = json.dumps({"n": number, **record}, separators=(",", ":")).encode()
    line = b'["%08x",%b]\n' % (zlib.crc32(body), body)
    (lot / "lot.journal").write_bytes(journal + line)
    assert main(["fix", str(lot), "undo"]) == 3


def test_an_undo_that_leads_beyond_the_journal_is_told(lot: Path) -> None:
    (lot / "lot.json").unlink()
    lines = (lot / "lot.journal").read_bytes().splitlines(keepends=True)
    at = max(at for at, line in enumerate(lines) if b'"k":"do"' in line)
    record = json.loads(lines[at])[1]
    lines[at] = encode({**record, "u": 10**30})
    (lot / "lot.journal").write_bytes(b"".join(lines))
    assert main(["fix", str(lot), "undo"]) in (0, 3)
    assert main(["status", str(lot)]) in (0, 1)


@pytest.mark.parametrize("odd", [{"opened": float("nan")}, {"opened": 1e308}, {"folder": "a\0b"}])
def test_a_list_of_lots_with_an_impossible_entry_keeps_the_others(
    lot: Path, odd: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    path = data_folder() / "lots.json"
    document = json.loads(path.read_bytes())
    entry = document["lots"]["1"]
    document["lots"]["2"] = {**entry, "folder": "/gone", **odd}
    path.write_text(json.dumps(document), encoding="utf-8")
    capsys.readouterr()
    for words in (["lots"], ["lots", "--json"], ["find", "8"], ["value"]):
        assert main(words) in (0, 1)
    capsys.readouterr()
    assert main(["lots"]) == 0
    assert "2 of 2 tagged" in capsys.readouterr().out
    LotList(data_folder()).opened(LotPlace(lot, lot))
    assert [place.folder for place in LotList(data_folder()).places()] == [lot]


def workbook(path: Path, book: str, sheet: str) -> None:
    """The few parts (ECMA-376 part 2) that a workbook needs."""
    main_, rel = "application/vnd.openxmlformats-officedocument.spreadsheetml", "officeDocument"
    types = (
        f'<Override PartName="/xl/workbook.xml" ContentType="{main_}.sheet.main+xml"/>'
        f'<Override PartName="/xl/s.xml" ContentType="{main_}.worksheet+xml"/>'
    )
    link = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    package = "http://schemas.openxmlformats.org/package/2006"
    main_ns = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"

    def links(kind: str, target: str) -> str:
        one = f'<Relationship Id="rId1" Type="{link}/{kind}" Target="{target}"/>'
        return f'<Relationships xmlns="{package}/relationships">{one}</Relationships>'

    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr(
            "[Content_Types].xml", f'<Types xmlns="{package}/content-types">{types}</Types>'
        )
        packed.writestr("_rels/.rels", links(rel, "xl/workbook.xml"))
        packed.writestr("xl/_rels/workbook.xml.rels", links("worksheet", "s.xml"))
        packed.writestr(
            "xl/workbook.xml",
            f'<workbook xmlns="{main_ns}" xmlns:r="{link}"><sheets>{book}</sheets></workbook>',
        )
        packed.writestr(
            "xl/s.xml",
            f'<worksheet xmlns="{main_ns}"><sheetData>{sheet}</sheetData></worksheet>',
        )


SHEET = '<sheet name="s{0}" sheetId="{0}" r:id="rId1"/>'
ROW = '<row r="1"><c r="A1" t="inlineStr"><is><t>position</t></is></c></row>'


@pytest.mark.parametrize(
    ("book", "sheet", "said"),
    [
        (SHEET.format(1), f'{ROW}<row r="99999999999"><c r="A99999999999"/></row>', "more rows"),
        ("".join(map(SHEET.format, range(1, 100_001))), ROW, "more sheets"),
    ],
)
def test_a_small_workbook_that_claims_much_is_told(
    lot: Path, tmp_path: Path, book: str, sheet: str, said: str
) -> None:
    pytest.importorskip("openpyxl")
    odd = tmp_path / "odd.xlsx"
    workbook(odd, book, sheet)
    assert odd.stat().st_size < 600_000
    assert said in one_sentence(["import", str(lot), str(odd), "--yes"], (3,))


def test_a_control_character_in_a_heading_is_written(lot: Path, tmp_path: Path) -> None:
    pytest.importorskip("openpyxl")
    layout = tmp_path / "odd.toml"
    layout.write_text('[[column]]\nheading = "a\\u0007b"\ntext = "{position}"\n', encoding="utf-8")
    words = ["export", str(lot), "--to", str(tmp_path / "odd.xlsx"), "--layout", str(layout)]
    assert main(words) == 0


# what else opens a file: scans, which are listed as files; what comes with the program
ELSEWHERE = {
    "exchange/shown/html_parts.py",
    "exchange/shown/page.py",
    "services/guide/help_pages.py",
    "services/guide/json_schemas.py",
    "imaging/scan/decoding.py",
    "imaging/survey/measure_lot.py",
    "imaging/scan/folder_watch.py",
    "exchange/layout/examples.py",
    "store/hub/schema.py",
}


def calls(*names: str) -> Iterator[tuple[str, ast.Call, ast.Attribute]]:
    """Each call of an attribute of one of these names, with the module that has it. Only modules
    in which such a name stands before a bracket are parsed."""
    said = tuple(f".{name}(" for name in names)
    for path in ROOM.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        for node in ast.walk(ast.parse(text)) if any(one in text for one in said) else ():
            if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
                continue
            if node.func.attr in names:
                yield path.relative_to(ROOM).as_posix(), node, node.func


def test_files_are_opened_in_one_way() -> None:
    """Only the store's seam opens a file to read it."""
    found = {
        module
        for module, node, called in calls("read_bytes", "read_text", "open")
        if called.attr != "open"
        or any(isinstance(one, ast.Constant) and one.value in ("r", "rb") for one in node.args)
    }
    found = {module for module in found if not module.startswith("demo/")}
    assert found <= ELSEWHERE
    assert len(found) > 3


# an entry of a folder that was read has a name that a file can have
ENTRIES = {"store/checklists.py", "store/caches/sealed.py", "imaging/scan/folder.py"}


def test_whether_a_path_is_there_is_asked_of_what_never_raises() -> None:
    """`pathlib` raises where a name is longer than a file's can be, `os.path` says no."""
    asked = {
        module
        for module, node, called in calls("is_dir", "is_file", "exists", "is_symlink")
        if not node.args and not ast.unparse(called).startswith("os.path.")
    }
    assert asked <= ENTRIES
    assert asked


@pytest.mark.parametrize("name", ["9" * 400, "a" * 3000, "a/" * 3000])
def test_a_name_that_no_file_can_have_is_told(
    lot: Path, name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    state = json.loads((data_folder() / "lots.json").read_text(encoding="utf-8"))
    (entry,) = state["lots"].values()
    state["lots"]["2"] = {**entry, "folder": name, "home": name}
    (data_folder() / "lots.json").write_text(json.dumps(state), encoding="utf-8")
    to = str(tmp_path / "other.csv")
    for words in (["lots"], ["find", "marsh"], ["checklist", name], ["status", name]):
        assert main(words) in (0, 1, 3)
        capsys.readouterr()
    assert main(["export", str(lot), "--to", to]) == 0
