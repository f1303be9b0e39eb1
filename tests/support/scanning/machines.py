"""A card on a machine's bed, and the file that comes out, with the truth about it.

Coordinates are pixels with (0, 0) at the outer corner of the first one, x to the right, y down."""

from __future__ import annotations

import io
import math
import random
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, ImageFilter

MM = 25.4
CARD = (63.5, 88.9)  # mm: 2.5 x 3.5 in, common practice
Levels = npt.NDArray[np.float32]
Point = tuple[float, float]
Effect = Callable[[Levels, random.Random], Levels]
"""What one machine does to a page, of height x width x 3 levels."""


@dataclass(frozen=True)
class Machine:
    """One model.

    `bed` is the range of its level, `tint` of the bed's colour; `margin` how many mm of bed are
    seen beside the card at least and at most, negative where the card goes beyond the scan. A
    `cropping` machine cuts to the card itself, so that its margin is what is left of that, and the
    truth of a good scan is that nothing is said of it but once for the lot.
    `bands` brighten the bed in stripes along the way of the card by so many levels. `shadow` is how
    many levels darker the bed is right beside the card, on one side by `lean` more, and `reach` mm
    how far. `falloff` levels: what the lamp loses at the ends. `halo`: per cent of sharpening.
    `stretch` is the range of the feeder's error along its way. `holder`: `sleeve` or `toploader`.
    """

    name: str
    bed: tuple[float, float]
    dpi: int = 150
    tint: tuple[float, float, float] = (0.0, 0.0, 0.0)
    texture: float = 0.0
    bands: float = 0.0
    margin: tuple[float, float] = (3.0, 7.0)
    cropping: bool = False
    skew: float = 1.5
    shadow: float = 6.0
    lean: float = 0.0
    reach: float = 0.8
    falloff: float = 4.0
    gamma: float = 1.0
    cast: tuple[float, float, float] = (1.0, 1.0, 1.0)
    contrast: float = 1.0
    blur: float = 0.5
    halo: int = 0
    noise: float = 1.5
    dust: int = 4
    streaks: int = 0
    stretch: tuple[float, float] = (1.0, 1.0)
    overscan: tuple[float, float] = (0.0, 0.0)
    grey: bool = False
    quality: int = 88
    subsampling: int = 2
    holder: str = ""
    rounding: float = 0.4
    effects: tuple[Effect, ...] = ()

    def own(self) -> Machine:
        """The machine as it stands with one dealer: its bed has one level."""
        level = random.Random(f"{self.name} stands").uniform(*self.bed)
        return replace(self, bed=(level, level))


@dataclass(frozen=True)
class Scanned:
    """A scan's file and the truth: the card's corners (left upper, right upper, right lower, left
    lower as the scan shows it, sharp), dots per inch as the file says, and its size."""

    data: bytes
    corners: tuple[Point, Point, Point, Point]
    dpi: int
    size: tuple[int, int]


def scanned(
    art: Image.Image | None,
    machine: Machine,
    rng: random.Random,
    *,
    size: tuple[float, float] = CARD,
    turned: int = 0,
    missing: tuple[str, float] | None = None,
) -> Scanned:
    """One pass of a card with this side up; `art` None: the bed alone.

    `size` is the card's short and long side in mm, `turned` by how many degrees clockwise it was
    laid in. `missing`: so many mm of one side of it (`left`, `upper`, `right`, `lower`) lie beyond
    the scan."""
    dpi = machine.dpi
    side = art or Image.new("RGB", (60, 84))
    if turned:
        side = side.rotate(-turned, expand=True)
    wide, high = size if turned % 180 == 0 else size[::-1]
    wide, high = (mm + rng.gauss(0, 0.1) for mm in (wide, high))
    room = 12.0 if machine.holder else 1.0 + max(machine.margin)
    whole = tuple(math.ceil((mm + 2 * room + 4) / MM * dpi) for mm in (wide, high))
    middle = tuple(px / 2 + rng.uniform(-0.5, 0.5) for px in whole)
    angle = max(-machine.skew, min(machine.skew, rng.gauss(0, machine.skew / 2)))
    lies = _Lying(middle, angle, (wide / MM * dpi, high / MM * dpi))
    page = _bed(machine, whole, rng)
    if art is not None:
        page = _laid(page, side, lies, machine, rng)
    box = _seen(lies, machine, whole, rng, missing)
    page = page[box[1] : box[3], box[0] : box[2]]
    corners = [(x - box[0], y - box[1]) for x, y in lies.corners]
    return _sensed(page, corners, machine, rng)


