"""What dividers that were left out tell of the feeding, and what is wrong with themselves: a side
that is missing, two in a row, a stack that was turned, sides that came the wrong way round, a group
with a scan too few, names that no checklist has."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.core.audit.findings import Finding, FindingKind
from tagger.core.dividers.divider import Divider, DividerKind, divider_on
from tagger.core.dividers.seen import NONE_SEEN
from tagger.core.feeding.groups import Group, groups_of
from tagger.core.feeding.order import feeding_key
from tagger.core.feeding.sequence import ALTERNATING
from tagger.core.fixes.cards import segment_of
from tagger.core.fixes.display import Turn
from tagger.core.fixes.feeding import Reorder
from tagger.core.lot.divided import is_overruled
from tagger.core.model.side_order import SideOrder
from tagger.core.model.tags import is_base
from tagger.core.model.text import fold, named

if TYPE_CHECKING:
    from tagger.core.audit.dividers.found import Seen
    from tagger.core.feeding.groups import Groups
    from tagger.core.model.arrangement import Arrangement, PlacedDivider

PRINT_BOTH = (
    "Nothing to do for these cards. Print dividers on both sides: both tell of the feeding."
)


def placed_findings(arrangement: Arrangement, seen: Seen) -> list[Finding]:
    """The findings, by the codes that were seen on the dividers."""
    if not arrangement.mending.dividers:
        return []
    look = _Look(arrangement, groups_of(arrangement), seen)
    return [
        *look.rows(),
        *(finding for group in look.groups for finding in look.of(group)),
    ]


@dataclass(frozen=True)
class _Look:
    arrangement: Arrangement
    groups: Groups
    seen: Seen

    def of(self, group: Group) -> Iterator[Finding]:
        """What is told of a group."""
        yield from self._odd(group)
        if group.divider is None:
            return
        yield from self._side(group.divider, group)
        if group.cards:
            yield from self._swapped(group.divider, group)
            yield from self._turned(group.divider, group)

    def _finding(
        self, kind: FindingKind, group: Group, detail: str, remedy: str, *fixes: Turn | Reorder
    ) -> Finding:
        scans = group.divider.scans if group.divider is not None else ()
        position = min(group.first, max(1, self.groups.cards))
        return Finding(kind, scans, position, detail, remedy, fixes, ask=bool(fixes))

    def _side(self, placed: PlacedDivider, group: Group) -> Iterator[Finding]:
        if self.arrangement.sides is SideOrder.FRONT_ONLY or not placed.text:
            return
        title = divider_on(placed).title
        for side, scan in (("front", placed.front), ("back", placed.back)):
            if not scan:
                said = f"the {side} of the divider {title} was not scanned"
            elif self._looked(scan) and not self.seen[scan].text:
                how = "is blank" if self.seen[scan].blank else "cannot be read"
                said = f"{named(scan)}, the {side} of the divider {title}, {how}"
            else:
                continue
            yield self._finding(FindingKind.DIVIDER_SIDE, group, said, PRINT_BOTH)

    def _looked(self, scan: str) -> bool:
        return scan in self.seen

    def rows(self) -> Iterator[Finding]:
        """Dividers with no card between."""
        for at, placed in enumerate(self.groups.dividers[1:]):
            before = self.groups.dividers[at]
            if self.groups.before[at] != self.groups.before[at + 1]:
                continue
            here, title = divider_on(before), divider_on(placed).title
            group = self.groups.group_of(self.groups.before[at])._replace(divider=before)
            if here == divider_on(placed):
                said = f"the divider {title} came twice with no card between; it counts once"
                yield self._finding(FindingKind.DIVIDER_TWICE, group, said, "Nothing to do.")
            elif is_overruled(self.groups, at):
                said = (
                    f"no card lies between the dividers {here.title} and {title}; the last counts"
                )
                remedy = "Check the tray: is a group missing, or a divider too many?"
                yield self._finding(FindingKind.DIVIDER_TWICE, group, said, remedy)

    def _swapped(self, placed: PlacedDivider, group: Group) -> Iterator[Finding]:
        """The back of the divider came first."""
        sides = segment_of(self.arrangement, group.first - 1).sides
        if sides not in ALTERNATING or not (placed.front and placed.back):
            return
        back_first = feeding_key(placed.back) < feeding_key(placed.front)
        if back_first is (sides is SideOrder.BACK_FIRST):
            return
        other = SideOrder.BACK_FIRST if back_first else SideOrder.ALTERNATE
        first = "back" if back_first else "front"
        said = (
            f"the {first} of the divider {divider_on(placed).title} came first: are front and back "
            f"of {_cards(group)} swapped, too?"
        )
        remedy = "Look at the cards; where they are swapped, swap them all."
        fix = Reorder(group.first, group.last, other)
        yield self._finding(FindingKind.SWAPPED, group, said, remedy, fix)

    def _turned(self, placed: PlacedDivider, group: Group) -> Iterator[Finding]:
        """The divider does not stand upright."""
        front = self.seen.get(placed.front, NONE_SEEN)
        cards = self.arrangement.pairs[group.first - 1 : group.last]
        turns = dict(self.arrangement.mending.turns)
        scans = tuple(scan for pair in cards for scan in pair.scans)
        if not front.text or not front.turn or any(scan in turns for scan in scans):
            return
        lies, kind = "sideways", FindingKind.SIDEWAYS
        if front.turn == 180:
            lies, kind = "upside down", FindingKind.UPSIDE_DOWN
        said = f"the divider {divider_on(placed).title} came {lies}: did {_cards(group)}, too?"
        remedy = f"Look at the cards; where they are {lies}, rotate them {front.turn}°."
        yield self._finding(kind, group, said, remedy, Turn(scans, front.turn))

    def _odd(self, group: Group) -> Iterator[Finding]:
        """An odd number of scans between two dividers, which shifts nothing behind the next one."""
        last = group.last == self.groups.cards
        if not group.cards or last or self.arrangement.sides not in ALTERNATING:
            return
        pair = self.arrangement.pairs[group.last - 1]
        if None not in pair.sides or self.arrangement.mending.held:
            return
        said = (
            f"{_cards(group)} have an odd number of scans: a side is missing, or there is one too "
            "many; the cards behind the next divider are right"
        )
        remedy = "Find where the pairs go wrong; scan the missing side, or skip the extra scan."
        position = group.first
        yield Finding(FindingKind.ODD_NUMBER, pair.scans, position, said, remedy)


def _cards(group: Group) -> str:
    if group.first == group.last:
        return f"card {group.first}"
    return f"cards {group.first} to {group.last}"


def unlisted_findings(
    arrangement: Arrangement,
    sets: Iterable[str],
    parallels: Callable[[str], Iterable[str]],
) -> Iterator[Finding]:
    """Dividers with a set or a parallel that no checklist of the lot has; nothing where there is no
    checklist."""
    known = {fold(name): name for name in sets}
    if not known or not arrangement.mending.dividers:
        return
    for group in groups_of(arrangement):
        if group.divider is None:
            continue
        divider = divider_on(group.divider)
        said = _unlisted(divider, known, parallels)
        if said:
            position = min(group.first, max(1, len(arrangement.pairs)))
            yield Finding(
                FindingKind.DIVIDER_UNLISTED, group.divider.scans, position, said,
                "Add the checklist that has it (tagger open FOLDER --checklist FILE), or carry "
                "the right one by hand (F5).",
            )  # fmt: skip


def _unlisted(
    divider: Divider, known: dict[str, str], parallels: Callable[[str], Iterable[str]]
) -> str:
    if divider.kind is not DividerKind.GROUP:
        return ""
    if divider.set and fold(divider.set) not in known:
        return f"the set of the divider {divider.title} is not in this lot's checklists"
    if not divider.parallel or is_base(divider.parallel):
        return ""
    sets = [known[fold(divider.set)]] if divider.set else list(known.values())
    if fold(divider.parallel) in {fold(name) for one in sets for name in parallels(one)}:
        return ""
    return f"the parallel of the divider {divider.title} is not in this lot's checklists"


def without_told(placed: Iterable[Finding], turned: Sequence[Finding]) -> Iterator[Finding]:
    """The findings, without those that the look of the cards tells as well."""
    told = {(one.kind, scan) for one in turned for scan in one.scans}
    for finding in placed:
        scans = [scan for fix in finding.fixes if isinstance(fix, Turn) for scan in fix.scans]
        if not any((finding.kind, scan) in told for scan in scans):
            yield finding
