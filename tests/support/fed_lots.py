"""Lots as a feeder makes them, with its faults, out of whole sets of drawn cards. The truth is
known."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

from PIL import Image

from support.card_sets import Drawn, cut, passed

FAULTS = ("missing front", "missing back", "extra scan", "swapped")


@dataclass
class FedLot:
    """The scans of a lot in feeding order: for each its side (`front` or `back`), its set and the
    card in it. `faults` are (kind, index of the scan); `down` tells which scans lie upside down;
    `begins` where each set begins."""

    scans: list[tuple[str, int, int]] = field(default_factory=list)
    faults: list[tuple[str, int]] = field(default_factory=list)
    down: list[bool] = field(default_factory=list)
    begins: list[int] = field(default_factory=list)

    def pictures(self, sets: list[list[Drawn]], rng: random.Random) -> list[Image.Image]:
        """The scans as straight crops of 250 x 350 pixels."""
        out: list[Image.Image] = []
        copy: Image.Image | None = None
        twice = {at for kind, at in self.faults if kind == "extra scan"}
        for at, ((side, which, card), turned) in enumerate(zip(self.scans, self.down, strict=True)):
            drawn = sets[which][card]
            if copy is None or at not in twice:  # a scan too many is another pass of the same copy
                copy = cut(drawn.front if side == "front" else drawn.back, rng)
            out.append(passed(copy, rng, upside_down=turned))
        return out


def _tray(rng: random.Random, sets: list[list[Drawn]]) -> tuple[list[tuple[int, int]], list[int]]:
    """(set, card) for 60 to 400 cards of one to three sets, numbers rising, 22 in 100 doubles;
    where sets begin."""
    count, kinds = rng.randint(60, 400), rng.randint(1, 3)
    cuts = [0, *sorted(rng.sample(range(10, count - 10), kinds - 1)), count]
    cards = []
    for first, past, which in zip(
        cuts, cuts[1:], rng.sample(range(len(sets)), kinds), strict=False
    ):
        at = 0
        for _ in range(past - first):
            cards.append((which, at % len(sets[which])))
            if rng.random() >= 0.22:
                at += rng.choices((1, 2, 3), (7, 2, 1))[0]
    return cards, cuts[:-1]


def fed_sides(fault: str | None, twice: int = 0) -> list[str]:
    """The sides of one card as they come out of the feeder; an extra scan is of side `twice` (0
    front, 1 back)."""
    if fault == "extra scan":
        return ["front", "front", "back"] if twice == 0 else ["front", "back", "back"]
    known = {"missing front": ["back"], "missing back": ["front"], "swapped": ["back", "front"]}
    return known.get(fault or "", ["front", "back"])


def slipped_lot(rng: random.Random, sets: list[list[Drawn]], most: int = 4) -> FedLot:
    """A lot with 0 to `most` faults of the feeding, at least two cards from its ends."""
    cards, _ = _tray(rng, sets)
    places = rng.sample(range(2, len(cards) - 2), rng.randint(0, most))
    kinds = {place: rng.choice(FAULTS) for place in places}
    lot = FedLot()
    for at, (which, card) in enumerate(cards):
        kind, here = kinds.get(at), len(lot.scans)
        twice = rng.randrange(2) if kind == "extra scan" else 0
        sides = fed_sides(kind, twice)
        if kind == "extra scan":
            here += twice + 1
        if kind:
            lot.faults.append((kind, here))
        lot.scans += [(side, which, card) for side in sides]
    lot.down = [False] * len(lot.scans)
    return lot


def turned_lot(rng: random.Random, sets: list[list[Drawn]]) -> FedLot:
    """A lot in which single cards, or a stretch of one side (at most two fifths of a set), lie
    upside down."""
    cards, begins = _tray(rng, sets)
    lot = FedLot(begins=begins)
    for which, card in cards:
        lot.scans += [("front", which, card), ("back", which, card)]
    lot.down = [False] * len(lot.scans)
    mode = rng.choice(("single", "single", "stretch", "both"))
    if mode != "stretch":
        for at in range(len(cards)):
            if rng.random() < 0.04:
                lot.down[2 * at] = lot.down[2 * at + 1] = True
    if mode != "single":
        ends = [*begins, len(cards)]
        which = rng.randrange(len(begins))
        first, past = ends[which], ends[which + 1]
        long = rng.randint(1, max(1, (past - first) * 2 // 5))
        start, side = rng.randint(first, past - long), rng.randrange(2)
        for at in range(start, start + long):
            lot.down[2 * at + side] = not lot.down[2 * at + side]
    return lot


def broken_jpeg(data: bytes, rng: random.Random) -> bytes:
    """A JPEG file damaged inside its coded data, whole by its markers: a bit flipped, a stretch
    overwritten or gone."""
    start = data.find(b"\xff\xda") + 14
    at = rng.randrange(start, start + (len(data) - start) * 9 // 10)
    out = bytearray(data)
    kind = rng.choice(("flip", "junk", "zero", "gone"))
    if kind == "flip":
        out[at] ^= 1 << rng.randrange(8)
    elif kind == "junk":
        junk = rng.randbytes(rng.randrange(4, 512)).replace(b"\xff", b"\xfe")
        out[at : at + len(junk)] = junk
    elif kind == "zero":
        size = rng.randrange(64, 4096)
        out[at : at + size] = bytes(size)
    else:
        del out[at : at + rng.randrange(200, 20_000)]
    out[-2:] = b"\xff\xd9"
    return bytes(out)
