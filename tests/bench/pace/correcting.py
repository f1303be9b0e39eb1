"""How the typist goes back to a card and corrects one field of it:

1. PgUp. The word that names the new value is typed, letter by letter; a place behind `at=`, a note
   behind `not=`, and without a checklist a parallel behind `pa=`. Where the line shows behind the
   cursor that → adds all that is left of a place or note: →.
2. As soon as the panel says that this change and no other is made of this card, Enter. Another
   number is typed as at any card: Enter is pressed where it accepts the card to the last field.
"""

from __future__ import annotations

from bench.pace.lots import Card
from bench.pace.screen import Seen

SPOKEN = {"serial": "serial number"}
OF_THE_COPY = ("parallel", "serial", "condition", "place", "note")


def expected(card: Card, first: Card) -> tuple[str, ...]:
    """What the panel says of the changes that make the one of the other."""
    told = []
    for name in OF_THE_COPY:
        was, new = getattr(first, name), getattr(card, name)
        if was != new:
            none = "base" if name == "parallel" else "none"
            told.append(f"{SPOKEN.get(name, name)}: {was or none} → {new or none}")
    return tuple(told)


def changes_only(seen: Seen, card: Card, first: Card) -> bool:
    """Whether Enter makes these changes and no other."""
    wanted = expected(card, first)
    return (
        seen.takes.startswith("Enter changes this card")
        and seen.takes.count("→") == len(wanted)
        and all(f" {one} " in seen.takes for one in wanted)
    )


def typed_for(card: Card, first: Card, short: dict[str, str], listed: bool) -> str:
    """What is typed for the change, at most."""
    if card.condition != first.condition:
        return short[card.condition]
    if card.serial and card.serial != first.serial:
        return card.serial
    if card.place != first.place:
        return f"at={card.place}"
    if card.note != first.note:
        return f"not={card.note}"
    named = card.parallel.casefold()
    return named if listed else f"pa={named.replace(' ', '_')}"
