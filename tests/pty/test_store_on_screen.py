"""What the dealer sees when the disk, another program or another hand gets in the way."""

from __future__ import annotations

import json
import resource
from pathlib import Path

from support.commands import told_by
from support.opened import Lot
from support.terminal import Terminal


def tagged(lot: Lot, *numbers: str) -> None:
    with lot.open() as terminal:
        terminal.send("".join(f"{number}\r" for number in numbers))
        terminal.wait_for(f"card {len(numbers) + 1} of 12")
        terminal.send("\x18")
        terminal.wait_exit()


def test_a_full_disk_is_one_sentence_and_enter_works_again_when_there_is_room(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send("5\r")
        terminal.wait_for("card 2 of 12")
        full = (
            lot.folder / "lot.journal"
        ).stat().st_size + 100  # a change takes more; a limit acts as a full disk does
        resource.prlimit(terminal.pid, resource.RLIMIT_FSIZE, (full, resource.RLIM_INFINITY))
        terminal.send("6\r")
        terminal.wait_for(
            "Not saved: the disk is full. The card is unchanged; free some space and press Enter "
            "again."
        )
        assert "card 2 of 12" in terminal.text()
        terminal.wait_for("▸ 6")
        resource.prlimit(
            terminal.pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY)
        )
        terminal.send("\r")
        terminal.wait_for("card 3 of 12")
    assert [card["number"] for card in lot.cards()][:3] == ["5", "6", ""]


