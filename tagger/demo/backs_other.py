"""Backs of Squall Line, of its Rising Current cards and of Penny Ferry, with the box of the card
number."""

from __future__ import annotations

import math
import random

from PIL import Image, ImageDraw

from tagger.demo.backs_harbor import Back
from tagger.demo.brush import Colour, curve, fade, mix
from tagger.demo.foil import grain, roughened
from tagger.demo.fronts_squall import scheme_of
from tagger.demo.marks import badge, ferry_mark, squall_mark
from tagger.demo.pictures import people, portrait
from tagger.demo.scenario import Row, set_named
from tagger.demo.scenery import harbor, night, stands
from tagger.demo.sheet import CARD_HEIGHT, CARD_WIDTH, FINE, Sheet
from tagger.demo.tables import (
    TableInks,
    best_box,
    careers_of,
    facts_line,
    number_text,
    season_table,
)

_SIZE = (CARD_WIDTH * FINE, CARD_HEIGHT * FINE)


def squall_back(row: Row, parallel: str) -> Back:
    """1992: full colour with a second picture; the number in a slanted tag at the right edge below
    it."""
    card_set, (first, second, third) = set_named(row.set), scheme_of(row)
    sheet = Sheet(
        fade(_SIZE, ((0.0, mix(first, (20, 16, 40), 0.25)), (1.0, mix(second, (20, 16, 40), 0.3))))
    )
    for i in range(9):
        sheet.shape(
            [(i * 120 - 200, 1050), (i * 120 - 150, 1050), (i * 120 + 165, 0), (i * 120 + 115, 0)],
            (255, 255, 255, 26),
        )
    photo = (396, 338)
    mask = Image.new("L", (photo[0] * FINE, photo[1] * FINE), 0)
    ImageDraw.Draw(mask).polygon(
        [(110, 0), (photo[0] * FINE, 0), (photo[0] * FINE, photo[1] * FINE), (0, photo[1] * FINE)],
        fill=255,
    )
    sheet.shape([(382, 20), (734, 20), (734, 378), (316, 378)], third)
    small = portrait(
        row, mask.size, poses=("bust", "folded"), scenes=(night, harbor, stands), close=1.5
    )
    sheet.put(small, (334, 32), mask)
    squall_mark(sheet, (34, 88), 58, (255, 255, 255), third, third)
    upper, _, lower = row.subject.partition(" / " if " / " in row.subject else " ")
    sheet.text((36, 218), upper.upper(), 38, third, weight=0.05, slant=12, room=280)
    sheet.text(
        (34, 272), lower.upper(), 52, (255, 255, 255), weight=0.06, slant=12, width=0.9, room=268
    )
    cast = careers_of(row, card_set, 8)
    sheet.text((36, 316), row.team, 25, (255, 255, 255), weight=0.02, room=270)
    place = cast[0][2].position if len(cast) == 1 else "On the same tide"
    sheet.text((36, 350), place, 24, third, weight=0.02)
    sheet.shape([(602, 392), (750, 392), (750, 440), (588, 440)], third)
    box = number_text(sheet, (668, 427), row.number, card_set, (16, 14, 30))
    sheet.area((30, 456, 720, 968), (255, 255, 255, 238), 12)
    ink: Colour = (22, 20, 40)
    inks = TableInks(ink, first, ink, third, (230, 232, 240))
    y = 492.0
    for name, _, person in cast:
        if len(cast) > 1:
            sheet.text((52, y), name.upper(), 24, first, weight=0.05, slant=8)
            y += 30
        sheet.text((52, y), facts_line(person), 21, ink, room=640)
        y = season_table(sheet, (46, y + 16, 704), person, inks, 22 if len(cast) == 1 else 20) + 36
    y = sheet.paragraph((52, y), cast[0][2].life, 23, ink, 640, 1.36, lines=int((968 - y) / 31))
    if y < 830:
        best_box(sheet, (46, 840, 704), cast[0][2], (230, 232, 240), ink)
    badge(sheet, (66, 1006), 32, people(row)[0][1])
    sheet.text(
        (112, 1014),
        "© 1992 KETTLE & ROOK PRINTING  ·  SQUALL LINE QUAYBALL",
        19,
        (255, 255, 255),
        tracking=0.05,
    )
    return sheet.finished(), box


def current_back(row: Row, parallel: str) -> Back:
    """Rising Current: pale streams; the number in a drop at the left lower corner."""
    card_set = set_named(row.set)
    violet, coral = (74, 30, 110), (232, 74, 90)
    sheet = Sheet(
        fade(_SIZE, ((0.0, (255, 236, 206)), (0.5, (252, 216, 214)), (1.0, (206, 222, 246))))
    )
    for i in range(11):
        rise = 1040 - i * 100
        crest = [(750 * k / 8, rise + 34 * math.sin(k * 0.9 + i * 0.8)) for k in range(-1, 10)]
        below = [(x, y + 34) for x, y in reversed(crest)]
        sheet.shape(
            [*curve(crest, closed=False), *curve(below, closed=False)], (255, 255, 255, 120)
        )
    sheet.area((0, 60, 750, 196), violet)
    sheet.area((0, 190, 750, 200), coral)
    sheet.text((44, 130), row.subject, 54, (255, 255, 255), weight=0.04, room=520)
    sheet.text((46, 172), row.team, 27, (255, 214, 130), weight=0.01)
    badge(sheet, (666, 128), 50, people(row)[0][1])
    _, _, person = careers_of(row, card_set, 4)[0]
    sheet.text((44, 250), "RISING CURRENT", 34, coral, weight=0.05, slant=12, tracking=0.06)
    sheet.text((706, 250), person.position, 27, violet, weight=0.03, anchor="r")
    sheet.text((44, 300), facts_line(person), 22, violet, room=660)
    inks = TableInks(violet, coral, violet, (255, 236, 206), (255, 255, 255, 150))
    y = season_table(sheet, (40, 330, 710), person, inks, 24)
    sheet.paragraph((48, y + 62), person.life, 28, violet, 650, 1.42, lines=7)
    sheet.text(
        (48, 838), f"{person.trifle[0]}  {person.trifle[1]}", 23, coral, weight=0.01, room=650
    )
    drop = [(112.0, 884.0), (158, 948), (146, 990), (112, 1006), (78, 990), (66, 948)]
    sheet.shape(curve(drop), violet)
    box = number_text(sheet, (112, 968), row.number, card_set, (255, 255, 255))
    squall_mark(sheet, (520, 938), 38, (255, 255, 255), (255, 214, 130), (80, 200, 200))
    sheet.text((180, 1008), "© 1992 KETTLE & ROOK PRINTING  ·  20 CARDS", 19, violet, tracking=0.05)
    return sheet.finished(), box


