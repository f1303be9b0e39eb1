"""Shapes on a picture: smooth outlines, tapered limbs and soft shading.

All lengths are pixels of the picture that is drawn on.
"""

from __future__ import annotations

from collections.abc import Sequence

from PIL import Image, ImageChops, ImageDraw, ImageFilter

Point = tuple[float, float]
Colour = tuple[int, int, int]
Ink = tuple[int, int, int] | tuple[int, int, int, int]
Outline = Sequence[Point]
Mask = Image.Image | None

# A blur needs no more detail than its own radius, at a quarter of the size it costs a sixteenth,
# and a card has a hundred of them.
_SOFT_REDUCTION = 4


def mix(a: Colour, b: Colour, share: float) -> Colour:
    """The colour ``share`` (0 to 1) of the way from ``a`` to ``b``."""
    return (
        round(a[0] + (b[0] - a[0]) * share),
        round(a[1] + (b[1] - a[1]) * share),
        round(a[2] + (b[2] - a[2]) * share),
    )


def darker(colour: Colour, share: float) -> Colour:
    """The colour mixed with a warm near-black."""
    # Never pure black: printed shadows have colour in them, and black ones look cut out.
    return mix(colour, (24, 14, 20), share)


def lighter(colour: Colour, share: float) -> Colour:
    """The colour mixed with a warm white."""
    return mix(colour, (255, 252, 244), share)


def luminance(colour: Colour) -> float:
    """How bright the colour looks, 0 (black) to 255 (white)."""
    # The weights of ITU-R BT.601.
    return 0.299 * colour[0] + 0.587 * colour[1] + 0.114 * colour[2]


def curve(points: Sequence[Point], *, closed: bool = True, steps: int = 10) -> list[Point]:
    """A smooth line through every point, with ``steps`` short pieces from point to point: a uniform
    Catmull-Rom spline."""
    count = len(points)
    if closed:
        around = [points[-1], *points, points[0], points[1 % count]]
    else:
        # The ends stand twice, so that the line leaves them straight towards their neighbours.
        around = [points[0], *points, points[-1]]
    out: list[Point] = []
    for p0, p1, p2, p3 in zip(around, around[1:], around[2:], around[3:], strict=False):
        for step in range(steps):
            t = step / steps
            out.append(
                (_blend(p0[0], p1[0], p2[0], p3[0], t), _blend(p0[1], p1[1], p2[1], p3[1], t))
            )
    if not closed:
        out.append(points[-1])
    return out


def _blend(a: float, b: float, c: float, d: float, t: float) -> float:
    square, cube = t * t, t * t * t
    return 0.5 * (
        2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * square + (3 * b - 3 * c + d - a) * cube
    )


def limb(points: Sequence[Point], widths: Sequence[float]) -> list[Point]:
    """The outline of a tapered band along a smooth line.

    ``widths`` holds the full width at each point; both sequences have the same length.
    """
    spine = curve(points, closed=False)
    scale = (len(widths) - 1) / max(1, len(spine) - 1)
    left: list[Point] = []
    right: list[Point] = []
    for i, (x, y) in enumerate(spine):
        before, after = spine[max(0, i - 1)], spine[min(len(spine) - 1, i + 1)]
        dx, dy = after[0] - before[0], after[1] - before[1]
        length = max(1e-6, (dx * dx + dy * dy) ** 0.5)
        # The widths are spread evenly over the line, whatever it is bent like.
        at = i * scale
        low = min(int(at), len(widths) - 2)
        half = (widths[low] + (widths[low + 1] - widths[low]) * (at - low)) / 2
        left.append((x - dy / length * half, y + dx / length * half))
        right.append((x + dy / length * half, y - dx / length * half))
    return left + right[::-1]


