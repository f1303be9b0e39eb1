"""The scans of a lot as they came through the feeder, with a hole where a side is missing, and
cards out of them again.

A scan too many or a side missing moves all scans behind it, up to the end of its stretch: the cards
that came from one run of the scanner in one side order."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from tagger.core.feeding.order import (
    Sides,
    feeding_key,
    feeding_order,
    named_side,
    pair_up,
    scanner_run,
)
from tagger.core.model.arrangement import Arrangement, SideOrder

ALTERNATING = (SideOrder.ALTERNATE, SideOrder.BACK_FIRST)
STACKS = (SideOrder.FRONTS_THEN_BACKS, SideOrder.FRONTS_THEN_BACKS_REVERSED)
SLIPPING = (*ALTERNATING, *STACKS)  # orders in which one scan too many moves others

Tokens = list[str | None]


@dataclass(frozen=True)
class Segment:
    """The cards from index `first` on, up to and without `past` (from 0), whose scans came in one
    side order."""

    first: int
    past: int
    sides: SideOrder


def stretches(arrangement: Arrangement) -> list[Segment]:
    """The stretches of a lot, in order; none of an empty lot."""
    cards = [pair[1:] for pair in arrangement.pairs]
    begins = dict(arrangement.mending.stretches)
    cuts = _run_ends(cards)
    out: list[Segment] = []
    first, sides = 0, arrangement.sides
    for at, card in enumerate(cards):
        new = next((begins[name] for name in card if name in begins), None)
        if at > first and (new is not None or (at in cuts and sides in ALTERNATING)):
            out.append(Segment(first, at, sides))
            first = at
        sides = new or sides
    return [*out, Segment(first, len(cards), sides)] if cards else []


def _run_ends(cards: Sequence[Sides]) -> set[int]:
    """Where one run of the scanner is over and another begins, as the index of the first card
    behind. A scan of another run amid the others, made later by hand, ends nothing."""
    runs = [[scanner_run(name) for name in card if name is not None] for card in cards]
    last = {run: at for at, both in enumerate(runs) for run in both}
    first = {run: at for at, both in reversed(list(enumerate(runs))) for run in both}
    ends = set()
    for at in range(1, len(runs)):
        before, after = runs[at - 1], runs[at]
        if (
            before
            and after
            and all(last[run] < at for run in before)
            and all(first[run] >= at for run in after)
        ):
            ends.add(at)
    return ends


def in_turn(cards: Sequence[Sides], sides: SideOrder) -> Tokens:
    """The scans of cards in the order in which they were fed, None where a side is missing."""
    if sides in STACKS:
        backs = [back for _, back in cards]
        # a card at the end that has no back yet is no hole in the stack
        while backs and backs[-1] is None:
            backs.pop()
        turned = sides is SideOrder.FRONTS_THEN_BACKS_REVERSED
        return [*(front for front, _ in cards), *(reversed(backs) if turned else backs)]
    back_first = sides is SideOrder.BACK_FIRST
    return [
        scan for front, back in cards for scan in ((back, front) if back_first else (front, back))
    ]


def place_in_turn(cards: Sequence[Sides], at: int, side: str, sides: SideOrder) -> int:
    """Where the `front` or `back` of the card at index `at` stands in `in_turn`."""
    back = side == "back"
    if sides in STACKS:
        if not back:
            return at
        fed = len(in_turn(cards, sides)) - len(cards)  # backs
        return len(cards) + (fed - 1 - at if sides is SideOrder.FRONTS_THEN_BACKS_REVERSED else at)
    return 2 * at + (back != (sides is SideOrder.BACK_FIRST))


def cards_from(tokens: Sequence[str | None], sides: SideOrder) -> list[Sides]:
    """Cards out of scans in turn; the last one may lack a side. A card without any scan is left
    out."""
    if sides in STACKS:
        half = (len(tokens) + 1) // 2
        fronts, backs = list(tokens[:half]), list(tokens[half:])
        if sides is SideOrder.FRONTS_THEN_BACKS_REVERSED:
            backs.reverse()
        backs += [None] * (half - len(backs))
        cards = list(zip(fronts, backs, strict=True))
    else:
        even = list(tokens)
        if len(even) % 2:
            even = even[:-1] if even[-1] is None else [*even, None]
        cards = list(zip(even[::2], even[1::2], strict=True))
        if sides is SideOrder.BACK_FIRST:
            cards = [(second, first) for first, second in cards]
    return [card for card in cards if card != (None, None)]


def fitted_in(known: Arrangement, new: Sequence[str]) -> list[Sides]:
    """The cards of a lot that was mended by hand, with scans that came later; no scan that was
    there is moved.

    A scan that sorts right behind another one fills the hole there. Whole cards are put in where
    they sort; all others come at the end, in the side order that holds there."""
    cards: list[Sides] = [pair[1:] for pair in known.pairs]
    parts = stretches(known)
    order = parts[-1].sides if parts else known.sides
    if order is SideOrder.NAMED:
        return _fitted_by_name(cards, new)
    names = feeding_order(name for card in cards for name in card if name is not None)
    keys = [feeding_key(name) for name in names]
    behind: dict[int, list[Sides]] = {}
    rest: list[str] = []
    for before, group in groupby(
        feeding_order(new), key=lambda name: bisect_left(keys, feeding_key(name))
    ):
        scans = list(group)
        at = _filled(cards, parts, names[before - 1] if before else None, scans)
        if not scans:
            continue
        if before < len(names) and at is not None and order in ALTERNATING and len(scans) % 2 == 0:
            behind[at] = pair_up(scans, order)
        else:
            rest += scans
    out: list[Sides] = list(behind.get(-1, ()))
    for at, card in enumerate(cards):
        out += [card, *behind.get(at, ())]
    return [*out, *pair_up(rest, order if order not in STACKS else SideOrder.ALTERNATE)]


def _filled(
    cards: list[Sides], parts: Sequence[Segment], after: str | None, scans: list[str]
) -> int | None:
    """Put the first of the scans into the hole behind the scan `after` (None: before all), and take
    it off the list. Returns the index of the card behind which whole cards could go, None where
    `after` has its second side behind it."""
    at = (
        next((at for at, card in enumerate(cards) if after in card), None)
        if after is not None
        else -1
    )
    if at is None:
        return None
    places = [
        (index, side)
        for part in parts
        for index in range(part.first, part.past)
        for side in ((1, 0) if part.sides is SideOrder.BACK_FIRST else (0, 1))
    ]
    here = places.index((at, cards[at].index(after))) if at >= 0 else -1
    card, side = places[here + 1] if here + 1 < len(places) else (-1, 0)
    alike = after is None or scanner_run(scans[0]) == scanner_run(after)
    if (
        card >= 0
        and cards[card][side] is None
        and alike
        and parts[0].sides is not SideOrder.FRONT_ONLY
    ):
        filled = list(cards[card])
        filled[side] = scans.pop(0)
        cards[card] = (filled[0], filled[1])
        here, at = here + 1, card
    return at if here < 0 or here + 1 >= len(places) or places[here + 1][0] != at else None


def _fitted_by_name(cards: list[Sides], new: Sequence[str]) -> list[Sides]:
    rest: list[str] = []
    for name in feeding_order(new):
        said = named_side(name)
        for at, (front, back) in enumerate(cards):
            other = front or back
            if said is not None and other is not None and None in (front, back):
                there = named_side(other)
                if (
                    there is not None
                    and there[0] == said[0]
                    and (front is None) == (said[1] == "front")
                ):
                    cards[at] = (name, back) if front is None else (front, name)
                    break
        else:
            rest.append(name)
    return [*cards, *pair_up(rest, SideOrder.NAMED)]
