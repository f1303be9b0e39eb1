"""Backs of Harbor Light: 1985, 1987 and the Keepers. Each gives its picture and the box of the card
number."""

from __future__ import annotations

import math

from PIL import Image

from tagger.demo.brush import fade, oval
from tagger.demo.marks import badge, harbor_mark, lighthouse
from tagger.demo.pictures import people
from tagger.demo.scenario import Row, set_named
from tagger.demo.sheet import CARD_HEIGHT, CARD_WIDTH, FINE, Box, Sheet
from tagger.demo.tables import (
    TableInks,
    best_box,
    careers_of,
    facts_line,
    number_text,
    season_table,
)

Back = tuple[Image.Image, Box]


def boards_back(row: Row, parallel: str) -> Back:
    """1987: grey stock, navy and coral ink; the number in a lifebuoy at the left upper corner."""
    card_set, navy, coral = set_named(row.set), (34, 52, 92), (222, 92, 78)
    sheet = Sheet((232, 228, 214))
    sheet.area((26, 26, 724, 1024), (176, 208, 206), 26)
    sheet.area((38, 38, 712, 1012), (246, 243, 232), 18)
    cast = careers_of(row, card_set, 9)
    sheet.area((38, 150, 712, 162), coral)
    for i in range(24):
        sheet.shape([(38 + i * 28.1, 162), (52 + i * 28.1, 162), (45 + i * 28.1, 170)], coral)
    centre = (104.0, 96.0)
    for k in range(8):
        arc = [math.radians(45 * k + 22.5 * s / 5) for s in range(11)]
        ring = [(centre[0] + 47 * math.cos(a), centre[1] + 47 * math.sin(a)) for a in arc]
        ring += [
            (centre[0] + 33 * math.cos(a), centre[1] + 33 * math.sin(a)) for a in reversed(arc)
        ]
        sheet.shape(ring, coral if k % 2 else (255, 255, 250))
    sheet.line([*oval(centre, 48, 48), oval(centre, 48, 48)[0]], navy, 3)
    sheet.line([*oval(centre, 32, 32), oval(centre, 32, 32)[0]], navy, 2)
    box = number_text(sheet, (centre[0], centre[1] + 12), row.number, card_set, navy)
    sheet.text((168, 96), row.subject, 44, navy, weight=0.035, room=430)
    place = cast[0][2].position if len(cast) == 1 else "Two of a kind"
    sheet.text((169, 134), f"{place}  ·  {row.team}", 25, coral, weight=0.02, room=440)
    badge(sheet, (656, 92), 44, people(row)[0][1])
    inks = TableInks(navy, navy, navy, (250, 246, 232), (222, 232, 230))
    y = 206.0
    for name, _, person in cast:
        if len(cast) > 1:
            sheet.text((62, y + 6), name, 28, navy, weight=0.035)
            y += 34
        sheet.text((62, y + 4), facts_line(person), 22, navy, room=626)
        y = season_table(sheet, (56, y + 24, 694), person, inks) + 44
    for _, _, person in cast:
        y = sheet.paragraph((62, y), person.life, 24, navy, 622, 1.36, lines=6 // len(cast)) + 14
    if y < 690:
        best_box(sheet, (56, 676, 694), cast[0][2], (222, 232, 230), navy)
    if y < 800:
        sheet.area((56, 806, 694, 864), (222, 232, 230), 10)
        sheet.text((74, 843), " ".join(cast[0][2].trifle), 23, coral, weight=0.015, room=600)
    harbor_mark(sheet, (126, 936), 54, "'87", (246, 243, 232), navy)
    sheet.text((212, 944), "© 1987 LANTERN CARD WORKS, COPPER BAY", 19, navy, tracking=0.04)
    sheet.text((212, 972), "QUAYBALL PICTURE CARDS  ·  220 IN THE SET", 19, navy, tracking=0.04)
    return sheet.finished(), box


def pennant_back(row: Row, parallel: str) -> Back:
    """1985: white stock, red and blue; the number in a pennant at the right upper corner."""
    card_set, blue, red = set_named(row.set), (28, 62, 132), (200, 44, 44)
    sheet = Sheet((248, 247, 240))
    for i in range(5):
        sheet.area((24, 24 + i * 24, 726, 36 + i * 24), (206, 220, 238))
    sheet.shape([(24, 24), (520, 24), (470, 132), (24, 132)], blue)
    sheet.text(
        (52, 78), row.subject.upper(), 44, (255, 255, 250), weight=0.04, width=0.92, room=410
    )
    sheet.text((53, 116), row.team, 28, (250, 214, 120), weight=0.015, room=390)
    sheet.shape([(560, 24), (726, 24), (726, 132), (560, 132), (604, 78)], red)
    box = number_text(sheet, (672, 90), row.number, card_set, (255, 255, 255))
    sheet.text((622, 88), "No.", 22, (255, 255, 255), anchor="m")
    _, _, person = careers_of(row, card_set, 8)[0]
    sheet.text((44, 180), person.position.upper(), 26, red, weight=0.04, tracking=0.1)
    x = 44.0
    for label, value in person.facts:
        sheet.text((x, 222), label.upper(), 17, blue, tracking=0.08)
        sheet.text((x, 250), value, 25, (30, 30, 40), weight=0.01)
        x += 118 if label != "Gaff" else 128
    inks = TableInks((30, 30, 40), red, blue, (255, 255, 250), (226, 234, 244))
    y = season_table(sheet, (40, 278, 710), person, inks, 23)
    low = sheet.paragraph(
        (72, y + 54),
        person.life,
        25,
        (30, 30, 40),
        624,
        1.38,
        lines=4 if len(person.seasons) > 6 else 6,
    )
    sheet.area((40, y + 30, 52, low - 24), red)
    for i in range(9):
        left = 40 + i * 75
        sheet.shape(
            [(left, 838), (left + 70, 838), (left + 35, 880)], (blue, red, (250, 200, 80))[i % 3]
        )
    sheet.line([(30, 838), (720, 838)], blue, 4)
    harbor_mark(sheet, (640, 950), 54, "'85", (248, 247, 240), red)
    sheet.text((44, 950), "Harbor Light Quayball, series of 110 cards", 22, blue, weight=0.01)
    sheet.text((44, 982), "© 1985 Lantern Card Works. Printed at Copper Bay.", 20, blue)
    sheet.frame((24, 24, 726, 1026), blue, 4)
    return sheet.finished(), box


def keepers_back(row: Row, parallel: str) -> Back:
    """The Keepers: night blue, cream ink; the number at the foot, in the middle."""
    card_set, cream, gold = set_named(row.set), (240, 232, 208), (232, 190, 98)
    size = (CARD_WIDTH * FINE, CARD_HEIGHT * FINE)
    sheet = Sheet(fade(size, ((0.0, (16, 34, 78)), (0.6, (10, 20, 52)), (1.0, (6, 10, 30)))))
    for inset, width in ((28, 4), (38, 2)):
        sheet.frame((inset, inset, 750 - inset, 1050 - inset), gold, width, 30)
    lighthouse(sheet, (375, 262), 190, (236, 230, 220), (168, 52, 50), (255, 226, 150))
    sheet.text(
        (375, 330), row.subject.upper(), 46, gold, weight=0.035, tracking=0.06, anchor="m", room=600
    )
    sheet.text((375, 372), row.team, 27, cream, tracking=0.05, anchor="m")
    _, _, person = careers_of(row, card_set, 5)[0]
    sheet.text(
        (375, 412), f"{person.position}  ·  {person.facts[3][1]}", 22, (150, 176, 220), anchor="m"
    )
    inks = TableInks(cream, gold, (38, 62, 118), gold, (18, 36, 80))
    y = season_table(sheet, (70, 444, 680), person, inks)
    sheet.paragraph((82, y + 56), person.life, 25, cream, 590, 1.42, lines=5)
    sheet.text(
        (375, 900), "KEEPERS OF THE LIGHT  ·  FIFTEEN CARDS", 19, gold, tracking=0.16, anchor="m"
    )
    sheet.text((375, 930), "© 1987 Lantern Card Works", 19, (150, 176, 220), anchor="m")
    sheet.area((312, 950, 438, 996), (6, 10, 30), 23)
    sheet.frame((312, 950, 438, 996), gold, 2, 23)
    box = number_text(sheet, (375, 983), row.number, card_set, cream)
    return sheet.finished(), box
