"""Backs of Squall Line and of its Rising Current cards, with the box of the card number."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PIL import Image, ImageDraw

from tagger.demo.art.brush import Colour, curve, fade, mix
from tagger.demo.art.sheet import DRAWN, FINE, Box, Sheet
from tagger.demo.sets import tables
from tagger.demo.sets.front_squall import Scheme, scheme_of
from tagger.demo.sets.harbors import harbor
from tagger.demo.sets.marks import badge, squall_mark
from tagger.demo.sets.pictures import people, portrait
from tagger.demo.sets.scenario import ListedCard, set_named
from tagger.demo.sets.scenery import night, stands

if TYPE_CHECKING:
    from tagger.demo.sets.backs_harbor import Back
    from tagger.demo.sets.careers import Career

_WHITE: Colour = (255, 255, 255)
_INK: Colour = (22, 20, 40)
_DUSK: Colour = (20, 16, 40)
_PALE: Colour = (230, 232, 240)
_VIOLET: Colour = (74, 30, 110)
_CORAL: Colour = (232, 74, 90)
_SAND: Colour = (255, 214, 130)
_DROP = ((112.0, 884.0), (158, 948), (146, 990), (112, 1006), (78, 990), (66, 948))


def squall_back(row: ListedCard, parallel: str) -> Back:
    """1992: full colour with a second picture; the number in a slanted tag at the right edge below
    it."""
    scheme = scheme_of(row)
    first, second, _ = scheme
    sheet = Sheet(fade(DRAWN, ((0.0, mix(first, _DUSK, 0.25)), (1.0, mix(second, _DUSK, 0.3)))))
    for i in range(9):
        x = i * 120
        streak = [(x - 200, 1050), (x - 150, 1050), (x + 165, 0), (x + 115, 0)]
        sheet.shape(streak, (*_WHITE, 26))
    cast = tables.careers_of(row, set_named(row.set), 8)
    _photo(sheet, row, scheme[2])
    box = _heading(sheet, row, cast, scheme[2])
    _careers(sheet, cast, scheme)
    badge(sheet, (66, 1006), 32, people(row)[0][1])
    maker = "© 1992 KETTLE & ROOK PRINTING  ·  SQUALL LINE QUAYBALL"
    sheet.text((112, 1014), maker, 19, _WHITE, tracking=0.05)
    return sheet.finished(), box


def _photo(sheet: Sheet, row: ListedCard, rim: Colour) -> None:
    """The second picture, cut slantwise at its left."""
    w, h = 396 * FINE, 338 * FINE
    mask = Image.new("L", (w, h), 0)
    ImageDraw.Draw(mask).polygon([(110, 0), (w, 0), (w, h), (0, h)], fill=255)
    sheet.shape([(382, 20), (734, 20), (734, 378), (316, 378)], rim)
    # Quiet poses and nearer than the front: a cast would not fit into the width.
    poses, scenes = ("bust", "folded"), (night, harbor, stands)
    sheet.put(portrait(row, (w, h), poses=poses, scenes=scenes, close=1.5), (334, 32), mask)


def _heading(sheet: Sheet, row: ListedCard, cast: Sequence[Career], third: Colour) -> Box:
    """Mark, subject, club and number; gives the number's box."""
    squall_mark(sheet, (34, 88), 58, _WHITE, third, third)
    # Of two people, one stands on each line; of one, the first name and the rest.
    upper, _, lower = row.subject.partition(" / " if len(cast) > 1 else " ")
    sheet.text((36, 218), upper.upper(), 38, third, weight=0.05, slant=12, room=280)
    sheet.text((34, 272), lower.upper(), 52, _WHITE, weight=0.06, slant=12, width=0.9, room=268)
    sheet.text((36, 316), row.team, 25, _WHITE, weight=0.02, room=270)
    place = cast[0].position if len(cast) == 1 else "On the same tide"
    sheet.text((36, 350), place, 24, third, weight=0.02)
    sheet.shape([(602, 392), (750, 392), (750, 440), (588, 440)], third)
    return tables.number_text(sheet, (668, 427), row.number, set_named(row.set), (16, 14, 30))


def _careers(sheet: Sheet, cast: Sequence[Career], scheme: Scheme) -> None:
    """The white plate with facts, seasons and life."""
    first, _, third = scheme
    sheet.area((30, 456, 720, 968), (*_WHITE, 238), 12)
    inks = tables.TableInks(_INK, first, _INK, third, _PALE)
    size = 22 if len(cast) == 1 else 20
    y = 492.0
    for person in cast:
        if len(cast) > 1:
            sheet.text((52, y), person.name.upper(), 24, first, weight=0.05, slant=8)
            y += 30
        sheet.text((52, y), tables.facts_line(person), 21, _INK, room=640)
        y = tables.season_table(sheet, (46, y + 16, 704), person, inks, size) + 36
    lines = int((968 - y) / 31)  # as many as the plate has room for
    y = sheet.paragraph((52, y), cast[0].life, 23, _INK, 640, 1.36, lines=lines)
    if y < 830:
        tables.best_box(sheet, (46, 840, 704), cast[0], _PALE, _INK)


def current_back(row: ListedCard, parallel: str) -> Back:
    """Rising Current: pale streams; the number in a drop at the left lower corner."""
    card_set = set_named(row.set)
    sky = ((0.0, (255, 236, 206)), (0.5, (252, 216, 214)), (1.0, (206, 222, 246)))
    sheet = Sheet(fade(DRAWN, sky))
    _streams(sheet)
    sheet.area((0, 60, 750, 196), _VIOLET)
    sheet.area((0, 190, 750, 200), _CORAL)
    sheet.text((44, 130), row.subject, 54, _WHITE, weight=0.04, room=520)
    sheet.text((46, 172), row.team, 27, _SAND, weight=0.01)
    badge(sheet, (666, 128), 50, people(row)[0][1])
    person = tables.careers_of(row, card_set, 4)[0]
    sheet.text((44, 250), "RISING CURRENT", 34, _CORAL, weight=0.05, slant=12, tracking=0.06)
    sheet.text((706, 250), person.position, 27, _VIOLET, weight=0.03, anchor="r")
    sheet.text((44, 300), tables.facts_line(person), 22, _VIOLET, room=660)
    inks = tables.TableInks(_VIOLET, _CORAL, _VIOLET, (255, 236, 206), (*_WHITE, 150))
    y = tables.season_table(sheet, (40, 330, 710), person, inks, 24)
    sheet.paragraph((48, y + 62), person.life, 28, _VIOLET, 650, 1.42, lines=7)
    sheet.text((48, 838), "  ".join(person.trifle), 23, _CORAL, weight=0.01, room=650)
    sheet.shape(curve(_DROP), _VIOLET)
    box = tables.number_text(sheet, (112, 968), row.number, card_set, _WHITE)
    squall_mark(sheet, (520, 938), 38, _WHITE, _SAND, (80, 200, 200))
    maker = "© 1992 KETTLE & ROOK PRINTING  ·  20 CARDS"
    sheet.text((180, 1008), maker, 19, _VIOLET, tracking=0.05)
    return sheet.finished(), box


def _streams(sheet: Sheet) -> None:
    for i in range(11):
        rise = 1040 - i * 100
        crest = [(750 * k / 8, rise + 34 * math.sin(k * 0.9 + i * 0.8)) for k in range(-1, 10)]
        below = [(x, y + 34) for x, y in reversed(crest)]
        outline = [*curve(crest, closed=False), *curve(below, closed=False)]
        sheet.shape(outline, (*_WHITE, 120))
