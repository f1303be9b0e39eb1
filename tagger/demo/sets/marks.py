"""Club badges and the marks of the sets, drawn on a side. Lengths are pixels of the card."""

from __future__ import annotations

import math

from tagger.demo.art.brush import Colour, Point, darker, lighter, luminance, oval
from tagger.demo.art.letters import cap_height
from tagger.demo.art.sheet import Sheet
from tagger.demo.people.clubs import Team


def on(ground: Colour, *inks: Colour) -> Colour:
    """The ink that stands out most from the ground."""
    return max(
        inks or ((255, 253, 246), (24, 26, 36)),
        key=lambda ink: abs(luminance(ink) - luminance(ground)),
    )


def badge(sheet: Sheet, centre: Point, radius: float, team: Team) -> None:
    """A club's badge."""
    x, y = centre
    for grow, colour in ((1.0, darker(team.main, 0.4)), (0.93, team.trim), (0.82, team.main)):
        sheet.shape(_outline(team.badge, centre, radius * grow), colour)
    size = radius * (0.92 if team.badge != "diamond" else 0.72)
    ink = on(team.main, team.second, team.trim)
    drop = cap_height(size) / 2
    sheet.text(
        (x, y + drop),
        team.letters,
        size,
        ink,
        weight=0.05,
        width=0.9,
        anchor="m",
        room=radius * 1.25,
    )
    if team.badge in ("disc", "wheel"):
        sheet.line(
            [(x - radius * 0.45, y + radius * 0.5), (x + radius * 0.45, y + radius * 0.5)],
            team.trim,
            radius * 0.06,
        )


def _outline(kind: str, centre: Point, r: float) -> list[Point]:
    x, y = centre
    if kind == "shield":
        return [
            (x - 0.86 * r, y - 0.9 * r),
            (x + 0.86 * r, y - 0.9 * r),
            (x + 0.84 * r, y + 0.1 * r),
            (x + 0.5 * r, y + 0.66 * r),
            (x, y + r),
            (x - 0.5 * r, y + 0.66 * r),
            (x - 0.84 * r, y + 0.1 * r),
        ]
    if kind == "diamond":
        return [(x, y - 1.08 * r), (x + 1.08 * r, y), (x, y + 1.08 * r), (x - 1.08 * r, y)]
    if kind == "flag":
        return [
            (x - r, y - 0.72 * r),
            (x + 1.1 * r, y - 0.72 * r),
            (x + 0.82 * r, y),
            (x + 1.1 * r, y + 0.72 * r),
            (x - r, y + 0.72 * r),
        ]
    if kind == "wheel":
        return [
            (
                x + r * (1 if i % 2 else 0.88) * math.cos(i * math.pi / 14),
                y + r * (1 if i % 2 else 0.88) * math.sin(i * math.pi / 14),
            )
            for i in range(28)
        ]
    return oval(centre, r, r, 48)


def lighthouse(
    sheet: Sheet,
    foot: Point,
    tall: float,
    body: Colour,
    stripe: Colour,
    light: Colour,
    *,
    beams: bool = True,
) -> None:
    """A lighthouse that stands on ``foot``, with a beam to either side."""
    x, y = foot
    lamp = y - 0.8 * tall
    for side in (-1, 1) if beams else ():
        sheet.shape(
            [
                (x, lamp),
                (x + side * 0.9 * tall, lamp - 0.22 * tall),
                (x + side * 0.9 * tall, lamp + 0.16 * tall),
            ],
            (*light, 150),
        )
    sheet.shape(
        [
            (x - 0.19 * tall, y),
            (x + 0.19 * tall, y),
            (x + 0.11 * tall, y - 0.7 * tall),
            (x - 0.11 * tall, y - 0.7 * tall),
        ],
        body,
    )
    for a, b in ((0.12, 0.28), (0.44, 0.58)):
        left, right = 0.19 - 0.08 * a / 0.7, 0.19 - 0.08 * b / 0.7
        sheet.shape(
            [
                (x - left * tall, y - a * tall),
                (x + left * tall, y - a * tall),
                (x + right * tall, y - b * tall),
                (x - right * tall, y - b * tall),
            ],
            stripe,
        )
    sheet.area((x - 0.16 * tall, y - 0.74 * tall, x + 0.16 * tall, y - 0.69 * tall), stripe)
    sheet.area((x - 0.09 * tall, y - 0.88 * tall, x + 0.09 * tall, y - 0.74 * tall), light)
    sheet.shape(
        [
            (x - 0.14 * tall, y - 0.88 * tall),
            (x + 0.14 * tall, y - 0.88 * tall),
            (x, y - 1.02 * tall),
        ],
        stripe,
    )


