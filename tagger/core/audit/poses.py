"""How each scan is to be seen, on the desk and in every picture that is handed over: turned as the
dealer said, brightened where it was asked for, straight as far as its edges are known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from tagger.core.model.arrangement import Fixes
from tagger.core.model.pose import Pose

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured

MARGIN = 2.0  # mm around the card


class PoseRule:
    """The rule for one lot's scans. `margin` is how many mm are shown around a card that is shown
    straight and cropped; None where cards are shown as they lie."""

    def __init__(self, fixes: Fixes, margin: float | None) -> None:
        self.fixes = fixes
        self._margin = margin
        self._turns = dict(fixes.turns)
        self._brightened = frozenset(fixes.levels)

    def pose(self, scan: str, known: Measured | None, set_name: str = "") -> Pose:
        """How a scan of a card of this set is to be seen, with what is known of it so far."""
        turn = self._turns.get(scan, 0)
        bright = "*" in self._brightened or (bool(set_name) and set_name in self._brightened)
        if self._margin is None or known is None or known.corners is None:
            return Pose(turn, levels=bright)
        return Pose(turn, known.corners, known.dpi, self._margin, bright)


class Poses:
    """The poses of one lot at work: knows what was measured so far. `crop` tells whether cards are
    shown straight and cropped at all."""

    def __init__(self, crop: bool = True, margin: float = MARGIN) -> None:
        self._margin = margin if crop else None
        self._measured: dict[str, Measured] = {}
        self._rule = PoseRule(Fixes(), self._margin)
        self._held: dict[str, Measured | None] = {}

    def hold(self, scans: Iterable[str]) -> None:
        """These scans are on the screen: what is learned of them from now on is for the next time
        they are."""
        self._held = {scan: self._measured.get(scan) for scan in scans}

    def measured(self, scan: str) -> Measured | None:
        """What is known of a scan by now, also of one that is on the screen."""
        return self._measured.get(scan)

    def learn(self, measured: Mapping[str, Measured]) -> None:
        """These scans were measured."""
        self._measured.update(measured)

    def forget(self, scans: frozenset[str]) -> None:
        """The files of these scans are others now."""
        for scan in scans:
            self._measured.pop(scan, None)
            self._held.pop(scan, None)

    def of(self, scan: str, fixes: Fixes, set_name: str = "") -> Pose:
        """How a scan of a card of this set is to be seen."""
        # Fixes are frozen, so the same object says the same: a lot may have thousands of turns,
        # and this is asked for every picture on the screen.
        if fixes is not self._rule.fixes:
            self._rule = PoseRule(fixes, self._margin)
        # A picture must not jump under the dealer's eye when its measuring ends.
        known = self._held[scan] if scan in self._held else self._measured.get(scan)
        return self._rule.pose(scan, known, set_name)
