"""One change to many cards: what it would do, in numbers, and then the doing, as one undoable
step."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from tagger.core.index.index import Index
from tagger.core.lot.fields import CardInLot
from tagger.core.model.counted import counted
from tagger.core.model.numbers import parse_serial
from tagger.core.model.tags import BASE, Extra, Mark, Marking, Parallel, State, Tags
from tagger.core.model.text import fold, printable
from tagger.core.overview.bulk_change import BulkChange
from tagger.core.session.session import Session
from tagger.errors import Refused


class Listed(NamedTuple):
    """What a checklist says of one card, as far as it matters here."""

    team: str
    parallels: tuple[Parallel, ...]
    extra: Extra

    def run(self, name: str) -> int | None:
        """The print run of one of the card's parallels."""
        return next((parallel.run for parallel in self.parallels if parallel.name == name), None)

    def has(self, name: str) -> bool:
        """Whether the card has this parallel; every card has its plain one."""
        return not name or any(parallel.name == name for parallel in self.parallels)


class Lists:
    """The checklists' rows of the cards that are asked for, each looked up once."""

    def __init__(self, index: Index) -> None:
        self.index = index
        self._steps: dict[tuple[str, str, str], int | None] = {}

    def step(self, set_name: str, number: str, subject: str) -> int | None:
        """Where the checklists have a card, None where they do not have it."""
        key = set_name, number, subject
        if key not in self._steps:
            step = self.index.find(*key) if number or subject else None
            if step is not None and fold(self.index.subject(self.index.subject_of[step])) != fold(
                subject
            ):
                step = None
            self._steps[key] = step
        return self._steps[key]

    def row(self, set_name: str, number: str, subject: str) -> Listed | None:
        """What the checklists say of a card."""
        step = self.step(set_name, number, subject)
        if step is None:
            return None
        row = self.index.row(step)
        return Listed(row.team, row.parallels, row.extra)

    def parallels(self, cards: Iterable[CardInLot]) -> tuple[Parallel, ...]:
        """Every parallel that one of the cards may have."""
        index = self.index
        steps = {
            self.step(card.mark.tags.set, card.mark.tags.number, card.mark.tags.subject)
            for card in cards
        }
        kinds = {index.parallels_of[step] for step in steps if step is not None}
        return tuple(
            dict.fromkeys(parallel for kind in sorted(kinds) for parallel in index.parallels(kind))
        )


@dataclass(frozen=True)
class BulkPlan:
    """A change that was thought through. `cards` are those that it changes, `what` it does stands
    in its label, and `told` is all of it in one line, with the cards that stay as they are and
    why."""

    cards: tuple[CardInLot, ...]
    what: str
    told: str
    made: Callable[[Mark], Mark]

    @property
    def label(self) -> str:
        """What the history calls it."""
        return f"{counted(len(self.cards), 'card')}: {self.what}"

    @cached_property
    def markings(self) -> tuple[Marking, ...]:
        """The marks before and after."""
        made = self.made
        return tuple(Marking(card.pair.id, card.mark, made(card.mark)) for card in self.cards)


def enter_plan(session: Session, plan: BulkPlan) -> str:
    """Do it; returns what to tell the dealer. Raises Refused where no card would change,
    NotSaved."""
    if not plan.cards:
        raise Refused(f"Nothing to change: {plan.told}.")
    session.enter(plan.label, plan.markings)
    return f"Done: {plan.label}."


def plan_aside(cards: Sequence[CardInLot], reason: str) -> BulkPlan:
    """Set cards aside with a reason; they keep their tags."""
    said = " ".join(reason.split()) or "check again"
    changed = tuple(
        card for card in cards if (card.mark.state, card.mark.reason) != (State.SET_ASIDE, said)
    )
    stay = Counter({"already set aside for this reason": len(cards) - len(changed)})
    what = f"set aside: {printable(said)}"

    def made(mark: Mark) -> Mark:
        return replace(mark, state=State.SET_ASIDE, reason=said)

    return BulkPlan(changed, what, f"{counted(len(changed), 'card')}: {what}{_staying(stay)}", made)


