"""Backs of Harbor Light: 1985, 1987 and the Keepers. Each gives its picture and the box of the card
number."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PIL import Image

from tagger.demo.art.brush import Point, fade, oval
from tagger.demo.art.sheet import DRAWN, Box, Sheet
from tagger.demo.sets import tables
from tagger.demo.sets.marks import badge, harbor_mark, lighthouse
from tagger.demo.sets.pictures import people
from tagger.demo.sets.scenario import ListedCard, set_named

if TYPE_CHECKING:
    from tagger.demo.sets.careers import Career

Back = tuple[Image.Image, Box]
# 1987 in navy and coral, 1985 in blue and red, the Keepers in gold and cream.
_NAVY, _CORAL, _FOAM = (34, 52, 92), (222, 92, 78), (222, 232, 230)
_BLUE, _RED, _COAL = (28, 62, 132), (200, 44, 44), (30, 30, 40)
_GOLD, _CREAM = (232, 190, 98), (240, 232, 208)


def boards_back(row: ListedCard, parallel: str) -> Back:
    """1987: grey stock, navy and coral ink; the number in a lifebuoy at the left upper corner."""
    card_set, centre = set_named(row.set), (104.0, 96.0)
    sheet = Sheet((232, 228, 214))
    sheet.area((26, 26, 724, 1024), (176, 208, 206), 26)
    sheet.area((38, 38, 712, 1012), (246, 243, 232), 18)
    sheet.area((38, 150, 712, 162), _CORAL)
    for i in range(24):
        left = i * 28.1
        sheet.shape([(38 + left, 162), (52 + left, 162), (45 + left, 170)], _CORAL)
    _lifebuoy(sheet, centre)
    box = tables.number_text(sheet, (centre[0], centre[1] + 12), row.number, card_set, _NAVY)
    cast = tables.careers_of(row, card_set, 9)
    sheet.text((168, 96), row.subject, 44, _NAVY, weight=0.035, room=430)
    # Two people have two positions, and the line has room for one.
    place = cast[0].position if len(cast) == 1 else "Two of a kind"
    sheet.text((169, 134), f"{place}  ·  {row.team}", 25, _CORAL, weight=0.02, room=440)
    badge(sheet, (656, 92), 44, people(row)[0][1])
    _fill_up(sheet, _lives(sheet, _seasons(sheet, cast), cast), cast[0])
    harbor_mark(sheet, (126, 936), 54, "'87", (246, 243, 232), _NAVY)
    sheet.text((212, 944), "© 1987 LANTERN CARD WORKS, COPPER BAY", 19, _NAVY, tracking=0.04)
    sheet.text((212, 972), "QUAYBALL PICTURE CARDS  ·  220 IN THE SET", 19, _NAVY, tracking=0.04)
    return sheet.finished(), box


def _lifebuoy(sheet: Sheet, centre: Point) -> None:
    tones = ((255, 255, 250), _CORAL)
    for k in range(8):
        arc = [math.radians(45 * k + 22.5 * s / 5) for s in range(11)]
        outer = [(centre[0] + 47 * math.cos(a), centre[1] + 47 * math.sin(a)) for a in arc]
        inner = [
            (centre[0] + 33 * math.cos(a), centre[1] + 33 * math.sin(a)) for a in reversed(arc)
        ]
        sheet.shape([*outer, *inner], tones[k % 2])
    for radius, width in ((48, 3), (32, 2)):
        ring = oval(centre, radius, radius)
        sheet.line([*ring, ring[0]], _NAVY, width)


def _seasons(sheet: Sheet, cast: Sequence[Career]) -> float:
    """Facts and seasons of each person, by name where there are two; gives the lower edge."""
    inks = tables.TableInks(_NAVY, _NAVY, _NAVY, (250, 246, 232), _FOAM)
    y = 206.0
    for person in cast:
        if len(cast) > 1:
            sheet.text((62, y + 6), person.name, 28, _NAVY, weight=0.035)
            y += 34
        sheet.text((62, y + 4), tables.facts_line(person), 22, _NAVY, room=626)
        y = tables.season_table(sheet, (56, y + 24, 694), person, inks) + 44
    return y


def _lives(sheet: Sheet, y: float, cast: Sequence[Career]) -> float:
    for person in cast:
        y = sheet.paragraph((62, y), person.life, 24, _NAVY, 622, 1.36, lines=6 // len(cast)) + 14
    return y


def _fill_up(sheet: Sheet, y: float, person: Career) -> None:
    """What a short career leaves room for, above the mark at the foot."""
    if y < 690:
        tables.best_box(sheet, (56, 676, 694), person, _FOAM, _NAVY)
    if y < 800:
        sheet.area((56, 806, 694, 864), _FOAM, 10)
        sheet.text((74, 843), " ".join(person.trifle), 23, _CORAL, weight=0.015, room=600)


def pennant_back(row: ListedCard, parallel: str) -> Back:
    """1985: white stock, red and blue; the number in a pennant at the right upper corner."""
    sheet = Sheet((248, 247, 240))
    person = tables.careers_of(row, set_named(row.set), 8)[0]
    box = _pennant_heading(sheet, row)
    _particulars(sheet, person)
    inks = tables.TableInks(_COAL, _RED, _BLUE, (255, 255, 250), (226, 234, 244))
    y = tables.season_table(sheet, (40, 278, 710), person, inks, 23)
    # A long table leaves room for four lines above the flags.
    lines = 4 if len(person.seasons) > 6 else 6
    low = sheet.paragraph((72, y + 54), person.life, 25, _COAL, 624, 1.38, lines=lines)
    sheet.area((40, y + 30, 52, low - 24), _RED)
    flags = (_BLUE, _RED, (250, 200, 80))
    for i in range(9):
        left = 40 + i * 75
        sheet.shape([(left, 838), (left + 70, 838), (left + 35, 880)], flags[i % 3])
    sheet.line([(30, 838), (720, 838)], _BLUE, 4)
    harbor_mark(sheet, (640, 950), 54, "'85", (248, 247, 240), _RED)
    sheet.text((44, 950), "Harbor Light Quayball, series of 110 cards", 22, _BLUE, weight=0.01)
    sheet.text((44, 982), "© 1985 Lantern Card Works. Printed at Copper Bay.", 20, _BLUE)
    sheet.frame((24, 24, 726, 1026), _BLUE, 4)
    return sheet.finished(), box


def _pennant_heading(sheet: Sheet, row: ListedCard) -> Box:
    """Subject, club and number; gives the number's box."""
    for i in range(5):
        sheet.area((24, 24 + i * 24, 726, 36 + i * 24), (206, 220, 238))
    sheet.shape([(24, 24), (520, 24), (470, 132), (24, 132)], _BLUE)
    name = row.subject.upper()
    sheet.text((52, 78), name, 44, (255, 255, 250), weight=0.04, width=0.92, room=410)
    sheet.text((53, 116), row.team, 28, (250, 214, 120), weight=0.015, room=390)
    sheet.shape([(560, 24), (726, 24), (726, 132), (560, 132), (604, 78)], _RED)
    box = tables.number_text(sheet, (672, 90), row.number, set_named(row.set), (255, 255, 255))
    sheet.text((622, 88), "No.", 22, (255, 255, 255), anchor="m")
    return box


