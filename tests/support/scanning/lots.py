"""Lots of scans with the truth about them, in a folder."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from PIL import Image

from support.scanning.cards import Deck
from support.scanning.machines import CARD, Machine, Point, scanned


@dataclass(frozen=True)
class Side:
    """One scan to be: which card of which deck, which side of it, by how many degrees it was laid
    in."""

    deck: int
    number: int
    side: str
    turned: int = 0


@dataclass(frozen=True)
class Truth:
    """What a scan shows, and where its card lies (None: nothing was drawn anew)."""

    side: Side
    corners: tuple[Point, Point, Point, Point]


def in_turn(decks: Sequence[int], cards: int) -> list[Side]:
    """Fronts and backs of so many cards, the decks one after the other in equal parts."""
    out = []
    for at in range(cards):
        deck = decks[at * len(decks) // cards]
        out += [Side(deck, at, "front"), Side(deck, at, "back")]
    return out


def drawn(
    folder: Path,
    sides: Sequence[Side],
    decks: Sequence[Deck],
    machine: Machine,
    seed: str,
    size: tuple[float, float] = CARD,
) -> dict[str, Truth]:
    """The scans of these sides in a new folder, by file name in feeding order."""
    folder.mkdir(parents=True)
    stands, out = machine.own(), {}
    for at, side in enumerate(sides, start=1):
        rng = random.Random(f"{seed} {machine.name} {at}")
        art: Image.Image = decks[side.deck].side(side.number, side.side)
        done = scanned(art, stands, rng, size=size, turned=side.turned)
        name = f"scan_{at:04d}.jpg"
        (folder / name).write_bytes(done.data)
        out[name] = Truth(side, done.corners)
    return out
