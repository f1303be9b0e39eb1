"""What is told of the dividers of a lot: those that lie among its cards, each with the fix that
leaves it out; and those that look like one, but cannot be read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.audit.dividers.found import FoundDivider, Seen, even_behind, found_dividers
from tagger.core.audit.findings import Finding, FindingKind, OtherReading
from tagger.core.dividers.divider import DividerKind, divider_on
from tagger.core.dividers.stripes import looks_like_divider
from tagger.core.feeding.groups import groups_of
from tagger.core.feeding.order import feeding_order
from tagger.core.feeding.sequence import ALTERNATING
from tagger.core.fixes.dividers import LeaveOutDividers
from tagger.core.lot.divided import told_group
from tagger.core.model.arrangement import PlacedDivider
from tagger.core.model.side_order import SideOrder
from tagger.core.model.tags import State
from tagger.core.model.text import named
from tagger.extras import installing

if TYPE_CHECKING:
    from tagger.core.audit.measured import Measured
    from tagger.core.lot.view import LotView
    from tagger.core.model.arrangement import Arrangement

LEAVE_OUT = "Skip it: a divider is not a card, and what it says is carried behind it."
INSTALL = f"Reading dividers is an extra: {installing('dividers')}; then open the lot again."
BY_HAND = "Skip its scans, then carry what it says by hand (F5), or print it again and rescan."


def divider_findings(
    arrangement: Arrangement, seen: Seen | None, known: Mapping[str, Measured]
) -> list[Finding]:
    """The dividers among the cards of a lot. `seen` is None where nothing is there that reads
    codes; `known` is what was measured, as far as it was."""
    looks = {scan for scan, one in known.items() if looks_like_divider(one.fields)}
    found = found_dividers(arrangement, seen or {}, looks.__contains__)
    told = [_finding(arrangement, found, at) for at in range(len(found))]
    taken = {scan for one in found for scan in one.placed.scans}
    remedy = INSTALL if seen is None else BY_HAND
    return [*told, *_unreadable(arrangement, looks - taken, remedy)]


def _finding(arrangement: Arrangement, all_: Sequence[FoundDivider], at: int) -> Finding:
    found = all_[at]
    position = arrangement.position_with(found.placed.key) or 1
    if found.sure:
        detail = f"{_named(found.placed)} {_are(found.placed)} the divider {found.divider.title}"
        restored = not set(found.placed.scans).isdisjoint(arrangement.mending.restored)
        if restored:
            detail = f"{detail}, which you restored"
        return Finding(
            FindingKind.DIVIDER, found.placed.scans, position, detail, LEAVE_OUT,
            (LeaveOutDividers((found.placed,)),), ask=restored,
        )  # fmt: skip
    return _one_side(arrangement, all_, at, position)


def _one_side(
    arrangement: Arrangement, all_: Sequence[FoundDivider], at: int, position: int
) -> Finding:
    """A divider of which one side was read: the other was not fed, or is the scan beside it."""
    found = all_[at]
    side = "front" if found.placed.front else "back"
    alone = OtherReading(
        f"only the {side} of the divider {found.divider.title} was scanned",
        "Skip that one scan; later scans move up.",
        (LeaveOutDividers((found.placed,)),),
    )
    readings = [alone]
    if found.beside:
        both = OtherReading(
            f"the other side of the divider {found.divider.title} may be {named(found.beside)}",
            "Skip both scans.",
            (LeaveOutDividers((found.with_beside(),)),),
        )
        # with an even number of scans behind it, these are whole cards
        readings.insert(even_behind(arrangement, all_, at), both)
    first, *rest = readings
    return Finding(
        FindingKind.DIVIDER_SIDE, found.placed.scans, position, first.detail, first.remedy,
        first.fixes, ask=True, other=next(iter(rest), None),
    )  # fmt: skip


def _unreadable(arrangement: Arrangement, looks: set[str], remedy: str) -> Iterator[Finding]:
    """Scans that look like a divider and show no code of ours."""
    for sides in _together(arrangement, looks):
        position = min(arrangement.position_with(scan) or 1 for scan in sides)
        look = "look" if len(sides) > 1 else "looks"
        detail = f"{' and '.join(map(named, sides))} {look} like a divider, but cannot be read"
        front, *back = reversed(sides) if arrangement.sides is SideOrder.BACK_FIRST else sides
        fix = LeaveOutDividers((PlacedDivider(front, "".join(back), ""),))
        kind = FindingKind.DIVIDER_UNREAD
        yield Finding(kind, sides, position, detail, remedy, (fix,), ask=True)


def _together(arrangement: Arrangement, looks: set[str]) -> Iterator[tuple[str, ...]]:
    """Such scans, two of one divider together: one after the other, else of one card."""
    order = feeding_order(arrangement.scans) if looks else []
    left = dict.fromkeys(scan for scan in order if scan in looks)
    while left:
        scan = next(iter(left))
        behind = order[order.index(scan) + 1 :][:1] if arrangement.sides in ALTERNATING else ()
        pair = arrangement.card_with(scan)
        assert pair is not None
        others = (one for one in (*behind, *pair.scans) if one in left and one != scan)
        sides = (scan, *list(others)[:1])
        for one in sides:
            del left[one]
        yield sides


def _named(placed: PlacedDivider) -> str:
    return " and ".join(map(named, placed.scans))


def _are(placed: PlacedDivider) -> str:
    return "are" if len(placed.scans) > 1 else "is"


def asked_where_tagged(lot: LotView, findings: Sequence[Finding]) -> list[Finding]:
    """The findings, in which a divider that came among cards that are tagged already is a question:
    it changes none of their tags."""
    return [
        _asked(lot, one) if one.kind is FindingKind.DIVIDER and not one.ask else one
        for one in findings
    ]


def _asked(lot: LotView, finding: Finding) -> Finding:
    (fix,) = finding.fixes
    assert isinstance(fix, LeaveOutDividers)
    (placed,) = fix.dividers
    tagged = list(_tagged_behind(lot, placed))
    if not tagged:
        return finding
    first, last = min(tagged), max(tagged)
    cards = f"card {first} is" if first == last else f"cards {first} to {last} are"
    return replace(
        finding,
        detail=f"{finding.detail}, and behind it {cards} tagged already",
        remedy=(
            "Skip it: tags stay as they are, and it holds for the cards behind it without "
            "tags. Check those that are tagged."
        ),
        ask=True,
    )


def _tagged_behind(lot: LotView, placed: PlacedDivider) -> Iterator[int]:
    """The tagged cards between a divider that lies among the cards and the next one."""
    fixes = lot.arrangement.mending
    with_it = replace(lot.arrangement, mending=replace(fixes, dividers=(*fixes.dividers, placed)))
    groups = groups_of(with_it)
    first = groups.before[groups.index_of(placed.key)]
    group = groups.group_of(first)
    for position in range(group.first, group.last + 1):
        if lot.card_at(position).mark.state is State.TAGGED:
            yield position


def aside_findings(arrangement: Arrangement) -> Iterator[Finding]:
    """The cards behind `set aside from here`, each group as one question."""
    for group in groups_of(arrangement):
        if group.divider is None or not group.cards:
            continue
        if divider_on(group.divider).kind is not DividerKind.ASIDE:
            continue
        scans = [
            scan for pair in arrangement.pairs[group.first - 1 : group.last] for scan in pair.scans
        ]
        yield Finding(
            FindingKind.DIVIDER_ASIDE, tuple(scans), group.first,
            f"cards {group.first} to {group.last} lie behind the divider {told_group(group)}",
            "Set them aside.", aside=str(DividerKind.ASIDE),
        )  # fmt: skip
