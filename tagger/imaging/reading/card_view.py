"""A card as it is looked at: turned, in pieces, at another size."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PIL import Image

from tagger.core.reading.printed import Box
from tagger.imaging.reading.lines import PrintBox

if TYPE_CHECKING:
    from tagger.imaging.reading.straightened import StraightCard

BEYOND = 8  # pixels that are looked at beyond a piece that is made smaller

_WAYS = {
    0: None,
    90: Image.Transpose.ROTATE_270,
    180: Image.Transpose.ROTATE_180,
    270: Image.Transpose.ROTATE_90,
}


@dataclass(frozen=True)
class CardView:
    """A card, turned clockwise from how it was asked for."""

    card: StraightCard
    turn: int

    @property
    def size(self) -> tuple[int, int]:
        """Across and down as it is turned, in pixels."""
        wide, high = self.card.size
        return (high, wide) if self.turn % 180 else (wide, high)

    def turned(self, more: int) -> CardView:
        """Turned by so many degrees more."""
        return CardView(self.card, (self.turn + more) % 360)

    def cut(self, box: tuple[int, int, int, int]) -> Image.Image:
        """The piece between left, top, right and bottom."""
        return turned(self.card.cut(self._before(box)), self.turn)

    def _before(self, box: tuple[int, int, int, int]) -> tuple[int, int, int, int]:
        """Where a piece lies on the card before it is turned."""
        (wide, high), (left, top, right, bottom) = self.size, box
        for _ in range(self.turn // 90):  # a quarter counterclockwise each
            left, top, right, bottom = top, wide - right, bottom, wide - left
            wide, high = high, wide
        return left, top, right, bottom

    def reduced(self, place: tuple[int, int, int, int], size: tuple[int, int]) -> Image.Image:
        """A piece of the card as it is at another size: that piece alone is made smaller."""
        wide, high = self.size
        fine = wide / size[0], high / size[1]
        left, top, right, bottom = (at * fine[way % 2] for way, at in enumerate(place))
        around = (
            max(0, int(left) - BEYOND), max(0, int(top) - BEYOND),
            min(wide, round(right) + BEYOND), min(high, round(bottom) + BEYOND),
        )  # fmt: skip
        return self.cut(around).resize(
            (place[2] - place[0], place[3] - place[1]),
            Image.Resampling.BICUBIC,
            (left - around[0], top - around[1], right - around[0], bottom - around[1]),
            reducing_gap=2.0,
        )

    def over(self, box: PrintBox) -> PrintBox:
        """Where a box is after half a turn."""
        wide, high = self.size
        return PrintBox(
            wide - box.right, high - box.bottom, wide - box.left, high - box.top, box.score
        )

    def on_card(self, box: PrintBox) -> Box:
        """A place in it as shares of the card as it was asked for."""
        wide, high = self.size
        left, right, top, bottom = (
            box.left / wide,
            box.right / wide,
            box.top / high,
            (box.bottom / high),
        )
        for _ in range(self.turn // 90):  # a quarter counterclockwise each
            left, top, right, bottom = top, 1 - right, bottom, 1 - left
        return Box(*(round(min(1.0, max(0.0, value)), 4) for value in (left, top, right, bottom)))


def turned(picture: Image.Image, by: int) -> Image.Image:
    """A picture turned clockwise by so many degrees."""
    way = _WAYS[by]
    return picture if way is None else picture.transpose(way)
