"""Fronts of Harbor Light: 1985 with its pennants, 1987 with its painted boards, and the Keepers."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from tagger.demo.brush import Colour, curve, darker, fade, fill, lighter, mix, oval, soft
from tagger.demo.foil import GOLD, RAINBOW, RED, SILVER, foil, rope, rounded_path, stamp
from tagger.demo.letters import Face
from tagger.demo.marks import badge, harbor_mark, lighthouse, on
from tagger.demo.pictures import people, portrait, put_players
from tagger.demo.scenario import TEAMS, Row
from tagger.demo.scenery import harbor, shed
from tagger.demo.sheet import CARD_HEIGHT, CARD_WIDTH, FINE, Sheet, fine_size

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


def _boards(row: Row, parallel: str, rng: random.Random) -> Image.Image:
    """Upright painted boards with grain, gaps and nails; boards of metal for a parallel."""
    size = (CARD_WIDTH * FINE, CARD_HEIGHT * FINE)
    tones = _PASTELS[TEAMS.index(people(row)[0][1]) % len(_PASTELS)]
    metal = _METALS.get(parallel)
    picture = foil(size, metal, rng) if metal else Image.new("RGB", size, tones[0])
    pen = ImageDraw.Draw(picture, "RGBA")
    edge, i = 0.0, 0
    while edge < size[0]:
        wide = rng.uniform(104, 142)
        if metal is None:
            tone = tones[i % 3] if rng.random() < 0.75 else lighter(tones[0], 0.3)
            ImageDraw.Draw(picture).rectangle((edge, 0, edge + wide, size[1]), fill=tone)
        dark = darker(tones[2] if metal is None else metal[0], 0.55)
        for _ in range(9):
            x, y, length = (
                edge + rng.uniform(8, wide - 8),
                rng.uniform(-200, size[1]),
                rng.uniform(200, 900),
            )
            wave = [(x + 5 * math.sin(k * 0.9 + y), y + length * k / 6) for k in range(7)]
            pen.line(wave, fill=(*dark, rng.randint(22, 64)), width=rng.choice((2, 2, 3, 4)))
        pen.line((edge, 0, edge, size[1]), fill=(*dark, 235), width=6)
        pen.line((edge + 5, 0, edge + 5, size[1]), fill=(255, 255, 255, 110), width=3)
        for y in (44, size[1] - 44):
            spot = (edge + wide / 2, y)
            fill(picture, oval((spot[0] + 2, spot[1] + 3), 9, 9), (60, 50, 50, 120))
            fill(picture, oval(spot, 8, 8), (126, 120, 116))
            fill(picture, oval((spot[0] - 2, spot[1] - 3), 3, 3), (226, 222, 214))
        edge, i = edge + wide, i + 1
    return picture


def boards_front(row: Row, parallel: str, serial: str) -> Image.Image:
    """1987: painted boards, a rope around the picture, the name on a hanging sign."""
    team = people(row)[0][1]
    sheet = Sheet(_boards(row, parallel, random.Random(f"boards of {row.number} {parallel}")))
    box, round_by, thick = (58.0, 58.0, 692.0, 846.0), 96.0 * FINE, 19.0 * FINE
    size = fine_size(box)
    mask = Image.new("L", size, 0)
    ImageDraw.Draw(mask).rounded_rectangle(
        (0, 0, size[0] - 1, size[1] - 1), radius=round_by, fill=255
    )
    sheet.put(portrait(row, size, close=1.08), (box[0], box[1]), mask)
    left, top, right, low = (value * FINE for value in box)
    path = rounded_path((left, top, right, low), round_by, thick * 0.52)
    rope(sheet.picture, path, thick, _CORDS.get(parallel, (226, 202, 156)))
    ground = _SIGNS.get(parallel, mix(team.main, (26, 40, 66), 0.35))
    _sign(sheet, row, ground)
    harbor_mark(sheet, (132, 140), 82, "'87", (250, 244, 228), (32, 52, 88))
    badge(sheet, (626, 738), 56, team)
    if serial:
        sheet.area((300, 1000, 450, 1040), ground, 14)
        face, rng = Face(32 * FINE, weight=0.04), random.Random(serial)
        stamp(sheet.picture, (375 * FINE, 1031 * FINE), serial, face, _METALS[parallel], rng)
    return sheet.finished()


def _sign(sheet: Sheet, row: Row, ground: Colour) -> None:
    """The sign with subject and club at the foot of a 1987 card."""
    team = people(row)[0][1]
    left, top, right, low = 92.0, 806.0, 658.0, 984.0
    sheet.shadow([(100, 818), (668, 818), (668, 996), (100, 996)], 0.6, 8)
    ink = on(ground, (255, 246, 222), (30, 32, 44))
    sheet.area((left, top, right, low), ground, 22)
    sheet.frame((left + 9, top + 9, right - 9, low - 9), (*ink, 200), 3, 15)
    sheet.text((375, 886), row.subject, 68, ink, weight=0.035, anchor="m", room=508)
    second = on(ground, team.trim, team.second, (255, 226, 150))
    sheet.text(
        (375, 949), row.team.upper(), 33, second, weight=0.03, tracking=0.06, anchor="m", room=490
    )


def pennant_front(row: Row, parallel: str, serial: str) -> Image.Image:
    """1985: white border, a string of signal pennants, a wave of club colour under the name."""
    team = people(row)[0][1]
    sheet = Sheet((250, 249, 244))
    box = (34.0, 34.0, 716.0, 1016.0)
    size = fine_size(box)
    sheet.put(portrait(row, size, scenes=(harbor, shed, harbor), close=0.9), (box[0], box[1]))
    cord = [(38 + 674 * i / 20, 92 + 58 * math.sin(math.pi * i / 20)) for i in range(21)]
    flags = (team.main, (250, 248, 240), team.trim, (206, 52, 46), team.second, (30, 74, 140))
    for i in range(1, 19, 2):
        (x0, y0), (x1, y1) = cord[i], cord[min(20, i + 1)]
        tip = ((x0 + x1) / 2 + 4, max(y0, y1) + 66)
        sheet.shadow([(x0 + 5, y0 + 6), (x1 + 26, y1 + 6), (tip[0] + 8, tip[1] + 6)], 0.35, 4)
        flag = flags[(i // 2) % len(flags)]
        sheet.shape([(x0 - 12, y0), (x1 + 10, y1), tip], flag)
        sheet.shape(
            [
                ((x0 + x1) / 2 - 9, y0 + 10),
                ((x0 + x1) / 2 + 13, y0 + 10),
                ((x0 + x1) / 2 + 3, y0 + 42),
            ],
            flags[(i // 2 + 2) % len(flags)],
        )
    sheet.line(cord, (242, 236, 220), 5)
    ground = mix(team.main, (20, 40, 80), 0.2)
    for lift, colour in ((30, lighter(ground, 0.7)), (14, team.trim), (0, ground)):
        crest = [
            (34 + 682 * i / 16, 846 - lift + 20 * math.sin(i * 0.62 + lift * 0.03))
            for i in range(17)
        ]
        sheet.shape([(34, 1016), *curve(crest, closed=False), (716, 1016)], colour)
    ink = on(ground, (255, 253, 246), (24, 26, 36))
    first, _, last = row.subject.partition(" ")
    sheet.text(
        (64, 904),
        first.upper(),
        40,
        on(ground, team.trim, team.second, (255, 240, 190)),
        weight=0.03,
        tracking=0.08,
    )
    sheet.text((60, 972), last.upper(), 72, ink, weight=0.05, width=0.9, room=466)
    sheet.text((66, 1004), row.team, 25, ink, weight=0.01)
    harbor_mark(sheet, (624, 924), 78, "'85", (250, 248, 240), (196, 46, 42))
    sheet.frame(box, (30, 44, 74), 4)
    return sheet.finished()


def keepers_front(row: Row, parallel: str, serial: str) -> Image.Image:
    """The Keepers: night, the beams of a lighthouse, and a gold frame; rainbow foil for the
    parallel."""
    team = people(row)[0][1]
    size = (CARD_WIDTH * FINE, CARD_HEIGHT * FINE)
    sheet = Sheet(fade(size, ((0.0, (10, 18, 48)), (0.55, (22, 54, 104)), (1.0, (8, 12, 34)))))
    seeded = random.Random(f"stars of {row.number}")
    lamp = (150.0, 196.0)
    for i in range(9):
        angle = math.radians(-30 + i * 19)
        beam = [lamp] + [
            (lamp[0] + 1500 * math.cos(angle + s), lamp[1] + 1500 * math.sin(angle + s))
            for s in (-0.07, 0.07)
        ]
        soft(sheet.picture, sheet.fine(beam), (255, 226, 150), 0.34, 16)
    if parallel == "Foil":
        shine = foil(size, RAINBOW, seeded, 3)
        sheet.picture = ImageChops.overlay(sheet.picture, shine)
        sheet.picture = Image.blend(sheet.picture, shine, 0.4)
    for _ in range(90):
        x, y, r = seeded.uniform(0, 750), seeded.uniform(0, 620), seeded.choice((0.8, 1.1, 1.6))
        sheet.disc((x, y), r, (255, 250, 226, 190))
    lighthouse(sheet, (150, 470), 330, (236, 230, 220), (150, 46, 48), (255, 232, 160), beams=False)
    soft(
        sheet.picture,
        oval((lamp[0] * FINE, (lamp[1] + 8) * FINE), 130, 130),
        (255, 240, 190),
        0.8,
        60,
    )
    sheet.put(
        fade((size[0], 800), ((0.0, (40, 78, 128)), (0.4, (14, 30, 70)), (1.0, (6, 10, 30)))),
        (0, 650),
    )
    for _ in range(46):
        x, y = seeded.uniform(0, 750), 652 + 150 * seeded.random() ** 1.5
        sheet.line(
            [(x, y), (x + seeded.uniform(14, 70), y)], (255, 232, 170, seeded.randint(40, 150)), 2
        )
    cliff = [
        (-60, 440),
        (60, 452),
        (190, 462),
        (262, 500),
        (318, 560),
        (330, 640),
        (410, 676),
        (450, 740),
    ]
    sheet.shape([(-60, 1060), *curve(cliff, closed=False), (450, 1060)], (10, 15, 34))
    sheet.line(curve(cliff, closed=False), (84, 96, 128), 2)
    put_players(
        sheet.picture,
        row,
        (430 * FINE, 360 * FINE),
        118 * FINE,
        poses=("bust", "folded", "shouldered"),
        room=1000,
    )
    glow = Image.new("RGB", size, (255, 196, 120))
    sheet.picture = Image.blend(sheet.picture, ImageChops.multiply(sheet.picture, glow), 0.3)
    for top, opacity in ((730, 0.55), (800, 0.9)):
        soft(
            sheet.picture,
            sheet.fine([(-60, top), (810, top), (810, 1200), (-60, 1200)]),
            (8, 12, 32),
            opacity,
            40,
        )
    metal = RAINBOW if parallel == "Foil" else GOLD
    _foil_frame(sheet, metal, seeded)
    name = Face(_fitting(row.subject.upper(), 570, 74) * FINE, weight=0.04, tracking=0.05)
    stamp(sheet.picture, (375 * FINE, 893 * FINE), row.subject.upper(), name, metal, seeded)
    sheet.text(
        (375, 940), row.team.upper(), 30, (236, 228, 206), tracking=0.14, anchor="m", room=540
    )
    sheet.text(
        (375, 808), "KEEPERS OF THE LIGHT", 25, (255, 226, 160), tracking=0.3, anchor="m", room=520
    )
    badge(sheet, (640, 112), 48, team)
    if serial:
        stamp(
            sheet.picture,
            (375 * FINE, 987 * FINE),
            serial,
            Face(32 * FINE, weight=0.04),
            SILVER,
            random.Random(serial),
        )
    return sheet.finished()


def _fitting(text: str, room: float, size: float) -> float:
    """The em at which a tracked line of capitals stays within ``room`` pixels."""
    return min(size, room / (0.74 * len(text)))


def _foil_frame(sheet: Sheet, metal: Sequence[Colour], rng: random.Random) -> None:
    """Two thin lines of foil with cut corners around the side."""
    size = sheet.picture.size
    mask = Image.new("L", size, 0)
    pen = ImageDraw.Draw(mask)
    for inset, width in ((30, 10), (46, 4)):
        a, b, right, low = (
            inset * FINE,
            (inset + 46) * FINE,
            size[0] - inset * FINE,
            size[1] - inset * FINE,
        )
        corner = b - a
        line = [
            (b, a),
            (right - corner, a),
            (right, a + corner),
            (right, low - corner),
            (right - corner, low),
            (b, low),
            (a, low - corner),
            (a, b),
        ]
        pen.line([*line, line[0], line[1]], fill=255, width=width, joint="curve")
    shade = mask.filter(ImageFilter.GaussianBlur(4)).point([round(v * 0.6) for v in range(256)])
    sheet.picture.paste((0, 0, 10), (3, 4), shade)
    sheet.picture.paste(foil(size, metal, rng), (0, 0), mask)
