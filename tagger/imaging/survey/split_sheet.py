"""A sheet of several cards taken apart: a part of its scan for each card, and which back belongs to
which front.

The scans stay as they are: a part is a name (`core.order.part_name`).
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
from tagger.imaging.scan.pictures import read_whole

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
    alone = [part for at, part in enumerate(there.parts) if at not in match.backs]
    backs = (*(None if at is None else there.parts[at] for at in match.backs), *alone)
    return SplitSheet((*here.parts, *[None] * len(alone)), backs, match.turned, match.ask)


def _taken_apart(folder: Path, name: str) -> _Sheet:
    whole = read_whole(folder, name)
    shown, picture, dpi = printable(name), whole.upright, whole.dpi
    if dpi is None or dpi < 100:
        raise PictureError(
            f"{shown} does not say its dots per inch, without which its cards cannot be told apart."
        )
    cards = find_cards(picture, dpi)
    if len(cards) < 2:
        many = "one card" if cards else "no card"
        raise PictureError(
            f"{shown} shows {many} that can be made out, so there is nothing to split."
        )
    outer = scan_box(name)
    left, upper = outer[:2] if outer else (0, 0)
    base = name[: name.rindex("xywh=") - 1] if outer else name
    parts = []
    for box in _boxes([_area(card, dpi) for card in cards], BED_MM / MM * dpi, picture.size):
        x, y = box[0] * whole.factor, box[1] * whole.factor
        wide, high = (
            min(box[2] * whole.factor, whole.size[0]) - x,
            min(box[3] * whole.factor, whole.size[1]) - y,
        )
        parts.append(part_name(base, (left + x, upper + y, wide, high)))
    return _Sheet(cards, parts, picture.size, dpi)


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
    out: list[Box] = []
    for own in areas:
        edges = [own[0] - bed, own[1] - bed, own[2] + bed, own[3] + bed]
        for other in areas:
            if other is own:
                continue
            # The side on which the other lies is the one with the widest gap.
            gaps = (own[0] - other[2], own[1] - other[3], other[0] - own[2], other[1] - own[3])
            side = gaps.index(max(gaps))
            inward = -1 if side >= 2 else 1
            middle = (own[side] + other[(side + 2) % 4]) / 2
            limit = inward * max(inward * edges[side], min(inward * middle, inward * own[side]))
            edges[side] = limit
        left, upper = max(0, math.floor(edges[0])), max(0, math.floor(edges[1]))
        out.append(
            (left, upper, min(size[0], math.ceil(edges[2])), min(size[1], math.ceil(edges[3])))
        )
    return out
