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
from tagger.imaging.card.rough_sides import STEP
from tagger.imaging.card.sheets import find_cards
from tagger.imaging.scan.jpeg_corruption import broken_at

LEAST_DPI = 200  # a number of 7 points is then 19 pixels high
LEAST_MARGIN_MM = 0.5
# mm: the least that two cards take
_TWO = (
    (CARD_MM[1], 2 * CARD_MM[0]),
    (CARD_MM[0], 2 * CARD_MM[1]),
)
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


def place_card(picture: Image.Image, said: float | None) -> tuple[Edges | NoEdges, float | None]:
    """A scan's card and its dots per inch. `said` is what the file says; where the card then has
    not the known size but its shape, the dots are estimated from it."""
    trusted = said if said and said >= 100 else None
    edges = find_edges(picture, trusted)
    if isinstance(edges, NoEdges) and trusted is not None and edges.reason in ("size", "no card"):
        other = find_edges(picture, None)
        if isinstance(other, Edges) and not 0.94 < other.dpi / trusted < 1.06:
            return other, other.dpi
    return edges, edges.dpi if isinstance(edges, Edges) else trusted


def look_at(picture: Image.Image, said: float | None, *, jpeg: bool) -> ScanFaults:
    """Everything that is measured on one scan alone. `jpeg`: whether it is coded in blocks, as
    stored."""
    edges, dpi = place_card(picture, said)
    faults: list[Fault] = []
    if jpeg:
        broken = broken_at(picture)
        if broken is not None:
            faults.append(Fault(FaultKind.CORRUPT, f"from row {broken} on"))
    faults += blank_faults(picture, edges)
    if not any(fault.kind is FaultKind.EMPTY_BED for fault in faults):
        faults += cut_faults(picture, edges, dpi)
    if dpi is not None and dpi < LEAST_DPI:
        faults.append(Fault(FaultKind.FEW_DOTS, f"{dpi:.0f} dpi"))
    return ScanFaults(edges, dpi, tuple(faults))


def several_cards(picture: Image.Image, said: float | None) -> Fault | None:
    """How many cards a scan shows, if more than one. Only one that says its dots per inch and has
    room for two cards, side by side or end to end, is looked at."""
    if said is None or said < 100:
        return None
    room = tuple(length / said * MM for length in sorted(picture.size))
    if not any(room[0] >= short and room[1] >= long for short, long in _TWO):
        return None
    cards = find_cards(picture, said)
    # a box of another size is no second card
    sure = sum(isinstance(card.edges, Edges) for card in cards)
    return Fault(FaultKind.SEVERAL, f"{len(cards)} cards") if sure > 1 else None


def blank_faults(picture: Image.Image, edges: Edges | NoEdges) -> list[Fault]:
    """Whether the scan shows no card, or the card nothing or next to nothing."""
    if isinstance(edges, Edges):
        xs, ys = zip(*edges.corners, strict=True)
        inset = 3.0 / MM * edges.dpi + abs(np.sin(np.radians(edges.angle))) * (max(ys) - min(ys))
        box = (min(xs) + inset, min(ys) + inset, max(xs) - inset, max(ys) - inset)
        part = picture.crop(tuple(round(v) for v in box))
    else:
        w, h = picture.size
        part = picture.crop((w // 6, h // 6, w - w // 6, h - h // 6))
    scale = max(1, round(max(part.size) / 500))
    small = part.convert("L").reduce(scale)
    detail = np.abs(
        np.asarray(small, np.float32) - np.asarray(small.filter(ImageFilter.BoxBlur(7)), np.float32)
    )
    noise = 1.4826 * float(np.median(detail))
    inked = float((detail > max(9.0, 5 * noise)).mean())
    tones = float(np.std(np.asarray(small.resize((12, 16), Image.Resampling.BOX), np.float32)))
    if inked < 0.0003 and tones < 5:
        bare = isinstance(edges, NoEdges) and edges.reason == "no card"
        return [Fault(FaultKind.EMPTY_BED if bare else FaultKind.BLANK)]
    if inked < 0.008 and tones < 9:
        return [Fault(FaultKind.NEARLY_BLANK, f"{100 * inked:.1f}% printed")]
    return []


def cut_faults(picture: Image.Image, edges: Edges | NoEdges, dpi: float | None) -> list[Fault]:
    """Whether the card goes beyond the scan's edge, lies at it, or is not of the known size."""
    if isinstance(edges, Edges):
        room = LEAST_MARGIN_MM / MM * edges.dpi
        xs, ys = zip(*edges.corners, strict=True)
        gaps = (min(xs), min(ys), picture.width - max(xs), picture.height - max(ys))
        if min(gaps) >= -room:
            tight = [name for name, gap in zip(_NAMES, gaps, strict=True) if gap < room]
            return [Fault(FaultKind.NO_MARGIN, ", ".join(tight))] if tight else []
    touched, size = _extent(picture)
    if dpi is None or size is None:
        return []
    measured = tuple(length / dpi * MM for length in size)
    short, long = sorted(measured)
    words = f"{measured[0]:.1f} x {measured[1]:.1f} mm"
    missing = max(CARD_MM[0] - short, CARD_MM[1] - long)
    if touched and missing > CUT_MM:
        return [Fault(FaultKind.CUT, ", ".join(touched))]
    if touched:
        return [Fault(FaultKind.NO_MARGIN, ", ".join(touched))]
    off = max(abs(short - CARD_MM[0]), abs(long - CARD_MM[1]))
    # edges beyond the scan are assumed
    if off > 2.0 and (isinstance(edges, Edges) or edges.reason == "size"):
        return [Fault(FaultKind.ODD_SIZE, words)]
    return []


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
