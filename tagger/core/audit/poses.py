"""How each scan is to be seen on the desk: turned as the dealer said, straight as far as its edges
are known."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tagger.core.audit.measured import Measured
from tagger.core.model.arrangement import Fixes
from tagger.core.model.pose import Pose

MARGIN = 2.0  # mm around the card


class Poses:
    """Knows what was measured so far. `crop` tells whether cards are shown straight and cropped at
    all."""

    def __init__(self, crop: bool = True, margin: float = MARGIN) -> None:
        self._crop, self._margin = crop, margin
        self._measured: dict[str, Measured] = {}
        self._mending = Fixes()
        self._turns: dict[str, int] = {}
        self._held: dict[str, Measured | None] = {}

    def hold(self, scans: Iterable[str]) -> None:
        """These scans are on the screen: what is learned of them from now on is for the next time
        they are."""
        self._held = {scan: self._measured.get(scan) for scan in scans}

    def learn(self, measured: Mapping[str, Measured]) -> None:
        """These scans were measured."""
        self._measured.update(measured)

    def forget(self, scans: frozenset[str]) -> None:
        """The files of these scans are others now."""
        for scan in scans:
            self._measured.pop(scan, None)
            self._held.pop(scan, None)

    def of(self, scan: str, mending: Fixes, set_name: str = "") -> Pose:
        """How a scan of a card of this set is to be seen."""
        if mending is not self._mending:
            self._mending, self._turns = mending, dict(mending.turns)
        known = self._held[scan] if scan in self._held else self._measured.get(scan)
        turn = self._turns.get(scan, 0)
        bright = "*" in mending.levels or (bool(set_name) and set_name in mending.levels)
        if known is None or known.corners is None or not self._crop:
            return Pose(turn, levels=bright)
        return Pose(turn, known.corners, known.dpi, self._margin, bright)
