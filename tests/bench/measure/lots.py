"""Whole lots: slips of the feeding, and sides that lie upside down."""

from __future__ import annotations

import random
import time

from support.card_sets import Drawn, card_set
from support.fed_lots import FedLot, slipped_lot, turned_lot

from bench.common.aims import Measure, at_least, at_most, below
from tagger.core.audit.orientation_runs import Orientation
from tagger.core.audit.set_groups import group_sets
from tagger.core.audit.side_labelling import label_sides
from tagger.core.audit.slips import Slip, SlipKind, find_slips
from tagger.imaging.survey.orientation import fields_of, find_orientations
from tagger.imaging.survey.perceptual_hash import alike_band, print_of

SETS, CARDS = 14, 40


def _sets(kept: str) -> list[list[Drawn]]:
    return [card_set(str(number), CARDS, kept) for number in range(SETS)]


def find(lot: FedLot, sets: list[list[Drawn]], rng: random.Random) -> tuple[list[Slip], float]:
    """What is found in a lot's crops, and how long it took once they were hashed, in seconds of CPU
    time."""
    prints = [print_of(picture) for picture in lot.pictures(sets, rng)]
    start = time.thread_time()
    band = alike_band(prints)
    found = find_slips(label_sides(band), lambda a, b: prints[a].may_show_the_same(prints[b]), band)
    return found, time.thread_time() - start


def fits(kind: str, at: int, finding: Slip) -> bool:
    """Whether a finding names a fault: its kind, within a card. A scan too many and a missing side
    look the same where the next card is a double of this one, so that a question names either."""
    alike = {SlipKind.MISSING_FRONT, SlipKind.MISSING_BACK, SlipKind.EXTRA_SCAN}
    same = finding.kind == kind or (finding.ask and {finding.kind, SlipKind(kind)} <= alike)
    return same and abs(finding.scan - at) <= 2


def slip_lines(kept: str, count: int) -> list[Measure]:
    """Slips found and slips that are none; questions count as findings."""
    sets = _sets(kept)
    faults = found = false = scans = asked = 0
    spent = 0.0
    for number in range(count):
        rng = random.Random(f"{kept} slips {number}")
        lot = slipped_lot(rng, sets)
        findings, seconds = find(lot, sets, rng)
        spent += seconds
        scans += len(lot.scans)
        for kind, at in lot.faults:
            faults += 1
            hit = next((one for one in findings if fits(kind, at, one)), None)
            if hit is not None:
                findings.remove(hit)
                found += 1
                asked += hit.ask
        false += len(findings)
    return [
        at_least("slips: found", found, faults, 0.98),
        at_most("slips: false, of all scans", false, scans, 0.001),
        Measure("  of those found, put as a question", f"{asked} of {found}"),
        below("  CPU time for 1,000 scans, once hashed", spent / scans * 1000, None, "s"),
    ]


def turned_lines(kept: str, count: int) -> list[Measure]:
    """Sides that lie upside down; the sets are told from the backs, not given."""
    sets = _sets(kept)
    right = wrong = unknown = 0
    for number in range(count):
        rng = random.Random(f"{kept} turned {number}")
        lot = turned_lot(rng, sets)
        pictures = lot.pictures(sets, rng)
        groups = group_sets(alike_band([print_of(picture) for picture in pictures[1::2]]))
        for first in (0, 1):
            fields = [fields_of(picture) for picture in pictures[first::2]]
            ways = find_orientations(fields, groups).ways
            for way, down in zip(ways, lot.down[first::2], strict=True):
                unknown += way is Orientation.UNKNOWN
                right += way is not Orientation.UNKNOWN and (way is Orientation.UPSIDE_DOWN) == down
                wrong += way is not Orientation.UNKNOWN and (way is Orientation.UPSIDE_DOWN) != down
    return [
        at_least("upside down: right, of those decided", right, right + wrong, 0.995),
        at_most("upside down: abstained", unknown, right + wrong + unknown, 0.02),
    ]
