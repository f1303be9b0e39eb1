"""Backs with tables of seasons, in the DejaVu faces where the machine has them: the number beside
the name, in a band at the head or the foot, or alone in a corner."""

from __future__ import annotations

import random
from functools import lru_cache

from PIL import Image, ImageDraw, ImageFont

from support.backs.numbered import SIZE, Box, NumberedSide, Print

_FACES = (
    "DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "DejaVuSerif.ttf", "DejaVuSerif-Bold.ttf",
    "DejaVuSansCondensed-Bold.ttf", "DejaVuSansMono-Bold.ttf", "DejaVuSans-BoldOblique.ttf",
)  # fmt: skip
_NAMES = ("ORIN", "TELSO", "MIRA", "BRAK", "SUND", "VELL", "HOLT", "AMBE", "KORT", "LISK", "DRUE")
_TOWNS = ("Copper Bay", "Low Ness", "Sandwick", "Mill Point", "Old Quay", "Pine Reach")
_HEADS = ("YEAR", "TEAM", "G", "HL", "TW", "BUOY", "PCT", "PTS", "CA")


@lru_cache(maxsize=128)
def _font(face: str, size: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    try:
        return ImageFont.truetype(face, size)
    except OSError:
        return ImageFont.load_default(size)


class _Design:
    def __init__(self, rng: random.Random) -> None:
        grey = rng.random() < 0.35
        self.paper = (
            (rng.randint(168, 200),) * 3
            if grey
            else (rng.randint(226, 250), rng.randint(222, 246), rng.randint(200, 236))
        )
        self.ink = rng.choice(((20, 24, 30), (24, 40, 96), (96, 20, 28), (14, 70, 50)))
        self.band = rng.choice(((30, 60, 130), (150, 30, 40), (20, 90, 70), (40, 40, 46)))
        self.face, self.strong = rng.choice(_FACES), rng.choice(_FACES)
        self.body, self.size = rng.randint(17, 23), rng.randint(22, 44)
        self.where = rng.choice(("before name", "head", "foot", "corner", "after name", "foot"))
        self.columns, self.seasons = rng.randint(4, 8), rng.randint(3, 14)
        self.alike = rng.random() < 0.4  # every card has as many seasons
        self.right = rng.random() < 0.5
        self.ruled = rng.random() < 0.5
        self.sign = rng.choice(("", "", "No. ", "# ", "CARD "))

    def print(self, number: str, own: random.Random) -> NumberedSide:
        """One card."""
        side = Image.new("RGB", SIZE, self.paper)
        pen = ImageDraw.Draw(side)
        box = self._head(pen, number, f"{own.choice(_NAMES)} {own.choice(_NAMES)}E")
        facts = (
            f"Ht. {own.randint(5, 6)}'{own.randint(0, 11)}\"  Wt. {own.randint(140, 250)}  "
            f"Born {own.randint(1, 28)}-{own.randint(1, 12)}-{own.randint(40, 79)}"
        )
        pen.text((60, 160), facts, self.ink, _font(self.face, self.body))
        pen.text((60, 192), f"Home: {own.choice(_TOWNS)}", self.ink, _font(self.face, self.body))
        self._table(pen, own)
        if self.where in ("foot", "corner"):
            box = self._foot(pen, number)
        return NumberedSide(side, number, box)

    def _head(self, pen: ImageDraw.ImageDraw, number: str, name: str) -> Box:
        pen.rectangle((36, 40, 714, 128), fill=self.band)
        large, font = _font(self.strong, 38), _font(self.strong, self.size)
        if self.where == "before name":
            box = self._put(pen, (58, 84), number, font, "lm", self.paper)
            pen.text((max(150, box[2] + 40), 84), name, self.paper, large, "lm")
            return box
        pen.text((58, 84), name, self.paper, large, "lm")
        if self.where in ("head", "after name"):
            return self._put(pen, (696, 84), number, font, "rm", self.paper)
        return (0, 0, 0, 0)

    def _foot(self, pen: ImageDraw.ImageDraw, number: str) -> Box:
        font, small = _font(self.strong, self.size), _font(self.face, 15)
        if self.where == "foot":
            pen.rectangle((36, 950, 714, 1012), fill=self.band)
            at, anchor = ((692, 981), "rm") if self.right else ((375, 981), "mm")
            if self.right:
                pen.text((58, 981), "© QUAY PICTURE WORKS", self.paper, small, "lm")
            return self._put(pen, at, number, font, anchor, self.paper)
        pen.text((375, 990), "© QUAY PICTURE WORKS · PRINTED IN LOW NESS", self.ink, small, "mm")
        at, anchor = ((702, 945), "rm") if self.right else ((48, 945), "lm")
        return self._put(pen, at, number, font, anchor, self.ink)

    def _put(
        self, pen: ImageDraw.ImageDraw, at: tuple[int, int], number: str, font: object,
        anchor: str, ink: object,
    ) -> Box:  # fmt: skip
        pen.text(at, self.sign + number, ink, font, anchor)  # type: ignore[arg-type]
        box = pen.textbbox(at, self.sign + number, font, anchor)  # type: ignore[arg-type]
        start = box[2] - pen.textlength(number, font)  # type: ignore[arg-type]
        return (start, box[1], box[2], box[3])

    def _table(self, pen: ImageDraw.ImageDraw, own: random.Random) -> None:
        font, step = _font(self.face, self.body), self.body * 1.55
        rows = self.seasons if self.alike else own.randint(3, 14)
        edges = [62 + 640 * k / self.columns for k in range(self.columns)]
        for x, head in zip(edges, _HEADS, strict=False):
            pen.text((x, 250), head, self.ink, font)
        for row in range(min(rows, int((900 - 285) / step))):
            y = 285 + row * step
            if self.ruled:
                pen.line((56, y - 4, 700, y - 4), self.ink, 1)
            cells = [str(1970 + row), own.choice(_TOWNS).split()[0][:6]]
            cells += [str(own.randint(0, 10 ** own.randint(1, 3))) for _ in range(self.columns)]
            for x, cell in zip(edges, cells, strict=False):
                pen.text((x, y), cell, self.ink, font)


def tables(rng: random.Random) -> Print:
    """A design of this kind."""
    return _Design(rng).print
