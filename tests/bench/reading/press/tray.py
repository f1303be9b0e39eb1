"""A tray of the second press. Its designs are in two halves: what was looked at while the rules
were written has the even forms of fronts and backs, and what is held out the odd ones."""

from __future__ import annotations

import random
from pathlib import Path

from bench.reading.press.backs import BACKS, back_of
from bench.reading.press.fronts import FRONTS, front_of
from bench.reading.press.glass import scanned
from bench.reading.press.look import letters_at, look_of
from bench.reading.press.people import family
from bench.reading.worlds import Family
from tagger.core.model.tags import Row

HALVES = ("press-tuning", "press")


def press_families(half: str, dpi: int, count: int) -> list[Family]:
    """The families of a half at a resolution; each resolution has sets of its own."""
    return [family(f"{half} {dpi}", at, letters_at(at)) for at in range(count)]


def cards_of(of: Family, count: int) -> list[Row]:
    """The cards of a family's set that were bought, in no order."""
    return random.Random(of.own.name).sample(of.own.rows, min(count, len(of.own.rows)))


def print_card(
    half: str, dpi: int, at: int, of: Family, row: Row, names: tuple[Path, Path]
) -> None:
    """Draw and scan both sides of a card of the family at a place."""
    look, (front, back) = look_of(f"{half} {dpi}", at, of.own), _forms(half, at, dpi)
    rng = random.Random(f"{half} {at} {dpi} {row.number}")
    scanned(front_of(look, front, row, rng), names[0], dpi, rng)
    scanned(back_of(look, back, row, rng), names[1], dpi, rng)


def _forms(half: str, at: int, dpi: int) -> tuple[int, int]:
    odd = HALVES.index(half)
    front = 2 * ((at + dpi // 100) % (len(FRONTS) // 2)) + odd
    back = 2 * (at % (len(BACKS) // 2)) + odd
    return front, back
