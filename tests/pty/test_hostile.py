"""Text and pictures from outside are hostile: they are shown, named and exported, and never acted
on."""

from __future__ import annotations

import os
import re
import shutil
import struct
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from support import drawn
from support.at_night import at_night
from support.opened import Lot
from support.terminal import Terminal

EVIL = "\x1b]0;owned\x07\x1b[2J\x1b[31m"
NAMES = {
    "escape": f"scan_01{EVIL}.jpg",
    "markup": "scan_01[bold red]x[b].jpg",
    "newline": "scan_01\nEnter accepts\n.jpg",
    "right to left": "scan_01\u202egpj.jpg",
    "255 bytes": "s" * 251 + ".jpg",
    "no UTF-8": b"scan_01\xff\xfe.jpg",
}


@pytest.mark.parametrize(
    "kind",
    ["escape", "newline", "no UTF-8", *map(at_night, ("markup", "right to left", "255 bytes"))],
)
def test_a_hostile_file_name_is_shown_tagged_and_exported(lot: Lot, kind: str) -> None:
    name = os.fsdecode(NAMES[kind])
    shutil.rmtree(lot.folder)
    drawn.draw_scans(lot.folder, 1)
    os.rename(lot.folder / "scan_0001.jpg", lot.folder / name)
    with lot.open() as terminal:
        # two cards where the names belong to different runs of the scanner
        terminal.send("23\r23\r")
        terminal.wait_for("end of the lot")
        assert b"\x1b]0;owned" not in terminal.raw
        assert b"\x1b[2J" not in terminal.raw.partition(b"front")[2]
        assert "\u202e" not in terminal.text()
        terminal.send("\x1b[5~")
        terminal.wait_for(r"card (1 of 1|2 of 2)")
        terminal.settle()
        # the picture itself is found and drawn
        assert sum(terminal.text().count(block) for block in "▀▄█") > 100
    rows = lot.rows()
    assert {row["number"] for row in rows} == {"23"}
    sides = [row[side] for row in rows for side in ("front", "back") if row[side]]
    assert len(sides) == 2
    assert all(char.isprintable() for side in sides for char in side)


def test_names_in_a_checklist_are_no_markup_and_no_escapes(lot: Lot) -> None:
    players = [
        "[bold]",
        "[/]",
        "=HYPERLINK(0)",
        "Bo\x1b[31m Red",
        "\u202eevil",
        "[@click=app.exit]x[/]",
    ]
    lines = [
        "set,number,subject",
        *(f'Odd,{number},"{name}"' for number, name in enumerate(players, 1)),
    ]
    lot.checklist.write_text("\n".join(lines), encoding="utf-8")
    with lot.open() as terminal:
        for number, name in enumerate(players, 1):
            terminal.send(f"{number}")
            # in capitals in the panel alone: the question about a new list has the names as well
            shown = re.escape(name.upper()) if name.isprintable() else ""
            terminal.wait_for(rf"#{number} {shown}")
            terminal.send("\r")
            terminal.wait_for(rf"card {number + 1} of")
        assert b"\x1b[31m Red" not in terminal.raw
        assert b"\x1b[31m RED" not in terminal.raw
        assert "\u202e" not in terminal.text()
    subjects = [row["subject"] for row in lot.rows()]
    assert subjects[:3] == ["[bold]", "[/]", "'=HYPERLINK(0)"]


