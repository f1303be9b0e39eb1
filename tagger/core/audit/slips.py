"""What the sides of a lot's scans say about its feeding: missing sides, scans too many, swapped
pairs.

Nothing here is done to the lot: a finding says where, what and how sure, and a set boundary, where
nothing looks like anything before it, is always to be asked about."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from tagger.core.audit.side_labelling import Band, SideLabels

MOST_SWAPPED = 3
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
    sided: SideLabels, same: Callable[[int, int], bool], band: Band, front_first: bool = True
) -> list[Slip]:
    """The slips in feeding order. `same` says whether two scans could show the same printing;
    `band` is as for `tell_sides`: where a scan has no look-alikes before it, a set may begin."""
    alike = _with_look_alikes(band)
    found: list[Slip] = []
    fronts = sided.fronts
    at = 0
    while at < len(fronts):
        if at + 1 == len(fronts):
            found.append(_alone(sided, at, alike, front_first))
            break
        if fronts[at] is front_first and fronts[at + 1] is not front_first:
            at += 2
            continue
        if fronts[at] is fronts[at + 1] and same(at, at + 1):
            found.append(Slip(SlipKind.EXTRA_SCAN, at + 1, True))
            at += 3 if _second_follows(fronts, at + 1, front_first) else 2
            continue
        pairs = _swapped_pairs(fronts, at, front_first)
        if pairs:
            for first in range(at, at + 2 * pairs, 2):
                found.append(
                    Slip(SlipKind.SWAPPED, first, min(sided.sure[first : first + 2]) < UNSURE)
                )
            at += 2 * pairs
            continue
        if at and fronts[at] is fronts[at - 1] and same(at - 1, at):
            found.append(Slip(SlipKind.EXTRA_SCAN, at, True))
            at += 1
            continue
        found.append(_alone(sided, at, alike, front_first))
        at += 1
    return found


def _with_look_alikes(band: Band) -> list[bool]:
    """For each scan whether one before it, its neighbour left out, looks like the same side of the
    same set."""
    out = [False] * len(band)
    for at, row in enumerate(band):
        for step, value in enumerate(row[1:], start=2):
            if value > 1:
                out[at + step] = True
    return out


def _second_follows(fronts: Sequence[bool], at: int, front_first: bool) -> bool:
    """Whether the scan at `at` is the first side of a card and its second side comes next."""
    return fronts[at] is front_first and at + 1 < len(fronts) and fronts[at + 1] is not front_first


def _swapped_pairs(fronts: Sequence[bool], at: int, front_first: bool) -> int:
    """How many cards from `at` on are the wrong way round, with whole cards behind them or the end;
    0 where more than MOST_SWAPPED would be, which is rather a side missing here and one more
    there."""
    for pairs in range(MOST_SWAPPED + 1):
        rest = fronts[at + 2 * pairs : at + 2 * pairs + 2]
        if len(rest) < 2 or rest[0] is front_first:
            return pairs if len(rest) != 1 or rest[0] is front_first else 0
        if rest[1] is not front_first:
            return 0
    return 0


def _alone(sided: SideLabels, at: int, alike: Sequence[bool], front_first: bool) -> Slip:
    kind = SlipKind.MISSING_BACK if sided.fronts[at] else SlipKind.MISSING_FRONT
    after = range(at, min(at + 3, len(sided.fronts)))
    unsure = min(sided.sure[other] for other in after) < UNSURE
    return Slip(kind, at, unsure or not any(alike[other] for other in after))
