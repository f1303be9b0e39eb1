"""Whole lots: slips of the feeding, and sides that lie upside down."""

from __future__ import annotations

import random
import time

from support.card_sets import Drawn, card_set
from support.fed_lots import FedLot, slipped_lot, turned_lot

from bench.common.aims import Measure, at_least, at_most, below
from tagger.core.audit.slips import Slip, SlipKind
from tagger.imaging.survey.feed_reading import read_feed
from tagger.imaging.survey.fields import fields_of
from tagger.imaging.survey.orientation import find_orientations
from tagger.imaging.survey.perceptual_hash import print_of

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
    """Sides that lie upside down."""
    sets = _sets(kept)
    found = down = false = up = 0
    for number in range(count):
        rng = random.Random(f"{kept} turned {number}")
        lot = turned_lot(rng, sets)
        fields = [fields_of(picture) for picture in lot.pictures(sets, rng)]
        cards = list(zip(fields[::2], fields[1::2], strict=True))
        ways = find_orientations(cards)
        told = [side for way in ways for side in (way.front_down, way.back_down)]
        for said, truth in zip(told, lot.down, strict=True):
            found += said and truth
            down += truth
            false += said and not truth
            up += not truth
    return [
        at_least("upside down: found", found, down, 0.95),
        at_most("upside down: false, of all sides", false, up, 0.001),
    ]
