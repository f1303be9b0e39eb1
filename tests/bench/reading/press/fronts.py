"""Fronts of the second press: ten ways to print a name on a picture."""

from __future__ import annotations

import random
from collections.abc import Callable

from PIL import Image, ImageDraw

from bench.reading.press.look import Look
from bench.reading.press.pictures import picture
from bench.reading.press.sheet import (
    BLACK,
    HIGH,
    WHITE,
    WIDE,
    fitted,
    ink_for,
    slanted,
    spaced,
)
from bench.reading.press.typefaces import face
from tagger.core.model.tags import Row

Made = tuple[Image.Image, ImageDraw.ImageDraw]


def _bled(look: Look, rng: random.Random) -> Made:
    side = picture(rng, (WIDE, HIGH), look.art, look.bold)
    return side, ImageDraw.Draw(side)


def _framed(
    look: Look, rng: random.Random, box: tuple[int, int, int, int], frame: tuple[int, int, int]
) -> Made:
    side = Image.new("RGB", (WIDE, HIGH), frame)
    side.paste(picture(rng, (box[2] - box[0], box[3] - box[1]), look.art, look.bold), box[:2])
    return side, ImageDraw.Draw(side)


def _bar(look: Look, row: Row, rng: random.Random) -> Image.Image:
    side, draw = _framed(look, rng, (40, 40, WIDE - 40, HIGH - 190), look.paper)
    draw.rectangle((40, HIGH - 180, WIDE - 40, HIGH - 60), fill=look.main)
    name = row.subject.upper()
    draw.text(
        (WIDE / 2, HIGH - 120),
        name,
        font=fitted(name, look.bold, 76, WIDE - 130),
        fill=ink_for(look.main),
        anchor="mm",
    )
    return side


def _two_lines(look: Look, row: Row, rng: random.Random) -> Image.Image:
    side, draw = _bled(look, rng)
    first, last = row.subject.split(" ", 1)
    draw.rectangle((0, HIGH - 260, WIDE, HIGH), fill=look.main)
    ink = ink_for(look.main)
    draw.text((60, HIGH - 205), first, font=face(look.text, 58), fill=ink, anchor="lm")
    draw.text(
        (60, HIGH - 115),
        last.upper(),
        font=fitted(last.upper(), look.bold, 104, WIDE - 120),
        fill=ink,
        anchor="lm",
    )
    draw.text((WIDE - 50, HIGH - 30), row.team, font=face(look.text, 34), fill=ink, anchor="rm")
    return side


def _script(look: Look, row: Row, rng: random.Random) -> Image.Image:
    side, draw = _framed(look, rng, (60, 60, WIDE - 60, HIGH - 60), WHITE)
    draw.text(
        (WIDE / 2, HIGH - 180),
        row.subject,
        font=fitted(row.subject, look.script, 110, WIDE - 180),
        fill=look.main,
        stroke_width=6,
        stroke_fill=WHITE,
        anchor="mm",
    )
    draw.text(
        (WIDE / 2, 96),
        look.own.brand.upper(),
        font=face(look.bold, 38),
        fill=WHITE,
        stroke_width=3,
        stroke_fill=BLACK,
        anchor="mm",
    )
    return side


def _ribbon(look: Look, row: Row, rng: random.Random) -> Image.Image:
    side, _ = _bled(look, rng)
    turn = (7, -7, 10, -5)[look.art % 4]
    font = fitted(row.subject, look.bold, 74, WIDE - 160)
    slanted(
        side,
        (WIDE / 2, HIGH - 230),
        row.subject,
        font,
        ink_for(look.main),
        look.main,
        turn,
        band=WIDE * 1.2,
    )
    slanted(side, (150, 90), look.own.brand, face(look.text, 40), BLACK, look.second, 0)
    return side


def _outlined(look: Look, row: Row, rng: random.Random) -> Image.Image:
    side, draw = _bled(look, rng)
    name = row.subject.upper()
    draw.text(
        (WIDE / 2, 110),
        name,
        font=fitted(name, look.bold, 92, WIDE - 110),
        fill=WHITE,
        stroke_width=6,
        stroke_fill=BLACK,
        anchor="mm",
    )
    draw.text(
        (WIDE / 2, HIGH - 70),
        row.team,
        font=face(look.text, 44),
        fill=WHITE,
        stroke_width=4,
        stroke_fill=BLACK,
        anchor="mm",
    )
    return side


