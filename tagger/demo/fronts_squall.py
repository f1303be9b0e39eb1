"""Fronts of 1992 Squall Line: loud slanted stripes, and the Rising Current cards among them."""

from __future__ import annotations

import math
import random

from PIL import Image, ImageChops, ImageDraw

from tagger.demo.brush import Colour, Point, curve, darker, fade, soft
from tagger.demo.foil import MIDNIGHT, NEON, foil, stamp
from tagger.demo.letters import Face
from tagger.demo.marks import badge, on, squall_mark
from tagger.demo.pictures import backdrop, people, put_players
from tagger.demo.scenario import TEAMS, Row
from tagger.demo.scenery import harbor, night, stands
from tagger.demo.sheet import CARD_HEIGHT, CARD_WIDTH, FINE, Sheet

_SIZE = (CARD_WIDTH * FINE, CARD_HEIGHT * FINE)
_SCHEMES: tuple[tuple[Colour, Colour, Colour], ...] = (
    ((236, 28, 124), (20, 190, 190), (252, 226, 44)),
    ((108, 44, 190), (252, 122, 30), (96, 230, 214)),
    ((26, 88, 220), (240, 40, 60), (250, 236, 70)),
)
_METAL = {"Neon": NEON, "Midnight": MIDNIGHT}


def scheme_of(row: Row) -> tuple[Colour, Colour, Colour]:
    """The three loud colours of a card's club."""
    return _SCHEMES[TEAMS.index(people(row)[0][1]) % len(_SCHEMES)]


def _slanted(left: float, right: float, top: float, low: float, lean: float = 0.13) -> list[Point]:
    """A box that leans to the right at the top; places of the card."""
    shift = lean * (low - top)
    return [(left + shift, top), (right + shift, top), (right, low), (left, low)]


