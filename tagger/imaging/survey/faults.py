"""What is wrong with one scan: damage, blank sides, cut cards, too few dots, an odd size.

What a finding is worth to the dealer is decided elsewhere: this says what is seen. A whole file is
asked for (`check_file`); the pictures are RGB, upright as the dealer sees them unless a function
says otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from PIL import Image, ImageFilter

from tagger.imaging.card.background import apart, bed_of, parts, pixels
from tagger.imaging.card.card_edges import CARD_MM, MM, Edges, NoEdges
from tagger.imaging.card.edges import find_edges
from tagger.imaging.card.lines import ROBUST
from tagger.imaging.card.rough_sides import STEP
from tagger.imaging.card.sheets import find_cards
from tagger.imaging.scan.jpeg_corruption import broken_at

LEAST_DPI = 200  # a number of 7 points is then 19 pixels high
LEAST_MARGIN_MM = 0.5
TRUSTED_DPI = 100  # below which what a file says is a default of some program, and no scanner's
ODD_MM = 2.0  # off the known size, from which on a card is said to be of another one
# mm: the least that two cards take
_TWO = ((CARD_MM[1], 2 * CARD_MM[0]), (CARD_MM[0], 2 * CARD_MM[1]))
CUT_MM = 0.9  # what must be missing before a card is called cut


class FaultKind(StrEnum):
    """What can be wrong with one scan."""

    CORRUPT = "corrupt"
    EMPTY_BED = "no card"
    BLANK = "blank"
    NEARLY_BLANK = "nearly blank"
    CUT = "cut"
    NO_MARGIN = "no margin"
    FEW_DOTS = "too few dots per inch"
    ODD_SIZE = "odd size"
    SEVERAL = "several cards"


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong, and its measure in words: `left, lower`, `96 dpi`, `57.1 x 88.9
    mm`."""

    kind: FaultKind
    seen: str = ""


@dataclass(frozen=True)
class ScanFaults:
    """What one scan was found to be: its edges or why there are none, its dots per inch (None: not
    known), faults."""

    edges: Edges | NoEdges
    dpi: float | None
    faults: tuple[Fault, ...]


def place_card(picture: Image.Image, in_file: float | None) -> tuple[Edges | NoEdges, float | None]:
    """A scan's card and its dots per inch. `in_file` is what the file says; where the card then has
    not the known size but its shape, the dots are estimated from it."""
    trusted = in_file if in_file and in_file >= TRUSTED_DPI else None
    edges = find_edges(picture, trusted)
    if isinstance(edges, Edges):
        return edges, edges.dpi
    if trusted is not None and edges.reason in ("size", "no card"):
        other = find_edges(picture, None)
        # Nearly the dots that the file says: then it is the card that has another size.
        if isinstance(other, Edges) and not 0.94 < other.dpi / trusted < 1.06:
            return other, other.dpi
    return edges, trusted


def scan_faults(picture: Image.Image, in_file: float | None, *, jpeg: bool) -> ScanFaults:
    """Everything that is measured on one scan alone. `in_file` is the dots per inch that its file
    says; `jpeg`: whether it is coded in blocks, as stored."""
    edges, dpi = place_card(picture, in_file)
    faults = _broken(picture) if jpeg else []
    faults += blank_faults(picture, edges)
    if not any(fault.kind is FaultKind.EMPTY_BED for fault in faults):
        faults += cut_faults(picture, edges, dpi)
    if dpi is not None and dpi < LEAST_DPI:
        faults.append(Fault(FaultKind.FEW_DOTS, f"{dpi:.0f} dpi"))
    return ScanFaults(edges, dpi, tuple(faults))


def _broken(picture: Image.Image) -> list[Fault]:
    row = broken_at(picture)
    return [] if row is None else [Fault(FaultKind.CORRUPT, f"from row {row} on")]


def _has_room_for_two(picture: Image.Image, dpi: float) -> bool:
    room = tuple(length / dpi * MM for length in sorted(picture.size))
    return any(room[0] >= short and room[1] >= long for short, long in _TWO)


def several_cards(picture: Image.Image, in_file: float | None) -> Fault | None:
    """How many cards a scan shows, if more than one. Only one that says its dots per inch and has
    room for two cards, side by side or end to end, is looked at."""
    if in_file is None or in_file < TRUSTED_DPI or not _has_room_for_two(picture, in_file):
        return None
    cards = find_cards(picture, in_file)
    # a box of another size is no second card
    sure = sum(isinstance(card.edges, Edges) for card in cards)
    if sure < 2:
        return None
    return Fault(FaultKind.SEVERAL, f"{len(cards)} cards")