@dataclass(frozen=True)
class _Lying:
    """A card's middle, its angle clockwise in degrees and its size, in pixels."""

    middle: Point
    angle: float
    size: Point

    @property
    def corners(self) -> list[Point]:
        c, s = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        w, h = self.size[0] / 2, self.size[1] / 2
        ends = ((-w, -h), (w, -h), (w, h), (-w, h))
        return [(self.middle[0] + x * c - y * s, self.middle[1] + x * s + y * c) for x, y in ends]

    def grown(self, by: Point) -> _Lying:
        return replace(self, size=(self.size[0] + by[0], self.size[1] + by[1]))

    def cover(self, page: tuple[int, int], rounding: float) -> Levels:
        """Which part of each pixel it covers, 0 to 1."""
        w, h = (2 * px for px in self.size)
        mask = Image.new("L", (math.ceil(w) + 8, math.ceil(h) + 8), 0)
        left, upper = (mask.width - w) / 2, (mask.height - h) / 2
        box = (left, upper, left + w - 1, upper + h - 1)
        ImageDraw.Draw(mask).rounded_rectangle(box, max(0.0, 2 * rounding), fill=255)
        return np.asarray(self._placed(mask, page), np.float32) / 255

    def colours(self, art: Image.Image, page: tuple[int, int]) -> Levels:
        """The art's colours where it lies, those of its rim beyond."""
        inner = art.resize((round(2 * self.size[0]), round(2 * self.size[1])), SMOOTH)
        padded = np.pad(np.asarray(inner), ((8, 8), (8, 8), (0, 0)), mode="edge")
        return np.asarray(self._placed(Image.fromarray(padded), page), np.float32)

    def _placed(self, picture: Image.Image, page: tuple[int, int]) -> Image.Image:
        """A picture of twice the size of pixels, turned and laid with its middle on the card's."""
        c, s = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        x, y = (2 * at for at in self.middle)
        px, py = picture.width / 2, picture.height / 2
        how = (c, s, px - c * x - s * y, -s, c, py + s * x - c * y)
        drawn = picture.transform(
            (2 * page[0], 2 * page[1]), Image.Transform.AFFINE, how, Image.Resampling.BILINEAR
        )
        return drawn.reduce(2)


SMOOTH = Image.Resampling.BILINEAR


def _bed(machine: Machine, page: tuple[int, int], rng: random.Random) -> Levels:
    wide, high = page
    level = rng.uniform(*machine.bed) + np.asarray(machine.tint, np.float32)
    out = np.ones((high, wide, 3), np.float32) * level
    if machine.texture:
        noise = np.random.default_rng(rng.randrange(2**32))
        grain = noise.standard_normal((high, wide), dtype=np.float32)
        soft = grain + np.roll(grain, 1, 0) + np.roll(grain, 1, 1)
        out += (soft * machine.texture)[..., None]
    if machine.bands:
        where = random.Random(f"{machine.name} bands")
        for _ in range(6):
            start, thick = where.random(), where.uniform(0.01, 0.05)
            part = slice(int(start * wide), int((start + thick) * wide) + 1)
            out[:, part] += where.uniform(0.3, 1.0) * machine.bands
    return out


def _blurred(mask: Levels, pixels: float) -> Levels:
    grey = Image.fromarray((mask * 255).astype(np.uint8))
    return np.asarray(grey.filter(ImageFilter.GaussianBlur(pixels)), np.float32) / 255


def _laid(
    page: Levels, art: Image.Image, lies: _Lying, machine: Machine, rng: random.Random
) -> Levels:
    size = (page.shape[1], page.shape[0])
    mm = machine.dpi / MM
    if machine.holder:
        page = _held(page, lies, machine, size)
    cover = lies.cover(size, machine.rounding * mm)
    dark = 2 * _blurred(cover, max(0.4, machine.reach * mm)) * machine.shadow
    if machine.lean:
        away = round(machine.reach * mm)
        moved = np.roll(cover, (away, away), (0, 1))
        dark += 2 * _blurred(moved, max(0.4, machine.reach * mm)) * machine.lean
    bare = page - np.minimum(dark, page.mean(axis=2) * 0.8)[..., None]
    paper = lies.colours(art, size) * rng.uniform(0.96, 1.0)
    if machine.holder:
        paper = paper * 0.95 + 9
    return np.asarray(bare * (1 - cover[..., None]) + paper * cover[..., None], np.float32)


