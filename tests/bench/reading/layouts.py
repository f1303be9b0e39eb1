"""How the cards of a set look, one function a design; those called `tuning` were looked at while
the rules were written, those called `held` are measured."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image

from bench.reading.art import KINDS, picture
from bench.reading.paper import SIZE, Colour, Paper, ink_on
from bench.reading.worlds import DrawnSet
from tagger.core.model.tags import Row

Sides = tuple[Image.Image, Image.Image]


@dataclass(frozen=True)
class Design:
    """What the cards of a set share."""

    set: DrawnSet
    title: Path
    small: Path
    ground: Colour
    accent: Colour
    kind: int
    seed: str

    def art(self, row: Row, size: tuple[float, float]) -> Image.Image:
        """A picture of a card's own, of a size in parts of the card."""
        noise = np.random.default_rng(abs(hash_of(f"{self.seed} {row.number}")))
        return picture(noise, (round(size[0] * SIZE[0]), round(size[1] * SIZE[1])), self.kind)

    def rng(self, row: Row) -> random.Random:
        """Chance of a card's own."""
        return random.Random(f"{self.seed} {row.number} {row.subject}")

    @property
    def legal(self) -> str:
        """The small line."""
        return f"© {self.set.year} {self.set.maker}. All rights reserved."


def hash_of(text: str) -> int:
    """The same on each machine."""
    return random.Random(text).getrandbits(32)


def design(half: str, at: int, own: DrawnSet, fonts: list[Path]) -> Design:
    """The design of a set."""
    rng = random.Random(f"{half} design {at}")
    light = rng.random() < 0.65
    ground = tuple(rng.randint(*((205, 250) if light else (14, 70))) for _ in range(3))
    accent = tuple(rng.randint(30, 200) for _ in range(3))
    return Design(
        own, fonts[at % len(fonts)], fonts[(at * 3 + 1) % len(fonts)], ground, accent,
        rng.randrange(KINDS), f"{half} {at}",
    )  # fmt: skip


def drawn(half: str, at: int, of: Design, row: Row) -> Sides:
    """Front and back of a card."""
    layouts = TUNING if half == "tuning" else HELD
    return layouts[at % len(layouts)](of, row)


def _paper(of: Design, sideways: bool = False) -> Paper:
    return Paper(of.ground, ink_on(of.ground), (SIZE[1], SIZE[0]) if sideways else SIZE)


def _table(paper: Paper, of: Design, row: Row, top: float, left: float = 0.08) -> float:
    """Years and counts: numbers that are no number of the card."""
    rng, y = of.rng(row), top
    for back in range(rng.randint(2, 6), 0, -1):
        paper.text(of.small, 6.5, left, y, str(of.set.year - back))
        paper.text(of.small, 6.5, left + 0.13, y, row.team, most=0.4)
        for column in range(4):
            value = str(rng.randint(1, 199))
            paper.text(of.small, 6.5, left + 0.55 + 0.1 * column, y, value)
        y += 0.031
    return y


def _prose(paper: Paper, of: Design, row: Row, top: float, left: float = 0.08) -> float:
    """Sentences, with other people of the set in them."""
    rng, y = of.rng(row), top
    other = rng.choice(of.set.rows)
    last = row.subject.split()[-1]
    for line in (
        f"{last} came from {row.team} in {of.set.year - 1} and stayed",
        f"for {rng.randint(2, 19)} seasons, most of them beside",
        f"{other.subject}, who wore {rng.randint(1, 99)} then.",
        f"Best of {of.set.year - rng.randint(2, 6)}: {rng.randint(100, 400)} in a year.",
    ):
        y += paper.text(of.small, 7, left, y, line, most=0.94 - left)
    return y


# --- looked at


