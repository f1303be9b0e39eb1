"""Two lots in folders of one name, at the real terminal: the second is asked for a name of its own,
which the desk and the shell show from then on."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from support.commands import told_by
from support.opened import Lot
from support.terminal import Terminal

from tagger.store.lot.lot_file import read_lot

LEAVE = "\x18"


def test_a_second_folder_of_one_name_is_asked_for_another(
    lot: Lot, tagger: list[str], tmp_path: Path
) -> None:
    autumn = tmp_path / "autumn" / "box 12"
    shutil.copytree(lot.folder, autumn)
    winter = tmp_path / "winter" / "box 12"
    shutil.copytree(lot.folder, winter)

    def left(terminal: Terminal) -> None:
        terminal.wait_for(r"card 1 of 12")
        terminal.send(LEAVE)
        assert terminal.wait_exit() == 0

    with lot.open() as terminal:
        left(terminal)
    with Terminal([*tagger, "open", str(autumn), "--read-only"]) as terminal:
        terminal.wait_for("was never opened")
    with Terminal([*tagger, "open", str(autumn)]) as terminal:
        terminal.wait_for(r"A lot called box 12 is already in \S+/box 12\.")
        terminal.wait_for("press Enter for autumn/box 12:")
        terminal.send("BOX 12\r")
        terminal.wait_for("The name 'BOX 12' belongs to the lot in")
        terminal.send("\r")
        terminal.wait_for(r"autumn/box 12 .*card 1 of 12")
        left(terminal)
        assert "autumn/box 12: 0 of 12 cards tagged" in terminal.text()
    with Terminal([*tagger, "open", str(winter), "--name", "autumn/box 12"]) as terminal:
        terminal.wait_for("The name 'autumn/box 12' belongs to the lot in")
        assert terminal.wait_exit() != 0
    with Terminal([*tagger, "open", str(winter), "--name", "[red]snow"], columns=80) as terminal:
        terminal.wait_for(r"\[red\]snow .*card 1 of 12")
        left(terminal)
    # it keeps its name without being asked again, and gets another one on demand
    with Terminal([*tagger, "open", str(winter)]) as terminal:
        terminal.wait_for(r"\[red\]snow .*card 1 of 12")
        left(terminal)
    named = ["--name", "snow", "--numbers", "snow"]
    with Terminal([*tagger, "open", str(winter), *named]) as terminal:
        terminal.wait_for(r" snow .*card 1 of 12")
        left(terminal)
    assert read_lot(winter).part == "SNOW"
    assert names() == ["snow", "autumn/box 12", "box 12"]


def names() -> list[str]:
    return [lot["lot"] for lot in json.loads(told_by("lots", "--json"))["lots"]]


def test_a_name_does_not_go_with_looking_only(lot: Lot, tagger: list[str]) -> None:
    with Terminal([*tagger, "open", str(lot.folder), "--name", "x", "--read-only"]) as terminal:
        terminal.wait_for("does not go with --read-only")
        assert terminal.wait_exit() == 2