def test_lot_json_follows_when_the_keys_are_quiet(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send("5\r6\r")
        terminal.wait_for("card 3 of 12")
        terminal.pump(2.0)
        cards = json.loads((lot.folder / "lot.json").read_text())["cards"]
        assert [cards[id]["number"] for id in ("1", "2")] == ["5", "6"]


def test_a_second_opener_may_look_and_nothing_more(lot: Lot, tagger: list[str]) -> None:
    with lot.open() as first:
        first.send("5\r")
        first.wait_for("card 2 of 12")
        with Terminal([*tagger, "open", str(lot.folder), "--read-only"]) as second:
            second.wait_for(r"READ-ONLY .* card 2 of 12 .* 1 tagged")
            second.wait_gone("still being read")
            second.send("7\r")
            second.wait_for("Not saved: opened read-only")
            second.send("\x0b\x1b[5~")
            second.wait_for("card 1 of 12")
            second.send("\x18")
            assert second.wait_exit() == 0
        first.send("6\r")
        first.wait_for("card 3 of 12")
    assert [card["number"] for card in lot.cards()][:3] == ["5", "6", ""]


def test_a_write_from_elsewhere_is_noticed(lot: Lot) -> None:
    with lot.open() as terminal:
        terminal.send("5\r")
        terminal.wait_for("card 2 of 12")
        with (lot.folder / "lot.journal").open("ab") as journal:
            journal.write(b"x")
        terminal.send("6\r")
        terminal.wait_for("Not saved: another program has written to this lot")


def test_the_lot_can_be_copied_elsewhere(lot: Lot, tmp_path: Path) -> None:
    (tmp_path / "copy").mkdir()
    with lot.open() as terminal:
        terminal.send(f"5\r{tmp_path / 'copy'}\x13")
        terminal.wait_for("A copy of the lot is in")
    assert json.loads((tmp_path / "copy" / "lot.json").read_text())["cards"]["1"]["number"] == "5"


def test_a_hand_edited_lot_is_not_opened_over_it_and_repair_takes_it_as_one_step(
    lot: Lot, tagger: list[str]
) -> None:
    tagged(lot, "5", "6")
    text = (lot.folder / "lot.json").read_text()
    (lot.folder / "lot.json").write_text(text.replace('"number":"6"', '"number":"66"'))
    with lot.start(200, 24) as terminal:
        assert terminal.wait_exit() == 3
        assert "lot.json was edited outside tagger" in terminal.text()
    said = told_by("repair", lot.folder, status=1)
    assert 'card 2: number is "66", was "6"' in said
    told_by("repair", lot.folder, "--keep-edits")
    assert [card["number"] for card in lot.cards()][:2] == ["5", "66"]
    with lot.open() as terminal:
        terminal.send("\x1a")
        terminal.wait_for("Undone: 1 card kept as edited in lot.json")
    assert [card["number"] for card in lot.cards()][:2] == ["5", "6"]
    assert (lot.folder / "lot.json.changed-1").exists()


def test_leaving_a_hand_edit_goes_back_to_the_journal(lot: Lot) -> None:
    tagged(lot, "5", "6")
    text = (lot.folder / "lot.json").read_text()
    (lot.folder / "lot.json").write_text(text.replace('"number":"6"', '"number":"66"'))
    told_by("repair", lot.folder, "--discard-edits")
    assert [card["number"] for card in lot.cards()][:2] == ["5", "6"]
    assert '"66"' in (lot.folder / "lot.json.changed-1").read_text()


def test_a_damaged_journal_opens_for_looking_and_repair_keeps_the_bytes(lot: Lot) -> None:
    tagged(lot, "5", "6", "7")
    journal = lot.folder / "lot.journal"
    data = bytearray(journal.read_bytes())
    data[data.index(b'"label":"card 2') + 12] ^= 1
    journal.write_bytes(data)
    with lot.start(200, 40) as terminal:
        terminal.wait_for("READ-ONLY")
        terminal.wait_for(r"Lot.journal is damaged in line \d+")
        terminal.wait_gone("still being read")
        terminal.send("8\r")
        terminal.wait_for("Not saved: lot.journal is damaged")
    said = told_by("repair", lot.folder, status=1)
    assert "lot.journal.damaged-1" in said
    assert not (lot.folder / "lot.journal.damaged-1").exists()
    told_by("repair", lot.folder, "--apply")
    assert (lot.folder / "lot.journal.damaged-1").read_bytes() == bytes(data)
    with lot.open() as terminal:
        terminal.send("8\r")
        terminal.wait_for("card 5 of 12 .* 4 tagged")
    assert [card["number"] for card in lot.cards()][:4] == ["5", "6", "7", "8"]


def test_a_lost_or_broken_lot_json_is_made_again(lot: Lot) -> None:
    tagged(lot, "5", "6")
    for harm in (lambda path: path.unlink(), lambda path: path.write_text('{"cards":')):
        harm(lot.folder / "lot.json")
        with lot.open(200, 40) as terminal:
            terminal.wait_for("rebuilt from lot.journal; nothing is lost")
            terminal.send("\x18")
            terminal.wait_exit()
        assert [card["number"] for card in lot.cards()][:2] == ["5", "6"]


def test_an_unfinished_last_line_is_dropped_and_named(lot: Lot) -> None:
    tagged(lot, "5", "6")
    journal = lot.folder / "lot.journal"
    lines = journal.read_bytes().splitlines(keepends=True)
    torn = next(line for line in lines if b'"label":"card 2' in line)
    journal.write_bytes(journal.read_bytes() + torn[: len(torn) // 2])
    with lot.open(200, 40) as terminal:
        terminal.wait_for("The last change was not saved before the program stopped: card 2")
        terminal.send("7\r")
        terminal.wait_for("card 4 of 12 .* 3 tagged")


def test_a_journal_that_was_cut_is_told_whole_and_never_called_saved(lot: Lot) -> None:
    with lot.open(80, 24) as terminal:
        terminal.send("5\r6\r")
        terminal.wait_for("card 3 of 12")
        with (lot.folder / "lot.journal").open("r+b") as journal:
            journal.truncate(100)
        terminal.send("7\r")
        terminal.wait_for("Not saved. Another program replaced or deleted lot.journal.")
        said = " ".join(terminal.text().split())
        assert "lot.journal.rescued-1; tagger repair FOLDER restores them." in said
        terminal.send("\x18")
        assert terminal.wait_exit() == 3
        assert b"Everything is saved" not in terminal.raw
    told_by("repair", lot.folder, "--keep-rescued")
    assert [card["number"] for card in lot.cards()][:3] == ["5", "6", ""]