def plan_clear(cards: Sequence[CardInLot]) -> BulkPlan:
    """Take all tags off cards, and what set them aside."""
    changed = tuple(card for card in cards if card.mark.state is not State.UNTAGGED)
    states = Counter(card.mark.state for card in changed)
    had = ", ".join(f"{many:,} {state}" for state, many in sorted(states.items()))
    stay = Counter({"untagged": len(cards) - len(changed)})
    count = counted(len(changed), "card")
    told = f"{count}: all tags removed{f' ({had})' if had else ''}{_staying(stay)}"
    return BulkPlan(changed, "all tags removed", told, lambda mark: Mark())


def plan_tags(cards: Sequence[CardInLot], wanted: BulkChange, lists: Lists) -> BulkPlan:
    """Set or take off tags. A card is left as it is where it has no tags, where its row of the
    checklist does not have the parallel, where the new set does not have it, or where its serial
    number would be of another print run."""
    fields = wanted.pairs()
    if not fields:
        raise Refused("Type what to set: a set, a parallel, a condition, at=box 3, row 2 or note=…")
    changed: list[CardInLot] = []
    stay: Counter[str] = Counter()
    had: Counter[tuple[str, bool]] = Counter()
    for card in cards:
        tags = card.mark.tags
        differing = [field for field, value in fields if getattr(tags, field) != value]
        why = (
            "untagged"
            if card.mark.state is State.UNTAGGED
            else ""
            if differing
            else "already have it"
        )
        if not why and ("parallel" in differing or "set" in differing):
            why = _against(tags, wanted, lists)
        if why:
            stay[why] += 1
            continue
        changed.append(card)
        for field in differing:
            had[field, bool(getattr(tags, field))] += 1
    whats = [(field, _what(field, value)) for field, value in fields]
    told = "; ".join(
        what
        + _before(
            had[field, True], had[field, False], "another" if getattr(wanted, field) else "one"
        )
        for field, what in whats
    )
    what = ", ".join(what for _, what in whats)
    return BulkPlan(
        tuple(changed),
        what,
        f"{counted(len(changed), 'card')}: {told}{_staying(stay)}",
        _maker(wanted, lists),
    )


def _against(tags: Tags, wanted: BulkChange, lists: Lists) -> str:
    """Why a card cannot have another set or parallel, empty where it can."""
    if not tags.listed:
        return ""
    set_name = tags.set if wanted.set is None else wanted.set
    row = lists.row(set_name, tags.number, tags.subject)
    if row is None:
        return "not in that set's checklist" if wanted.set is not None else "not in the checklists"
    parallel = tags.parallel if wanted.parallel is None else wanted.parallel
    if not row.has(parallel):
        return f"without {printable(parallel, 40)} in the checklist"
    said = parse_serial(tags.serial) if tags.serial else None
    if tags.serial and row.run(parallel) != (said[1] if said else None):
        return "with a serial number of another print run"
    return ""


def _maker(wanted: BulkChange, lists: Lists) -> Callable[[Mark], Mark]:
    moved = wanted.set is not None

    def made(mark: Mark) -> Mark:
        old = mark.tags
        team, extra = old.team, old.extra
        set_name = old.set if wanted.set is None else wanted.set
        if (
            moved
            and old.listed
            and (row := lists.row(set_name, old.number, old.subject)) is not None
        ):
            team, extra = row.team, row.extra
        tags = Tags(
            set_name, old.number, old.subject, team,
            old.parallel if wanted.parallel is None else wanted.parallel,
            old.serial,
            old.condition if wanted.condition is None else wanted.condition,
            old.place if wanted.place is None else wanted.place,
            old.note if wanted.note is None else wanted.note,
            old.listed, extra,
        )  # fmt: skip
        return replace(mark, tags=tags)

    return made


def _what(field: str, value: str) -> str:
    if field == "parallel" and not value:
        return BASE
    return f"{field} {printable(value, 60)}" if value else f"no {field}"


def _before(some: int, none: int, other: str) -> str:
    parts = [f"{some:,} had {other}" if some else "", f"{none:,} had none" if none else ""]
    said = ", ".join(part for part in parts if part)
    return f" ({said})" if said else ""


def _staying(stay: Counter[str]) -> str:
    parts = [f"{many:,} {why}" for why, many in stay.most_common() if many]
    return f" · unchanged: {', '.join(parts)}" if parts else ""
