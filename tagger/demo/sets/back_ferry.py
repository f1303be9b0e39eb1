"""Backs of 1974 Penny Ferry: rough brown board in one ink, with the box of the card number."""

from __future__ import annotations

import math
import random
from typing import TYPE_CHECKING

from PIL import Image

from tagger.demo.art.brush import Colour, Point, curve
from tagger.demo.art.foil import grain, roughened
from tagger.demo.art.sheet import DRAWN, Sheet
from tagger.demo.sets import tables
from tagger.demo.sets.marks import ferry_mark
from tagger.demo.sets.scenario import ListedCard, set_named

if TYPE_CHECKING:
    from tagger.demo.sets.backs_harbor import Back

_BOARD: Colour = (204, 186, 152)
_FIBRES = ((120, 98, 70), (232, 218, 190))


def ferry_back(row: ListedCard, parallel: str) -> Back:
    """The back; the number stands in a box at the right lower corner."""
    card_set = set_named(row.set)
    ink: Colour = (24, 52, 128) if parallel == "Tidewash" else (66, 46, 34)
    sheet = _stock(random.Random(f"board {row.number}"))
    sheet.frame((36, 36, 714, 1014), ink, 5)
    sheet.area((36, 36, 714, 142), ink)
    name = row.subject.upper()
    sheet.text((58, 92), name, 44, _BOARD, weight=0.045, tracking=0.02, room=634)
    person = tables.careers_of(row, card_set, 7)[0]
    club = f"{row.team}  ·  {person.position}"
    sheet.text((59, 126), club, 24, _BOARD, weight=0.02, room=630)
    sheet.text((56, 182), tables.facts_line(person), 22, ink, weight=0.012, room=640)
    inks = tables.TableInks(ink, ink, ink, _BOARD, (0, 0, 0, 16))
    y = tables.season_table(sheet, (50, 206, 700), person, inks, 23)
    y = sheet.paragraph((58, y + 46), person.life, 25, ink, 634, 1.36, lines=5)
    if y < 570:
        tables.best_box(sheet, (58, 570, 692), person, (*ink, 30), ink)
    _trifle(sheet, max(y + 4, 700), person.trifle, ink)
    ferry_mark(sheet, (96, 978), 66, ink, _BOARD)
    series = "QUAYBALL CARDS IN EVERY TIN  ·  SERIES OF 132"
    sheet.text((152, 972), "© 1974 PENNY FERRY SWEET CO., LOW NESS", 19, ink, weight=0.02)
    sheet.text((152, 998), series, 19, ink, weight=0.02, room=430)
    sheet.area((602, 948, 702, 1004), ink, 8)
    box = tables.number_text(sheet, (652, 989), row.number, card_set, _BOARD)
    return sheet.finished(), box


def _stock(rng: random.Random) -> Sheet:
    """Unprinted board: blotches, and fibres darker and lighter than it."""
    blotches = grain((DRAWN[0] // 4, DRAWN[1] // 4), rng, 13)
    blotches = blotches.resize(DRAWN, Image.Resampling.BICUBIC)
    sheet = Sheet(roughened(Image.new("RGB", DRAWN, _BOARD), blotches))
    for _ in range(180):
        x, y, a = rng.uniform(0, 750), rng.uniform(0, 1050), rng.uniform(0, 6.3)
        fibre = [(x, y), (x + 11 * math.cos(a), y + 11 * math.sin(a))]
        sheet.line(fibre, (*rng.choice(_FIBRES), 80), 1)
    return sheet


def _trifle(sheet: Sheet, top: float, trifle: tuple[str, str], ink: Colour) -> None:
    """A box with a question, its answer and a small drawn player at the water's edge."""
    low = 936.0
    sheet.frame((58, top, 692, low), ink, 3, 14)
    sheet.line([(74, low - 34), (250, low - 34)], ink, 5)
    for post in (92, 150, 214):
        sheet.area((post, low - 34, post + 12, low - 6), ink)
    _small_player(sheet, (170.0, low - 40), ink)
    sheet.text((372, top + 48), "DID YOU KNOW?", 24, ink, weight=0.05, tracking=0.06)
    after = sheet.paragraph((372, top + 88), trifle[0], 25, ink, 306, 1.3)
    sheet.text((372, after + 8), trifle[1], 25, ink, weight=0.03, room=306)


# Body, legs and arms, by their ends; the cap; the gaff. From between the feet.
_LIMBS = (
    ((0, -72), (0, -34)), ((0, -34), (-20, 4)), ((0, -34), (22, 2)), ((0, -62), (34, -80)),
    ((0, -62), (30, -54)),
)  # fmt: skip
_CAP = ((-22, -96), (30, -96), (18, -104), (14, -116), (-16, -114))
_GAFF = ((26, -40), (52, -110), (76, -124), (88, -106))


def _small_player(sheet: Sheet, feet: Point, ink: Colour) -> None:
    """A player who casts, in one ink; the ball is in the air."""
    x, y = feet

    def at(*points: Point) -> list[Point]:
        return [(x + across, y + down) for across, down in points]

    for ends in _LIMBS:
        sheet.line(at(*ends), ink, 7)
    sheet.disc((x, y - 90), 20, ink)
    sheet.disc((x, y - 90), 14, _BOARD)
    sheet.shape(at(*_CAP), ink)
    sheet.line(curve(at(*_GAFF), closed=False), ink, 6)
    sheet.disc((x + 120, y - 70), 12, ink)
    for i in range(3):
        sheet.line(at((140 + i * 5, -84 + i * 16), (164 + i * 5, -88 + i * 16)), ink, 3)
