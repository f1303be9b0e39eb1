"""The card of a scan as a straight picture to read from, and the way of its places back to the
scan."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from PIL import Image

from tagger.core.reading.printed import Box
from tagger.imaging.card.card_edges import CARD_MM, MM, Edges
from tagger.imaging.card.deskew import (
    Affine,
    Straightening,
    card_affine,
    straightening,
    turned_corners,
)
from tagger.imaging.scan.pictures import read_picture

if TYPE_CHECKING:
    from tagger.imaging.reading.asked import SideAsked

DPI = 300.0  # of the straight card at most: finer print is on no card
LONGEST = 3600  # pixels of a scan that are looked at; a letter page at 300 dpi has fewer

_TURNS = {
    0: None,
    90: Image.Transpose.ROTATE_270,  # Pillow turns the other way
    180: Image.Transpose.ROTATE_180,
    270: Image.Transpose.ROTATE_90,
}


@dataclass(frozen=True)
class StraightCard:
    """A card, RGB, its sides along the picture's, as it was asked to be turned; `to_scan` leads
    from its pixels to shares of the scan that is turned so. `dpi`: its dots per inch. Only what is
    cut out of it is resampled, until all of it is."""

    card: Straightening
    to_scan: Affine
    dpi: float

    @property
    def size(self) -> tuple[int, int]:
        """Across and down, in pixels."""
        return self.card.size

    def cut(self, box: tuple[int, int, int, int]) -> Image.Image:
        """The piece between left, top, right and bottom."""
        if box == (0, 0, *self.size):
            return self._all
        if "_all" in self.__dict__:
            return self._all.crop(box)
        return self.card.part(box)

    @cached_property
    def _all(self) -> Image.Image:
        return self.card.all()

    def on_scan(self, box: Box) -> Box:
        """A place on the card (shares of it) as a place on the scan."""
        wide, high = self.size
        a, b, c, d, e, f = self.to_scan
        corners = [
            (a * x * wide + b * y * high + c, d * x * wide + e * y * high + f)
            for x in (box.left, box.right)
            for y in (box.top, box.bottom)
        ]
        across, down = zip(*corners, strict=True)
        return Box(*map(_share, (min(across), min(down), max(across), max(down))))


def straight_card(folder: Path, asked: SideAsked) -> StraightCard:
    """The card of a scan; the whole scan where its edges are not found. Raises PictureError."""
    scan = read_picture(folder, asked.scan, (LONGEST, LONGEST))
    edges = _edges(scan, asked)
    if edges is None:
        return _as_it_lies(scan, asked.turn)
    dots = min(DPI, edges.dpi)
    made = straightening(scan, edges, 0.0, asked.turn, dots)
    corners = turned_corners(edges.corners, asked.turn)
    card = card_affine(corners, made.size, (0.0, *made.size))
    return StraightCard(made, _then(card, _to_shares(scan.size, asked.turn)), dots)


def _edges(scan: Image.Image, asked: SideAsked) -> Edges | None:
    if asked.corners is not None and asked.dpi > 0 and min(asked.size) > 0:
        fine = scan.width / asked.size[0]
        a, b, c, d = ((x * fine, y * fine) for x, y in asked.corners)
        return Edges((a, b, c, d), 0.0, 0.0, 0.0, asked.dpi * fine, 1.0, True)
    from tagger.imaging.card.edges import find_edges

    found = find_edges(scan, None, size=CARD_MM)
    return found if isinstance(found, Edges) else None


def _as_it_lies(scan: Image.Image, turn: int) -> StraightCard:
    way = _TURNS[turn]
    picture = scan if way is None else scan.transpose(way)
    # as if the card filled the scan
    dots = max(picture.size) / CARD_MM[1] * MM
    fine = min(1.0, DPI / dots)
    if fine < 1.0:
        size = (max(1, round(picture.width * fine)), max(1, round(picture.height * fine)))
        picture = picture.resize(size, Image.Resampling.BICUBIC, reducing_gap=2.0)
    across, down = 1 / picture.width, 1 / picture.height
    made = Straightening(picture.size, picture, (1, 0, 0, 0, 1, 0))
    return StraightCard(made, (across, 0, 0, 0, down, 0), min(DPI, dots))


def _to_shares(size: tuple[int, int], turn: int) -> Affine:
    """From a scan's pixels to shares of it as it is turned."""
    across, down = 1 / size[0], 1 / size[1]
    return {
        0: (across, 0, 0, 0, down, 0),
        90: (0, -down, 1, across, 0, 0),
        180: (-across, 0, 1, 0, -down, 1),
        270: (0, down, 0, -across, 0, 1),
    }[turn]


def _then(first: Affine, second: Affine) -> Affine:
    a, b, c, d, e, f = first
    g, h, i, j, k, m = second
    return (
        g * a + h * d, g * b + h * e, g * c + h * f + i,
        j * a + k * d, j * b + k * e, j * c + k * f + m,
    )  # fmt: skip


def _share(value: float) -> float:
    return round(min(1.0, max(0.0, value)), 4)
