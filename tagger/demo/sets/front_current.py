"""Fronts of the 1992 Rising Current cards: the player before two huge letters in streams of
colour."""

from __future__ import annotations

import math
import random
from typing import TYPE_CHECKING

from PIL import Image

from tagger.demo.art.brush import Colour, curve, fade
from tagger.demo.art.sheet import DRAWN, FINE, Sheet
from tagger.demo.sets.marks import badge, squall_mark
from tagger.demo.sets.pictures import people, put_players

if TYPE_CHECKING:
    from tagger.demo.sets.scenario import ListedCard

_CORAL: Colour = (246, 84, 98)
_SAND: Colour = (255, 232, 150)
_SEA: Colour = (80, 226, 222)
_WHITE: Colour = (255, 255, 255)
_SKY = ((0.0, (255, 178, 60)), (0.4, _CORAL), (0.75, (132, 44, 150)), (1.0, (24, 34, 96)))
_POSES = ("bust", "folded", "shouldered", "catch")


def current_front(row: ListedCard, parallel: str, serial: str) -> Image.Image:
    """The front; these cards have no parallels."""
    sheet = Sheet(fade(DRAWN, _SKY))
    _streams(sheet, random.Random(f"streams of {row.number}"))
    sheet.raised(
        (378, 430), "RC", 500, (*_WHITE, 215), (60, 16, 90, 150), 10,
        weight=0.075, slant=8, width=0.84, anchor="m",
    )  # fmt: skip
    put_players(sheet.picture, row, (375 * FINE, 372 * FINE), 140 * FINE, poses=_POSES, room=1300)
    dark = [(-80, 820), (830, 800), (830, 1200), (-80, 1200)]
    sheet.soft(dark, (22, 24, 84), 0.92, 35)
    _name(sheet, row)
    sheet.raised(
        (44, 70), "RISING CURRENT", 46, _WHITE, (60, 16, 90), 3,
        weight=0.05, slant=12, tracking=0.06,
    )  # fmt: skip
    sheet.line([(44, 86), (520, 86)], _SEA, 6)
    squall_mark(sheet, (556, 58), 34, _WHITE, _SAND, _SEA)
    badge(sheet, (666, 800), 54, people(row)[0][1])
    return sheet.finished()


def _streams(sheet: Sheet, rng: random.Random) -> None:
    tones, opacities = (_SAND, _SEA, (255, 120, 110), _WHITE), (96, 62)
    for i in range(13):
        rise, swing = 1010 - i * 82, rng.uniform(24, 60)
        crest = [
            (750 * k / 8, rise - 30 * k + swing * math.sin(k * 0.9 + i * 0.7))
            for k in range(-1, 10)
        ]
        below = [(x, y + 30 + 6 * i) for x, y in reversed(crest)]
        outline = [*curve(crest, closed=False), *curve(below, closed=False)]
        sheet.shape(outline, (*tones[i % 4], opacities[i % 2]))


def _name(sheet: Sheet, row: ListedCard) -> None:
    sheet.area((44, 856, 706, 956), _WHITE, 50)
    sheet.frame((51, 863, 699, 949), _CORAL, 5, 43)
    sheet.text((375, 930), row.subject, 70, (38, 26, 92), weight=0.045, anchor="m", room=560)
    sheet.text(
        (375, 1008), row.team.upper(), 34, _SAND,
        weight=0.03, tracking=0.08, anchor="m", room=600,
    )  # fmt: skip
