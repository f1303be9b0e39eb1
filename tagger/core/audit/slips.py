"""What the sides of a lot's scans say about its feeding: missing sides, scans too many, swapped
pairs.

Nothing here is done to the lot: a finding says where, what and how sure, and a set boundary, where
nothing looks like anything before it, is always to be asked about."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.audit.side_labelling import Band, SideLabels

MOST_SWAPPED = 3  # cards in a row; more are rather a side missing here and one more there
UNSURE = 3.0  # logarithm of odds below which a finding is a question


class SlipKind(StrEnum):
    """What went wrong in the feeding."""

    MISSING_FRONT = "missing front"
    MISSING_BACK = "missing back"
    EXTRA_SCAN = "extra scan"
    SWAPPED = "swapped"


@dataclass(frozen=True)
class Slip:
    """A slip at a scan (counted from 0): the scan that stands alone, the one too many, or the first
    of a swapped pair.

    `ask`: it may be something else, a set boundary say; the dealer must look before anything is
    shifted."""

    kind: SlipKind
    scan: int
    ask: bool


def find_slips(
    labels: SideLabels, same: Callable[[int, int], bool], band: Band, front_first: bool = True
) -> list[Slip]:
    """The slips in feeding order. `same` says whether two scans could show the same printing;
    `band` is as for `label_sides`: where a scan has no look-alikes before it, a set may begin."""
    reading = _CardByCard(labels, same, _with_look_alikes(band), front_first)
    found: list[Slip] = []
    at = 0
    while at < len(labels.fronts):
        slips, at = reading.next(at)
        found += slips
    return found


def _with_look_alikes(band: Band) -> list[bool]:
    """For each scan whether one before it, its neighbour left out, looks like the same side of the
    same set."""
    out = [False] * len(band)
    for at, row in enumerate(band):
        # The neighbour shows the other side of the card, where nothing slipped.
        for step, value in enumerate(row[1:], start=2):
            if value > 1:
                out[at + step] = True
    return out


@dataclass(frozen=True)
class _CardByCard:
    """Scans read from the first on, a whole card or a slip at a time."""

    labels: SideLabels
    same: Callable[[int, int], bool]
    alike: Sequence[bool]
    front_first: bool

    def next(self, at: int) -> tuple[list[Slip], int]:
        """The slips at a scan, and the scan to go on from."""
        if self._is_card(at):
            return [], at + 2
        if at + 1 == len(self.labels.fronts):
            return [self._alone(at)], at + 1
        if self._is_twice(at):
            return self._too_many(at)
        pairs = self._swapped_pairs(at)
        if pairs:
            past = at + 2 * pairs
            return [self._swapped(first) for first in range(at, past, 2)], past
        if at and self._is_twice(at - 1):
            return [Slip(SlipKind.EXTRA_SCAN, at, True)], at + 1
        return [self._alone(at)], at + 1

    def _too_many(self, at: int) -> tuple[list[Slip], int]:
        """The scan behind this one as one too many, and the scan to go on from."""
        # The scan too many lies inside its card where the second side comes behind it.
        past = at + 3 if self._is_card(at + 1) else at + 2
        # Always a question: the next card may be a double of this one.
        return [Slip(SlipKind.EXTRA_SCAN, at + 1, True)], past

    def _is_twice(self, at: int) -> bool:
        """Whether a scan and the next one show the same side, and could show the same printing."""
        return self.labels.fronts[at] is self.labels.fronts[at + 1] and self.same(at, at + 1)

    def _is_card(self, at: int) -> bool:
        """Whether the scan is the first side of a card and its second side comes next."""
        pair = self.labels.fronts[at : at + 2]
        return pair == (self.front_first, not self.front_first)

    def _swapped_pairs(self, at: int) -> int:
        """How many cards from a scan on are the wrong way round, with whole cards behind them or
        the end; 0 where more than MOST_SWAPPED would be."""
        for pairs in range(MOST_SWAPPED + 1):
            behind = at + 2 * pairs
            rest = self.labels.fronts[behind : behind + 2]
            if not rest or rest[0] is self.front_first:
                return pairs
            if len(rest) == 1 or rest[1] is not self.front_first:
                return 0
        return 0

    def _swapped(self, first: int) -> Slip:
        unsure = min(self.labels.sure[first : first + 2]) < UNSURE
        return Slip(SlipKind.SWAPPED, first, unsure)

    def _alone(self, at: int) -> Slip:
        kind = SlipKind.MISSING_BACK if self.labels.fronts[at] else SlipKind.MISSING_FRONT
        # The next card tells as well: what follows a slip must be sure to have slipped.
        after = range(at, min(at + 3, len(self.labels.fronts)))
        unsure = min(self.labels.sure[other] for other in after) < UNSURE
        # What looks like nothing before it may be the beginning of a set, which is no slip.
        return Slip(kind, at, unsure or not any(self.alike[other] for other in after))
