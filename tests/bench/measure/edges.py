"""Edges of single cards: how near the corners are, how long it takes, and what OpenCV makes of the
same scans."""

from __future__ import annotations

import math
import random
import statistics
import time
from dataclasses import dataclass, field

import cv2
import numpy as np
from support.card_art import side
from support.scanned import Scan, fed

from bench.common.aims import Measure, at_least, at_most, below
from bench.common.table import share
from tagger.imaging.card.card_edges import Edges
from tagger.imaging.card.edges import find_edges

NEAR = 3.0  # pixels at 300 dpi


@dataclass
class Tally:
    """What came out of one kind of scan."""

    tried: int = 0
    near: int = 0
    far: int = 0
    errors: list[float] = field(default_factory=list)
    angles: list[float] = field(default_factory=list)
    times: list[float] = field(default_factory=list)
    peer_times: list[float] = field(default_factory=list)
    peer_near: int = 0

    def add(self, scan: Scan) -> None:
        """Measure one scan."""
        start = time.thread_time()
        edges = find_edges(scan.picture, scan.dpi)
        self.times.append(time.thread_time() - start)
        self.tried += 1
        near = NEAR * scan.dpi / 300
        if isinstance(edges, Edges):
            off = corners_off(edges, scan)
            if max(off) <= near:
                self.near += 1
                self.errors += off
                self.angles.append(abs((edges.angle - scan.laid[0].angle + 45) % 90 - 45))
            else:
                self.far += 1
        start = time.thread_time()
        corners = box_after_otsu(np.asarray(scan.picture))
        self.peer_times.append(time.thread_time() - start)
        off = [min(math.dist(a, b) for b in corners) for a in scan.corners[0]]
        self.peer_near += max(off) <= near


def corners_off(edges: Edges, scan: Scan) -> list[float]:
    """By how many pixels each corner is off. A card on its side has another corner left upper on
    the scan."""
    first = min(range(4), key=lambda at: sum(scan.corners[0][at]))
    there = scan.corners[0][first:] + scan.corners[0][:first]
    return [math.dist(a, b) for a, b in zip(edges.corners, there, strict=True)]


def box_after_otsu(levels: np.ndarray) -> list[tuple[float, float]]:
    """The ordinary way: Otsu's threshold, the largest contour, the smallest turned rectangle around
    it (OpenCV)."""
    grey = cv2.cvtColor(levels, cv2.COLOR_RGB2GRAY)
    light = np.median(np.concatenate([grey[0], grey[-1], grey[:, 0], grey[:, -1]])) > 127
    _, mask = cv2.threshold(
        grey, 0, 255, (cv2.THRESH_BINARY_INV if light else cv2.THRESH_BINARY) + cv2.THRESH_OTSU
    )
    contours, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    if not contours:
        return [(0.0, 0.0)] * 4
    box = cv2.boxPoints(cv2.minAreaRect(max(contours, key=cv2.contourArea)))
    # it counts from the middle of the first pixel
    return [(float(x) + 0.5, float(y) + 0.5) for x, y in box]


def _tally(kept: str, bed: str, count: int, dpi: float) -> Tally:
    tally = Tally()
    cv2.setNumThreads(1)
    for number in range(count):
        rng = random.Random(f"{kept} {bed} {dpi} {number}")
        art = side(rng, kept)
        tally.add(
            fed(
                art.picture,
                rng,
                bed,
                dpi=dpi,
                skew=rng.choice((1.0, 2.5, 4.0)),
                sideways=rng.random() < 0.1,
            )
        )
    return tally


def lines(kept: str, count: int, fine: int) -> list[Measure]:
    """The table's lines: `count` scans of each bed, `fine` at 600 dpi."""
    out = []
    dark: list[Tally] = []
    for bed in ("black", "grey"):
        tally = _tally(kept, bed, count, 300)
        dark.append(tally)
        out += [
            at_least(f"edges, {bed} bed: corners within 3 px", tally.near, tally.tried, 0.98),
            at_most(
                f"edges, {bed} bed: wrong among accepted", tally.far, tally.near + tally.far, 1.0
            ),
            below(
                f"edges, {bed} bed: median error",
                statistics.median(tally.errors or [math.nan]),
                0.15,
                "px",
            ),
            below(f"edges, {bed} bed: angle p99", share(tally.angles, 0.99), 0.05, "degrees"),
            Measure(
                "  minAreaRect after Otsu: corners within 3 px",
                f"{100 * tally.peer_near / tally.tried:.1f}%",
            ),
        ]
    white = _tally(kept, "white", count, 300)
    out += [
        at_least("edges, white bed: corners within 3 px", white.near, white.tried, 0.90),
        at_most("edges, white bed: wrong among accepted", white.far, white.near + white.far, 0.005),
        below(
            "edges, white bed: median error",
            statistics.median(white.errors or [math.nan]),
            None,
            "px",
        ),
        Measure(
            "  minAreaRect after Otsu: corners within 3 px",
            f"{100 * white.peer_near / white.tried:.1f}%",
        ),
    ]
    finer = [_tally(kept, bed, fine // 2, 600) for bed in ("black", "grey")]
    out.append(
        at_least(
            "edges at 600 dpi: corners within 6 px",
            sum(t.near for t in finer),
            sum(t.tried for t in finer),
            0.97,
        )
    )
    times = [value for tally in (*dark, white) for value in tally.times]
    peer = [value for tally in (*dark, white) for value in tally.peer_times]
    out.append(
        below(
            "edges, CPU time a scan at 300 dpi, median", 1000 * statistics.median(times), 12, "ms"
        )
    )
    out.append(below("  minAreaRect after Otsu", 1000 * statistics.median(peer), None, "ms"))
    return out
