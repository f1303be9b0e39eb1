"""What is said of a card: the checklist row that it is, its tags, and the dealer's mark."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import lru_cache
from typing import Any, NamedTuple

from tagger.core.model.column_names import SERIES
from tagger.core.model.text import fold
from tagger.core.model.trade import (
    IN_STOCK,
    LISTED,
    NO_TRADE,
    PULLED,
    RESERVED,
    SOLD,
    STATES,
    Trade,
)

BASE = "base"  # what the plain card is called where a parallel could stand

Extra = tuple[tuple[str, str], ...]  # a checklist's further columns: name, value


@lru_cache(4096)  # asked for every parallel of every kind of card that a hint comes to
def is_base(parallel: str) -> bool:
    """Whether the name of a parallel means the plain card: it is empty, or `base` in any case."""
    return fold(parallel) in ("", BASE)


def kept_parallel(parallel: str) -> str:
    """The name of a parallel as tags keep it: empty for the plain card."""
    if is_base(parallel):
        return ""
    return parallel


def parallel_key(parallel: str) -> str:
    """The name of a parallel as it is compared: folded, empty for the plain card."""
    return fold(kept_parallel(parallel))


# What parallels are mostly called (common practice, no source). Right before a serial number, no
# list is needed to know them.
COLOURS = frozenset((
    "gold", "silver", "bronze", "copper", "platinum", "black", "white", "red", "blue", "green",
    "orange", "purple", "pink", "yellow", "brown", "grey", "gray", "teal", "aqua", "violet",
    "foil", "holo", "rainbow",
))  # fmt: skip


def is_colour_of(typed: str, word: str) -> bool:
    """Whether a folded word is a colour typed in full, and another one goes on longer: `red` is
    then no slip of the finger in Reverse or Reef."""
    return typed in COLOURS and len(word) > len(typed)


class State(StrEnum):
    """How far a card is."""

    UNTAGGED = "untagged"
    TAGGED = "tagged"
    SET_ASIDE = "set aside"


STANDINGS = (*map(str, State), *(state for state in STATES if state != IN_STOCK))


class Parallel(NamedTuple):
    """A variant of a card. `run` is its print run, None where the cards are not numbered."""

    name: str
    run: int | None = None


def listed_parallel(parallels: Iterable[Parallel], name: str) -> Parallel | None:
    """A parallel of a card as its list has it, spelled in any case, None where it lists none such.
    The plain card has an entry where the list gives it a print run of its own (`Base /199`)."""
    same = [one for one in parallels if parallel_key(one.name) == parallel_key(name)]
    # a list may tell two of them apart by their case alone
    return next((one for one in same if one.name == name), next(iter(same), None))


class Row(NamedTuple):
    """One line of a checklist: a card that exists. `extra` holds the further columns as (name,
    value); `alias` is another way to write the subject, in Latin letters, say, for a name in its
    own script."""

    set: str
    number: str
    subject: str
    team: str = ""
    parallels: tuple[Parallel, ...] = ()
    extra: Extra = ()
    alias: str = ""

    def parallel(self, name: str) -> Parallel | None:
        """A parallel of the card, None where its row does not have it; every card has its plain
        one."""
        plain = Parallel("") if is_base(name) else None
        return listed_parallel(self.parallels, name) or plain


def is_series(column: str) -> bool:
    """Whether a column is called so that it holds series."""
    return "".join(filter(str.isalnum, fold(column))) in _FOLDED


_FOLDED = frozenset(map(fold, SERIES))


@lru_cache(4096)  # cards of a series share their further columns, or few differ
def series_of(extra: Extra) -> str:
    """The series of a card by its further columns, the first where there are several; empty for
    none."""
    return next((value for column, value in extra if value and is_series(column)), "")


@dataclass(frozen=True, slots=True)
class Tags:
    """What a card was named as. Empty text means not known or not given; an empty parallel is the
    base card. `price` is the dealer's own for this copy, as it was typed; `extra` may hold the
    list's."""

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
    extra: Extra = ()
    price: str = ""

    @property
    def parallel_name(self) -> str:
        """The parallel by its name, that of the plain card as well."""
        return self.parallel or BASE

    @property
    def variant(self) -> str:
        """`Gold 12/99`, `base`: which copy of the card it is."""
        return f"{self.parallel_name} {self.serial}".rstrip()

    @property
    def series(self) -> str:
        """The series by the list's further columns, empty for the plain one."""
        return kept_parallel(series_of(self.extra))

    @property
    def title(self) -> str:
        """`#23 Ada Marsh`: number and subject, as far as they are known."""
        if not self.number:
            return self.subject.strip()
        return f"#{self.number} {self.subject}".strip()

    def saying(self, fields: Mapping[str, str]) -> Tags:
        """These tags with some other texts, by the names of their fields."""
        texts: dict[str, Any] = dict(fields)
        return replace(self, **texts)

    def names_same(self, other: Tags) -> bool:
        """Whether both are of one card of a checklist, whichever copies of it they are."""
        mine = self.set, self.number, self.subject
        return mine == (other.set, other.number, other.subject)

    def brief(self) -> str:
        """`#23 Ada Marsh, Gold 12/99, Near Mint`: one line without set and place, but with the
        series, which may have the number once more."""
        parts = [self.title, self.series, self.variant, self.condition]
        if not self.listed:
            parts.append("unlisted")
        return ", ".join(filter(None, parts))


