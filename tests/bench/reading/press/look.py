"""How the cards of one set look: forms, fonts and colours."""

from __future__ import annotations

import random
from dataclasses import dataclass
from pathlib import Path

from bench.reading.press.pictures import Colour, colour
from bench.reading.press.typefaces import faces, letters_of
from bench.reading.worlds import DrawnSet


@dataclass(frozen=True)
class Look:
    """A set's looks. `art` is the kind of its pictures."""

    own: DrawnSet
    bold: Path
    script: Path
    text: Path
    main: Colour
    second: Colour
    paper: Colour
    art: int

    @property
    def has_logo(self) -> bool:
        """Whether fronts have the set's logo; without it the line of the maker names the set."""
        return self.art % 3 != 1

    @property
    def of(self) -> int:
        """How many cards the set has."""
        return len(self.own.rows)


def typefaces_of(at: int) -> tuple[Path, Path, Path]:
    """Bold, script and text fonts of the set at a place."""
    bold, script, text = faces("bold"), faces("script"), faces("text")
    return bold[at % len(bold)], script[at % len(script)], text[(at * 5 + at // 16) % len(text)]


def letters_at(at: int) -> frozenset[str]:
    """What all fonts of the set at a place can print."""
    bold, script, text = typefaces_of(at)
    return letters_of(bold) & letters_of(script) & letters_of(text)


def look_of(seed: str, at: int, own: DrawnSet) -> Look:
    """The looks of a set."""
    rng = random.Random(f"look {seed} {at}")
    paper = (rng.randint(222, 254), rng.randint(218, 250), rng.randint(200, 244))
    return Look(own, *typefaces_of(at), colour(rng, 15, 150), colour(rng, 120, 245), paper, at)
