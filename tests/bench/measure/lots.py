"""Whole lots: slips of the feeding, and sides that lie upside down."""

from __future__ import annotations

import random
import time

from support.card_sets import Drawn, card_set
from support.fed_lots import FedLot, slipped_lot, turned_lot

from bench.common.aims import Measure, at_least, at_most, below
from tagger.core.audit.orientation_runs import Orientation
from tagger.core.audit.set_groups import group_sets
from tagger.core.audit.slips import Slip, SlipKind
from tagger.imaging.survey.feed_reading import read_feed
from tagger.imaging.survey.orientation import fields_of, find_orientations
from tagger.imaging.survey.perceptual_hash import alike_band, print_of

SETS, CARDS = 14, 40


def _sets(kept: str) -> list[list[Drawn]]:
    return [card_set(str(number), CARDS, kept) for number in range(SETS)]


KINDS = {
    "missing front": SlipKind.FIRST_MISSING,
    "missing back": SlipKind.SECOND_MISSING,
    "extra scan": SlipKind.EXTRA_SCAN,
    "swapped": SlipKind.SWAPPED,
}


def find(lot: FedLot, sets: list[list[Drawn]], rng: random.Random) -> tuple[list[Slip], float]:
    """What is found in a lot's crops, of each question what is likeliest, and how long it took once
    they were made small, in seconds of CPU time."""
    pictures = lot.pictures(sets, rng)
    prints = [print_of(picture) for picture in pictures]
    fields = [fields_of(picture) for picture in pictures]
    start = time.thread_time()
    read = read_feed(fields, lambda a, b: prints[a].may_show_the_same(prints[b]))
    found = [slip for doubt in read.doubts for slip in doubt.readings[0].slips]
    return found, time.thread_time() - start


def fits(kind: str, at: int, finding: Slip) -> bool:
    """Whether a finding names a fault: its kind, within a card."""
    return finding.kind is KINDS[kind] and abs(finding.scan - at) <= 2


def slip_lines(kept: str, count: int) -> list[Measure]:
    """Slips found and slips that are none; questions count as findings."""
    sets = _sets(kept)
    faults = found = false = scans = 0
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
        false += len(findings)
    return [
        at_least("slips: found", found, faults, 0.98),
        at_most("slips: false, of all scans", false, scans, 0.001),
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
