"""What is carried for the next cards, and where the dealer is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import NamedTuple

# Their order is that in which they are told. A serial number is not among them: it is of one copy
# alone.
CARRIED_FIELDS = ("set", "parallel", "condition", "place", "note", "price")

Pairs = tuple[tuple[str, str], ...]
"""Values by the names of their fields, in the order in which they were set."""


# of what is carried, what a card that is set aside keeps until it is tagged
KEPT_ASIDE = ("place", "condition")


class CarriedRun(NamedTuple):
    """Tags that were carried for so many cards only. `left`: cards still to come; `fields`: those
    of CARRIED_FIELDS that go back at its end; `before`: all pairs as they were carried before
    it."""

    left: int
    fields: tuple[str, ...]
    before: Pairs = ()


@dataclass(frozen=True, slots=True)
class Carried:
    """Tags that stay in force for the next cards, in the order in which they were set (newest
    last). `divider`: the scan of the divider whose fields were carried last, empty before any."""

    pairs: Pairs = ()
    stretch: CarriedRun | None = None
    divider: str = ""

    def get(self, name: str) -> str:
        """The carried value of one of CARRIED_FIELDS, empty where none is carried."""
        return next((value for key, value in self.pairs if key == name), "")

    def put(self, name: str, value: str) -> Carried:
        """Carry `value` from now on; an empty value drops the field. An unchanged value keeps its
        place."""
        if self.get(name) == value:
            return self
        # what is set anew goes last, so that `newest` is what an empty F6 drops
        kept = tuple(pair for pair in self.pairs if pair[0] != name)
        new = ((name, value),) if value else ()
        return Carried((*kept, *new), self.stretch, self.divider)

    def renamed(self, name: str, called: Callable[[str], str | None]) -> Carried:
        """The same with another word for the value of a field, also where a stretch that is over
        brings it back; `called` gives None where it stays."""
        after = replace(self, pairs=_renamed(self.pairs, name, called))
        if self.stretch is None:
            return after
        before = _renamed(self.stretch.before, name, called)
        return replace(after, stretch=self.stretch._replace(before=before))

    def newest(self) -> str:
        """The field that was set last, the set itself left out; empty where there is none."""
        return next((key for key, _ in reversed(self.pairs) if key != "set"), "")


def _renamed(pairs: Pairs, name: str, called: Callable[[str], str | None]) -> Pairs:
    return tuple(
        (field, (called(value) or value) if field == name else value) for field, value in pairs
    )


@dataclass(frozen=True, slots=True)
class Cursor:
    """What lies on the table: the card in front of the dealer (from 1; one past the last card is
    the end) and what is carried."""

    position: int = 1
    carried: Carried = field(default_factory=Carried)
