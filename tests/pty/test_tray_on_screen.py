"""A tray of 300 cards in 12 groups with bad dividers, fed whole and fed live in three parts: tagged
by number alone, each card ends up as it lay in the tray."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from support.opened import Lot
from support.terminal import Terminal
from support.tray_of_groups import GROUPS, MISSING, SOILED, Fed, Part, checklist, fed_in_three

F5, F12, ENTER, LEAVE, DELETE = "\x1b[15~", "\x1b[24~", "\r", "\x18", "\x1b[3~"
COLUMNS = ("set", "number", "parallel", "condition", "place", "front", "back")
SHORT = {"Near Mint": "nm", "Excellent": "ex", "Very Good": "vg", "Good": "gd"}
# what F12 asks of the dividers of this tray, and the key that a dealer answers with
ANSWERS = {
    "counts once": DELETE,
    "like a divider, but cannot be read": ENTER,
    "upside down": ENTER,
}


@pytest.fixture(scope="module")
def fed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Part]]:
    """All scans, and what was fed in which part."""
    folder = tmp_path_factory.mktemp("fed") / "scans"
    return folder, fed_in_three(folder)


def answer(terminal: Terminal, kinds: list[str]) -> None:
    """Go through the findings, which are these."""
    terminal.send(F12)
    left = list(kinds)
    while left:
        terminal.wait_for("|".join(left), 60)
        shown = next(kind for kind in left if kind in terminal.text())
        left.remove(shown)
        terminal.send(ANSWERS[shown])
    terminal.wait_for("[Nn]o (more )?problems|rotated 180|skipped", 60)
    terminal.send(F12)
    terminal.wait_for(r"card \d+ of")


def tag(terminal: Terminal, groups: list[list[Fed]], done: int) -> int:
    """Tag groups by number alone; what a divider should have said and does not is carried by
    hand."""
    for cards in groups:
        terminal.wait_for(rf"card {done + 1} of")
        if (of := cards[0].divider) in (GROUPS[MISSING], GROUPS[SOILED]):
            said = f"{of.set.lower()} {SHORT[of.condition]} at={of.place}{F5}"
            terminal.send(said)
            terminal.wait_for("Carrying from now on")
        for card in cards:
            terminal.send(f"{card.number}{ENTER}")
            done += 1
            terminal.wait_for(rf"\b{done} tagged")
    return done


def check(lot: Lot, parts: list[Part]) -> None:
    truth = [card for part in parts for group in part.groups for card in group]
    kept = [tuple(card.get(name, "") for name in COLUMNS) for card in lot.cards()]
    assert kept == [card.row for card in truth]
    document = json.loads((lot.folder / "lot.json").read_text(encoding="utf-8"))["state"]["1"]
    turned = {scan for card in truth[175:200] for scan in (card.front, card.back)}
    assert document["mending"]["turns"] == dict.fromkeys(turned, 180)
    assert len(document["mending"]["dividers"]) == len(GROUPS)


@pytest.mark.nightly
def test_a_tray_that_is_fed_whole(
    fed: tuple[Path, list[Part]], tmp_path: Path, tagger: list[str]
) -> None:
    scans, parts = fed
    shutil.copytree(scans, tmp_path / "tray")
    (tmp_path / "list.csv").write_text(checklist(), encoding="utf-8")
    lot = Lot(tmp_path / "tray", tmp_path / "list.csv", tagger)
    with lot.open() as terminal:
        terminal.wait_for("card 1 of 301", 120)
        terminal.wait_for("3 problems F12", 240)
        answer(terminal, list(ANSWERS))
        terminal.wait_for("card 1 of 300")
        assert tag(terminal, [group for part in parts for group in part.groups], 0) == 300
        terminal.send(LEAVE)
        terminal.wait_exit()
    check(lot, parts)


@pytest.mark.nightly
def test_a_tray_that_is_fed_in_three_parts(
    fed: tuple[Path, list[Part]], tmp_path: Path, tagger: list[str]
) -> None:
    scans, parts = fed
    folder, done = tmp_path / "tray", 0
    (tmp_path / "list.csv").write_text(checklist(), encoding="utf-8")
    asked = [[], ["counts once", "upside down"], ["like a divider, but cannot be read"]]

    def feed(part: Part) -> None:
        folder.mkdir(exist_ok=True)
        for scan in part.scans:
            shutil.copy(scans / scan, folder / scan)

    feed(parts[0])
    lot = Lot(folder, tmp_path / "list.csv", tagger)
    with lot.open() as terminal:
        terminal.wait_for("card 1 of 100", 120)
        for part, kinds, cards in zip(parts, asked, (100, 200, 301), strict=True):
            if part is not parts[0]:
                # the last group of the part before is at work while the next one comes
                done = tag(terminal, [parts[parts.index(part) - 1].groups[-1][:12]], done)
                feed(part)
                done = tag(terminal, [parts[parts.index(part) - 1].groups[-1][12:]], done)
            terminal.wait_for(rf"card \d+ of {cards}", 180)
            if kinds:
                terminal.wait_for(rf"{len(kinds)} problems? F12", 240)
                answer(terminal, kinds)
            groups = part.groups if part is parts[-1] else part.groups[:-1]
            done = tag(terminal, groups, done)
        assert done == 300
        terminal.send(LEAVE)
        terminal.wait_exit()
    check(lot, parts)
