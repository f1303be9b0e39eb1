"""The groups of a tray: the cards between one divider and the next.

A divider is known by its scans, which lie in the folder in feeding order among those of the
cards."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.feeding.order import feeding_key, scanner_run

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tagger.core.model.arrangement import Arrangement, Fixes, PlacedDivider


def run_of(dividers: Iterable[PlacedDivider]) -> Callable[[str], object]:
    """What the scans have in common that may share a card: the run of the scanner, and the group
    between two dividers."""
    keys = sorted(map(_key, dividers))
    if not keys:
        return scanner_run
    return lambda scan: (scanner_run(scan), bisect_right(keys, feeding_key(scan)))


def _key(divider: PlacedDivider) -> tuple[object, ...]:
    return min(map(feeding_key, divider.scans))


class Group(NamedTuple):
    """The cards behind a divider (None: before the first one): their first position and their
    last, which is one less where there are none."""

    divider: PlacedDivider | None
    first: int
    last: int

    @property
    def cards(self) -> int:
        """How many there are."""
        return self.last - self.first + 1


@dataclass(frozen=True)
class Groups:
    """Where the dividers of a lot stand: before the cards at these positions (from 1; one past the
    last card: behind all)."""

    dividers: Sequence[PlacedDivider]
    before: Sequence[int]
    cards: int

    def index_at(self, position: int) -> int:
        """The index of the last divider before a card; -1 where it is before all of them."""
        return bisect_right(self.before, position) - 1

    def index_of(self, key: str) -> int:
        """The index of the divider with this scan; -1 where there is none."""
        return next((at for at, one in enumerate(self.dividers) if one.key == key), -1)

    def group_of(self, position: int) -> Group:
        """The group that a card is in."""
        return self._group(self.index_at(position) + 1)

    def __iter__(self) -> Iterator[Group]:
        """All groups in order, that before the first divider too."""
        return map(self._group, range(len(self.dividers) + 1))

    def _group(self, index: int) -> Group:
        first = self.before[index - 1] if index else 1
        past = self.before[index] if index < len(self.before) else self.cards + 1
        return Group(self.dividers[index - 1] if index else None, first, past - 1)


def groups_of(arrangement: Arrangement) -> Groups:
    """The groups of a lot."""
    cards = len(arrangement.pairs)
    dividers = sorted(arrangement.mending.dividers, key=_key)
    if not dividers:
        return Groups((), (), cards)
    # a card without a scan, as another hand may have written one, lies before them all
    keys = [min(map(feeding_key, pair.scans), default=()) for pair in arrangement.pairs]
    places = [_place(keys, _key(divider)) for divider in dividers]
    # a divider that was fed after another one stands behind it
    before = [max(places[: at + 1]) + 1 for at in range(len(places))]
    return Groups(dividers, before, cards)


def restored_since(before: Fixes, now: Arrangement) -> Fixes:
    """The fixes of a lot in which a change was undone or done again, `before` those until then:
    the dividers that it put on cards are restored, and what was restored stays so."""
    fixes = now.mending
    if not (before.dividers or before.restored):
        return fixes
    # Seen by what the change left: undo says which cards there are, and not what became of a
    # divider.
    gone = {scan for one in before.dividers for scan in one.scans if now.card_with(scan)}
    skipped = {scan for one in fixes.dividers for scan in one.scans}
    restored = tuple(sorted({*before.restored, *gone} - skipped))
    return replace(fixes, restored=restored)


def _place(keys: Sequence[tuple[object, ...]], key: tuple[object, ...]) -> int:
    """How many cards lie before a divider: so many that the fewest are on the wrong side by their
    names. A card that was scanned again under a later name stays in its group."""
    wrong = sum(one < key for one in keys)  # with all cards behind it
    best, place = wrong, 0
    # One pass over running counts: with each card that goes before the divider one place is put
    # right or wrong.
    for at, one in enumerate(keys, start=1):
        wrong += 1 if one > key else -1
        if wrong < best:
            best, place = wrong, at
    return place