def harbor_mark(
    sheet: Sheet, centre: Point, radius: float, year: str, ground: Colour, ink: Colour
) -> None:
    """The mark of Harbor Light: a lighthouse in a ring over the set's name."""
    x, y = centre
    sheet.disc(centre, radius, ink)
    sheet.disc(centre, radius * 0.93, ground)
    sheet.disc(
        (x, y - 0.08 * radius),
        radius * 0.72,
        darker(ground, 0.35) if luminance(ground) > 128 else lighter(ground, 0.2),
    )
    lighthouse(
        sheet, (x, y + 0.34 * radius), 0.8 * radius, (250, 246, 236), (206, 62, 52), (255, 220, 120)
    )
    sheet.area(
        (x - 1.12 * radius, y + 0.28 * radius, x + 1.12 * radius, y + 0.74 * radius),
        ink,
        0.1 * radius,
    )
    size = 0.3 * radius
    sheet.text(
        (x, y + 0.62 * radius),
        f"HARBOR LIGHT {year}".strip(),
        size,
        ground,
        weight=0.05,
        anchor="m",
        room=2.05 * radius,
    )


def squall_mark(
    sheet: Sheet, at: Point, size: float, top: Colour, low: Colour, bolt: Colour
) -> None:
    """The mark of Squall Line: two slanted words cut by a bolt; ``at`` is the left end of the first
    baseline."""
    x, y = at
    plate = [
        (0.28, -1.02),
        (4.9, -1.02),
        (4.62, 0.16),
        (3.62, 0.16),
        (3.44, 0.98),
        (0.16, 0.98),
        (0.36, 0.16),
        (-0.02, 0.16),
    ]
    sheet.shape([(x + (a - 0.1) * size, y + b * size) for a, b in plate], (14, 12, 28))
    zigzag = [
        (4.5, -1.2),
        (5.1, -1.2),
        (4.72, -0.3),
        (5.2, -0.3),
        (4.06, 1.16),
        (4.4, 0.1),
        (3.96, 0.1),
    ]
    sheet.shape([(x + (a - 0.1) * size, y + b * size) for a, b in zigzag], (14, 12, 28))
    sheet.shape([(x + (a - 0.16) * size, y + (b - 0.05) * size) for a, b in zigzag], bolt)
    sheet.text((x + 0.1 * size, y), "SQUALL", size, top, weight=0.07, slant=16)
    sheet.text((x + 0.62 * size, y + 0.84 * size), "LINE", size * 0.92, low, weight=0.07, slant=16)


def ferry_mark(sheet: Sheet, centre: Point, wide: float, ink: Colour, ground: Colour) -> None:
    """The mark of Penny Ferry: a small steam ferry on two waves."""
    x, y = centre
    w = wide / 2
    sheet.shape(
        [(x - w, y), (x + w, y), (x + 0.78 * w, y + 0.36 * w), (x - 0.78 * w, y + 0.36 * w)], ink
    )
    sheet.area((x - 0.55 * w, y - 0.36 * w, x + 0.55 * w, y - 0.04 * w), ink)
    for i in range(4):
        left = x + (-0.46 + 0.25 * i) * w
        sheet.area((left, y - 0.28 * w, left + 0.13 * w, y - 0.14 * w), ground)
    sheet.area((x - 0.1 * w, y - 0.86 * w, x + 0.16 * w, y - 0.36 * w), ink)
    sheet.area((x - 0.1 * w, y - 0.74 * w, x + 0.16 * w, y - 0.62 * w), ground)
    for i, (dx, dy) in enumerate(((0.3, -0.96), (0.52, -1.1), (0.82, -1.18))):
        sheet.disc((x + dx * w, y + dy * w), (0.12 + 0.05 * i) * w, ink)
    for row in range(2):
        wave = [
            (
                x + (i / 10) * 1.15 * w,
                y + (0.52 + 0.2 * row) * w + 0.06 * w * math.sin(i * 1.2 + row * 2),
            )
            for i in range(-10, 11)
        ]
        sheet.line(wave, ink, 0.07 * w)
