"""Fronts of 1987 Harbor Light: painted boards, a rope around the picture, the name on a sign."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PIL import Image, ImageDraw

from tagger.demo.art.brush import Colour, Point, darker, fill, lighter, mix, oval
from tagger.demo.art.foil import GOLD, RED, SILVER, foil, rope, rounded_path
from tagger.demo.art.letters import Face
from tagger.demo.art.sheet import DRAWN, FINE, Sheet, fine_size
from tagger.demo.people.clubs import TEAMS
from tagger.demo.sets.marks import badge, harbor_mark, on
from tagger.demo.sets.pictures import people, portrait

if TYPE_CHECKING:
    from tagger.demo.sets.scenario import ListedCard

_METALS: dict[str, Sequence[Colour]] = {"Gold": GOLD, "Silver": SILVER, "Lamp Red": RED}
_CORDS: dict[str, Colour] = {
    "Gold": (236, 196, 104),
    "Silver": (214, 218, 224),
    "Lamp Red": (232, 92, 76),
}
_SIGNS: dict[str, Colour] = {"Gold": (30, 24, 18), "Silver": (44, 50, 60), "Lamp Red": (70, 8, 16)}
_PASTELS: tuple[tuple[Colour, Colour, Colour], ...] = (
    ((168, 214, 200), (184, 224, 212), (154, 202, 190)),
    ((250, 208, 178), (252, 220, 194), (242, 194, 164)),
    ((172, 206, 232), (188, 218, 240), (158, 192, 222)),
    ((250, 228, 164), (252, 236, 184), (240, 214, 146)),
    ((216, 196, 228), (226, 208, 236), (202, 180, 216)),
    ((246, 190, 192), (250, 204, 204), (236, 174, 178)),
)


def boards_front(row: ListedCard, parallel: str, serial: str) -> Image.Image:
    """The front; a parallel has boards of metal, and a cord and sign to go with it."""
    team = people(row)[0][1]
    sheet = Sheet(_boards(row, parallel, random.Random(f"boards of {row.number} {parallel}")))
    _picture(sheet, row, _CORDS.get(parallel, (226, 202, 156)))
    ground = _SIGNS.get(parallel, mix(team.main, (26, 40, 66), 0.35))
    _sign(sheet, row, ground)
    harbor_mark(sheet, (132, 140), 82, "'87", (250, 244, 228), (32, 52, 88))
    badge(sheet, (626, 738), 56, team)
    if serial:
        sheet.area((300, 1000, 450, 1040), ground, 14)
        # By the number, so that each copy is stamped a little otherwise and always the same.
        rng = random.Random(serial)
        sheet.stamp((375, 1031), serial, Face(32, weight=0.04), _METALS[parallel], rng)
    return sheet.finished()


def _boards(row: ListedCard, parallel: str, rng: random.Random) -> Image.Image:
    """Upright boards with grain, gaps and nails: painted ones, or of metal for a parallel."""
    tones = _PASTELS[TEAMS.index(people(row)[0][1]) % len(_PASTELS)]
    metal = _METALS.get(parallel)
    if metal is None:
        picture, dark = Image.new("RGB", DRAWN, tones[0]), darker(tones[2], 0.55)
    else:
        picture, dark = foil(DRAWN, metal, rng), darker(metal[0], 0.55)
    edge, i = 0.0, 0
    while edge < DRAWN[0]:
        wide = rng.uniform(104, 142)
        if metal is None:
            # One board in four was painted anew and is lighter than its neighbours.
            tone = tones[i % 3] if rng.random() < 0.75 else lighter(tones[0], 0.3)
            ImageDraw.Draw(picture).rectangle((edge, 0, edge + wide, DRAWN[1]), fill=tone)
        _board(picture, edge, wide, dark, rng)
        edge, i = edge + wide, i + 1
    return picture


def _board(
    picture: Image.Image, edge: float, wide: float, dark: Colour, rng: random.Random
) -> None:
    """The grain of a board, the gap at its left and a nail at either end."""
    tall = picture.height
    pen = ImageDraw.Draw(picture, "RGBA")
    for _ in range(9):
        x, y = edge + rng.uniform(8, wide - 8), rng.uniform(-200, tall)
        length = rng.uniform(200, 900)
        wave = [(x + 5 * math.sin(k * 0.9 + y), y + length * k / 6) for k in range(7)]
        pen.line(wave, fill=(*dark, rng.randint(22, 64)), width=rng.choice((2, 2, 3, 4)))
    pen.line((edge, 0, edge, tall), fill=(*dark, 235), width=6)
    pen.line((edge + 5, 0, edge + 5, tall), fill=(255, 255, 255, 110), width=3)
    for y in (44, tall - 44):
        _nail(picture, (edge + wide / 2, y))


def _nail(picture: Image.Image, spot: Point) -> None:
    x, y = spot
    fill(picture, oval((x + 2, y + 3), 9, 9), (60, 50, 50, 120))
    fill(picture, oval(spot, 8, 8), (126, 120, 116))
    fill(picture, oval((x - 2, y - 3), 3, 3), (226, 222, 214))


def _picture(sheet: Sheet, row: ListedCard, cord: Colour) -> None:
    """The picture with its rounded corners, and the rope that covers its edge."""
    box, round_by, thick = (58.0, 58.0, 692.0, 846.0), 96.0 * FINE, 19.0 * FINE
    size = fine_size(box)
    mask = Image.new("L", size, 0)
    ImageDraw.Draw(mask).rounded_rectangle(
        (0, 0, size[0] - 1, size[1] - 1), radius=round_by, fill=255
    )
    sheet.put(portrait(row, size, close=1.08), (box[0], box[1]), mask)
    left, top, right, low = (value * FINE for value in box)
    rope(sheet.picture, rounded_path((left, top, right, low), round_by, thick * 0.52), thick, cord)


def _sign(sheet: Sheet, row: ListedCard, ground: Colour) -> None:
    """The sign with subject and club at the foot of the card."""
    team = people(row)[0][1]
    left, top, right, low = 92.0, 806.0, 658.0, 984.0
    sheet.shadow([(100, 818), (668, 818), (668, 996), (100, 996)], 0.6, 8)
    # Chosen by contrast: the ground is the club's colour, which may be light or dark.
    ink = on(ground, (255, 246, 222), (30, 32, 44))
    sheet.area((left, top, right, low), ground, 22)
    sheet.frame((left + 9, top + 9, right - 9, low - 9), (*ink, 200), 3, 15)
    sheet.text((375, 886), row.subject, 68, ink, weight=0.035, anchor="m", room=508)
    second = on(ground, team.trim, team.second, (255, 226, 150))
    sheet.text(
        (375, 949), row.team.upper(), 33, second, weight=0.03, tracking=0.06, anchor="m", room=490
    )
