"""A bad day at the feeder, put right in the open lot: each tag ends up on its own card."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from support import drawn
from support.feeder_lot import (
    BROKEN,
    CARDS,
    LATE_BACK,
    MISSING,
    SWAPPED,
    TURNED,
    feeder_lot,
    name,
    truth,
)
from support.opened import Lot

F12, ENTER = "\x1b[24~", "\r"


@pytest.fixture(scope="module")
def day(tmp_path_factory) -> tuple[Path, dict[str, bytes]]:
    folder = tmp_path_factory.mktemp("day") / "box"
    return folder, feeder_lot(folder)


def test_a_bad_day_is_put_right_with_few_keys_and_each_tag_is_on_its_own_card(
    day: tuple[Path, dict[str, bytes]],
    tmp_path: Path,
    tagger: list[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    folder, later = day
    for variable in ("XDG_CACHE_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME"):
        monkeypatch.setenv(variable, str(tmp_path / variable))
    scans = {path.name: path.read_bytes() for path in folder.iterdir()}
    rows = truth()
    (tmp_path / "list.csv").write_text(drawn.checklist_csv(rows), encoding="utf-8")
    lot = Lot(folder, tmp_path / "list.csv", tagger)
    keys = 0
    with lot.open() as terminal:
        terminal.pump(60, lambda: "5 problems" in terminal.text())
        assert "5 problems F12" in terminal.text()
        for seen in (f"card {MISSING} ", f"card {BROKEN} ", f"card {SWAPPED} ", f"card {TURNED} "):
            terminal.send(F12 if not keys else ENTER)
            keys += 1
            terminal.wait_for(f"problem .*{seen}")
        terminal.send(ENTER)
        terminal.wait_for(r"backs rotated 180°")
        terminal.send(F12)
        keys += 2
        terminal.wait_for(f"card 1 of {CARDS}")
        assert keys <= 12
        # The dealer tags on, by number alone, while the missing back, the broken front and ten more
        # scans arrive.
        arriving = list(later.items())
        for position, row in enumerate(rows, start=1):
            terminal.send(f"{row.number}{ENTER}")
            if position % 8 == 0 and arriving:
                scan, data = arriving.pop(0)
                (folder / scan).write_bytes(data[: len(data) // 2])
                terminal.pump(0.05)
                (folder / scan).write_bytes(data)
            if position == CARDS:
                terminal.wait_for(rf"card {CARDS + 1} of|end of the lot")
                while arriving:
                    scan, data = arriving.pop(0)
                    (folder / scan).write_bytes(data)
                terminal.pump(40, lambda: f"of {CARDS + 5}" in terminal.text())
                # Ctrl+K, Ctrl+G: go to the first of the new cards
                terminal.send(f"\x0b{CARDS + 1}\x07")
                terminal.wait_for(f"card {CARDS + 1} of {CARDS + 5}")
        terminal.wait_for("end of the lot")
        terminal.wait_gone("problems F12", seconds=20)
        terminal.send("\x18")
        terminal.wait_exit()
    cards = lot.cards()
    assert [card["number"] for card in cards] == [row.number for row in rows]
    assert [card["state"] for card in cards] == ["tagged"] * (CARDS + 5)
    # Each card has its own two scans, front and back the right way round.
    sides = iter(number for number in range(1, 2 * (CARDS + 5)))
    for position, card in enumerate(cards, start=1):
        front = name(next(sides))
        back = LATE_BACK if position == MISSING else name(next(sides))
        if position == SWAPPED:
            front, back = back, front
        assert (card["front"], card["back"]) == (front, back), position
    kept = json.loads((folder / "lot.json").read_text(encoding="utf-8"))["state"]["1"]
    assert sorted(kept["mending"]["turns"].values()) == [180] * (CARDS - TURNED + 1)
    # No scan was touched, but the one that was scanned again.
    for scan, data in scans.items():
        assert (folder / scan).read_bytes() == later.get(scan, data)
