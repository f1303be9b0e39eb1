"""Fronts of 1992 Squall Line: the player leaps out of a leaning frame over neon stripes."""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

from PIL import Image, ImageChops, ImageDraw

from tagger.demo.art.brush import Colour, Point, darker
from tagger.demo.art.foil import MIDNIGHT, NEON, foil
from tagger.demo.art.letters import Face
from tagger.demo.art.sheet import DRAWN, FINE, Sheet
from tagger.demo.people.clubs import TEAMS
from tagger.demo.sets.harbors import harbor
from tagger.demo.sets.marks import badge, on, squall_mark
from tagger.demo.sets.pictures import backdrop, people, put_players
from tagger.demo.sets.scenery import night, stands

if TYPE_CHECKING:
    from tagger.demo.sets.scenario import ListedCard

Scheme = tuple[Colour, Colour, Colour]
_SCHEMES: tuple[Scheme, ...] = (
    ((236, 28, 124), (20, 190, 190), (252, 226, 44)),
    ((108, 44, 190), (252, 122, 30), (96, 230, 214)),
    ((26, 88, 220), (240, 40, 60), (250, 236, 70)),
)
_METAL = {"Neon": NEON, "Midnight": MIDNIGHT}
# Midnight itself is too dark for figures on a dark ground.
_FIGURES: dict[str, tuple[Colour, ...]] = {
    "Neon": NEON,
    "Midnight": ((170, 186, 250), (240, 244, 255), (196, 208, 255)),
}
_DARK: Colour = (16, 14, 30)
_POSES = ("cast", "catch", "shouldered", "cast")


def scheme_of(row: ListedCard) -> Scheme:
    """The three loud colours of a card's club."""
    return _SCHEMES[TEAMS.index(people(row)[0][1]) % len(_SCHEMES)]


def squall_front(row: ListedCard, parallel: str, serial: str) -> Image.Image:
    """The front; in a parallel the stripes are foil."""
    colours = scheme_of(row)
    sheet = Sheet(colours[0])
    _stripes(sheet, colours, random.Random(f"stripes of {row.number}"))
    if parallel:
        shine = foil(DRAWN, _METAL[parallel], random.Random(f"foil of {row.number}"), 3)
        mixed = ImageChops.multiply(sheet.picture.convert("L").convert("RGB"), shine)
        sheet.picture = Image.blend(mixed, shine, 0.62)
    edge = (150, 170, 250) if parallel == "Midnight" else _DARK
    rim = (250, 255, 230) if parallel == "Neon" else colours[2]
    _window(sheet, row, edge, rim)
    _name_bar(sheet, row, colours, parallel)
    squall_mark(sheet, (30, 72), 62, (255, 255, 255), colours[2], colours[2])
    badge(sheet, (664, 806), 54, people(row)[0][1])
    if serial:
        sheet.shape(_slanted(546, 706, 980, 1022), (10, 10, 22))
        face = Face(34, weight=0.05, slant=10)
        sheet.stamp((630, 1013), serial, face, _FIGURES[parallel], random.Random(serial))
    return sheet.finished()


def _slanted(left: float, right: float, top: float, low: float, lean: float = 0.13) -> list[Point]:
    """A box that leans to the right at the top; places of the card."""
    shift = lean * (low - top)
    return [(left + shift, top), (right + shift, top), (right, low), (left, low)]


def _stripes(sheet: Sheet, colours: Scheme, rng: random.Random) -> None:
    """The ground: bands that lean, squiggles, triangles and dots."""
    first, second, third = colours
    x, i = -260.0, 0
    while x < 900:
        wide = rng.choice((34.0, 58.0, 96.0, 128.0))
        tone = (first, second, first, darker(first, 0.45), second, third)[i % 6]
        sheet.shape(_slanted(x, x + wide + 1, -10, 1060, 0.3), tone)
        if i % 2:
            sheet.shape(_slanted(x, x + 7, -10, 1060, 0.3), third)
        x, i = x + wide, i + 1
    for _ in range(13):
        # At the sides only: the middle lies under the picture.
        spot = (rng.choice((rng.uniform(0, 90), rng.uniform(660, 750))), rng.uniform(0, 1050))
        ink = rng.choice((third, (255, 255, 255), _DARK))
        (_zigzag, _triangle, _dots)[rng.randrange(3)](sheet, spot, ink)


def _zigzag(sheet: Sheet, spot: Point, ink: Colour) -> None:
    x, y = spot
    zigzag = [(x + k * 13, y + (-11, 11)[k % 2]) for k in range(-3, 4)]
    sheet.line([(a + 4, b + 4) for a, b in zigzag], _DARK, 6)
    sheet.line(zigzag, ink, 6)


def _triangle(sheet: Sheet, spot: Point, ink: Colour) -> None:
    x, y = spot
    sheet.shape([(x - 16, y + 14), (x + 20, y + 6), (x + 2, y - 20)], ink)


def _dots(sheet: Sheet, spot: Point, ink: Colour) -> None:
    x, y = spot
    for k in range(9):
        sheet.disc((x + k % 3 * 13, y + k // 3 * 13), 4, ink)


def _window(sheet: Sheet, row: ListedCard, edge: Colour, rim: Colour) -> None:
    """The leaning frame with its scene, and the player, who stands out of it above."""
    window = _slanted(48, 614, 92, 858)
    sheet.shadow([(x + 16, y + 18) for x, y in window], 0.75, 7)
    sheet.shape(_slanted(34, 628, 80, 870), edge)
    sheet.shape(_slanted(40, 622, 85, 865), rim)
    mask = Image.new("L", DRAWN, 0)
    pen = ImageDraw.Draw(mask)
    pen.polygon(sheet.fine(window), fill=255)
    sheet.picture.paste(backdrop(row, DRAWN, (stands, harbor, night, stands)), (0, 0), mask)
    dark = [(48, 700), (620, 700), (614, 858), (48, 858)]
    sheet.soft(dark, (10, 10, 26), 0.5, 30, mask)
    # The player is painted whole and let through by the window and by all that is above its
    # middle, so that head and arms leap out and the legs stay in.
    pen.rectangle((110 * FINE, 0, 660 * FINE, 420 * FINE), fill=255)
    figure = sheet.picture.copy()
    put_players(figure, row, (352 * FINE, 300 * FINE), 134 * FINE, poses=_POSES, room=1120)
    sheet.picture.paste(figure, (0, 0), mask)


def _name_bar(sheet: Sheet, row: ListedCard, colours: Scheme, parallel: str) -> None:
    team = people(row)[0][1]
    bar = _slanted(14, 700, 846, 962, 0.3)
    sheet.shadow([(x + 8, y + 14) for x, y in bar], 0.7, 8)
    sheet.shape(_slanted(8, 708, 840, 968, 0.3), colours[2])
    sheet.shape(bar, (14, 12, 28))
    shadow = (70, 90, 210) if parallel == "Midnight" else colours[0]
    sheet.raised(
        (364, 934), row.subject.upper(), 82, (255, 255, 255), shadow, 5,
        weight=0.07, slant=14.0, width=0.94, anchor="m", room=616,
    )  # fmt: skip
    sheet.shape(_slanted(40, 520, 976, 1024, 0.3), team.main)
    ink = on(team.main, team.second, team.trim, (255, 255, 255))
    sheet.text((278, 1012), row.team.upper(), 34, ink, weight=0.04, slant=10, anchor="m", room=430)