def _stripes(sheet: Sheet, colours: tuple[Colour, Colour, Colour], rng: random.Random) -> None:
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
        cx, cy = rng.choice((rng.uniform(0, 90), rng.uniform(660, 750))), rng.uniform(0, 1050)
        ink = rng.choice((third, (255, 255, 255), (16, 14, 30)))
        kind = rng.randrange(3)
        if kind == 0:
            zigzag = [(cx + k * 13, cy + (11 if k % 2 else -11)) for k in range(-3, 4)]
            sheet.line([(a + 4, b + 4) for a, b in zigzag], (16, 14, 30), 6)
            sheet.line(zigzag, ink, 6)
        elif kind == 1:
            sheet.shape([(cx - 16, cy + 14), (cx + 20, cy + 6), (cx + 2, cy - 20)], ink)
        else:
            for k in range(9):
                sheet.disc((cx + k % 3 * 13, cy + k // 3 * 13), 4, ink)


def squall_front(row: Row, parallel: str, serial: str) -> Image.Image:
    """1992: the player leaps out of a leaning frame over neon stripes."""
    team = people(row)[0][1]
    colours = scheme_of(row)
    sheet = Sheet(colours[0])
    _stripes(sheet, colours, random.Random(f"stripes of {row.number}"))
    if parallel:
        shine = foil(_SIZE, _METAL[parallel], random.Random(f"foil of {row.number}"), 3)
        mixed = ImageChops.multiply(sheet.picture.convert("L").convert("RGB"), shine)
        sheet.picture = Image.blend(mixed, shine, 0.62)
    window = _slanted(48, 614, 92, 858)
    edge = (16, 14, 30) if parallel != "Midnight" else (150, 170, 250)
    sheet.shadow([(x + 16, y + 18) for x, y in window], 0.75, 7)
    sheet.shape(_slanted(34, 628, 80, 870), edge)
    sheet.shape(_slanted(40, 622, 85, 865), colours[2] if parallel != "Neon" else (250, 255, 230))
    mask = Image.new("L", _SIZE, 0)
    pen = ImageDraw.Draw(mask)
    pen.polygon(sheet.fine(window), fill=255)
    scene = backdrop(row, _SIZE, (stands, harbor, night, stands))
    sheet.picture.paste(scene, (0, 0), mask)
    soft(
        sheet.picture,
        sheet.fine([(48, 700), (620, 700), (614, 858), (48, 858)]),
        (10, 10, 26),
        0.5,
        60,
        mask,
    )
    pen.rectangle((110 * FINE, 0, 660 * FINE, 420 * FINE), fill=255)
    figure = sheet.picture.copy()
    put_players(
        figure,
        row,
        (352 * FINE, 300 * FINE),
        134 * FINE,
        poses=("cast", "catch", "shouldered", "cast"),
        room=1120,
    )
    sheet.picture.paste(figure, (0, 0), mask)
    _name_bar(sheet, row, colours, parallel)
    squall_mark(sheet, (30, 72), 62, (255, 255, 255), colours[2], colours[2])
    badge(sheet, (664, 806), 54, team)
    if serial:
        sheet.shape(_slanted(546, 706, 980, 1022), (10, 10, 22))
        stamp(
            sheet.picture,
            (630 * FINE, 1013 * FINE),
            serial,
            Face(34 * FINE, weight=0.05, slant=10),
            _metal_of(parallel),
            random.Random(serial),
        )
    return sheet.finished()


def _metal_of(parallel: str) -> tuple[Colour, ...]:
    return NEON if parallel == "Neon" else ((170, 186, 250), (240, 244, 255), (196, 208, 255))


def _name_bar(
    sheet: Sheet, row: Row, colours: tuple[Colour, Colour, Colour], parallel: str
) -> None:
    team = people(row)[0][1]
    bar = _slanted(14, 700, 846, 962, 0.3)
    sheet.shadow([(x + 8, y + 14) for x, y in bar], 0.7, 8)
    sheet.shape(_slanted(8, 708, 840, 968, 0.3), colours[2])
    sheet.shape(bar, (14, 12, 28))
    face = {"weight": 0.07, "slant": 14.0, "width": 0.94}
    for shift, ink in (
        (5, colours[0] if parallel != "Midnight" else (70, 90, 210)),
        (0, (255, 255, 255)),
    ):
        sheet.text(
            (364 + shift, 934 + shift), row.subject.upper(), 82, ink, anchor="m", room=616, **face
        )
    strip = _slanted(40, 520, 976, 1024, 0.3)
    sheet.shape(strip, team.main)
    ink = on(team.main, team.second, team.trim, (255, 255, 255))
    sheet.text((278, 1012), row.team.upper(), 34, ink, weight=0.04, slant=10, anchor="m", room=430)


def current_front(row: Row, parallel: str, serial: str) -> Image.Image:
    """Rising Current: the player before two huge letters in streams of colour."""
    team = people(row)[0][1]
    sheet = Sheet(
        fade(
            _SIZE,
            (
                (0.0, (255, 178, 60)),
                (0.4, (246, 84, 98)),
                (0.75, (132, 44, 150)),
                (1.0, (24, 34, 96)),
            ),
        )
    )
    seeded = random.Random(f"streams of {row.number}")
    for i in range(13):
        rise, swing = 1010 - i * 82, seeded.uniform(24, 60)
        crest = [
            (750 * k / 8, rise - 30 * k + swing * math.sin(k * 0.9 + i * 0.7))
            for k in range(-1, 10)
        ]
        below = [(x, y + 30 + 6 * i) for x, y in reversed(crest)]
        tone = ((255, 232, 150), (80, 226, 222), (255, 120, 110), (255, 255, 255))[i % 4]
        sheet.shape(
            [*curve(crest, closed=False), *curve(below, closed=False)], (*tone, 62 if i % 2 else 96)
        )
    for shift, ink in ((10, (60, 16, 90, 150)), (0, (255, 255, 255, 215))):
        sheet.text(
            (378 + shift, 430 + shift),
            "RC",
            500,
            ink,
            weight=0.075,
            slant=8,
            width=0.84,
            anchor="m",
        )
    put_players(
        sheet.picture,
        row,
        (375 * FINE, 372 * FINE),
        140 * FINE,
        poses=("bust", "folded", "shouldered", "catch"),
        room=1300,
    )
    soft(
        sheet.picture,
        sheet.fine([(-80, 820), (830, 800), (830, 1200), (-80, 1200)]),
        (22, 24, 84),
        0.92,
        70,
    )
    pill = (44.0, 856.0, 706.0, 956.0)
    sheet.area(pill, (255, 255, 255), 50)
    sheet.frame((pill[0] + 7, pill[1] + 7, pill[2] - 7, pill[3] - 7), (246, 84, 98), 5, 43)
    sheet.text((375, 930), row.subject, 70, (38, 26, 92), weight=0.045, anchor="m", room=560)
    sheet.text(
        (375, 1008),
        row.team.upper(),
        34,
        (255, 232, 150),
        weight=0.03,
        tracking=0.08,
        anchor="m",
        room=600,
    )
    for shift, heading in ((3, (60, 16, 90)), (0, (255, 255, 255))):
        sheet.text(
            (44 + shift, 70 + shift),
            "RISING CURRENT",
            46,
            heading,
            weight=0.05,
            slant=12,
            tracking=0.06,
        )
    sheet.line([(44, 86), (520, 86)], (80, 226, 222), 6)
    squall_mark(sheet, (556, 58), 34, (255, 255, 255), (255, 232, 150), (80, 226, 222))
    badge(sheet, (666, 800), 54, team)
    return sheet.finished()