def oval(centre: Point, rx: float, ry: float, steps: int = 36) -> list[Point]:
    """The outline of an ellipse."""
    corners = [(1.0, 0.0), (0.7071, 0.7071), (0.0, 1.0), (-0.7071, 0.7071)]
    corners += [(-x, -y) for x, y in corners]
    return curve(
        [(centre[0] + x * rx, centre[1] + y * ry) for x, y in corners], steps=max(2, steps // 8)
    )


def stencil(size: tuple[int, int], outline: Sequence[Point]) -> Image.Image:
    """A mask ("L") of a picture's size, white inside the outline."""
    mask = Image.new("L", size, 0)
    ImageDraw.Draw(mask).polygon(list(outline), fill=255)
    return mask


def pen_for(picture: Image.Image, colour: Ink) -> ImageDraw.ImageDraw:
    """A pen for an RGB picture; only a colour with an opacity needs one that blends, which is
    slower."""
    return ImageDraw.Draw(picture, "RGBA" if len(colour) == 4 else None)


def fill(picture: Image.Image, outline: Sequence[Point], colour: Ink) -> None:
    """Paint an outline on an RGB picture; a fourth value in the colour is its opacity (0 to
    255)."""
    pen_for(picture, colour).polygon(list(outline), fill=colour)


def stroke(picture: Image.Image, points: Sequence[Point], colour: Ink, width: float) -> None:
    """Paint a round-ended line of the given width on an RGB picture."""
    # Pillow ends a line flat. A round end over it would show twice where the colour has an opacity.
    pen = pen_for(picture, colour)
    pen.line(list(points), fill=colour, width=max(1, round(width)), joint="curve")
    half = width / 2
    if half >= 1 and len(colour) == 3:
        for x, y in (points[0], points[-1]):
            pen.ellipse((x - half, y - half, x + half, y + half), fill=colour)


def _touched(
    outline: Sequence[Point], blur: float, size: tuple[int, int]
) -> tuple[int, int, int, int]:
    # Beyond three standard deviations a Gaussian is below one step of 255.
    pad = 3 * blur
    return (
        max(0, int(min(x for x, _ in outline) - pad)),
        max(0, int(min(y for _, y in outline) - pad)),
        min(size[0], int(max(x for x, _ in outline) + pad) + 1),
        min(size[1], int(max(y for _, y in outline) + pad) + 1),
    )


def soft(
    picture: Image.Image,
    outline: Sequence[Point],
    colour: Colour,
    opacity: float,
    blur: float,
    clip: Image.Image | None = None,
) -> None:
    """Paint an outline with edges blurred over ``blur`` pixels, inside the mask ``clip`` when
    given.

    ``opacity`` is 0 to 1.
    """
    left, top, right, bottom = _touched(outline, blur, picture.size)
    if right - left < 2 or bottom - top < 2:
        return
    by = _SOFT_REDUCTION
    small = Image.new("L", ((right - left) // by + 2, (bottom - top) // by + 2), 0)
    shifted = [((x - left) / by, (y - top) / by) for x, y in outline]
    ImageDraw.Draw(small).polygon(shifted, fill=round(255 * opacity))
    small = small.filter(ImageFilter.GaussianBlur(blur / by))
    mask = small.resize((small.width * by, small.height * by), Image.Resampling.BILINEAR)
    mask = mask.crop((0, 0, right - left, bottom - top))
    if clip is not None:
        mask = ImageChops.multiply(mask, clip.crop((left, top, right, bottom)))
    picture.paste(colour, (left, top, right, bottom), mask)


def fade(
    size: tuple[int, int], stops: Sequence[tuple[float, Colour]], *, across: bool = False
) -> Image.Image:
    """An RGB picture that runs through the colours from top to bottom (or left to right).

    ``stops`` are (place from 0 to 1, colour), in rising order.
    """
    steps = 256
    # One line of the picture is drawn and then drawn out over it: the rest are copies.
    strip = Image.new("RGB", (steps, 1))
    strip.putdata([_between(stops, i / (steps - 1)) for i in range(steps)])
    if across:
        line = strip.resize((size[0], 1), Image.Resampling.BILINEAR)
    else:
        upright = strip.transpose(Image.Transpose.ROTATE_270)
        line = upright.resize((1, size[1]), Image.Resampling.BILINEAR)
    return line.resize(size, Image.Resampling.NEAREST)


def _between(stops: Sequence[tuple[float, Colour]], at: float) -> Colour:
    """The colour at a place among the stops; before the first and after the last, theirs."""
    below = max((s for s in stops if s[0] <= at), key=lambda s: s[0], default=stops[0])
    above = min((s for s in stops if s[0] >= at), key=lambda s: s[0], default=stops[-1])
    span = above[0] - below[0]
    if span <= 0:
        return below[1]
    return mix(below[1], above[1], (at - below[0]) / span)
