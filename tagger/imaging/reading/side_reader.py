"""All print on one side of a card, or that in some parts of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from PIL import Image

from tagger.core.reading.printed import Box, PrintedText
from tagger.imaging.reading.card_view import CardView, turned
from tagger.imaging.reading.letters import Line, read_line
from tagger.imaging.reading.lines import PrintBox, in_one, line_boxes

if TYPE_CHECKING:
    from tagger.imaging.reading.models import Floats, Networks
    from tagger.imaging.reading.straightened import StraightCard

FINDS_DPI = 205.0  # lines are found on a card of 512 pixels across
STEP = 32  # pixels: sizes that the network takes
LEAST = 64  # pixels of a part that lines are looked for in
HEIGHT = 48  # pixels of a line as it is read
NARROWER, LONG = 0.72, 420  # long lines lose nothing when they are read narrower
WIDEST = 1400  # pixels of a line as it is read
TALL = 1.45  # times as high as wide: one narrow character, or a line that runs up or down
RUNS_UP = 2.2  # a line that runs up or down, and no single character
WIDE_LINES, SURE, BETTER = 4, 0.88, 0.06  # lines that tell which way up a side lies
UPRIGHT = 0.95  # confidence of a line that need not be read turned over as well
CUT = 3.5  # times as wide as high: a piece of a line beside a part that is worth reading
FEW_LETTERS = 4  # of a line that tells it
WHOLE = (Box(0.0, 0.0, 1.0, 1.0),)


@dataclass(frozen=True, slots=True)
class SideRead:
    """What was read on a side. `turned`: by how many degrees clockwise it had to be turned for its
    print to stand upright; None where there was too little print to tell."""

    texts: tuple[PrintedText, ...]
    turned: int | None


class _Found(NamedTuple):
    """A line, and by how many degrees clockwise its place was turned to be read."""

    box: PrintBox
    line: Line
    turn: int


Reads = dict[tuple[int, PrintBox], _Found]
"""Lines that were read, by how the picture was turned and where they stand."""


class SideReader:
    """Reads sides with two networks."""

    def __init__(self, networks: Networks) -> None:
        self._networks = networks

    def read(self, side: str, card: StraightCard, parts: Sequence[Box] = WHOLE) -> SideRead:
        """What stands on a side, or in some parts of it (shares of the card)."""
        view = CardView(card, 0)
        boxes = self._lines(view, card.dpi, parts)
        if parts == WHOLE and _runs_across(boxes):
            view = view.turned(90)
            boxes = self._lines(view, card.dpi, WHOLE)
        read: Reads = {}
        view, boxes, known = self._upright(view, boxes, read)
        found = self._in_one(view, [self._read_box(view, box, read) for box in boxes], read)
        texts = [self._text(side, card, view, one) for one in found if one.line.text]
        return SideRead(tuple(texts), view.turn if known else None)

    def _lines(self, view: CardView, dpi: float, parts: Iterable[Box]) -> list[PrintBox]:
        """The lines in parts of a picture, in its pixels."""
        fine = min(1.0, FINDS_DPI / dpi)
        size = (max(1, round(view.size[0] * fine)), max(1, round(view.size[1] * fine)))
        found: list[PrintBox] = []
        for part in parts:
            left, top, right, bottom = place = _pixels(part, size)
            small = view.reduced(place, size)
            likely = self._networks.print_map(_padded(small))
            likely = likely[: bottom - top, : right - left]
            for box in line_boxes(likely):
                if _is_cut(box, (left, right), size[0]):
                    continue
                moved = PrintBox(
                    max(0.0, box.left + left) / fine, max(0.0, box.top + top) / fine,
                    min(size[0], box.right + left) / fine, min(size[1], box.bottom + top) / fine,
                    box.score,
                )  # fmt: skip
                if not any(_is_within(moved, other) for other in found):
                    found.append(moved)
        return found

    def _upright(
        self, view: CardView, boxes: list[PrintBox], read: Reads
    ) -> tuple[CardView, list[PrintBox], bool]:
        """The picture as its print stands upright, the lines there, and whether that is known."""
        telling = _telling(boxes)
        enough = len(telling) >= 2
        here = self._trust(view, telling, read)
        if here >= SURE or not telling:
            return view, boxes, enough
        over = view.turned(180)
        there = self._trust(over, [over.over(box) for box in telling], read)
        if there < here + BETTER:
            return view, boxes, False
        return over, [over.over(box) for box in boxes], enough and there >= SURE

    def _trust(self, view: CardView, boxes: list[PrintBox], read: Reads) -> float:
        """How sure some lines are read on the mean; 0 where they say nothing."""
        lines = [self._read_box(view, box, read).line for box in boxes]
        told = [line.confidence for line in lines if len(line.text) >= FEW_LETTERS]
        return sum(told) / len(told) if told else 0.0

    def _read_box(self, view: CardView, box: PrintBox, read: Reads) -> _Found:
        """A line; one that runs up or down is turned for it. `read` has those that were read."""
        known = read.get((view.turn, box))
        if known is None:
            known = read[view.turn, box] = _Found(box, *self._read_line(view, box))
        return known

    def _in_one(self, view: CardView, found: list[_Found], read: Reads) -> list[_Found]:
        """The lines, with those that run up or down in one that were found in pieces."""
        whole: list[_Found] = []
        for one in found:
            at, joined = self._joined(view, whole, one, read)
            if joined is None:
                whole.append(one)
            else:
                whole[at] = joined
        return whole

    def _joined(
        self, view: CardView, above: Sequence[_Found], below: _Found, read: Reads
    ) -> tuple[int, _Found | None]:
        """The line that a piece goes on, by its place, and both as one; None where there is none.
        What was read surely by itself is no piece: to read each pair of a table again would take
        time."""
        for at, upper in enumerate(above):
            unsure = min(upper.line.confidence, below.line.confidence)
            box = in_one(upper.box, below.box) if unsure < UPRIGHT else None
            if box is not None:
                one = self._read_box(view, box, read)
                if one.turn and one.line.confidence > unsure:
                    return at, one
        return 0, None

    def _read_line(self, view: CardView, box: PrintBox) -> tuple[Line, int]:
        crop = view.cut((round(box.left), round(box.top), round(box.right), round(box.bottom)))
        ways: tuple[int, ...] = (0,)
        if _is_tall(box):
            ways = (90, 270) if box.height > RUNS_UP * box.width else (0, 90, 270)
        best, turn = Line("", 0.0), 0
        for way in ways:
            line = self._read(turned(crop, way))
            if line.confidence > best.confidence:
                best, turn = line, way
            # turned over, no line of some letters is read as surely as this
            if best.confidence >= UPRIGHT and len(best.text) >= FEW_LETTERS:
                break
        return best, turn

    def _read(self, crop: Image.Image) -> Line:
        if min(crop.size) < 4:
            return Line("", 0.0)
        width = crop.width * HEIGHT / crop.height
        if width > LONG:
            width = max(LONG, width * NARROWER)
        size = (max(STEP // 2, min(WIDEST, round(width))), HEIGHT)
        line = crop.resize(size, Image.Resampling.BICUBIC, reducing_gap=3.0)
        return read_line(self._networks.letters(_levels(line)), self._networks.alphabet)

    @staticmethod
    def _text(side: str, card: StraightCard, view: CardView, found: _Found) -> PrintedText:
        on_card = view.on_card(found.box)
        line = found.line
        return PrintedText(
            side, line.text, round(line.confidence, 4), card.on_scan(on_card),
            tuple((text, round(share, 4)) for text, share in line.others), on_card,
            (view.turn + found.turn) % 360,
        )  # fmt: skip


def _telling(boxes: Iterable[PrintBox]) -> list[PrintBox]:
    """The lines that tell which way up a side lies: the widest of those that are wide at all."""
    wide = sorted((box for box in boxes if not _is_tall(box)), key=lambda box: -box.width)
    return [box for box in wide[:WIDE_LINES] if box.width > 3 * box.height]


def _is_tall(box: PrintBox) -> bool:
    return box.height > TALL * box.width


def _runs_across(boxes: Sequence[PrintBox]) -> bool:
    """Whether most of the print runs up or down."""
    tall = [box for box in boxes if box.height > RUNS_UP * box.width]
    wide = [box for box in boxes if box.width > RUNS_UP * box.height]
    return len(tall) >= 2 and _area(tall) > 2 * _area(wide)


def _area(boxes: Iterable[PrintBox]) -> float:
    return sum(box.width * box.height for box in boxes)


def _is_cut(box: PrintBox, part: tuple[int, int], wide: int) -> bool:
    """Whether a line is the beginning or end of one that goes on beside the part. Of a long one
    what is there may say a year."""
    if _is_tall(box) or box.width > CUT * box.height:
        return False
    left, right = part
    return (left > 0 and box.left < 0) or (right < wide and box.right > right - left)


def _is_within(box: PrintBox, other: PrintBox) -> bool:
    """Whether most of a line was found already, in a part beside."""
    across = min(box.right, other.right) - max(box.left, other.left)
    down = min(box.bottom, other.bottom) - max(box.top, other.top)
    return across > 0 and down > 0 and across * down > 0.5 * box.width * box.height


def _pixels(part: Box, size: tuple[int, int]) -> tuple[int, int, int, int]:
    left, right = _widened(part.left * size[0], part.right * size[0], size[0])
    top, bottom = _widened(part.top * size[1], part.bottom * size[1], size[1])
    return left, top, right, bottom


def _widened(start: float, stop: float, size: int) -> tuple[int, int]:
    """A stretch of whole pixels, of no fewer than `LEAST` and a multiple of `STEP` where there is
    room."""
    length = max(LEAST, -(-int(stop - start + 0.5) // STEP) * STEP)
    if length >= size:
        return 0, size
    first = min(max(0, round((start + stop - length) / 2)), size - length)
    return first, first + length


def _padded(picture: Image.Image) -> Floats:
    """A picture as the network takes it, filled up with its own rim."""
    levels = _levels(picture)
    down, right = (-levels.shape[1]) % STEP, (-levels.shape[2]) % STEP
    if not down and not right:
        return levels
    return np.pad(levels, ((0, 0), (0, down), (0, right)), mode="edge")


def _levels(picture: Image.Image) -> Floats:
    """Shape: 3 x height x width; blue, green and red from -1 to 1, as the networks were taught."""
    levels = np.asarray(picture, dtype=np.float32)[:, :, ::-1].transpose(2, 0, 1)
    return np.ascontiguousarray(levels / 127.5 - 1)
