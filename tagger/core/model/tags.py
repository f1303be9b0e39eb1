"""What is said of a card: the checklist row that it is, its tags, and the dealer's mark."""

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
    """One line of a checklist: a card that exists. `extra` holds the further columns as (name,
    value); `alias` is another way to write the subject, in Latin letters, say, for a name in its
    own script."""

    set: str
    number: str
    subject: str
    team: str = ""
    parallels: tuple[Parallel, ...] = ()
    extra: tuple[tuple[str, str], ...] = ()
    alias: str = ""


@dataclass(frozen=True, slots=True)
class Tags:
    """What a card was named as. Empty text means not known or not given; an empty parallel is the
    base card."""

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
        head = " ".join(
            part for part in (f"#{self.number}" if self.number else "", self.subject) if part
        )
        kind = " ".join(part for part in (self.parallel or "base", self.serial) if part)
        return ", ".join(
            part for part in (head, kind, self.condition, "" if self.listed else "unlisted") if part
        )


@dataclass(frozen=True, slots=True)
class Mark:
    """The dealer's word on one card: its state, its tags, why it was set aside, and how it left its
    place: `gone` is `sold` or `pulled`, empty while the card is there. `unsure`: it was taken while
    the reading was; `confirmed`: it was looked at a second time and left so."""

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


class Marking(NamedTuple):
    """One card's mark before and after a change."""

    id: int
    before: Mark
    after: Mark
