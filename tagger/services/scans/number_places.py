"""Where the backs of a lot may have their numbers: the backs are sorted by design as they are
measured, and a few of each design are compared in another process."""

from __future__ import annotations

from concurrent.futures import BrokenExecutor, CancelledError, Future
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.audit.number_place import NumberPlace, NumberSpot
from tagger.core.audit.poses import MARGIN, PoseRule
from tagger.core.model.arrangement import Arrangement
from tagger.core.model.pose import Pose

if TYPE_CHECKING:
    from tagger.core.audit.fingerprint import Fingerprint
    from tagger.core.audit.measured import Measured
    from tagger.imaging.survey.workers import Workers

STEPS = (1, 3, 5)  # backs of a design after which its place is looked for, the last time for good
AT_ONCE = 2  # designs that are looked at
ALIKE = 3.0  # the likeness above which backs are of one design; plain ones look much alike
MEMBERS = 3  # backs of a design that a new one is compared with
Backs = tuple[tuple[str, Pose], ...]


def spots_on(folder: Path, backs: Backs) -> tuple[NumberSpot, ...]:
    """The likeliest places of the number on backs of one design, read from the disk."""
    # It compares pictures and loads numpy, which the desk's own process does without.
    from tagger.errors import PictureError
    from tagger.imaging.card.small_print import LONG
    from tagger.imaging.scan.pictures import read_picture
    from tagger.imaging.survey.number_places import number_spots

    try:
        box = (LONG, LONG)
        return number_spots([read_picture(folder, scan, box, pose=pose) for scan, pose in backs])
    except PictureError:
        return ()


@dataclass
class _Design:
    """Backs that look alike, in the order in which they came; what was asked about them last, and
    where their number may be."""

    number: int
    looks: list[Fingerprint]
    straight: bool
    scans: list[str] = field(default_factory=list)
    poses: list[Pose] = field(default_factory=list)
    asked: int = 0
    answer: Future[tuple[NumberSpot, ...]] | None = None
    spots: tuple[NumberSpot, ...] = ()
    told: int = 0  # how many of the scans know these

    def begun_anew(self) -> None:
        """Without its backs; how they look and where their number is stays known."""
        self.scans.clear()
        self.poses.clear()
        self.asked = self.told = 0
        self.answer = None

    def backs(self) -> Backs:
        """Those that were asked about last."""
        return tuple(zip(self.scans[: self.asked], self.poses[: self.asked], strict=True))


class DesignsOfBacks:
    """The designs of a lot's backs. Called by one thread; never waits."""

    def __init__(self, folder: Path, workers: Workers) -> None:
        self._folder, self._workers = folder, workers
        self._designs: list[_Design] = []
        self._answers: dict[Backs, tuple[NumberSpot, ...]] = {}
        self.begin(Arrangement())

    def begin(self, arrangement: Arrangement) -> None:
        """Sort the backs of this arrangement from now on; a design keeps its number."""
        for design in self._designs:
            design.begun_anew()
        self._rule = PoseRule(arrangement.mending, MARGIN)
        self._turns = dict(arrangement.mending.turns)
        self._backs = {pair.back for pair in arrangement.pairs if pair.back is not None}

    def learn(self, scan: str, measured: Measured) -> None:
        """A scan was measured."""
        if scan not in self._backs or measured.print is None:
            return
        look = measured.turned(self._turns.get(scan, 0)).print
        assert look is not None
        design = self._design_of(look, measured.corners is not None)
        design.scans.append(scan)
        design.poses.append(self._rule.pose(scan, measured))

    def _design_of(self, look: Fingerprint, straight: bool) -> _Design:
        """The one that a back is of, a new one where it looks like none."""
        alike = [
            (max(likeness(look, other) for other in design.looks), -design.number)
            for design in self._designs
            if design.straight == straight
        ]
        best = max(alike, default=(0.0, 0))
        if best[0] > ALIKE:
            design = self._designs[-best[1]]
            if len(design.looks) < MEMBERS:
                design.looks.append(look)
            return design
        made = _Design(len(self._designs), [look], straight)
        self._designs.append(made)
        return made

    def ask(self, to_the_end: bool = False) -> None:
        """Have the places looked for where enough backs have come since the last time; `to_the_end`
        also where no more will come."""
        for design in self._designs:
            step = _step(len(design.scans), to_the_end)
            # Few at a time: what the audit finds is waited for as well.
            if step > design.asked and design.answer is None and len(self.waiting()) < AT_ONCE:
                design.asked = step
                backs = design.backs()
                if backs in self._answers:
                    design.spots = self._answers[backs]
                else:
                    design.answer = self._workers.submit(spots_on, self._folder, backs)

    def waiting(self) -> list[Future[tuple[NumberSpot, ...]]]:
        """What was asked and not answered yet."""
        return [design.answer for design in self._designs if design.answer is not None]

    def news(self) -> dict[str, NumberPlace]:
        """The places of backs that are new since the last time, by scan."""
        found: dict[str, NumberPlace] = {}
        for design in self._designs:
            if design.answer is not None and design.answer.done():
                spots, design.answer = _answered(design.answer), None
                self._answers[design.backs()] = spots
                if spots != design.spots:
                    design.spots, design.told = spots, 0
            if design.spots and design.told < len(design.scans):
                place = NumberPlace(design.number, design.spots)
                found.update(dict.fromkeys(design.scans[design.told :], place))
                design.told = len(design.scans)
        return found


def _answered(answer: Future[tuple[NumberSpot, ...]]) -> tuple[NumberSpot, ...]:
    """What was found; nothing where the process died of it, or of other work beside it."""
    # The loupe can do without, and must not end the audit; more backs ask for it anew.
    try:
        return answer.result()
    except (BrokenExecutor, CancelledError):
        return ()


def _step(backs: int, to_the_end: bool) -> int:
    """How many of so many backs of a design are compared."""
    count = min(backs, STEPS[-1])
    # no more will come: those that there are must do
    if to_the_end:
        return count
    return max((step for step in STEPS if step <= count), default=0)


def likeness(one: Fingerprint, other: Fingerprint) -> float:
    """The higher the rather two sides that lie the same way are of one design: as
    `perceptual_hash.alike_band`, without numpy."""
    pairs = zip(one.colours, other.colours, strict=True)
    tint = sum(abs(a - b) for a, b in pairs) / len(one.colours)
    return (100.0 - one.hamming_distance(other)) / 8 + (14.0 - tint) / 6
