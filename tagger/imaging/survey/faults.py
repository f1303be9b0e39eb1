"""What is wrong with one scan: damage, blank sides, cut cards, too few dots, an odd size.

What a finding is worth to the dealer is decided elsewhere: this says what is seen. A whole file is
asked for (`check_file`); the pictures are RGB, upright as the dealer sees them unless a function
says otherwise."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageFilter

from tagger.imaging.card.around.padding import without_padding
from tagger.imaging.card.by_lines.lined_card import borne_out, lined_card
from tagger.imaging.card.card_edges import CARD_MM, MM, Edges, NoEdges
from tagger.imaging.card.edges import find_edges, usual_dpi
from tagger.imaging.card.kept_levels import coarse_made
from tagger.imaging.card.lines import ROBUST
from tagger.imaging.card.sheets import find_cards
from tagger.imaging.scan.jpeg_corruption import broken_at
from tagger.imaging.survey.extent import Extent, seen_of

BARS = 3  # across a bed, at least: a card has some lines, too
COLOURED = 7.0  # levels that the colours of a card vary by which is not blank
BARE_TONES = 2.5  # levels: what a lamp that flickers varies by from row to row
PRINTED = 9.0  # levels that the tones of a card vary by which is not blank
GLANCE, SURELY = (120, 160), 2 * PRINTED  # pixels of a first look, and the levels then
FIELDS = (12, 16)  # across and down, that tones are told of
CUT_TO = 1.5  # mm around or within a card that a machine which crops to it leaves or takes
MARKED = 0.008  # of a side that is finely marked, from which on it is not nearly blank
AROUND = 7  # pixels around one, whose mean has no detail
SPARSE = 4  # one of so many rows says what goes on all the way down
GRAIN = 6.0  # levels that a scanner's grain varies by at most: what varies more is print
# levels that marks of a faint pattern vary by in most fields; bare paper of 32 scanner models came
# to 1.1, paper with fibres to 1.5, a printed back of near-white on white to 4.9
PATTERNED = 2.2
LEAST_DPI = 200  # a number of 7 points is then 19 pixels high
SAME_DOTS = 0.06  # by which the dots per inch are off that are as the file says
SAME_SHAPE = 0.006  # by which the shape of a card may differ from another one's
OTHER_SETTING = 0.015  # of dots per inch, by which a scanner set to other ones is told
TRUSTED_DPI = 100  # below which what a file says is a default of some program, and no scanner's
# mm: the least that two cards take
_TWO = ((CARD_MM[1], 2 * CARD_MM[0]), (CARD_MM[0], 2 * CARD_MM[1]))


Box = tuple[int, int, int, int]  # left, upper, right, lower, in pixels
Detail = npt.NDArray[np.int16]


class FaultKind(StrEnum):
    """What can be wrong with one scan."""

    CORRUPT = "corrupt"
    EMPTY_BED = "no card"
    BLANK = "blank"
    NEARLY_BLANK = "nearly blank"
    FEW_DOTS = "too few dots per inch"
    SEVERAL = "several cards"


class Fault(NamedTuple):
    """One thing that is wrong, and its measure in words: `96 dpi`."""

    kind: FaultKind
    seen: str = ""


@dataclass(frozen=True)
class ScanFaults:
    """What one scan was found to be: its edges or why there are none, its dots per inch (None: not
    known), faults, and what is seen of the card."""

    edges: Edges | NoEdges
    dpi: float | None
    faults: tuple[Fault, ...]
    extent: Extent


def place_card(
    picture: Image.Image, in_file: float | None, size: tuple[float, float] = CARD_MM
) -> tuple[Edges | NoEdges, float | None]:
    """A scan's card of that size in mm and its dots per inch. `in_file` is what the file says;
    where the card then has not the known size but its shape, the dots are estimated from it."""
    trusted = in_file if in_file and in_file >= TRUSTED_DPI else None
    edges = _standing_out(picture, trusted, size)
    if isinstance(edges, Edges):
        return edges, edges.dpi
    if trusted is not None and size == CARD_MM and not _is_cut_to_card(picture, trusted):
        other = _of_other_dots(picture, edges, trusted)
        if other is not None:
            return other, other.dpi
    by_lines = lined_card(picture, trusted, size, edges)
    return by_lines, by_lines.dpi if isinstance(by_lines, Edges) else trusted


def _standing_out(
    picture: Image.Image, trusted: float | None, size: tuple[float, float]
) -> Edges | NoEdges:
    """The card that stands out from the bed, unless lines or its size speak against it."""
    edges = find_edges(picture, trusted, size=size, own_size=True)
    if trusted is None:
        doubted = isinstance(edges, Edges) and not borne_out(picture, edges)
        return NoEdges("unclear", "other lines") if doubted else edges
    return find_edges(picture, None) if _has_other_dots(edges, trusted) else edges


def _has_other_dots(edges: Edges | NoEdges, trusted: float) -> bool:
    """Whether edges that are no usual card's would be that with the dots of another setting of the
    scanner: the file says those of some other scan."""
    if isinstance(edges, NoEdges):
        return False
    short, long = edges.short_and_long
    times = long / CARD_MM[1]
    if abs(times - 1) < SAME_DOTS or abs(short / CARD_MM[0] / times - 1) > SAME_SHAPE:
        return False
    return usual_dpi(trusted * times, OTHER_SETTING) is not None


def _of_other_dots(picture: Image.Image, edges: NoEdges, trusted: float) -> Edges | None:
    """The edges of a card of the usual size with other dots than the file says, where it may be
    that."""
    if not _may_be_scaled(edges):
        return None
    other = find_edges(picture, None)
    # Nearly the dots that the file says: then it is the card that has another size.
    if isinstance(other, Edges) and abs(other.dpi / trusted - 1) >= SAME_DOTS:
        return other
    return None


def _is_cut_to_card(picture: Image.Image, dpi: float) -> bool:
    """Whether a scan is as large as a usual card by the dots that its file says: these are right,
    and what is seen in it is print."""
    sides = zip(sorted(picture.size), CARD_MM, strict=True)
    return all(abs(pixels / dpi * MM - length) <= CUT_TO for pixels, length in sides)


def _may_be_scaled(edges: NoEdges) -> bool:
    """Whether it may be a card of the usual size with other dots than the file says: where lines
    were seen, these have its shape."""
    if edges.lines is not None and all(edges.size):
        short, long = sorted(edges.size)
        # Nearly of that size it has nearly the dots that the file says.
        if abs(long / CARD_MM[1] - 1) < SAME_DOTS:
            return False
        return abs(short / long / (CARD_MM[0] / CARD_MM[1]) - 1) <= SAME_SHAPE
    return edges.reason in ("size", "no card")


def scan_faults(
    picture: Image.Image,
    in_file: float | None,
    *,
    jpeg: bool,
    size: tuple[float, float] = CARD_MM,
) -> ScanFaults:
    """Everything that is measured on one scan alone. `in_file` is the dots per inch that its file
    says; `jpeg`: whether it is coded in blocks, as stored; `size`: of the card that is looked for,
    in mm."""
    faults = _broken(picture) if jpeg else []
    whole = picture
    picture, corner = without_padding(picture)
    edges, dpi = place_card(picture, in_file, size)
    # a striped card that fills its scan has no more to it than a bed of bars
    barred = dpi is not None and not _is_cut_to_card(whole, dpi)
    faults += blank_faults(picture, edges, barred)
    extent = Extent()
    if not any(fault.kind is FaultKind.EMPTY_BED for fault in faults):
        extent = seen_of(picture, edges, dpi, size)
    if dpi is not None and dpi < LEAST_DPI:
        faults.append(Fault(FaultKind.FEW_DOTS, f"{dpi:.0f} dpi"))
    return ScanFaults(_moved(edges, corner), dpi, tuple(faults), extent)


def _moved(edges: Edges | NoEdges, by: tuple[int, int]) -> Edges | NoEdges:
    """Edges found on a part of a scan, which begins so many pixels from its left and upper end."""
    if isinstance(edges, NoEdges):
        return edges.moved(by)
    if by == (0, 0):
        return edges
    a, b, c, d = ((x + by[0], y + by[1]) for x, y in edges.corners)
    return replace(edges, corners=(a, b, c, d))


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


def blank_faults(picture: Image.Image, edges: Edges | NoEdges, barred: bool) -> list[Fault]:
    """Whether the scan shows no card, or the card nothing or next to nothing. `barred`: whether
    nothing but bars right across may be its bed."""
    if isinstance(edges, NoEdges) and edges.lines is None and _is_bare(picture, barred):
        return [Fault(FaultKind.EMPTY_BED)]
    inner = _inner(picture, edges)
    if _is_printed(picture, inner) or _is_toned(picture, inner) or _is_marked(picture, inner):
        return []
    grey = _greys(picture, inner)
    tones = _tones(grey)
    if tones >= PRINTED or _is_coloured(picture, inner):
        return []
    around = _levels(grey, blur=AROUND)
    inked = _inked(_levels(grey) - around)
    if inked >= MARKED or _is_patterned(grey, around):
        return []
    if inked >= 0.0003 or tones >= 5:
        return [Fault(FaultKind.NEARLY_BLANK, f"{100 * inked:.1f}% printed")]
    bare = isinstance(edges, NoEdges) and edges.reason == "no card"
    return [Fault(FaultKind.EMPTY_BED if bare else FaultKind.BLANK)]


def _is_printed(picture: Image.Image, box: Box) -> bool:
    """Whether a part of a scan is seen to be printed at the first glance, as most cards are. What
    is so fine that some of its pixels say more than all of them is print, too."""
    some = picture.resize(GLANCE, Image.Resampling.NEAREST, box)
    return _tones(some.convert("L")) >= SURELY


def _is_coloured(picture: Image.Image, box: Box) -> bool:
    """Whether the colours of a part of a scan vary as those of art do that is as light all over; a
    lamp, a shadow or old paper varies in how light it is."""
    fields = picture.reduce(_coarser(box), box).resize(FIELDS, Image.Resampling.BOX)
    red, green, blue = np.asarray(fields, np.float32).transpose(2, 0, 1)
    return max(float((red - green).std()), float((blue - green).std())) >= COLOURED


def _is_toned(picture: Image.Image, box: Box) -> bool:
    """Whether a part of a scan is surely printed, by the coarse picture that edges were looked for
    in."""
    coarse = coarse_made(picture)
    if coarse is None:
        return False
    part = tuple(at / coarse[0] for at in box)
    fields = coarse[1].resize(FIELDS, Image.Resampling.BOX, (part[0], part[1], part[2], part[3]))
    return _deviation(fields.convert("L")) >= PRINTED + 1


def _is_marked(picture: Image.Image, box: Box) -> bool:
    """Whether the middle columns of a part of a scan alone have marks enough for all of it, and
    such that no grain hides them: the same as if all had been looked at."""
    left, upper, right, lower = box
    fine = _coarser(box)
    wide = (right - left) // fine
    first, past = left + wide * 3 // 8 * fine, left + wide * 5 // 8 * fine
    if wide < 8 * AROUND:
        return False
    room = AROUND * fine
    grey = picture.reduce(fine, (first - room, upper, past + room, lower)).convert("L")
    detail = (_levels(grey) - _levels(grey, blur=AROUND))[:, AROUND:-AROUND]
    marks = np.abs(_without_streaks(detail)) > _hidden(GRAIN)
    return bool(np.count_nonzero(marks) >= MARKED * (wide + 1) * grey.height)


def _coarser(box: Box) -> int:
    """How many times as coarse a part of a scan is looked at."""
    return max(1, round(max(box[2] - box[0], box[3] - box[1]) / 500))


def _greys(picture: Image.Image, box: Box) -> Image.Image:
    return picture.reduce(_coarser(box), box).convert("L")


def _is_bare(picture: Image.Image, barred: bool) -> bool:
    """Whether nothing on a whole scan begins or ends on the feeder's way: no card's upper or lower
    edge, though rollers and glass may draw streaks; or nothing but the bars of a carrier, which go
    right across."""
    grey = np.asarray(_greys(picture, (0, 0, *picture.size)), np.float32)
    rest = grey - np.median(grey, axis=0) + 128
    if _has_nothing(rest):
        return True
    rows = np.median(rest, axis=1)
    return barred and _count_bars(rows) >= BARS and _has_nothing(rest - rows[:, None] + 128)


def _has_nothing(rest: npt.NDArray[np.floating[Any]]) -> bool:
    plain = Image.fromarray(np.clip(rest, 0, 255).astype(np.uint8))
    if _tones(plain) >= BARE_TONES:
        return False
    return _inked(_levels(plain) - _levels(plain, blur=AROUND)) < 0.0008


def _count_bars(rows: npt.NDArray[np.floating[Any]]) -> int:
    """How often the rows of a bed change from its one level to the other."""
    low, high = np.percentile(rows, (2, 98))
    if high - low < PRINTED:
        return 0
    dark = rows < (low + high) / 2
    return int(np.count_nonzero(dark[1:] & ~dark[:-1]))


def _inner(picture: Image.Image, edges: Edges | NoEdges) -> Box:
    """A part of the scan that is all card; without edges its middle."""
    wide, high = picture.size
    if isinstance(edges, NoEdges):
        return wide // 6, high // 6, wide - wide // 6, high - high // 6
    xs, ys = zip(*edges.corners, strict=True)
    # Beside a card that lies crooked its box holds wedges of bed, which would count as print.
    lean = abs(np.sin(np.radians(edges.angle))) * (max(ys) - min(ys))
    inset = 3.0 / MM * edges.dpi + lean
    left, upper = (max(0, round(min(at) + inset)) for at in (xs, ys))
    right, lower = min(wide, round(max(xs) - inset)), min(high, round(max(ys) - inset))
    return left, upper, right, lower


def _inked(detail: Detail) -> float:
    """The share of a grey picture that is finely marked, 0 to 1: `detail` is by how many levels its
    pixels are off those around."""
    detail = np.abs(_without_streaks(detail))
    # Grain is everywhere, most print is not: so the median of the detail is grain alone, but of a
    # lattice that fills the side.
    noise = min(GRAIN, ROBUST * float(np.median(detail[::SPARSE])) / 2)
    return float((detail > _hidden(noise)).mean())


def _hidden(noise: float) -> int:
    """Twice the levels by which a pixel of such a grain may be off those around, and no mark."""
    return math.floor(2 * max(9.0, 5 * noise))


def _levels(grey: Image.Image, blur: int = 0) -> Detail:
    seen = grey.filter(ImageFilter.BoxBlur(blur)) if blur else grey
    return np.asarray(seen, np.int16)


def _without_streaks(detail: Detail) -> Detail:
    """Twice the levels, in whole numbers, without what runs all the way down: that is a streak of
    the machine's, and no print."""
    # By columns beside each other, which numpy sorts in a tenth of the time.
    columns = np.sort(np.ascontiguousarray(detail[::SPARSE].T), axis=1)
    count = columns.shape[1]
    streaks = columns[:, (count - 1) // 2] + columns[:, count // 2]
    return 2 * detail - streaks


def _is_patterned(grey: Image.Image, around: Detail) -> bool:
    """Whether a faint pattern fills a grey picture, as on backs that are printed lighter than a
    lamp flickers: neighbouring pixels of print go together, those of grain do not. `around`:
    its levels without detail."""
    near = _levels(grey, blur=1)
    marks = _without_streaks(near - around).astype(np.float32) / 2
    grain = (_levels(grey) - near).astype(np.float32)
    # By fields, and the middle one of them: a stamp or a name alone fills no side.
    return _spread(marks) > max(PATTERNED, _spread(grain))


def _spread(levels: np.ndarray) -> float:
    """The standard deviation of levels in the middle one of 12 x 16 fields."""
    high, wide = (length // count for length, count in zip(levels.shape, (16, 12), strict=True))
    if not high or not wide:
        return 0.0
    fields = levels[: 16 * high, : 12 * wide].reshape(16, high, 12, wide)
    return float(np.median(fields.std(axis=(1, 3))))


def _tones(grey: Image.Image) -> float:
    """How many levels the tones of a picture vary by over large fields."""
    return _deviation(grey.resize(FIELDS, Image.Resampling.BOX))


def _deviation(fields: Image.Image) -> float:
    return float(np.std(np.asarray(fields, np.float32)))
