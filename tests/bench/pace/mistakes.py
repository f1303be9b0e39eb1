"""What is corrected: in every twelfth card one field is wrong at first, or seen only later. Each
field in its turn; what is drawn here is our own estimate of what dealers correct, no source."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import replace

from support.drawn import Truth

from bench.pace.lots import PARALLELS, USUAL, WORSE, Card, Lot, checklists

EVERY = 12  # cards, one of which is corrected
FIELDS = ("condition", "parallel", "serial", "note", "place", "number")
NOTES, PLACES = ("crease", "soft corner", "wax stain"), ("box 2", "box 3, row 1", "shelf 4")
BESIDE = (1, -1, 2, -2)

Rows = Mapping[str, Truth]  # of one set, by number


def with_mistakes(lots: Sequence[Lot], seed: int) -> list[Lot]:
    """The lots, each with another field as the first one."""
    sets = {rows[0].set: {row.number: row for row in rows} for rows in checklists()}
    return [
        replace(lot, cards=_in_cards(lot, sets, turn, random.Random(f"mistakes {lot.name} {seed}")))
        for turn, lot in enumerate(lots)
    ]


def _in_cards(
    lot: Lot, sets: Mapping[str, Rows], turn: int, rng: random.Random
) -> tuple[Card, ...]:
    cards = list(lot.cards)
    for count, at in enumerate(range(EVERY - 1, len(cards), EVERY), start=turn):
        card, field = cards[at], FIELDS[count % len(FIELDS)]
        if field == "number":
            cards[at] = replace(card, first=_misread(card, sets.get(card.set), rng))
        else:
            cards[at] = replace(_seen_later(card, field, rng, lot.listed), first=card)
    return tuple(cards)


def _misread(card: Card, rows: Rows | None, rng: random.Random) -> Card:
    """The card under a number beside its own; where there is a checklist, with the name there."""
    beside = [str(int(card.number) + step) for step in BESIDE if int(card.number) + step > 0]
    if rows is None:
        return replace(card, number=rng.choice(beside))
    row = rows[rng.choice([number for number in beside if number in rows])]
    return replace(card, number=row.number, subject=row.subject)


def _seen_later(card: Card, field: str, rng: random.Random, listed: bool) -> Card:
    """The card with what was overlooked on it, or is said of it only later."""
    if field == "condition":
        others = [name for name in (USUAL, *WORSE) if name != card.condition]
        return replace(card, condition=rng.choice(others))
    if field == "note":
        return replace(card, note=rng.choice(NOTES))
    if field == "place":
        return replace(card, place=rng.choice(PLACES))
    if field == "parallel":
        plain = [name for name, run in PARALLELS if not run and name != card.parallel]
        return replace(card, parallel=rng.choice(plain), serial="")
    runs = {name: run for name, run in PARALLELS if run}
    name = card.parallel
    if name not in runs:
        name = rng.choice(list(runs))
    serials = [f"{at}/{runs[name]}" for at in range(1, runs[name] + 1)]
    serial = rng.choice([one for one in serials if one != card.serial])
    # without a checklist no print run names a parallel
    return replace(card, parallel=name if listed else card.parallel, serial=serial)