def _held(page: Levels, lies: _Lying, machine: Machine, size: tuple[int, int]) -> Levels:
    """The page with the card's holder on it: clear, lighter than the bed, with bright rims."""
    mm = machine.dpi / MM
    more, film, rim = {"sleeve": ((3.0, 4.5), 9.0, 0.4), "toploader": ((12.7, 12.7), 14.0, 1.6)}[
        machine.holder
    ]
    outer = lies.grown((more[0] * mm, more[1] * mm))
    inner = outer.grown((-2 * rim * mm, -2 * rim * mm))
    cover = outer.cover(size, 0.6 * mm)
    edge = cover - inner.cover(size, 0.4 * mm)
    light = film + 26.0 * edge
    up = np.where(page.mean(axis=2) > 200, -0.5, 1.0)
    return np.asarray(page + (up * (film * cover + light * edge))[..., None], np.float32)


def _seen(
    lies: _Lying,
    machine: Machine,
    page: tuple[int, int],
    rng: random.Random,
    missing: tuple[str, float] | None,
) -> tuple[int, int, int, int]:
    mm = machine.dpi / MM
    held = lies.grown((13 * mm, 13 * mm)) if machine.holder == "toploader" else lies
    gaps = [rng.uniform(*machine.margin) for _ in range(4)]
    if missing is not None:
        gaps[("left", "upper", "right", "lower").index(missing[0])] = -missing[1]
        # of the card itself, and not only of what it is in
        held = lies
        # What is cut off is measured at the middle of the side, not at the corner that hangs over.
        lean = math.tan(math.radians(abs(lies.angle))) * max(lies.size) / 2 / mm
        gaps = [gap - lean * (gap < 0) for gap in gaps]
    xs, ys = zip(*held.corners, strict=True)
    ends = (min(xs) - gaps[0] * mm, min(ys) - gaps[1] * mm)
    others = (max(xs) + gaps[2] * mm, max(ys) + gaps[3] * mm)
    low = [max(0, round(at)) for at in ends]
    high = [min(most, round(at)) for most, at in zip(page, others, strict=True)]
    return low[0], low[1], high[0], high[1]


def _sensed(page: Levels, corners: list[Point], machine: Machine, rng: random.Random) -> Scanned:
    high, wide = page.shape[:2]
    noise = np.random.default_rng(rng.randrange(2**32))
    across = np.linspace(-1, 1, wide, dtype=np.float32)[None, :, None] ** 2
    page = page * (1 - across * machine.falloff / 255)
    for effect in machine.effects:
        page = effect(page, rng)
    page = 255 * np.clip(page / 255, 0, 1) ** machine.gamma
    page = (page - 128) * machine.contrast + 128
    page = page * np.asarray(machine.cast, np.float32)
    for _ in range(machine.dust):
        x, y, r = rng.randrange(wide), rng.randrange(high), rng.randint(1, 3)
        page[y : y + r, x : x + r] += rng.choice((-45, 60))
    where = random.Random(f"{machine.name} streaks")
    for _ in range(machine.streaks):
        x = int(where.random() * wide)
        page[:, x : x + where.randint(1, 2)] += where.choice((-22, -12, 14, 24))
    picture = Image.fromarray(np.clip(page, 0, 255).astype(np.uint8))
    picture = picture.filter(ImageFilter.GaussianBlur(machine.blur * machine.dpi / 200))
    if machine.halo:
        picture = picture.filter(ImageFilter.UnsharpMask(1.2, machine.halo, 0))
    grain = noise.standard_normal((high, wide, 1 if machine.grey else 3), dtype=np.float32)
    done = np.asarray(picture, np.float32) + grain * machine.noise
    picture = Image.fromarray(np.clip(done + 0.5, 0, 255).astype(np.uint8))
    stretch = rng.uniform(*machine.stretch)
    if stretch != 1.0:
        longer = round(high * stretch)
        picture = picture.resize((wide, longer), Image.Resampling.BICUBIC)
        corners = [(x, y * longer / high) for x, y in corners]
    picture = _overscanned(picture, machine)
    if machine.grey:
        picture = picture.convert("L")
    a, b, c, d = corners
    return Scanned(_file(picture, machine), (a, b, c, d), machine.dpi, picture.size)


def _overscanned(picture: Image.Image, machine: Machine) -> Image.Image:
    more, level = machine.overscan
    if not more:
        return picture
    wide, high = picture.size
    longer = Image.new("RGB", (wide, high + round(more / MM * machine.dpi)), (round(level),) * 3)
    longer.paste(picture, (0, 0))
    return longer


def _file(picture: Image.Image, machine: Machine) -> bytes:
    out = io.BytesIO()
    dots = (machine.dpi, machine.dpi)
    how = {} if machine.grey else {"subsampling": machine.subsampling}
    picture.save(out, "JPEG", quality=machine.quality, dpi=dots, **how)
    return out.getvalue()