def ferry_back(row: Row, parallel: str) -> Back:
    """1974: rough brown board in one ink; the number in a box at the right lower corner."""
    card_set = set_named(row.set)
    ink: Colour = (24, 52, 128) if parallel == "Tidewash" else (66, 46, 34)
    board: Colour = (204, 186, 152)
    rng = random.Random(f"board {row.number}")
    stock = Image.new("RGB", _SIZE, board)
    stock = roughened(
        stock,
        grain((_SIZE[0] // 4, _SIZE[1] // 4), rng, 13).resize(_SIZE, Image.Resampling.BICUBIC),
    )
    sheet = Sheet(stock)
    for _ in range(180):
        x, y, a = rng.uniform(0, 750), rng.uniform(0, 1050), rng.uniform(0, 6.3)
        sheet.line(
            [(x, y), (x + 11 * math.cos(a), y + 11 * math.sin(a))],
            (*rng.choice(((120, 98, 70), (232, 218, 190))), 80),
            1,
        )
    sheet.frame((36, 36, 714, 1014), ink, 5)
    sheet.area((36, 36, 714, 142), ink)
    sheet.text((58, 92), row.subject.upper(), 44, board, weight=0.045, tracking=0.02, room=634)
    _, _, person = careers_of(row, card_set, 7)[0]
    sheet.text((59, 126), f"{row.team}  ·  {person.position}", 24, board, weight=0.02, room=630)
    sheet.text((56, 182), facts_line(person), 22, ink, weight=0.012, room=640)
    inks = TableInks(ink, ink, ink, board, (0, 0, 0, 16))
    y = season_table(sheet, (50, 206, 700), person, inks, 23)
    y = sheet.paragraph((58, y + 46), person.life, 25, ink, 634, 1.36, lines=5)
    if y < 570:
        best_box(sheet, (58, 570, 692), person, (*ink, 30), ink)
    _trifle(sheet, max(y + 4, 700), person.trifle, ink, board)
    ferry_mark(sheet, (96, 978), 66, ink, board)
    sheet.text((152, 972), "© 1974 PENNY FERRY SWEET CO., LOW NESS", 19, ink, weight=0.02)
    sheet.text(
        (152, 998), "QUAYBALL CARDS IN EVERY TIN  ·  SERIES OF 132", 19, ink, weight=0.02, room=430
    )
    sheet.area((602, 948, 702, 1004), ink, 8)
    box = number_text(sheet, (652, 989), row.number, card_set, board)
    return sheet.finished(), box


def _trifle(sheet: Sheet, top: float, trifle: tuple[str, str], ink: Colour, board: Colour) -> None:
    """A box with a question, its answer and a small drawn player at the water's edge."""
    low = 936.0
    sheet.frame((58, top, 692, low), ink, 3, 14)
    x, y = 170.0, low - 40
    sheet.line([(74, y + 6), (250, y + 6)], ink, 5)
    for post in (92, 150, 214):
        sheet.area((post, y + 6, post + 12, low - 6), ink)
    for a, b in (
        ((x, y - 72), (x, y - 34)),
        ((x, y - 34), (x - 20, y + 4)),
        ((x, y - 34), (x + 22, y + 2)),
        ((x, y - 62), (x + 34, y - 80)),
        ((x, y - 62), (x + 30, y - 54)),
    ):
        sheet.line([a, b], ink, 7)
    sheet.disc((x, y - 90), 20, ink)
    sheet.disc((x, y - 90), 14, board)
    sheet.shape(
        [
            (x - 22, y - 96),
            (x + 30, y - 96),
            (x + 18, y - 104),
            (x + 14, y - 116),
            (x - 16, y - 114),
        ],
        ink,
    )
    sheet.line(
        curve(
            [(x + 26, y - 40), (x + 52, y - 110), (x + 76, y - 124), (x + 88, y - 106)],
            closed=False,
        ),
        ink,
        6,
    )
    sheet.disc((x + 120, y - 70), 12, ink)
    for i in range(3):
        sheet.line([(x + 140 + i * 5, y - 84 + i * 16), (x + 164 + i * 5, y - 88 + i * 16)], ink, 3)
    sheet.text((372, top + 48), "DID YOU KNOW?", 24, ink, weight=0.05, tracking=0.06)
    after = sheet.paragraph((372, top + 88), trifle[0], 25, ink, 306, 1.3)
    sheet.text((372, after + 8), trifle[1], 25, ink, weight=0.03, room=306)