def _panel(of: Design, row: Row) -> Sides:
    front, back = _paper(of), _paper(of)
    front.paste(of.art(row, (0.9, 0.72)), 0.05, 0.04)
    front.box(0.05, 0.78, 0.95, 0.95, of.accent, 12)
    light = ink_on(of.accent)
    front.text(of.title, 17, 0.5, 0.80, row.subject.upper(), light, "ma", 0.84)
    front.text(of.small, 8, 0.5, 0.885, row.team, light, "ma", 0.8)
    front.text(of.small, 6.5, 0.07, 0.05, of.set.brand, (255, 255, 255), rim=(0, 0, 0))
    back.box(0.05, 0.04, 0.95, 0.14, of.accent)
    back.text(of.title, 13, 0.08, 0.055, row.subject, light, most=0.58)
    back.text(of.small, 10, 0.92, 0.06, f"No. {row.number}", light, "ra")
    y = _table(back, of, row, 0.2)
    _prose(back, of, row, y + 0.04)
    back.text(of.small, 5, 0.5, 0.95, of.legal, anchor="ms", most=0.9)
    return front.picture, back.picture


def _badge(of: Design, row: Row) -> Sides:
    front, back = _paper(of), _paper(of)
    front.paste(of.art(row, (1.0, 1.0)), 0, 0)
    first, last = row.subject.split(maxsplit=1)
    white, dark = (250, 250, 250), (10, 10, 10)
    front.text(of.title, 12, 0.07, 0.80, first, white, rim=dark)
    front.text(of.title, 22, 0.07, 0.85, last.upper(), white, most=0.86, rim=dark)
    back.disc(0.13, 0.09, 62, of.accent)
    back.text(of.title, 13, 0.13, 0.09, row.number, ink_on(of.accent), "mm", 0.15)
    back.text(of.title, 14, 0.26, 0.055, row.subject, most=0.68)
    back.text(of.small, 8, 0.26, 0.125, row.team, most=0.6)
    y = _prose(back, of, row, 0.22)
    _table(back, of, row, y + 0.05)
    back.text(of.small, 6, 0.08, 0.9, f"{of.set.brand} - {len(of.set.rows)} cards")
    back.text(of.small, 5.5, 0.08, 0.935, of.legal, most=0.84)
    return front.picture, back.picture


def _vintage(of: Design, row: Row) -> Sides:
    front, back = _paper(of), _paper(of)
    front.paste(of.art(row, (0.86, 0.8)), 0.07, 0.05)
    front.text(of.title, 15, 0.5, 0.87, row.subject.upper(), anchor="ma", most=0.86)
    front.text(of.small, 7, 0.5, 0.94, row.team.upper(), anchor="ma", most=0.8)
    back.text(of.title, 14, 0.5, 0.05, row.subject.upper(), anchor="ma", most=0.8)
    y = _prose(back, of, row, 0.16)
    _table(back, of, row, y + 0.06)
    back.box(0.78, 0.9, 0.94, 0.96, of.accent)
    back.text(of.title, 11, 0.86, 0.93, row.number, ink_on(of.accent), "mm", 0.14)
    back.text(of.small, 5.5, 0.06, 0.92, f"© {of.set.year} {of.set.maker}", most=0.6)
    back.text(of.small, 5.5, 0.06, 0.945, f"{of.set.brand}, a set of {len(of.set.rows)}", most=0.6)
    return front.picture, back.picture


# --- held out


def _column(of: Design, row: Row) -> Sides:
    front, back = _paper(of), _paper(of)
    front.paste(of.art(row, (0.8, 1.0)), 0.2, 0)
    front.box(0, 0, 0.2, 1, of.accent)
    front.upwards(of.title, 17, 0.04, 0.1, row.subject.upper(), ink_on(of.accent))
    front.text(of.small, 8, 0.96, 0.95, row.team, (255, 255, 255), "rs", 0.7, (0, 0, 0))
    back.box(0, 0, 0.14, 1, of.accent)
    back.text(of.title, 13, 0.07, 0.05, row.number, ink_on(of.accent), "mm", 0.125)
    back.text(of.title, 15, 0.2, 0.05, row.subject, most=0.75)
    back.text(of.small, 8, 0.2, 0.125, row.team, most=0.7)
    y = _prose(back, of, row, 0.2, 0.2)
    back.text(of.small, 7, 0.2, y + 0.05, f"Games {of.rng(row).randint(20, 160)}")
    back.text(of.small, 6.5, 0.2, 0.9, f"{of.set.brand} {of.set.year}", most=0.7)
    back.text(of.small, 5, 0.2, 0.94, of.legal, most=0.75)
    return front.picture, back.picture


