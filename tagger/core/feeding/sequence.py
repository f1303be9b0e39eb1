"""The scans of a lot as they came through the feeder, with a hole where a side is missing, and
cards out of them again.

A scan too many or a side missing moves all scans behind it, up to the end of its segment: the cards
that came from one run of the scanner in one side order."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.feeding.groups import run_of
from tagger.core.feeding.order import (
    Sides,
    feeding_key,
    feeding_order,
    named_side,
    pair_up,
)
from tagger.core.feeding.scan_sides import SIDES, card_with_side, other_side, scan_on
from tagger.core.model.side_order import SideOrder

if TYPE_CHECKING:
    from tagger.core.model.arrangement import Arrangement

BACK_FIRST = SIDES[::-1]
ALTERNATING = (SideOrder.ALTERNATE, SideOrder.BACK_FIRST)
STACKS = (SideOrder.FRONTS_THEN_BACKS, SideOrder.FRONTS_THEN_BACKS_REVERSED)
SLIPPING = (*ALTERNATING, *STACKS)  # orders in which one scan too many moves others

Tokens = list[str | None]


class Segment(NamedTuple):
    """The cards from index `first` on, up to and without `past` (from 0), whose scans came in one
    side order."""

    first: int
    past: int
    sides: SideOrder


def segments(arrangement: Arrangement) -> list[Segment]:
    """The segments of a lot, in order; none of an empty lot."""
    cards = [pair.sides for pair in arrangement.pairs]
    begins = dict(arrangement.mending.stretches)
    ends = _run_ends(cards, run_of(arrangement.mending.dividers))
    out: list[Segment] = []
    first, sides = 0, arrangement.sides
    for at, card in enumerate(cards):
        new = _beginning(card, begins)
        # By name, or in stacks, scans of several runs make one sequence: no scan slips at its end.
        ended = new is not None or (at in ends and sides in ALTERNATING)
        if ended and at > first:
            out.append(Segment(first, at, sides))
            first = at
        sides = new or sides
    if cards:
        out.append(Segment(first, len(cards), sides))
    return out


def _beginning(card: Sides, begins: Mapping[str, SideOrder]) -> SideOrder | None:
    """The side order that begins at a card, None where none does."""
    return next((begins[scan] for scan in filter(None, card) if scan in begins), None)


def _run_ends(cards: Sequence[Sides], run: Callable[[str], object]) -> set[int]:
    """Where one run of the scanner, or one group between two dividers, is over and another begins,
    as the index of the first card behind. A scan of another run amid the others, made later by
    hand, ends nothing."""
    runs = [[run(scan) for scan in card if scan is not None] for card in cards]
    first, last = _first_and_last(runs)

    def ends(at: int) -> bool:
        before, after = runs[at - 1], runs[at]
        if not before or not after:
            return False
        return max(last[run] for run in before) < at <= min(first[run] for run in after)

    return set(filter(ends, range(1, len(runs))))


def _first_and_last(
    runs: Sequence[Sequence[object]],
) -> tuple[dict[object, int], dict[object, int]]:
    """The index of the first card with a scan of each run of the scanner, and of the last one."""
    # Written from behind the earlier places stay, written from the front the later ones do.
    first = {run: at for at, both in reversed(list(enumerate(runs))) for run in both}
    last = {run: at for at, both in enumerate(runs) for run in both}
    return first, last


def in_turn(cards: Sequence[Sides], sides: SideOrder) -> Tokens:
    """The scans of cards in the order in which they were fed, None where a side is missing."""
    if sides in STACKS:
        return _stacks_in_turn(cards, sides)
    if sides is SideOrder.BACK_FIRST:
        cards = [(back, front) for front, back in cards]
    return [scan for card in cards for scan in card]


def _stacks_in_turn(cards: Sequence[Sides], sides: SideOrder) -> Tokens:
    fronts = [front for front, _ in cards]
    backs = [back for _, back in cards]
    # a card at the end that has no back yet is no hole in the stack
    while backs and backs[-1] is None:
        backs.pop()
    if sides is SideOrder.FRONTS_THEN_BACKS_REVERSED:
        backs.reverse()
    return fronts + backs


def place_in_turn(cards: Sequence[Sides], at: int, side: str, sides: SideOrder) -> int:
    """Where the `front` or `back` of the card at index `at` stands in `in_turn`."""
    back = side == "back"
    if sides not in STACKS:
        return 2 * at + (back != (sides is SideOrder.BACK_FIRST))
    if not back:
        return at
    if sides is SideOrder.FRONTS_THEN_BACKS:
        return len(cards) + at
    # of a reversed stack the last back that is there was fed first
    return len(in_turn(cards, sides)) - 1 - at


def cards_from(tokens: Sequence[str | None], sides: SideOrder) -> list[Sides]:
    """Cards out of scans in turn; the last one may lack a side. A card without any scan is left
    out."""
    cards = _cards_from_stacks(tokens, sides) if sides in STACKS else _cards_in_turn(tokens, sides)
    # Two holes beside each other are a card of which nothing was scanned.
    return [card for card in cards if card != (None, None)]


def _cards_from_stacks(tokens: Sequence[str | None], sides: SideOrder) -> list[Sides]:
    half = (len(tokens) + 1) // 2
    fronts, backs = list(tokens[:half]), list(tokens[half:])
    if sides is SideOrder.FRONTS_THEN_BACKS_REVERSED:
        backs.reverse()
    backs += [None] * (half - len(backs))
    return list(zip(fronts, backs, strict=True))


def _cards_in_turn(tokens: Sequence[str | None], sides: SideOrder) -> list[Sides]:
    even = list(tokens)
    # A hole at the very end is no card, and a scan there waits for its other side.
    if len(even) % 2:
        even = even[:-1] if even[-1] is None else [*even, None]
    cards = list(zip(even[::2], even[1::2], strict=True))
    if sides is SideOrder.BACK_FIRST:
        return [(second, first) for first, second in cards]
    return cards


def fitted_in(known: Arrangement, new: Sequence[str]) -> list[Sides]:
    """The cards of a lot that was fixed by hand, with scans that came later; no scan that was
    there is moved.

    A scan that sorts right behind another one fills the hole there. Whole cards are put in where
    they sort; all others come at the end, in the side order that holds there."""
    parts = segments(known)
    order = parts[-1].sides if parts else known.sides
    cards = [pair.sides for pair in known.pairs]
    # A name says which card a scan is of, so its place in the folder says nothing.
    if order is SideOrder.NAMED:
        return _fitted_by_name(cards, new)
    holes = _Holes(cards, parts, run_of(known.mending.dividers))
    return _fitted_in_turn(holes, order, feeding_order(known.scans), new)


def _fitted_in_turn(
    holes: _Holes, order: SideOrder, names: Sequence[str], new: Sequence[str]
) -> list[Sides]:
    """The cards with their holes filled and others put in. `names` are the scans that were there,
    in feeding order, `order` is the side order that holds at the end."""
    behind: dict[int, list[Sides]] = {}
    rest: list[str] = []
    for before, scans in _gathered(names, new):
        after = names[before - 1] if before else None
        at = holes.fill(after, scans)
        if at is not None and _are_whole_cards(scans, order) and before < len(names):
            behind[at] = pair_up(scans, order, holes.run)
        else:
            rest += scans
    # Where a stack of backs begins depends on how many scans there are, so that none can join it
    # without moving others: what comes later is read in turn.
    at_end = SideOrder.ALTERNATE if order in STACKS else order
    return [*_inserted(holes.cards, behind), *pair_up(rest, at_end, holes.run)]


def _are_whole_cards(scans: Sequence[str], order: SideOrder) -> bool:
    """Whether scans can stand amid others as cards of their own."""
    # Half a card amid the others would look like a slip.
    return order in ALTERNATING and len(scans) % 2 == 0


def _gathered(names: Sequence[str], new: Iterable[str]) -> Iterator[tuple[int, list[str]]]:
    """The new scans that sort between the same two of the ordered names, with how many of these
    are before them."""
    keys = [feeding_key(name) for name in names]
    for before, group in groupby(
        feeding_order(new), key=lambda name: bisect_left(keys, feeding_key(name))
    ):
        yield before, list(group)


def _inserted(cards: Sequence[Sides], behind: Mapping[int, Sequence[Sides]]) -> Iterator[Sides]:
    """The cards, with further ones behind those at some indexes (-1: before all)."""
    yield from behind.get(-1, ())
    for at, card in enumerate(cards):
        yield card
        yield from behind.get(at, ())


def _fed(parts: Iterable[Segment]) -> Iterator[tuple[int, str]]:
    """(index, side) of all sides in the order in which they were fed."""
    for part in parts:
        sides = BACK_FIRST if part.sides is SideOrder.BACK_FIRST else SIDES
        yield from ((index, side) for index in range(part.first, part.past) for side in sides)


class _Holes:
    """Cards whose missing sides are filled with scans that came later."""

    def __init__(
        self, cards: list[Sides], parts: Sequence[Segment], run: Callable[[str], object]
    ) -> None:
        self.cards, self.run = cards, run
        # A lot of fronts lacks all its backs, and waits for none.
        self._fillable = bool(parts) and parts[0].sides is not SideOrder.FRONT_ONLY
        self._places = list(_fed(parts))
        self._at = {
            scan_on(cards[index], side): at for at, (index, side) in enumerate(self._places)
        }

    def fill(self, after: str | None, scans: list[str]) -> int | None:
        """Put the first of the scans into the hole behind the scan `after` (None: before all), and
        take it off the list. Returns the index of the card behind which whole cards could go, None
        where `after` has its second side behind it."""
        at = -1 if after is None else self._at[after]
        same_run = after is None or self.run(scans[0]) == self.run(after)
        if same_run and self._is_hole(at + 1):
            at += 1
            index, side = self._places[at]
            self.cards[index] = card_with_side(self.cards[index], side, scans.pop(0))
        return self._card_ended(at)

    def _is_hole(self, at: int) -> bool:
        if not self._fillable or at >= len(self._places):
            return False
        index, side = self._places[at]
        return scan_on(self.cards[index], side) is None

    def _card_ended(self, at: int) -> int | None:
        """The index of the card that is over with a place, -1 before all; None where it goes on."""
        if at < 0:
            return -1
        index = self._places[at][0]
        goes_on = at + 1 < len(self._places) and self._places[at + 1][0] == index
        return None if goes_on else index


def _fitted_by_name(cards: list[Sides], new: Sequence[str]) -> list[Sides]:
    """Each scan on the card that waits for it by its name; all others are cards of their own."""
    rest: list[str] = []
    for scan in feeding_order(new):
        named = named_side(scan)
        at = next((at for at, card in enumerate(cards) if named and _waits_for(card, *named)), None)
        if at is None or named is None:
            rest.append(scan)
        else:
            cards[at] = card_with_side(cards[at], named[1], scan)
    return [*cards, *pair_up(rest, SideOrder.NAMED)]


def _waits_for(card: Sides, stem: str, side: str) -> bool:
    """Whether a card has the other side of that name, and lacks this one."""
    other = scan_on(card, other_side(side))
    # One that has both sides waits for nothing, and one without any has no name.
    if other is None or scan_on(card, side) is not None:
        return False
    named = named_side(other)
    return named is not None and named[0] == stem
