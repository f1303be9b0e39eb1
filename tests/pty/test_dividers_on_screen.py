"""A tray with dividers, fed in three parts while the lot is open: one divider is missing, one came
twice, one is soiled, one was turned with its group. Each card ends up as it lay in the tray."""

from __future__ import annotations

import json
from pathlib import Path

from PIL import ImageDraw
from support.fed_dividers import GOLD, MILL, PLAIN, card_side, divider_side, scan_into
from support.opened import Lot

F3, F5, F6, F12, ENTER, UNDO, DELETE = (
    "\x1bOR", "\x1b[15~", "\x1b[17~", "\x1b[24~", "\r", "\x1a", "\x1b[3~",
)  # fmt: skip
HARBOR, POND, HERE = GOLD.set, MILL.set, GOLD.place
TRUTH = [
    *((HARBOR, str(number), "Gold", HERE) for number in (1, 2, 3)),
    *((HARBOR, str(number), "", HERE) for number in (4, 5, 6)),
    *((POND, str(number), "Silver Foil", HERE) for number in (1, 2, 3)),
    *((HARBOR, str(number), "Gold", HERE) for number in (7, 8, 9)),
    *((HARBOR, str(number), "", PLAIN.place) for number in (10, 11)),
]


def cards(first: int, past: int) -> list:
    return [card_side(at) for at in range(2 * first, 2 * past)]


def is_kept(lot: Lot, skipped: str, last: str) -> bool:
    """Whether the open lot has skipped a scan and has another one on a card. The screen alone does
    not tell: nine cards may be nine, or seven and a divider that was not read yet."""
    kept: dict = {}
    for line in (lot.folder / "lot.journal").read_bytes().splitlines(keepends=True):
        record = json.loads(line)[1] if line.endswith(b"\n") else {}
        found = record.get("arrangement", kept)
        kept = found[-1] if isinstance(found, list) else found
    paired = {scan for _, *scans in kept["pairs"] for scan in scans}
    return skipped in kept.get("mending", {}).get("left_out", ()) and last in paired


def test_a_tray_is_tagged_as_it_lay(tmp_path: Path, tagger: list[str]) -> None:
    folder, rows = tmp_path / "tray", ["set,number,subject,parallels"]
    rows += [f"{HARBOR},{number},Ada Marsh {number},Gold/99" for number in range(1, 13)]
    rows += [f"{POND},{number},Flo Gray {number},Silver Foil" for number in range(1, 10)]
    (tmp_path / "list.csv").write_text("\n".join(rows))
    soiled = divider_side(PLAIN, 0)
    ImageDraw.Draw(soiled).rectangle((150, 600, 620, 1010), "grey")
    turned = [divider_side(PLAIN, at) for at in (0, 1)] + cards(12, 14)
    scan_into(folder, [GOLD, *cards(0, 3)])
    lot = Lot(folder, tmp_path / "list.csv", tagger)
    with lot.open() as terminal:
        # the first card is a divider, and then no more
        terminal.wait_for("Divider 1987 Harbor Light · Gold", 60)
        terminal.wait_for("card 1 of 3")

        def tag(first: int, past: int) -> None:
            for at in range(first, past):
                terminal.send(f"{TRUTH[at][1]}{ENTER}")
                terminal.wait_for(rf"{at + 1} tagged")

        tag(0, 3)
        # the divider of the second group is missing, that of the third came twice
        scan_into(folder, [*cards(3, 6), MILL, MILL, *cards(6, 9)], first=9)
        terminal.pump(60, lambda: is_kept(lot, "scan_0018.jpg", "scan_0024.jpg"))
        terminal.wait_for("card 4 of 9", 60)
        terminal.send(f"parallel{F6}")
        terminal.wait_for("No longer carrying the parallel")
        tag(3, 6)
        terminal.wait_for("Divider 1985 Mill Pond · Silver Foil, 3 cards")
        terminal.send(f"1{ENTER}")
        terminal.wait_for("7 tagged")
        # its fields came with the tag, and go with it; they are there again with the card
        terminal.send(UNDO)
        terminal.wait_for("6 tagged")
        terminal.wait_for("parallel Silver Foil")
        tag(6, 9)
        scan_into(
            folder,
            [soiled, soiled, *cards(9, 12), *(side.rotate(180) for side in turned)],
            first=25,
        )
        terminal.pump(60, lambda: is_kept(lot, "scan_0034.jpg", "scan_0038.jpg"))
        terminal.wait_for("of 15", 60)
        terminal.wait_for("3 problems F12", 60)
        terminal.send(F12)
        terminal.wait_for("counts once")
        terminal.send(DELETE)
        terminal.wait_for("like a divider, but cannot be read")
        terminal.send(ENTER)
        terminal.wait_for("upside down")
        terminal.send(ENTER)
        terminal.wait_for("rotated 180°")
        terminal.send(F12)
        terminal.wait_for("card 10 of 14")
        terminal.send(f"1987 harbor gold nm{F5}")
        terminal.wait_for("Carrying from now on")
        tag(9, 14)
        terminal.send(F3)
        terminal.wait_for("── 1987 Harbor Light · Gold · Near Mint · box 3, row 1, 6 cards ─")
        terminal.wait_for("── unknown divider, 3 cards ─")
        terminal.send("\x18")
        terminal.wait_exit()
    kept = lot.cards()
    now = [(card["set"], card["number"], card.get("parallel", ""), card["place"]) for card in kept]
    assert now == TRUTH
    assert {card["condition"] for card in kept} == {"Near Mint"}
    document = json.loads((folder / "lot.json").read_text(encoding="utf-8"))["state"]["1"]
    assert set(document["mending"]["turns"].values()) == {180}
    assert len(document["mending"]["turns"]) == 4