# what is said of a card as it was printed, and what of this copy; how some of it is called
_OF_CARD = ("set", "number", "subject", "team")
_OF_COPY = ("parallel", "serial", "condition", "place", "note", "price")
_SPOKEN = {"serial": "serial number", "subject": "name"}
_NONE = {"parallel": BASE}
SPOKEN_OF_COPY = frozenset(_SPOKEN.get(field, field) for field in _OF_COPY)


def changes(before: Tags, after: Tags) -> Sequence[tuple[str, str, str]]:
    """(field, what it was, what it would be) of what a correction changes, in words."""
    return [
        (_SPOKEN.get(field, field), _said(field, before), _said(field, after))
        for field in (*_OF_CARD, *_OF_COPY)
        if getattr(before, field) != getattr(after, field)
    ]


def _said(field: str, tags: Tags) -> str:
    value: str = getattr(tags, field)
    return value or _NONE.get(field, "none")


@dataclass(frozen=True, slots=True)
class Mark:
    """The dealer's word on one card: its state, its tags, why it was set aside, and how it left its
    place: `gone` is `sold` or `pulled`, empty while the card is there. `unsure`: it was taken while
    the reading was; `confirmed`: it was looked at a second time and left so. `running` is the
    card's number in the lot (see `stock_number`), 0 before its first tag; `trade` what became of
    it."""

    state: State = State.UNTAGGED
    tags: Tags = field(default_factory=Tags)
    reason: str = ""
    gone: str = ""
    unsure: bool = False
    confirmed: bool = False
    # it is the card's, and nothing that is said of it: two marks that say the same are equal
    running: int = field(default=0, compare=False)
    trade: Trade = NO_TRADE

    @property
    def named(self) -> bool:
        """Whether its tags say which card it is: it is tagged, or was so before it was set
        aside."""
        if self.state is State.SET_ASIDE:
            return bool(self.tags.number or self.tags.subject)
        return self.state is State.TAGGED

    @property
    def stock(self) -> str:
        """What a card is to the stock: one of `trade.STATES`, empty before it is tagged."""
        if self.gone:
            return self.gone
        if self.state is not State.TAGGED:
            return ""
        if self.trade.reserved:
            return RESERVED
        return LISTED if self.trade.listed else IN_STOCK

    @property
    def in_stock(self) -> bool:
        """Whether a card counts as had: it is tagged, and was neither sold nor pulled."""
        return self.state is State.TAGGED and not self.gone

    @property
    def on_record(self) -> bool:
        """Whether it is known which card it is, so that it can be sold, counted and found by its
        number: it is tagged, was set aside with its tags, or left. Only one `in_stock` is offered
        or valued."""
        return self.named or bool(self.gone)

    @property
    def is_pulled(self) -> bool:
        """Whether a card was taken out of its place by hand, also as one that was sold."""
        return self.gone == PULLED or (self.gone == SOLD and bool(self.trade.pulled_on))

    @property
    def to_pull(self) -> bool:
        """Whether a card was sold to an order and still lies in its place."""
        return self.gone == SOLD and bool(self.trade.order) and not self.is_pulled

    @property
    def in_place(self) -> bool:
        """Whether a card lies in its place: it counts among those from the front."""
        return not self.gone or self.to_pull

    @property
    def standing(self) -> str:
        """How far a card is, or what became of it since: `tagged` is a card in stock."""
        # In stock is what nearly every card is: told by its state, it leaves the column to the
        # others.
        if self.stock in ("", IN_STOCK):
            return str(self.state)
        return self.stock

    def stands_as(self, word: str) -> bool:
        """Whether one of STANDINGS says it of the card: a card that is listed or reserved is tagged
        as well, one that was sold or pulled is that alone."""
        return word == self.standing or (word == State.TAGGED and self.in_stock)

    def lacks(self, tag: str) -> bool:
        """Whether the card has nothing there, though something is known of it: a card without any
        tags lacks everything, and is not what is looked for. No parallel is the plain card, which a
        card without number and name is not yet."""
        tags = self.tags
        if tag == "parallel":
            return is_base(tags.parallel) and bool(tags.number or tags.subject)
        return self.state is not State.UNTAGGED and not getattr(tags, tag)

    def brief(self) -> str:
        """The mark in a few words."""
        if self.gone:
            return f"{replace(self, gone='').brief()}, {self.gone}"
        if self.state is State.TAGGED:
            return self.tags.brief()
        if self.state is State.SET_ASIDE:
            return ": ".join(filter(None, ("set aside", self.reason)))
        return "untagged"


def mark_changes(before: Mark, after: Mark) -> Sequence[tuple[str, str, str]]:
    """(field, what it was, what it would be) of what becomes of a card that has tags: one that was
    set aside is tagged again with it."""
    changed = changes(before.tags, after.tags)
    if before.state is after.state:
        return changed
    return [("state", _standing(before), _standing(after)), *changed]


def _standing(mark: Mark) -> str:
    return mark.brief() if mark.state is State.SET_ASIDE else str(mark.state)


class Marking(NamedTuple):
    """One card's mark before and after a change."""

    id: int
    before: Mark
    after: Mark
