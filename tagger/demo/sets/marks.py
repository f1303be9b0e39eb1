"""Club badges and the marks of the sets, drawn on a side. Lengths are pixels of the card."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from tagger.demo.art.brush import Colour, Point, darker, lighter, luminance, oval
from tagger.demo.art.letters import cap_height

if TYPE_CHECKING:
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
    outline = _OUTLINES[team.badge]
    for grow, colour in ((1.0, darker(team.main, 0.4)), (0.93, team.trim), (0.82, team.main)):
        sheet.shape(outline(centre, radius * grow), colour)
    # A diamond is narrow where the letters' ends are.
    size = radius * (0.72 if team.badge == "diamond" else 0.92)
    base = (x, y + cap_height(size) / 2)
    ink, room = on(team.main, team.second, team.trim), radius * 1.25
    sheet.text(base, team.letters, size, ink, weight=0.05, width=0.9, anchor="m", room=room)
    if team.badge in ("disc", "wheel"):
        low, half = y + radius * 0.5, radius * 0.45
        sheet.line([(x - half, low), (x + half, low)], team.trim, radius * 0.06)


def _scaled(*points: Point) -> Callable[[Point, float], list[Point]]:
    """An outline from its places around the middle, in shares of the radius."""
    return lambda centre, r: [(centre[0] + x * r, centre[1] + y * r) for x, y in points]


def _wheel(centre: Point, r: float) -> list[Point]:
    # Fourteen blunt teeth: every second point stands a little farther in.
    radii = (r * 0.88, r)
    return [
        (
            centre[0] + radii[i % 2] * math.cos(i * math.pi / 14),
            centre[1] + radii[i % 2] * math.sin(i * math.pi / 14),
        )
        for i in range(28)
    ]


_OUTLINES: dict[str, Callable[[Point, float], list[Point]]] = {
    "disc": lambda centre, r: oval(centre, r, r, 48),
    "wheel": _wheel,
    "shield": _scaled(
        (-0.86, -0.9), (0.86, -0.9), (0.84, 0.1), (0.5, 0.66), (0, 1), (-0.5, 0.66), (-0.84, 0.1)
    ),
    "diamond": _scaled((0, -1.08), (1.08, 0), (0, 1.08), (-1.08, 0)),
    "flag": _scaled((-1, -0.72), (1.1, -0.72), (0.82, 0), (1.1, 0.72), (-1, 0.72)),
}


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

    def at(*points: Point) -> list[Point]:
        return [(x + across * tall, y - up * tall) for across, up in points]

    def box(half: float, low: float, high: float) -> tuple[float, float, float, float]:
        return (x - half * tall, y - high * tall, x + half * tall, y - low * tall)

    if beams:
        for side in (-0.9, 0.9):
            lamp = y - 0.8 * tall
            far = x + side * tall
            beam = [(x, lamp), (far, lamp - 0.22 * tall), (far, lamp + 0.16 * tall)]
            sheet.shape(beam, (*light, 150))
    sheet.shape(at((-0.19, 0), (0.19, 0), (0.11, 0.7), (-0.11, 0.7)), body)
    for low, high in ((0.12, 0.28), (0.44, 0.58)):
        # The tower tapers from 0.19 at its foot to 0.11 at 0.7.
        wide, narrow = 0.19 - 0.08 * low / 0.7, 0.19 - 0.08 * high / 0.7
        sheet.shape(at((-wide, low), (wide, low), (narrow, high), (-narrow, high)), stripe)
    sheet.area(box(0.16, 0.69, 0.74), stripe)
    sheet.area(box(0.09, 0.74, 0.88), light)
    sheet.shape(at((-0.14, 0.88), (0.14, 0.88), (0, 1.02)), stripe)


def harbor_mark(
    sheet: Sheet, centre: Point, radius: float, year: str, ground: Colour, ink: Colour
) -> None:
    """The mark of Harbor Light: a lighthouse in a ring over the set's name."""
    x, y = centre
    sheet.disc(centre, radius, ink)
    sheet.disc(centre, radius * 0.93, ground)
    # Darker than a light ground, lighter than a dark one, so that the white tower stands out.
    sky = darker(ground, 0.35) if luminance(ground) > 128 else lighter(ground, 0.2)
    sheet.disc((x, y - 0.08 * radius), radius * 0.72, sky)
    foot = (x, y + 0.34 * radius)
    lighthouse(sheet, foot, 0.8 * radius, (250, 246, 236), (206, 62, 52), (255, 220, 120))
    half = 1.12 * radius
    sheet.area((x - half, y + 0.28 * radius, x + half, y + 0.74 * radius), ink, 0.1 * radius)
    name = f"HARBOR LIGHT {year}".strip()
    base, room = (x, y + 0.62 * radius), 2.05 * radius
    sheet.text(base, name, 0.3 * radius, ground, weight=0.05, anchor="m", room=room)


# In heights of the letters, from the left end of the first baseline.
_PLATE = (
    (0.28, -1.02), (4.9, -1.02), (4.62, 0.16), (3.62, 0.16), (3.44, 0.98), (0.16, 0.98),
    (0.36, 0.16), (-0.02, 0.16),
)  # fmt: skip
_BOLT = (
    (4.5, -1.2), (5.1, -1.2), (4.72, -0.3), (5.2, -0.3), (4.06, 1.16), (4.4, 0.1), (3.96, 0.1),
)  # fmt: skip


def squall_mark(
    sheet: Sheet, at: Point, size: float, top: Colour, low: Colour, bolt: Colour
) -> None:
    """The mark of Squall Line: two slanted words cut by a bolt; ``at`` is the left end of the first
    baseline."""
    x, y = at
    dark: Colour = (14, 12, 28)
    sheet.shape([(x + (a - 0.1) * size, y + b * size) for a, b in _PLATE], dark)
    sheet.shape([(x + (a - 0.1) * size, y + b * size) for a, b in _BOLT], dark)
    sheet.shape([(x + (a - 0.16) * size, y + (b - 0.05) * size) for a, b in _BOLT], bolt)
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
        middle = y + (0.52 + 0.2 * row) * w
        wave = [
            (x + (i / 10) * 1.15 * w, middle + 0.06 * w * math.sin(i * 1.2 + row * 2))
            for i in range(-10, 11)
        ]
        sheet.line(wave, ink, 0.07 * w)