def bomb(width: int, height: int) -> bytes:
    """A PNG (ISO/IEC 15948) of so many pixels in next to no bytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    header = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    pack = zlib.compressobj(9)
    row = bytes(1 + (width + 7) // 8)
    data = b"".join(pack.compress(row * 100) for _ in range(height // 100)) + pack.flush()
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", data) + chunk(b"IEND", b"")
    )


def damaged_tiff(path: Path, target: Path) -> None:
    """Save a scan as a TIFF (TIFF 6.0, section 13), its packed data damaged; the scan goes."""
    with Image.open(path) as scan:
        scan.save(target, compression="tiff_lzw")
    data = bytearray(target.read_bytes())
    data[3000:3200] = b"\xa5" * 200
    target.write_bytes(data)
    path.unlink()


def left_columns(terminal: Terminal) -> str:
    columns = " ".join(line[:41].strip() for line in terminal.screen.display)
    return " ".join(columns.split())


def test_faulty_pictures_name_file_and_reason_and_can_be_tagged(lot: Lot) -> None:
    whole = (lot.folder / "scan_0003.jpg").read_bytes()
    (lot.folder / "scan_0001.jpg").write_bytes(b"")
    (lot.folder / "scan_0003.jpg").write_bytes(whole[: len(whole) // 2])
    (lot.folder / "scan_0005.jpg").write_bytes(b"no picture at all" * 50)
    os.rename(lot.folder / "scan_0007.jpg", lot.folder / "scan_0007.png")
    large = bomb(30_000, 30_000)
    assert len(large) < 200_000
    (lot.folder / "scan_0007.png").write_bytes(large)
    damaged_tiff(lot.folder / "scan_0009.jpg", lot.folder / "scan_0009.tif")
    (lot.folder / "scan_0024.jpg").unlink()
    reasons = [
        "is an empty file",
        "ends too early",
        "not a readable image",
        "30000 x 30000 pixels",
        "not yet in table",
    ]
    with lot.open() as terminal:
        for number, reason in enumerate(reasons, 1):
            terminal.wait_for(rf"card {number} of 12")
            # a reason is broken over lines beside the panel: its own columns alone have it whole
            told = terminal.pump(10, lambda reason=reason: reason in left_columns(terminal))  # type: ignore[misc]
            assert told, terminal.text()
            terminal.send(f"{number}\r")
        terminal.send("12\x07")
        terminal.wait_for(r"card 12 of 12")
        terminal.wait_for("no scan of this side")
        # what the decoder prints gives the reason, and does not come over the desk
        assert b"tempfile.tif" not in terminal.raw
    assert [card["number"] for card in lot.cards()][:5] == ["1", "2", "3", "4", "5"]


def test_a_folder_that_disappears_while_open_is_told_and_nothing_is_lost(lot: Lot) -> None:
    away = lot.folder.with_name("away")
    with lot.open() as terminal:
        terminal.send("5\r")
        terminal.wait_for("card 2 of 12")
        os.rename(lot.folder, away)
        terminal.send("6\r")
        terminal.wait_for("Not saved: the folder")
        assert "card 2 of 12" in terminal.text()
        os.rename(away, lot.folder)
        terminal.send("\r")
        terminal.wait_for("card 3 of 12")
    assert [card["number"] for card in lot.cards()][:3] == ["5", "6", ""]


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda path: None, "There is no folder"),
        (lambda path: path.write_text("x"), "is a file"),
        (lambda path: path.mkdir(), "has no scans"),
    ],
)
def test_a_folder_that_is_none_gets_one_sentence(
    tmp_path: Path, tagger: list[str], make: Callable[[Path], object], said: str
) -> None:
    make(tmp_path / "lot")
    with Terminal([*tagger, "open", str(tmp_path / "lot")], columns=200) as terminal:
        assert terminal.wait_exit() == 3
        assert said in terminal.text()
        assert len(terminal.text().split("\n")[0].strip()) > 20
        assert not terminal.text().split("\n")[1].strip()


def test_checklists_with_faults_are_told_and_the_rest_works(lot: Lot) -> None:
    rows = drawn.checklist_csv(drawn.set_rows("1987 Harbor Light", 120, seed=5)).splitlines()
    rows.insert(5, "x" * 1_000_000)
    rows.insert(7, "1987 Harbor Light,\0,Nul")
    rows.insert(9, '1987 Harbor Light,9,"open')
    lot.checklist.write_text("\n".join(rows), encoding="utf-8")
    with lot.open() as terminal:
        terminal.wait_for(r"odd \(3\): line 6: ")
        terminal.send("23\r")
        terminal.wait_for("card 2 of 12")


def test_a_checklist_of_200_000_rows_works(lot: Lot) -> None:
    rows = [
        row
        for block in range(400)
        for row in drawn.set_rows(f"Set {1900 + block}", 500, seed=block)
    ]
    lot.checklist.write_text(drawn.checklist_csv(rows), encoding="utf-8")
    with lot.open() as terminal:
        terminal.send("set=set set=1987 23\r24\r")
        terminal.wait_for("card 3 of 12", 60)
    assert [(card["set"], card["number"]) for card in lot.cards()][:2] == [
        ("Set 1987", "23"),
        ("Set 1987", "24"),
    ]


def test_a_missing_remembered_checklist_is_told_and_the_lot_opens(
    lot: Lot, tagger: list[str]
) -> None:
    with lot.open() as terminal:
        terminal.send("5\r")
        terminal.wait_for("card 2 of 12")
    lot.checklist.unlink()
    with Terminal([*tagger, "open", str(lot.folder)], columns=160) as terminal:
        terminal.wait_for("There is no checklist .*list.csv")
        terminal.wait_for("card 2 of 12")


def test_a_folder_that_cannot_be_written_to_takes_its_tags_elsewhere(
    lot: Lot, tagger: list[str], tmp_path: Path
) -> None:
    """The folder is held read-only by a file in the lock's place, which holds for the superuser
    too."""
    (lot.folder / ".lot.lock").mkdir()
    with lot.start(200, 24) as terminal:
        assert terminal.wait_exit() == 3
        assert "--state DIR" in terminal.text()
    command = [
        *tagger,
        "open",
        str(lot.folder),
        "--checklist",
        str(lot.checklist),
        "--state",
        str(tmp_path / "tags"),
    ]
    with Terminal(command) as terminal:
        terminal.wait_for("card 1 of 12")
        terminal.send("5\r")
        terminal.wait_for("card 2 of 12")
    assert not (lot.folder / "lot.json").exists()
    assert lot.status()["tagged"] == 1  # found again without --state, by the list of lots
    assert lot.cards()[0]["number"] == "5"
