"""Single scans with faults, whole sheets, and centering."""

from __future__ import annotations

import io
import math
import random
import time
from collections import Counter

import numpy as np
from PIL import Image
from support.card_art import Art, black_bordered, blank, bordered, foil, full_bleed, side, written
from support.fed_lots import broken_jpeg
from support.scanned import Scan, fed, jpeg, sheet, turned_over

from bench.common.aims import Measure, at_least, at_most, below
from bench.common.table import share
from tagger.core.audit.card_size import size_faults
from tagger.core.audit.feed_report import NO_PRINT
from tagger.core.audit.measured import Measured
from tagger.imaging.card.card_edges import Edges
from tagger.imaging.card.centering import Centering, measure_centering
from tagger.imaging.card.edges import find_edges
from tagger.imaging.card.sheets import Placed, find_cards, match_sheets
from tagger.imaging.scan.file_integrity import Wholeness, check_file
from tagger.imaging.survey.faults import FaultKind, scan_faults

KINDS = ("blank", "truncated", "corrupt", "low resolution", "cut")


def _bed(rng: random.Random) -> str:
    return rng.choice(("black", "grey"))


def _named(data: bytes) -> set[str]:
    """What is said of a scan's file, in the words of the faults here."""
    report = check_file(data)
    if report.state is Wholeness.TRUNCATED:
        return {"truncated"}
    if report.state is not Wholeness.WHOLE:
        return {"corrupt"}
    with Image.open(io.BytesIO(data)) as picture:
        said = picture.info.get("dpi", (None,))[0]
        look = scan_faults(picture.convert("RGB"), float(said) if said else None, jpeg=True)
    words = {
        FaultKind.CORRUPT: "corrupt",
        FaultKind.BLANK: "blank",
        FaultKind.FEW_DOTS: "low resolution",
    }
    found = {words.get(fault.kind, fault.kind.value) for fault in look.faults}
    extent = look.extent
    seen = Measured(
        "whole", print=NO_PRINT, dpi=look.dpi or 0.0, reached=extent.reached, shown=extent.size
    )
    return found | {kind for kind, _ in size_faults({"": seen}).values()}


def _cut(scan: Scan, rng: random.Random) -> Image.Image:
    """The scan without 2 to 12 mm of one of the card's sides."""
    xs, ys = zip(*scan.corners[0], strict=True)
    gone = rng.uniform(2, 12) / 25.4 * scan.dpi + 0.04 * scan.picture.height  # what the skew takes
    box = [0, 0, *scan.picture.size]
    at = rng.randrange(4)
    ends = (min(xs) + gone, min(ys) + gone, max(xs) - gone, max(ys) - gone)
    box[at] = round(ends[at])
    return scan.picture.crop(tuple(box))


