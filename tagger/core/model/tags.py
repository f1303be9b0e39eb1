"""The values the whole program speaks in: parallels, tags, cards, what is carried, and a change to a lot."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import NamedTuple


class State(StrEnum):
    """How far a card is."""

    UNTAGGED = "untagged"
    TAGGED = "tagged"
    SET_ASIDE = "set aside"


class Parallel(NamedTuple):
    """A variant of a card. `run` is its print run, None where the cards are not numbered."""

    name: str
    run: int | None = None


class Row(NamedTuple):
    """One line of a checklist: a card that exists. `extra` holds the further columns as (name, value); `alias` is
    another way to write the subject, in Latin letters, say, for a name in its own script."""

    set: str
    number: str
    subject: str
    team: str = ""
    parallels: tuple[Parallel, ...] = ()
    extra: tuple[tuple[str, str], ...] = ()
    alias: str = ""


@dataclass(frozen=True, slots=True)
class Tags:
    """What a card was named as. Empty text means not known or not given; an empty parallel is the base card."""

    set: str = ""
    number: str = ""
    subject: str = ""
    team: str = ""
    parallel: str = ""
    serial: str = ""
    condition: str = ""
    place: str = ""
    note: str = ""
    listed: bool = True
    extra: tuple[tuple[str, str], ...] = ()

    def brief(self) -> str:
        """`#23 Ada Marsh, Gold 12/99, Near Mint`: one line without set and place."""
        head = " ".join(part for part in (f"#{self.number}" if self.number else "", self.subject) if part)
        kind = " ".join(part for part in (self.parallel or "base", self.serial) if part)
        return ", ".join(part for part in (head, kind, self.condition, "" if self.listed else "unlisted") if part)


@dataclass(frozen=True, slots=True)
class Mark:
    """The dealer's word on one card: its state, its tags, why it was set aside, and how it left its place: `gone` is
    `sold` or `pulled`, empty while the card is there. `unsure`: it was taken while the reading was; `confirmed`: it was
    looked at a second time and left so."""

    state: State = State.UNTAGGED
    tags: Tags = field(default_factory=Tags)
    reason: str = ""
    gone: str = ""
    unsure: bool = False
    confirmed: bool = False

    def brief(self) -> str:
        """The mark in a few words."""
        if self.gone:
            return f"{replace(self, gone='').brief()}, {self.gone}"
        if self.state is State.TAGGED:
            return self.tags.brief()
        if self.state is State.SET_ASIDE:
            return f"set aside: {self.reason}" if self.reason else "set aside"
        return "untagged"


@dataclass(frozen=True, slots=True)
class Card:
    """One physical card: scan names of its sides (None where a side is missing) and its mark."""

    id: int
    front: str | None
    back: str | None
    mark: Mark = field(default_factory=Mark)


CARRIED_FIELDS = ("set", "parallel", "condition", "place", "note")


class Stretch(NamedTuple):
    """Tags that were carried for so many cards only. `left`: cards still to come; `fields`: those of CARRIED_FIELDS
    that go back at its end; `before`: all pairs as they were carried before it."""

    left: int
    fields: tuple[str, ...]
    before: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Carried:
    """Tags that stay in force for the next cards, in the order in which they were set (newest last)."""

    pairs: tuple[tuple[str, str], ...] = ()
    stretch: Stretch | None = None

    def get(self, name: str) -> str:
        """The carried value of one of CARRIED_FIELDS, empty where none is carried."""
        return next((value for key, value in self.pairs if key == name), "")

    def put(self, name: str, value: str) -> Carried:
        """Carry `value` from now on; an empty value drops the field. An unchanged value keeps its place."""
        if self.get(name) == value:
            return self
        kept = tuple(pair for pair in self.pairs if pair[0] != name)
        return Carried((*kept, (name, value)) if value else kept, self.stretch)

    def newest(self) -> str:
        """The field that was set last, the set itself left out; empty where there is none."""
        return next((key for key, _ in reversed(self.pairs) if key != "set"), "")


class SideOrder(StrEnum):
    """Which scan shows which side of which card."""

    ALTERNATE = "front, back"
    BACK_FIRST = "back, front"
    FRONT_ONLY = "fronts only"
    NAMED = "by name"
    FRONTS_THEN_BACKS = "all fronts, then all backs"
    FRONTS_THEN_BACKS_REVERSED = "all fronts, then all backs in reverse"


class Pair(NamedTuple):
    """A card's place in an arrangement: its identity and its two scans."""

    id: int
    front: str | None
    back: str | None


@dataclass(frozen=True, slots=True)
class Mending:
    """What the dealer put right without touching a scan.

    `left_out`: scans that are no side of a card (one too many, a sheet that was split). `turns`: by how many degrees
    clockwise a scan is turned to be seen upright, 90, 180 or 270. `stretches`: from the card of this scan on another
    side order holds. `levels`: sets whose dark scans are brightened, `*` for the whole lot. `accepted`: findings that
    the dealer found in order. `joined`: folders beside the lot's own whose scans belong to it, `../box13`. `held`: the
    cards are as the dealer made them, and not only as the side order makes them.
    """

    left_out: tuple[str, ...] = ()
    turns: tuple[tuple[str, int], ...] = ()
    stretches: tuple[tuple[str, SideOrder], ...] = ()
    levels: tuple[str, ...] = ()
    accepted: tuple[str, ...] = ()
    joined: tuple[str, ...] = ()
    held: bool = False


@dataclass(frozen=True, slots=True)
class Arrangement:
    """Which scans make which card, in feeding order, the rule that made it so, and what was put right by hand."""

    sides: SideOrder = SideOrder.ALTERNATE
    pairs: tuple[Pair, ...] = ()
    mending: Mending = field(default_factory=Mending)


@dataclass(frozen=True, slots=True)
class Desk:
    """What lies on the table: the card in front of the dealer (from 1; one past the last card is the end) and what
    is carried."""

    position: int = 1
    carried: Carried = field(default_factory=Carried)


class Marking(NamedTuple):
    """One card's mark before and after a change."""

    id: int
    before: Mark
    after: Mark


@dataclass(frozen=True, slots=True)
class Effect:
    """What becomes of a lot: the desk, new marks by the cards' identities, and a new arrangement if there is one."""

    desk: Desk
    marks: tuple[tuple[int, Mark], ...] = ()
    arrangement: Arrangement | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """One undoable step: marks, the desk before and after, and the arrangement where that changed too."""

    label: str
    at: float
    before: Desk
    after: Desk
    marks: tuple[Marking, ...] = ()
    arrangement: tuple[Arrangement, Arrangement] | None = None

    def forward(self) -> Effect:
        """What doing it makes of the lot."""
        arrangement = self.arrangement[1] if self.arrangement else None
        return Effect(self.after, tuple((m.id, m.after) for m in self.marks), arrangement)

    def backward(self) -> Effect:
        """What taking it back makes of the lot."""
        arrangement = self.arrangement[0] if self.arrangement else None
        return Effect(self.before, tuple((m.id, m.before) for m in reversed(self.marks)), arrangement)
