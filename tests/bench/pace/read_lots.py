"""Lots whose cards are drawn with print that can be read, by the held half of `bench.reading`: what
the cards in the hand say, their scans, and the lists that have them beside a sister set of the next
year and a twin of the same year with the same numbers and names."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import numpy as np

from bench.pace.lots import DOUBLES, GRADED_DOWN, PARALLELS, USUAL, WORSE, Card, Lot
from bench.reading.fonts import fonts_of
from bench.reading.layouts import design, drawn
from bench.reading.scanned import scan
from bench.reading.worlds import Family, families
from tagger.core.model.tags import Row

SETS, DPI, HALF = 3, 200, "held"
IN_PARALLEL = 0.08
AIMS = {"presorted, read": 0.5, "with parallels, read": 0.8, "shuffled sets, read": 2.0}


def lots(cards: int, seed: int) -> list[Lot]:
    """The three lots, so many cards each."""
    found = []
    for name, aim in AIMS.items():
        rng = random.Random(f"{name} {seed}")
        tray: list[Card] = []
        for at, family in enumerate(families(HALF, SETS)):
            share = cards * (at + 1) // SETS - cards * at // SETS
            tray += _tray(family, share, rng)
        if name.startswith("with"):
            tray = [_maybe_parallel(card, rng) for card in tray]
        if name.startswith("shuffled"):
            rng.shuffle(tray)
        found.append(Lot(name, tuple(tray), aim))
    return found


def _tray(family: Family, count: int, rng: random.Random) -> list[Card]:
    """Cards of a set in their order, with doubles and gaps as `lots` has them."""
    rows, at, found = family.own.rows, rng.randrange(3), []
    for _ in range(count):
        row = rows[at % len(rows)]
        condition = rng.choice(WORSE) if rng.random() < GRADED_DOWN else USUAL
        found.append(Card(row.set, row.number, row.subject, condition=condition))
        if rng.random() >= DOUBLES:
            at += rng.choices((1, 2, 3, 4), (70, 15, 10, 5))[0]
    return found


def _maybe_parallel(card: Card, rng: random.Random) -> Card:
    if rng.random() >= IN_PARALLEL:
        return card
    name, run = rng.choice(PARALLELS)
    serial = f"{rng.randint(1, run)}/{run}" if run else ""
    return replace(card, parallel=name, serial=serial)


def write_lists(folder: Path) -> None:
    """A checklist a set."""
    folder.mkdir(parents=True)
    listed = "; ".join(f"{name} /{run}" if run else name for name, run in PARALLELS)
    for family in families(HALF, SETS):
        for one in family.all:
            text = "set,number,subject,team,parallels\n"
            text += "".join(
                f"{row.set},{row.number},{row.subject},{row.team},{listed}\n" for row in one.rows
            )
            (folder / f"{one.name}.csv").write_text(text, encoding="utf-8")


def draw(folder: Path, lot: Lot, seed: int) -> None:
    """The scans of a lot; of the same card another pass through the scanner each time."""
    folder.mkdir(parents=True)
    noise, fonts = np.random.default_rng(seed), fonts_of(HALF)
    by_set: dict[str, tuple[int, Family]] = {
        family.own.name: (at, family) for at, family in enumerate(families(HALF, SETS))
    }
    for at, card in enumerate(lot.cards):
        place, family = by_set[card.set]
        row = next(row for row in family.own.rows if _is(row, card))
        sides = drawn(HALF, place, design(HALF, place, family.own, fonts), row)
        for side, picture in enumerate(sides, start=1):
            scan(picture, folder / f"scan_{at * 2 + side:04}.jpg", DPI, noise)


def _is(row: Row, card: Card) -> bool:
    return (row.number, row.subject) == (card.number, card.subject)
