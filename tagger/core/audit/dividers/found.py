"""Dividers that lie among the cards of a lot, by the codes that were seen on its scans."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.core.dividers.divider import FRONT, Divider
from tagger.core.dividers.seen import NONE_SEEN
from tagger.core.feeding.order import feeding_order
from tagger.core.feeding.sequence import ALTERNATING
from tagger.core.model.arrangement import PlacedDivider
from tagger.core.model.side_order import SideOrder

if TYPE_CHECKING:
    from tagger.core.dividers.seen import CodeSeen
    from tagger.core.model.arrangement import Arrangement

Seen = Mapping[str, "CodeSeen"]
Striped = Callable[[str], bool]
"""Whether a scan looks like a divider, whatever its code says."""


@dataclass(frozen=True)
class FoundDivider:
    """A divider with the scans of both sides, as far as it has them. `sure`: they are known to
    belong together; else `beside` is the scan that may be its other side."""

    placed: PlacedDivider
    divider: Divider
    sure: bool
    beside: str = ""

    def with_beside(self) -> PlacedDivider:
        """The divider if that scan is its other side."""
        front, back, text = self.placed
        return PlacedDivider(front or self.beside, back or self.beside, text)


def found_dividers(arrangement: Arrangement, seen: Seen, striped: Striped) -> list[FoundDivider]:
    """The dividers on the cards of a lot, in feeding order; those that were left out are not among
    them."""
    if not any(seen[scan].text for scan in arrangement.scans if scan in seen):
        return []
    return list(_Finder(arrangement, seen, striped).all())


class _Finder:
    def __init__(self, arrangement: Arrangement, seen: Seen, striped: Striped) -> None:
        self._lot, self._seen, self._striped = arrangement, seen, striped
        self._order = feeding_order(arrangement.scans)
        self._at = {scan: at for at, scan in enumerate(self._order)}
        self._used = set[str]()

    def all(self) -> Iterator[FoundDivider]:
        for scan in self._order:
            if scan not in self._used and self._of(scan).text:
                found = self._found(scan)
                self._used.update(found.placed.scans)
                yield found

    def _of(self, scan: str) -> CodeSeen:
        return self._seen.get(scan, NONE_SEEN)

    def _found(self, scan: str) -> FoundDivider:
        payload = self._of(scan).payload
        assert payload is not None  # only what is one of ours is kept as text
        divider, side = payload
        others = list(self._others(scan))
        other = next((one for one in others if self._is_other(one, divider, side)), None)
        if other is None:
            other = next((one for one in others if self._is_bare(one)), None)
        alone = PlacedDivider(*_sides(scan, "", side), self._of(scan).text)
        if other is not None:
            whole = PlacedDivider(*_sides(scan, other, side), self._of(scan).text)
            return FoundDivider(whole, divider, True)
        if self._lot.sides is SideOrder.FRONT_ONLY:
            return FoundDivider(alone, divider, True)
        return FoundDivider(alone, divider, False, next(iter(others), ""))

    def _others(self, scan: str) -> Iterator[str]:
        """The scans that may show its other side, the likeliest first."""
        pair = self._lot.card_with(scan)
        if pair is not None:
            yield from (one for one in pair.scans if one != scan and self._is_free(one))
        if self._lot.sides in ALTERNATING:
            at = self._at[scan]
            beside = (*self._order[at + 1 : at + 2], *self._order[max(0, at - 1) : at])
            yield from (one for one in beside if self._is_free(one))

    def _is_free(self, scan: str) -> bool:
        return scan not in self._used

    def _is_other(self, scan: str, divider: Divider, side: str) -> bool:
        payload = self._of(scan).payload
        return payload is not None and payload.divider == divider and payload.side != side

    def _is_bare(self, scan: str) -> bool:
        """Whether it may be the other side of a divider beside it: blank, or soiled."""
        seen = self._of(scan)
        return not seen.text and (seen.blank or self._striped(scan))


def _sides(scan: str, other: str, side: str) -> tuple[str, str]:
    return (scan, other) if side == FRONT else (other, scan)


def even_behind(arrangement: Arrangement, found: Sequence[FoundDivider], at: int) -> bool:
    """Whether an even number of scans lies between a divider and the next one."""
    order = feeding_order(arrangement.scans)
    first = order.index(found[at].placed.key)
    behind = [order.index(one.placed.key) for one in found[at + 1 : at + 2]]
    return (next(iter(behind), len(order)) - first - 1) % 2 == 0