def _particulars(sheet: Sheet, person: Career) -> None:
    sheet.text((44, 180), person.position.upper(), 26, _RED, weight=0.04, tracking=0.1)
    x = 44.0
    for label, value in person.facts:
        sheet.text((x, 222), label.upper(), 17, _BLUE, tracking=0.08)
        sheet.text((x, 250), value, 25, _COAL, weight=0.01)
        x += 128 if label == "Gaff" else 118


def keepers_back(row: ListedCard, parallel: str) -> Back:
    """The Keepers: night blue, cream ink; the number at the foot, in the middle."""
    card_set, pale = set_named(row.set), (150, 176, 220)
    sheet = Sheet(fade(DRAWN, ((0.0, (16, 34, 78)), (0.6, (10, 20, 52)), (1.0, (6, 10, 30)))))
    for inset, width in ((28, 4), (38, 2)):
        sheet.frame((inset, inset, 750 - inset, 1050 - inset), _GOLD, width, 30)
    lighthouse(sheet, (375, 262), 190, (236, 230, 220), (168, 52, 50), (255, 226, 150))
    name = row.subject.upper()
    sheet.text((375, 330), name, 46, _GOLD, weight=0.035, tracking=0.06, anchor="m", room=600)
    sheet.text((375, 372), row.team, 27, _CREAM, tracking=0.05, anchor="m")
    person = tables.careers_of(row, card_set, 5)[0]
    _, born = person.facts[-1]
    sheet.text((375, 412), f"{person.position}  ·  {born}", 22, pale, anchor="m")
    inks = tables.TableInks(_CREAM, _GOLD, (38, 62, 118), _GOLD, (18, 36, 80))
    y = tables.season_table(sheet, (70, 444, 680), person, inks)
    sheet.paragraph((82, y + 56), person.life, 25, _CREAM, 590, 1.42, lines=5)
    series = "KEEPERS OF THE LIGHT  ·  FIFTEEN CARDS"
    sheet.text((375, 900), series, 19, _GOLD, tracking=0.16, anchor="m")
    sheet.text((375, 930), "© 1987 Lantern Card Works", 19, pale, anchor="m")
    sheet.area((312, 950, 438, 996), (6, 10, 30), 23)
    sheet.frame((312, 950, 438, 996), _GOLD, 2, 23)
    box = tables.number_text(sheet, (375, 983), row.number, card_set, _CREAM)
    return sheet.finished(), box