def _faulty(kind: str, rng: random.Random, kept: str) -> bytes | None:
    """A scan's file with one fault; None where the damage drawn cannot be seen."""
    if kind == "low resolution":
        dpi = rng.uniform(72, 170)
        scan = fed(side(rng, kept).picture, rng, _bed(rng), dpi=dpi)
        return jpeg(scan.picture, dpi if rng.random() < 0.7 else 300)
    scan = fed((blank if kind == "blank" else side)(rng, kept).picture, rng, _bed(rng))
    data = jpeg(_cut(scan, rng) if kind == "cut" else scan.picture, 300, rng.choice((75, 85, 92)))
    if kind == "truncated":
        return data[: rng.randrange(len(data) // 20, len(data) - 2)]
    if kind == "corrupt":
        broken = broken_jpeg(data, rng)
        with Image.open(io.BytesIO(broken)) as one, Image.open(io.BytesIO(data)) as other:
            off = np.abs(
                np.asarray(one.convert("L"), np.int16) - np.asarray(other.convert("L"), np.int16)
            )
        return broken if float((off > 16).mean()) >= 0.02 else None
    return data


def fault_lines(kept: str, count: int) -> list[Measure]:
    """Faults named right, and good scans of which any fault is said. As many good scans as faulty
    ones."""
    right, tried = Counter[str](), Counter[str]()
    for number in range(count):
        rng = random.Random(f"{kept} faults {number}")
        kind = KINDS[number % len(KINDS)]
        data = _faulty(kind, rng, kept)
        if data is not None:
            tried[kind] += 1
            right[kind] += kind in _named(data)
    flagged = Counter[str]()
    spent: list[float] = []
    for number in range(count):
        rng = random.Random(f"{kept} good {number}")
        scan = fed(side(rng, kept).picture, rng, _bed(rng), skew=1.5)
        start = time.thread_time()
        flagged.update(_named(jpeg(scan.picture, 300, 85)))
        spent.append(time.thread_time() - start)
    each = ", ".join(f"{kind} {right[kind]}/{tried[kind]}" for kind in KINDS)
    told = ", ".join(f"{kind} {many}" for kind, many in flagged.items()) or "none"
    return [
        at_least("faults named right", sum(right.values()), sum(tried.values()), 0.98),
        Measure("  each", each),
        at_most("good scans flagged", sum(flagged.values()), count, 0.005),
        Measure("  as", told),
        below(
            "  CPU time to decode and look at a scan, median", 1000 * share(spent, 0.5), None, "ms"
        ),
    ]


def _right_corners(found: Placed, corners: tuple[tuple[float, float], ...]) -> bool:
    return isinstance(found.edges, Edges) and max(map(math.dist, corners, found.edges.corners)) <= 4


def sheet_lines(kept: str, count: int) -> list[Measure]:
    """Sheets of four and nine, gaps of 3 mm and more, and their backs."""
    cards = found = near = ordered = matched = asked = 0
    for number in range(count):
        rng = random.Random(f"{kept} sheet {number}")
        many, bed = (4, 9)[number % 2], _bed(rng)
        fronts = sheet(
            [side(rng, kept).picture for _ in range(many)], rng, bed, gap=rng.uniform(3, 5)
        )
        how = rng.choice(("long side", "short side"))
        backs = turned_over(fronts, [written(rng, kept).picture for _ in range(many)], rng, how)
        seen, behind = find_cards(fronts.picture, 300), find_cards(backs.picture, 300)
        cards += many
        order = [
            min(range(many), key=lambda at: math.dist(p.middle, fronts.laid[at].middle))
            for p in seen
        ]
        found += len(set(order)) if len(seen) == many else 0
        near += sum(
            _right_corners(p, fronts.corners[at]) for p, at in zip(seen, order, strict=True)
        )
        ordered += order == list(range(many))
        match = match_sheets(seen, behind, fronts.picture.size, 300)
        own = [
            min(range(many), key=lambda at: math.dist(p.middle, backs.laid[at].middle))
            for p in behind
        ]
        if match is not None and match.turned == how:
            matched += [None if at is None else own[at] for at in match.backs] == order
            asked += match.ask
    return [
        at_least("sheets: cards found", found, cards, 1.0),
        at_least("sheets: corners within 4 px", near, cards, 0.95),
        at_least("sheets: in reading order", ordered, count, 1.0),
        at_least("sheets: turned side and backs right", matched, count, 1.0),
        Measure("  of these, put as a question", f"{asked} of {matched}"),
    ]


def centering_lines(kept: str, count: int) -> list[Measure]:
    """Points between the share that was drawn and the one that is given, the larger of across and
    down."""
    off: list[float] = []
    even = bleed = given = 0
    for number in range(count):
        rng = random.Random(f"{kept} centering {number}")
        makers = (bordered, black_bordered, full_bleed, written, foil)
        art: Art = rng.choices(makers, (50, 8, 30, 10, 2))[0](rng, kept)
        scan = fed(art.picture, rng, _bed(rng))
        edges = find_edges(scan.picture, 300)
        result = measure_centering(scan.picture, edges) if isinstance(edges, Edges) else None
        if art.borders is None:
            bleed += 1
            given += isinstance(result, Centering)
            continue
        even += 1
        if isinstance(result, Centering):
            left, upper, right, lower = art.borders
            across, down = 100 * left / (left + right), 100 * upper / (upper + lower)
            off.append(max(abs(result.across[0] - across), abs(result.down[0] - down)))
    return [
        below("centering, even borders: p90 error", share(off, 0.9), 0.3, "points"),
        below("centering, even borders: p99 error", share(off, 0.99), 1.0, "points"),
        Measure("  given on even borders", f"{len(off)} of {even}"),
        at_most("centering: given on full bleed and backs", given, bleed, 0.0),
    ]