def blank_faults(picture: Image.Image, edges: Edges | NoEdges) -> list[Fault]:
    """Whether the scan shows no card, or the card nothing or next to nothing."""
    part = _inner(picture, edges)
    small = part.convert("L").reduce(max(1, round(max(part.size) / 500)))
    inked, tones = _print_seen(small)
    if inked < 0.0003 and tones < 5:
        bare = isinstance(edges, NoEdges) and edges.reason == "no card"
        return [Fault(FaultKind.EMPTY_BED if bare else FaultKind.BLANK)]
    if inked < 0.008 and tones < 9:
        return [Fault(FaultKind.NEARLY_BLANK, f"{100 * inked:.1f}% printed")]
    return []


def _inner(picture: Image.Image, edges: Edges | NoEdges) -> Image.Image:
    """A part of the scan that is all card; without edges its middle."""
    if isinstance(edges, NoEdges):
        wide, high = picture.size
        return picture.crop((wide // 6, high // 6, wide - wide // 6, high - high // 6))
    xs, ys = zip(*edges.corners, strict=True)
    # Beside a card that lies crooked its box holds wedges of bed, which would count as print.
    lean = abs(np.sin(np.radians(edges.angle))) * (max(ys) - min(ys))
    inset = 3.0 / MM * edges.dpi + lean
    box = (min(xs) + inset, min(ys) + inset, max(xs) - inset, max(ys) - inset)
    return picture.crop(tuple(round(edge) for edge in box))


def _print_seen(grey: Image.Image) -> tuple[float, float]:
    """The share of a grey picture that is finely marked, 0 to 1, and how many levels its tones
    vary by over large fields."""
    fine = np.asarray(grey, np.float32)
    detail = np.abs(fine - np.asarray(grey.filter(ImageFilter.BoxBlur(7)), np.float32))
    # A scanner's grain is everywhere, print is not: so the median of the detail is grain alone.
    noise = ROBUST * float(np.median(detail))
    inked = float((detail > max(9.0, 5 * noise)).mean())
    tones = float(np.std(np.asarray(grey.resize((12, 16), Image.Resampling.BOX), np.float32)))
    return inked, tones


def cut_faults(picture: Image.Image, edges: Edges | NoEdges, dpi: float | None) -> list[Fault]:
    """Whether the card goes beyond the scan's edge, lies at it, or is not of the known size."""
    if isinstance(edges, Edges):
        tight = _tight_sides(picture, edges)
        if tight is not None:
            return _no_margin(tight)
    # Corners beyond the scan are assumed: what is there of the card is looked at instead.
    touched, size = _extent(picture)
    if dpi is None or size is None:
        return []
    width, height = (length / dpi * MM for length in size)
    measured = isinstance(edges, Edges) or edges.reason == "size"
    return _extent_faults(touched, width, height, measured)


def _extent_faults(touched: list[str], width: float, height: float, measured: bool) -> list[Fault]:
    """What is wrong with a card that the scan shows so wide and high, in mm, and that touches these
    sides of it."""
    short, long = sorted((width, height))
    if touched and max(CARD_MM[0] - short, CARD_MM[1] - long) > CUT_MM:
        return [Fault(FaultKind.CUT, ", ".join(touched))]
    if touched:
        return _no_margin(touched)
    off = max(abs(short - CARD_MM[0]), abs(long - CARD_MM[1]))
    if off > ODD_MM and measured:
        return [Fault(FaultKind.ODD_SIZE, f"{width:.1f} x {height:.1f} mm")]
    return []


def _tight_sides(picture: Image.Image, edges: Edges) -> list[str] | None:
    """The sides beside which the scan shows too little; None where the card goes beyond it."""
    room = LEAST_MARGIN_MM / MM * edges.dpi
    xs, ys = zip(*edges.corners, strict=True)
    gaps = (min(xs), min(ys), picture.width - max(xs), picture.height - max(ys))
    if min(gaps) < -room:
        return None
    return [name for name, gap in zip(_NAMES, gaps, strict=True) if gap < room]


def _no_margin(sides: list[str]) -> list[Fault]:
    return [Fault(FaultKind.NO_MARGIN, ", ".join(sides))] if sides else []


_NAMES = ("left", "upper", "right", "lower")


def _extent(picture: Image.Image) -> tuple[list[str], tuple[float, float] | None]:
    """Which of the scan's edges the card reaches, and the width and height in pixels of what stands
    out."""
    factor = STEP * max(1, round(max(picture.size) / 1200))
    seen = pixels(picture.reduce(factor))
    bed = bed_of(seen, 2)
    mask = apart(seen, bed) > max(12.0, 6.0 * bed.noise)
    pieces = parts(mask, 30)
    if not pieces:
        return [], None
    box = pieces[0]
    height, width = mask.shape
    rims = (mask[:, 0], mask[0], mask[:, -1], mask[-1])
    reached = (box.left == 0, box.upper == 0, box.right == width, box.lower == height)
    touched = [
        name
        for name, rim, at in zip(_NAMES, rims, reached, strict=True)
        if at and float(rim.mean()) > 0.25
    ]
    return touched, (float(box.right - box.left) * factor, float(box.lower - box.upper) * factor)
