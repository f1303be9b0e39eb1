"""Good scans, lot by lot: every finding on them is a false one; and where the cards' edges are."""

from __future__ import annotations

import math
import random
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from PIL import Image
from support.scanning.cards import Deck, Design
from support.scanning.lots import Truth, drawn, in_turn
from support.scanning.machines import CARD, Machine

from tagger.core.audit.audit import audit
from tagger.core.audit.audited_lot import AuditedLot
from tagger.core.audit.card_size import settled, to_measure_again
from tagger.core.audit.feed_report import Comparing
from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.audit.measured import Measured
from tagger.core.feeding.pairing import first_intake
from tagger.imaging.survey.feed_reading import read_feed
from tagger.imaging.survey.measure_lot import measure_scan
from tagger.imaging.survey.orientation import find_orientations
from tagger.imaging.survey.perceptual_hash import alike_band

NEAR, WRONG = 3.0, 6.0  # pixels at 300 dots per inch
DAMAGE = (FindingKind.UNREADABLE, FindingKind.TRUNCATED, FindingKind.CORRUPT)
BLANK = (FindingKind.EMPTY_BED, FindingKind.BLANK, FindingKind.NEARLY_BLANK)
SIZE, CUT = (FindingKind.ODD_SIZE,), (FindingKind.CUT, FindingKind.NO_MARGIN)
ORDER = (
    FindingKind.SWAPPED,
    FindingKind.SLIPPED,
    FindingKind.NOT_TOGETHER,
    FindingKind.UPSIDE_DOWN,
    FindingKind.SIDEWAYS,
)


@dataclass
class Judged:
    """What was measured on good scans of one machine. `off` has for each scan by how many pixels at
    300 dots per inch its worst corner is off, None where no edges were given."""

    scans: int = 0
    kinds: Counter[FindingKind] = field(default_factory=Counter)
    told: list[tuple[str, Finding]] = field(default_factory=list)
    off: list[float | None] = field(default_factory=list)
    cpu: float = 0.0
    decoding: float = 0.0

    def of(self, kinds: Sequence[FindingKind]) -> int:
        """How many findings are of these kinds."""
        return sum(self.kinds[kind] for kind in kinds)

    @property
    def near(self) -> float:
        """The share of scans whose corners are within NEAR pixels."""
        return sum(off is not None and off <= NEAR for off in self.off) / max(1, len(self.off))

    @property
    def wrong(self) -> float:
        """The share of those with edges whose corners are off by more than WRONG pixels."""
        given = [off for off in self.off if off is not None]
        return sum(off > WRONG for off in given) / max(1, len(given))

    def add(self, other: Judged) -> None:
        """What another lot says, too."""
        self.scans += other.scans
        self.kinds += other.kinds
        self.told += other.told
        self.off += other.off
        self.cpu += other.cpu
        self.decoding += other.decoding


def judged(
    folder: Path,
    designs: Sequence[Design],
    machine: Machine,
    cards: int,
    seed: str,
    size: tuple[float, float] = CARD,
) -> Judged:
    """One lot of good scans, drawn and judged."""
    decks = [Deck(design, seed) for design in designs]
    lot = drawn(folder, in_turn(range(len(decks)), cards), decks, machine, seed, size)
    known, out = {}, Judged(len(lot))
    for name in lot:
        start = time.process_time()
        known[name] = measure_scan(folder, name)
        out.cpu += time.process_time() - start
        out.decoding += _decoding(folder / name)
    other, again = to_measure_again(known)
    known |= {name: measure_scan(folder, name, other) for name in again}
    known = settled(known)
    for finding in findings_on(known):
        if _is_false(finding, machine, size):
            out.kinds[finding.kind] += 1
            out.told.append((str(folder), finding))
    out.off = [_off(truth, known[name], machine) for name, truth in lot.items()]
    return out


def _decoding(path: Path) -> float:
    """The CPU time that only decoding takes."""
    start = time.process_time()
    with Image.open(path) as picture:
        picture.convert("RGB")
    return time.process_time() - start


def findings_on(known: dict[str, Measured]) -> list[Finding]:
    """The findings of an audit, as the desk gets them."""
    arrangement, _ = first_intake(list(known))
    lot = AuditedLot(arrangement, list(known))
    return audit(lot, known.__getitem__, Comparing(alike_band, find_orientations, read_feed))


def _is_false(finding: Finding, machine: Machine, size: tuple[float, float]) -> bool:
    """Whether a good scan should not be told so."""
    if finding.kind is FindingKind.FEW_DOTS:
        return machine.dpi >= 200
    # That a cropping machine leaves no margin is so; but once for the lot will do.
    if finding.kind is FindingKind.NO_MARGIN and machine.cropping:
        return False
    if finding.kind is FindingKind.HOLDERS:
        return not machine.holder
    # Another size of all cards is said once for the lot, and is so.
    return finding.kind is not FindingKind.LOT_SIZE or size == CARD


def _off(truth: Truth, known: Measured, machine: Machine) -> float | None:
    if known.corners is None:
        return None
    off = max(math.dist(*both) for both in zip(truth.corners, known.corners, strict=True))
    return off * 300 / machine.dpi


def mixed(designs: Sequence[Design], seed: str, lots: int) -> list[list[Design]]:
    """One to three designs for each of so many lots, all of them as often."""
    rng = random.Random(seed)
    order: list[Design] = []
    out = []
    for _ in range(lots):
        own: list[Design] = []
        for _ in range(rng.randint(1, 3)):
            order = order or rng.sample(designs, len(designs))
            own.append(order.pop())
        out.append(own)
    return out
