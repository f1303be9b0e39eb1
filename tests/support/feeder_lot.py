"""A lot of 48 cards as a bad day at the feeder makes it, with its checklist and the truth."""

from __future__ import annotations

import random
from pathlib import Path

from PIL import Image

from support import drawn
from support.card_sets import card_set
from support.scanned import Scanner, fed, jpeg

CARDS, DPI = 48, 200
MISSING, SWAPPED, TURNED, BROKEN = 16, 28, 36, 22  # cards, from 1; TURNED is the first of those
LATE_BACK = f"scan_{2 * MISSING - 1:04d}x.jpg"  # as a dealer names it who puts it behind its front
SCANNER = Scanner("black", 16, (0, 0, 1), (1, -1), 2, 3, 1.2, 0.5, 0)


def name(number: int) -> str:
    return f"scan_{number:04d}.jpg"


def feeder_lot(folder: Path, more: int = 5) -> dict[str, bytes]:
    """Draws the scans of the lot into a folder, numbered without a gap as a scanner does, and
    returns those that come later, by their names: the missing back, the truncated front once more,
    and both sides of `more` cards."""
    rng = random.Random("a bad day")
    folder.mkdir(parents=True)
    sides: list[tuple[str, bytes]] = []
    later: dict[str, bytes] = {}
    for card, art in enumerate(card_set("feeder", CARDS + more, "held"), start=1):
        front, back = (_scanned(side, rng) for side in (art.front, art.back))
        if TURNED <= card <= CARDS:
            back = back.transpose(Image.Transpose.ROTATE_180)
        pair = [("front", jpeg(front, DPI, 80)), ("back", jpeg(back, DPI, 80))]
        if card == SWAPPED:
            pair.reverse()
        if card == MISSING:
            later["back"] = pair.pop()[1]
        sides += [(f"{card} {side}", data) for side, data in pair]
    for number, (side, data) in enumerate(sides, start=1):
        card = int(side.split()[0])
        if side == f"{BROKEN} front":
            later[name(number)] = data
            data = data[: len(data) * 2 // 3]
        if card > CARDS:
            later[name(number)] = data
        else:
            (folder / name(number)).write_bytes(data)
    later[LATE_BACK] = later.pop("back")
    return later


def _scanned(side: Image.Image, rng: random.Random) -> Image.Image:
    return fed(side.resize((500, 700)), rng, dpi=DPI, scanner=SCANNER, skew=1.0).picture


def truth(more: int = 5) -> list[drawn.Truth]:
    """The card of the checklist at each position of the tray, as it lies there."""
    return drawn.set_rows("1987 Harbor Light", CARDS + more, seed=5)
