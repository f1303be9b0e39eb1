"""A sheet of several cards taken apart: a part of its scan for each card, and which back belongs to
which front.

The scans stay as they are: a part is a name (`core.feeding.order.part_name`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from pathlib import Path

from tagger.core.feeding.order import Box, part_name, scan_box
from tagger.core.model.text import printable
from tagger.errors import PictureError
from tagger.imaging.card.card_edges import CARD_MM, MM, Edges
from tagger.imaging.card.sheets import ROOM_MM, Placed, find_cards, match_sheets
from tagger.imaging.scan.pictures import WholeScan, read_whole
from tagger.imaging.survey.faults import TRUSTED_DPI

BED_MM = 3.0  # around each card
Area = tuple[float, float, float, float]  # left, upper, right, lower in pixels of the sheet


@dataclass(frozen=True)
class SplitSheet:
    """The cards of a sheet: `fronts` and `backs` are names of parts, as many of both, those at one
    place being one card; None where a card has no front or no back.

    `turned` is how the sheet was turned over (`SheetMatch.turned`), empty without backs; `ask`:
    another way fits nearly as well."""

    fronts: tuple[str | None, ...]
    backs: tuple[str | None, ...]
    turned: str
    ask: bool


@dataclass(frozen=True)
class _Sheet:
    """A sheet's cards in reading order, the names of their parts, its size in pixels and its dots
    per inch."""

    cards: list[Placed]
    parts: list[str]
    size: tuple[int, int]
    dpi: float


def split_sheets(folder: Path, front: str, back: str | None) -> SplitSheet:
    """The cards on the scan of a sheet's fronts, in reading order, each with its back from the scan
    of the same sheet turned over; backs that belong to no front come after these.

    Raises PictureError where a scan cannot be read, does not say its dots per inch, or shows fewer
    than two cards."""
    here = _taken_apart(folder, front)
    if back is None:
        return SplitSheet(tuple(here.parts), (None,) * len(here.parts), "", False)
    there = _taken_apart(folder, back)
    seen = [_scaled(card, here.dpi / there.dpi) for card in there.cards]
    match = match_sheets(here.cards, seen, here.size, here.dpi)
    assert match is not None  # there are cards on both
    # A back without a front is a card, too: no part of a scan may get lost.
    alone = [part for at, part in enumerate(there.parts) if at not in match.backs]
    backs = (*(None if at is None else there.parts[at] for at in match.backs), *alone)
    return SplitSheet((*here.parts, *[None] * len(alone)), backs, match.turned, match.ask)


def _taken_apart(folder: Path, name: str) -> _Sheet:
    whole = read_whole(folder, name)
    shown, picture, dpi = printable(name), whole.upright, whole.dpi
    if dpi is None or dpi < TRUSTED_DPI:
        raise PictureError(
            f"{shown} does not say its dots per inch, without which its cards cannot be told apart."
        )
    cards = find_cards(picture, dpi)
    if len(cards) < 2:
        many = "one card" if cards else "no card"
        raise PictureError(
            f"{shown} shows {many} that can be made out, so there is nothing to split."
        )
    areas = [_area(card, dpi) for card in cards]
    boxes = _boxes(areas, BED_MM / MM * dpi, picture.size)
    return _Sheet(cards, [_part(name, box, whole) for box in boxes], picture.size, dpi)


def _part(name: str, box: Box, whole: WholeScan) -> str:
    """The name of a part of a scan; `box` is left, upper, right, lower in pixels as decoded."""
    left, upper, right, lower = (edge * whole.factor for edge in box)
    # A sheet that was decoded half as fine may end a pixel beyond its full size.
    width = min(right, whole.size[0]) - left
    height = min(lower, whole.size[1]) - upper
    outer = scan_box(name)
    if outer is None:
        return part_name(name, (left, upper, width, height))
    # A part of a part is named as one of the whole scan: names have one box.
    base = name[: name.rindex("xywh=") - 1]
    return part_name(base, (outer[0] + left, outer[1] + upper, width, height))


def _scaled(card: Placed, by: float) -> Placed:
    """A card as on a sheet that was scanned that much finer."""
    left, upper, right, lower = (round(edge * by) for edge in card.box)
    edges = card.edges
    if isinstance(edges, Edges):
        a, b, c, d = ((x * by, y * by) for x, y in edges.corners)
        edges = replace(edges, corners=(a, b, c, d), dpi=edges.dpi * by)
    return Placed((left, upper, right, lower), edges)


def _area(card: Placed, dpi: float) -> Area:
    """What a card takes up of its sheet, upright; at least the known size where its edges are not
    seen."""
    if isinstance(card.edges, Edges):
        xs, ys = zip(*card.edges.corners, strict=True)
        return min(xs), min(ys), max(xs), max(ys)
    room = ROOM_MM / MM * dpi
    left, upper, right, lower = card.box
    size = CARD_MM if right - left < lower - upper else CARD_MM[::-1]
    across, down = (length / MM * dpi for length in size)
    wide, high = max(across, right - left - 2 * room), max(down, lower - upper - 2 * room)
    x, y = card.middle
    return x - wide / 2, y - high / 2, x + wide / 2, y + high / 2


def _boxes(areas: list[Area], bed: float, size: tuple[int, int]) -> list[Box]:
    """For each card a box (left, upper, right, lower) with so much of the bed around it, on the
    sheet, and not beyond the middle of the gap to another card; all of the card is in it."""
    return [_box(own, [other for other in areas if other is not own], bed, size) for own in areas]


def _box(own: Area, others: list[Area], bed: float, size: tuple[int, int]) -> Box:
    edges = [own[0] - bed, own[1] - bed, own[2] + bed, own[3] + bed]
    for other in others:
        # The side on which the other lies is the one with the widest gap.
        gaps = (own[0] - other[2], own[1] - other[3], other[0] - own[2], other[1] - own[3])
        side = gaps.index(max(gaps))
        inward = -1 if side >= 2 else 1
        middle = (own[side] + other[(side + 2) % 4]) / 2
        # Where two cards overlap the middle lies in this one, and all of it must be in its box.
        edges[side] = inward * max(inward * edges[side], min(inward * middle, inward * own[side]))
    left, upper = max(0, math.floor(edges[0])), max(0, math.floor(edges[1]))
    right, lower = min(size[0], math.ceil(edges[2])), min(size[1], math.ceil(edges[3]))
    return left, upper, right, lower
