"""Two lots of one set, and in the second copies of cards of the first, out of a feeder; the truth
is known."""

from __future__ import annotations

import random
from collections.abc import Sequence
from pathlib import Path

from PIL import Image

from support import drawn
from support.card_sets import Drawn, card_set, cut
from support.scanned import Scanner, fed, jpeg

DPI = 150
SCANNER = Scanner("black", 16, (0, 0, 1), (1, -1), 2, 3, 1.2, 0.5, 0)


def designs(set_name: str, cards: int) -> list[Drawn]:
    """The pictures of a set's cards, in the order of `drawn.set_rows`."""
    return card_set(set_name, cards, "held")


def draw(folder: Path, cards: Sequence[Drawn], seed: str) -> None:
    """Scans of one copy of each card, front and back in turn; of the same card another copy each
    time."""
    rng = random.Random(seed)
    folder.mkdir(parents=True)
    for at, card in enumerate(cards):
        for side, picture in enumerate((card.front, card.back), start=1):
            (folder / f"scan_{at * 2 + side:04d}.jpg").write_bytes(_scanned(cut(picture, rng), rng))


def _scanned(side: Image.Image, rng: random.Random) -> bytes:
    size = (round(2.5 * DPI), round(3.5 * DPI))
    return jpeg(
        fed(
            side.resize(size, Image.Resampling.BICUBIC), rng, dpi=DPI, scanner=SCANNER, skew=1.0
        ).picture,
        DPI,
    )


def checklist(folder: Path, set_name: str, cards: int, seed: int = 5) -> list[drawn.Truth]:
    """Writes the set's checklist; its rows."""
    rows = drawn.set_rows(set_name, cards, seed=seed)
    text = "set,number,subject,team,parallels\n"
    text += "".join(
        f"{row.set},{row.number},{row.subject},{row.team},Gold /99; Silver\n" for row in rows
    )
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{set_name}.csv").write_text(text, encoding="utf-8")
    return rows