def _upright(look: Look, row: Row, rng: random.Random) -> Image.Image:
    side, _ = _framed(look, rng, (140, 30, WIDE - 30, HIGH - 30), look.main)
    name = row.subject.upper()
    slanted(
        side,
        (75, HIGH / 2),
        name,
        fitted(name, look.bold, 80, HIGH - 200),
        ink_for(look.main),
        None,
        90,
    )
    return side


def _spread(look: Look, row: Row, rng: random.Random) -> Image.Image:
    side, draw = _framed(look, rng, (0, 150, WIDE, HIGH - 110), look.main)
    name, ink = row.subject.upper(), ink_for(look.main)
    font = fitted(name, look.text, 52, WIDE - 110 - 10 * len(name))
    wide = font.getlength(name) + 10 * len(name)
    spaced(draw, ((WIDE - wide) / 2, HIGH - 56), name, font, ink, 10)
    draw.text((50, 76), look.own.brand, font=face(look.script, 70), fill=ink, anchor="lm")
    return side


def _plate(look: Look, row: Row, rng: random.Random) -> Image.Image:
    side, draw = _framed(look, rng, (50, 50, WIDE - 50, HIGH - 50), look.second)
    font = fitted(row.subject, look.bold, 64, 620)
    half = font.getlength(row.subject) / 2 + 50
    draw.rounded_rectangle(
        (WIDE / 2 - half, 1080, WIDE / 2 + half, 1190),
        55,
        fill=look.paper,
        outline=look.main,
        width=7,
    )
    draw.text((WIDE / 2, 1135), row.subject, font=font, fill=look.main, anchor="mm")
    return side


def _margin(look: Look, row: Row, rng: random.Random) -> Image.Image:
    side, draw = _framed(look, rng, (70, 70, WIDE - 70, HIGH - 170), WHITE)
    draw.rectangle((70, 70, WIDE - 70, HIGH - 170), outline=BLACK, width=4)
    draw.text(
        (70, HIGH - 120),
        row.subject,
        font=fitted(row.subject, look.text, 50, 460),
        fill=BLACK,
        anchor="lm",
    )
    draw.text(
        (WIDE - 70, HIGH - 120),
        row.team,
        font=fitted(row.team, look.text, 34, 290),
        fill=look.main,
        anchor="rm",
    )
    return side


def _shadow(look: Look, row: Row, rng: random.Random) -> Image.Image:
    side, draw = _bled(look, rng)
    first, last = row.subject.split(" ", 1)
    font = fitted(last, look.bold, 110, WIDE - 140)
    for shift, fill in ((7, BLACK), (0, WHITE)):
        draw.text(
            (WIDE - 55 + shift, 80 + shift), first, font=face(look.bold, 54), fill=fill, anchor="rm"
        )
        draw.text((WIDE - 55 + shift, 160 + shift), last, font=font, fill=fill, anchor="rm")
    return side


def front_of(look: Look, form: int, row: Row, rng: random.Random) -> Image.Image:
    """A card's front. Of two sets in three it has the set's logo, a plate in two lines."""
    front = FRONTS[form % len(FRONTS)]
    side = front(look, row, rng)
    if look.has_logo:
        x, y = (60, 190) if front is _spread else (60, 60)
        draw, font = ImageDraw.Draw(side), face(look.bold, 34)
        first, second = look.own.brand.upper().split()
        wide = max(font.getlength(first), font.getlength(second)) + 44
        draw.rounded_rectangle((x, y, x + wide, y + 104), 18, fill=look.second, outline=WHITE)
        for at, word in enumerate((first, second)):
            draw.text((x + wide / 2, y + 30 + 42 * at), word, font=font,
                      fill=ink_for(look.second), anchor="mm")  # fmt: skip
    return side


FRONTS: tuple[Callable[[Look, Row, random.Random], Image.Image], ...] = (
    _bar,
    _two_lines,
    _script,
    _ribbon,
    _outlined,
    _upright,
    _spread,
    _plate,
    _margin,
    _shadow,
)