def _poster(of: Design, row: Row) -> Sides:
    front, back = _paper(of), _paper(of)
    front.paste(of.art(row, (1.0, 0.86)), 0, 0)
    front.text(of.title, 16, 0.06, 0.885, row.subject, most=0.7)
    front.text(of.title, 11, 0.94, 0.9, f"#{row.number}", anchor="ra")
    front.text(of.small, 7, 0.06, 0.945, of.set.brand, most=0.6)
    back.box(0.06, 0.06, 0.94, 0.5, of.accent, 30)
    light = ink_on(of.accent)
    back.text(of.title, 18, 0.5, 0.15, row.subject.split()[0], light, "ma", 0.8)
    back.text(of.title, 22, 0.5, 0.22, row.subject.split(maxsplit=1)[1], light, "ma", 0.8)
    back.text(of.small, 9, 0.5, 0.33, row.team, light, "ma", 0.7)
    _table(back, of, row, 0.56)
    back.text(of.small, 7, 0.06, 0.93, f"{row.number} of {len(of.set.rows)}", anchor="ls")
    back.text(of.small, 5.5, 0.94, 0.93, f"© {of.set.year} {of.set.maker}", anchor="rs", most=0.6)
    return front.picture, back.picture


def _broad(of: Design, row: Row) -> Sides:
    """A back that is read lying down, as it is fed upright."""
    front, back = _paper(of), _paper(of, sideways=True)
    front.paste(of.art(row, (0.92, 0.86)), 0.04, 0.03)
    front.text(of.title, 15, 0.5, 0.905, row.subject, anchor="ma", most=0.9)
    back.box(0.03, 0.05, 0.97, 0.2, of.accent)
    light = ink_on(of.accent)
    back.text(of.title, 14, 0.05, 0.075, row.subject.upper(), light, most=0.7)
    back.text(of.title, 14, 0.95, 0.075, row.number, light, "ra", 0.2)
    y = _prose(back, of, row, 0.28, 0.05)
    _table(back, of, row, y + 0.04, 0.05)
    back.text(of.small, 6.5, 0.05, 0.86, f"{of.set.brand} · {row.team}", most=0.9)
    back.text(of.small, 5.5, 0.05, 0.915, of.legal, most=0.9)
    return front.picture, back.picture.transpose(Image.Transpose.ROTATE_90)


def _quiet(of: Design, row: Row) -> Sides:
    """No small print but the brand with its year."""
    front, back = _paper(of), _paper(of)
    front.paste(of.art(row, (0.8, 0.6)), 0.1, 0.16)
    front.text(of.title, 14, 0.5, 0.07, row.subject.upper(), anchor="ma", most=0.9)
    front.text(of.small, 8, 0.5, 0.82, row.team, anchor="ma", most=0.8)
    back.text(of.title, 10, 0.92, 0.06, row.number, anchor="ra")
    back.text(of.title, 13, 0.08, 0.07, row.subject, most=0.7)
    y = _table(back, of, row, 0.2)
    _prose(back, of, row, y + 0.08)
    back.text(of.title, 9, 0.5, 0.9, f"{of.set.year} {of.set.brand}", anchor="ma", most=0.9)
    return front.picture, back.picture


Layout = Callable[[Design, Row], Sides]
TUNING: tuple[Layout, ...] = (_panel, _badge, _vintage)
HELD: tuple[Layout, ...] = (_column, _poster, _broad, _quiet)
