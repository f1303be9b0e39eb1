"""Fronts of the 1987 Harbor Light Keepers: night, a lighthouse with its beams, a frame of foil."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from tagger.demo.art.brush import Colour, curve, fade, oval, soft
from tagger.demo.art.foil import GOLD, RAINBOW, SILVER, foil
from tagger.demo.art.letters import Face
from tagger.demo.art.sheet import DRAWN, FINE, Sheet
from tagger.demo.sets.marks import badge, lighthouse
from tagger.demo.sets.pictures import people, put_players

if TYPE_CHECKING:
    from tagger.demo.sets.scenario import ListedCard

_LAMP = (150.0, 196.0)
_CLIFF = (
    (-60, 440), (60, 452), (190, 462), (262, 500), (318, 560), (330, 640), (410, 676), (450, 740),
)  # fmt: skip
_POSES = ("bust", "folded", "shouldered")


def keepers_front(row: ListedCard, parallel: str, serial: str) -> Image.Image:
    """The front: gold foil, and rainbow foil over the whole night for the parallel."""
    rainbow = parallel == "Foil"
    metal = RAINBOW if rainbow else GOLD
    # By the number: each card has stars of its own, and the same ones whenever it is drawn.
    seeded = random.Random(f"stars of {row.number}")
    sheet = Sheet(fade(DRAWN, ((0.0, (10, 18, 48)), (0.55, (22, 54, 104)), (1.0, (8, 12, 34)))))
    _beams(sheet)
    if rainbow:
        shine = foil(DRAWN, RAINBOW, seeded, 3)
        sheet.picture = Image.blend(ImageChops.overlay(sheet.picture, shine), shine, 0.4)
    _night(sheet, seeded)
    _cliff(sheet)
    put_players(sheet.picture, row, (430 * FINE, 360 * FINE), 118 * FINE, poses=_POSES, room=1000)
    _lamplight(sheet)
    _foil_frame(sheet, metal, seeded)
    _lettering(sheet, row, metal, seeded)
    badge(sheet, (640, 112), 48, people(row)[0][1])
    if serial:
        sheet.stamp((375, 987), serial, Face(32, weight=0.04), SILVER, random.Random(serial))
    return sheet.finished()


def _beams(sheet: Sheet) -> None:
    for i in range(9):
        angle = math.radians(-30 + i * 19)
        edges = [
            (_LAMP[0] + 1500 * math.cos(angle + s), _LAMP[1] + 1500 * math.sin(angle + s))
            for s in (-0.07, 0.07)
        ]
        sheet.soft([_LAMP, *edges], (255, 226, 150), 0.34, 8)


def _night(sheet: Sheet, rng: random.Random) -> None:
    """Stars, the lighthouse with its lamp, and the sea with their light on it."""
    for _ in range(90):
        x, y, r = rng.uniform(0, 750), rng.uniform(0, 620), rng.choice((0.8, 1.1, 1.6))
        sheet.disc((x, y), r, (255, 250, 226, 190))
    lighthouse(sheet, (150, 470), 330, (236, 230, 220), (150, 46, 48), (255, 232, 160), beams=False)
    glow = oval((_LAMP[0] * FINE, (_LAMP[1] + 8) * FINE), 130, 130)
    soft(sheet.picture, glow, (255, 240, 190), 0.8, 60)
    sea = ((0.0, (40, 78, 128)), (0.4, (14, 30, 70)), (1.0, (6, 10, 30)))
    sheet.put(fade((DRAWN[0], 800), sea), (0, 650))
    for _ in range(46):
        # More glints the nearer to the horizon, where the water is seen flatter.
        x, y = rng.uniform(0, 750), 652 + 150 * rng.random() ** 1.5
        end = (x + rng.uniform(14, 70), y)
        sheet.line([(x, y), end], (255, 232, 170, rng.randint(40, 150)), 2)


def _cliff(sheet: Sheet) -> None:
    edge = curve(_CLIFF, closed=False)
    sheet.shape([(-60, 1060), *edge, (450, 1060)], (10, 15, 34))
    sheet.line(edge, (84, 96, 128), 2)


def _lamplight(sheet: Sheet) -> None:
    """Warm light over everything so far, players included, and dark below for the letters."""
    glow = Image.new("RGB", DRAWN, (255, 196, 120))
    sheet.picture = Image.blend(sheet.picture, ImageChops.multiply(sheet.picture, glow), 0.3)
    for top, opacity in ((730, 0.55), (800, 0.9)):
        dark = [(-60, top), (810, top), (810, 1200), (-60, 1200)]
        sheet.soft(dark, (8, 12, 32), opacity, 20)


def _lettering(sheet: Sheet, row: ListedCard, metal: Sequence[Colour], rng: random.Random) -> None:
    name, pale = row.subject.upper(), (255, 226, 160)
    face = Face(_fitting(name, 570, 74), weight=0.04, tracking=0.05)
    sheet.stamp((375, 893), name, face, metal, rng)
    sheet.text(
        (375, 940), row.team.upper(), 30, (236, 228, 206), tracking=0.14, anchor="m", room=540
    )
    sheet.text((375, 808), "KEEPERS OF THE LIGHT", 25, pale, tracking=0.3, anchor="m", room=520)


def _fitting(text: str, room: float, size: float) -> float:
    """The em at which a tracked line of capitals stays within ``room`` pixels."""
    return min(size, room / (0.74 * len(text)))


def _foil_frame(sheet: Sheet, metal: Sequence[Colour], rng: random.Random) -> None:
    """Two thin lines of foil with cut corners around the side."""
    mask = Image.new("L", DRAWN, 0)
    pen = ImageDraw.Draw(mask)
    for inset, width in ((30, 10), (46, 4)):
        near, corner = inset * FINE, 46 * FINE
        right, low = DRAWN[0] - near, DRAWN[1] - near
        line = [
            (near + corner, near), (right - corner, near), (right, near + corner),
            (right, low - corner), (right - corner, low), (near + corner, low),
            (near, low - corner), (near, near + corner),
        ]  # fmt: skip
        pen.line([*line, line[0], line[1]], fill=255, width=width, joint="curve")
    shade = mask.filter(ImageFilter.GaussianBlur(4)).point([round(v * 0.6) for v in range(256)])
    sheet.picture.paste((0, 0, 10), (3, 4), shade)
    sheet.picture.paste(foil(DRAWN, metal, rng), (0, 0), mask)
