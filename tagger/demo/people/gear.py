"""The gaff and the ball. Places are in the units of a `Bearing`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.demo.art.brush import Colour, Point, curve, darker, lighter, limb

if TYPE_CHECKING:
    from tagger.demo.people.bearing import Canvas

_WOOD: Colour = (176, 122, 66)
_CORK: Colour = (204, 164, 110)


def draw_gaff(canvas: Canvas, foot: Point, head: Point, bend: float) -> None:
    """A gaff from its foot to its head, where the hook bends to one side."""
    b = canvas.bearing
    dx, dy = head[0] - foot[0], head[1] - foot[1]
    length = max(0.1, (dx * dx + dy * dy) ** 0.5)
    # Along the shaft, and across it to the side of the hook.
    ax, ay, nx, ny = dx / length, dy / length, -dy / length * bend, dx / length * bend
    middle = ((foot[0] + head[0]) / 2, (foot[1] + head[1]) / 2)
    hook = [
        head,
        *(
            (head[0] + ax * along + nx * across, head[1] + ay * along + ny * across)
            for along, across in ((0.5, 0.12), (0.72, 0.5), (0.45, 0.85))
        ),
    ]
    shaft = b.limb([foot, middle, *hook], (0.2, 0.18, 0.2, 0.24, 0.26, 0.16))
    canvas.fill(shaft, _WOOD)
    under = b.limb([(x + 0.07, y + 0.05) for x, y in (foot, *hook)], [0.1] * 5)
    canvas.soft(under, darker(_WOOD, 0.6), 0.7, 0.03, canvas.stencil(shaft))
    for share in (0.9, 0.94, 0.98):
        x, y = foot[0] + dx * share, foot[1] + dy * share
        ends = b.line([(x - nx * 0.13, y - ny * 0.13), (x + nx * 0.13, y + ny * 0.13)])
        canvas.stroke(ends, (236, 228, 206), 0.06)


def draw_ball(canvas: Canvas, at: Point, radius: float) -> None:
    """A cork ball with its red seams."""
    b, (x, y) = canvas.bearing, at
    shape = b.oval(at, radius, radius)
    canvas.fill(shape, _CORK)
    clip = canvas.stencil(shape)
    canvas.soft(b.oval((x + 0.16, y + 0.16), radius, radius), darker(_CORK, 0.6), 0.55, 0.12, clip)
    canvas.soft(b.oval((x - 0.16, y - 0.16), 0.12, 0.1), lighter(_CORK, 0.8), 0.7, 0.06, clip)
    for shift in (-0.24, 0.24):
        places = [
            (x - radius, y + shift * 1.6), (x, y + shift * 0.5), (x + radius, y + shift * 1.6),
        ]  # fmt: skip
        seam = curve(b.line(places), closed=False)[::4]
        stitched = limb(seam, [0.035 * b.unit] * len(seam))
        canvas.soft(stitched, (122, 40, 34), 0.9, 0.01, clip)
