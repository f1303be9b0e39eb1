"""One change to many cards: what it would do, in numbers, and then the doing, as one undoable
step."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.matching.hint import said_or
from tagger.core.model.copies import of_another_run
from tagger.core.model.counted import counted
from tagger.core.model.tags import (
    BASE,
    Extra,
    Mark,
    Marking,
    Parallel,
    State,
    Tags,
    kept_parallel,
    listed_parallel,
    parallel_key,
)
from tagger.core.model.text import printable
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.lot.fields import CardInLot
    from tagger.core.overview.bulk_change import BulkChange
    from tagger.core.session.session import Session

_OF_A_SALE = frozenset(("set", "parallel", "condition"))


class Listed(NamedTuple):
    """What a checklist says of one card, as far as it matters here."""

    subject: str
    team: str
    parallels: tuple[Parallel, ...]
    extra: Extra

    def parallel(self, name: str) -> Parallel:
        """One of the card's parallels with its print run."""
        return listed_parallel(self.parallels, name) or Parallel(name)

    def has(self, name: str) -> bool:
        """Whether the card has this parallel; every card has its plain one."""
        return not parallel_key(name) or listed_parallel(self.parallels, name) is not None

    def spelled(self, name: str) -> str:
        """One of its parallels as the list has it; as it is given where the list does not."""
        return kept_parallel(self.parallel(name).name)


class Lists:
    """The checklists' rows of the cards that are asked for, each looked up once."""

    def __init__(self, index: Index) -> None:
        self.index = index
        self._steps: dict[tuple[str, str, str, Extra], int | None] = {}
        self._rows: dict[int, Listed] = {}

    def step(self, tags: Tags) -> int | None:
        """Where the checklists have a card, None where they do not have it."""
        if not tags.number and not tags.subject:
            return None
        key = tags.set, tags.number, tags.subject, tags.extra
        if key not in self._steps:
            self._steps[key] = self.index.find_named(tags)
        return self._steps[key]

    def row(self, tags: Tags) -> Listed | None:
        """What the checklists say of a card."""
        return self._listed(self.step(tags))

    def moved(self, tags: Tags, set_name: str) -> Listed | None:
        """The row that a card would have in another set: of its number and name; of its number,
        where that is another card there. The number was read on the card, the name may have come
        from the wrong set's list."""
        step = self.step(replace(tags, set=set_name))
        return self._listed(
            self.index.numbered_alone(set_name, tags.number) if step is None else step
        )

    def _listed(self, step: int | None) -> Listed | None:
        if step is None:
            return None
        if step not in self._rows:
            row = self.index.row(step)
            self._rows[step] = Listed(row.subject, row.team, row.parallels, row.extra)
        return self._rows[step]

    def parallels(self, cards: Iterable[CardInLot]) -> tuple[Parallel, ...]:
        """Every parallel that one of the cards may have."""
        index = self.index
        steps = {self.step(card.mark.tags) for card in cards}
        # thousands of cards share few kinds
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
        # cached and late: while a change is typed, only its label is shown
        made = self.made
        return tuple(Marking(card.pair.id, card.mark, made(card.mark)) for card in self.cards)


def enter_plan(session: Session, plan: BulkPlan) -> str:
    """Do it; returns what to tell the dealer. Raises Refused where no card would change,
    NotSaved."""
    # an empty change would stand in the history and could be undone
    if not plan.cards:
        raise Refused(f"Nothing to change: {plan.told}.")
    session.enter(plan.label, plan.markings)
    return f"Done: {plan.label}."


def plan_aside(cards: Sequence[CardInLot], reason: str) -> BulkPlan:
    """Set cards aside with a reason; they keep their tags."""
    # An edit with an empty line is not refused here, as F2 at the desk is not: both mean the same
    # word.
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
    """Take all tags off cards, and what set them aside. Those that left keep theirs."""
    # What a card was called when it left is part of its sale.
    there = [card for card in cards if not card.mark.gone]
    # by state: a card that was set aside may have no tags, but a reason
    changed = tuple(card for card in there if card.mark.state is not State.UNTAGGED)
    states = Counter(card.mark.state for card in changed)
    had = ", ".join(f"{many:,} {state}" for state, many in sorted(states.items()))
    what = "all tags removed"
    told = f"{counted(len(changed), 'card')}: {what}"
    if had:
        told += f" ({had})"
    stay = Counter(card.mark.gone for card in cards if card.mark.gone)
    stay["untagged"] = len(there) - len(changed)
    return BulkPlan(changed, what, told + _staying(stay), lambda mark: Mark())


def plan_tags(cards: Sequence[CardInLot], wanted: BulkChange, lists: Lists) -> BulkPlan:
    """Set or take off tags. A card is left as it is where it has no tags, where its row of the
    checklist does not have the parallel, where the new set does not have it, or where its serial
    number would be of another print run."""
    fields = wanted.pairs()
    if not fields:
        raise Refused(
            "Type what to set: a set, a parallel, a condition, price=3.50, at=box 3, row 2 or "
            "note=…"
        )
    changed: list[CardInLot] = []
    stay: Counter[str] = Counter()
    had: Counter[tuple[str, bool]] = Counter()
    for card in cards:
        tags = card.mark.tags
        put = _put(tags, wanted, lists)
        differing = [field for field, _ in fields if getattr(tags, field) != getattr(put, field)]
        if why := _why_not(card.mark, differing, wanted, lists):
            stay[why] += 1
            continue
        changed.append(card)
        for field in differing:
            had[field, bool(getattr(tags, field))] += 1
    what, told = _in_words(fields, had)
    told += _renamed(changed, wanted, lists)
    told = f"{counted(len(changed), 'card')}: {told}{_staying(stay)}"
    return BulkPlan(tuple(changed), what, told, _maker(wanted, lists))


def _in_words(fields: Iterable[tuple[str, str]], had: Counter[tuple[str, bool]]) -> tuple[str, str]:
    """What is changed, and the same with what the cards had before."""
    whats = [(field, _what(field, value), bool(value)) for field, value in fields]
    told = (
        what + _before(had[field, True], had[field, False], sets) for field, what, sets in whats
    )
    return ", ".join(what for _, what, _ in whats), "; ".join(told)


def _why_not(mark: Mark, differing: Sequence[str], wanted: BulkChange, lists: Lists) -> str:
    """Why a card stays as it is, empty where it does not."""
    if mark.state is State.UNTAGGED:
        return "untagged"
    if not differing:
        return "already have it"
    # What a card was called when it left is part of its sale; its place is not, since it may lie
    # there still.
    if mark.gone and _OF_A_SALE.intersection(differing):
        return mark.gone
    # condition, place, note and price are a copy's own; the checklist has a say in these two only
    if "parallel" in differing or "set" in differing:
        return _against(mark.tags, wanted, lists)
    return ""


def _against(tags: Tags, wanted: BulkChange, lists: Lists) -> str:
    """Why a card cannot have another set or parallel, empty where it can."""
    if not tags.listed:
        return ""
    parallel = said_or(wanted.parallel, tags.parallel)
    row = _row_after(tags, wanted, lists)
    if row is None and wanted.set is None:
        return "not in the checklists"
    if row is None:
        return "without one card of that number and name in that set's checklist"
    if not row.has(parallel):
        return f"without {printable(parallel, 40)} in the checklist"
    if of_another_run(tags.serial, row.parallel(parallel)):
        return "with a serial number of another print run"
    return ""


def _row_after(tags: Tags, wanted: BulkChange, lists: Lists) -> Listed | None:
    """The row of a card when it is changed."""
    if wanted.set is None:
        return lists.row(tags)
    return lists.moved(tags, wanted.set)


def _renamed(cards: Sequence[CardInLot], wanted: BulkChange, lists: Lists) -> str:
    """The cards that get another name or series with another set, the first of them as an
    example."""
    if wanted.set is None:
        return ""
    both = ((card.mark.tags, _put(card.mark.tags, wanted, lists)) for card in cards)
    named = [(tags, put) for tags, put in both if _called(tags) != _called(put)]
    if not named:
        return ""
    tags, put = named[0]
    first = f"#{tags.number} {printable(_called(tags), 40)} → {printable(_called(put), 40)}"
    return f"; names that change by number: {len(named):,}, first {first}"


def _called(tags: Tags) -> str:
    return ", ".join(filter(None, (tags.subject, tags.series)))


def _maker(wanted: BulkChange, lists: Lists) -> Callable[[Mark], Mark]:
    return lambda mark: replace(mark, tags=_put(mark.tags, wanted, lists))


def _put(tags: Tags, wanted: BulkChange, lists: Lists) -> Tags:
    """A card's tags with the change in them, as its row of the checklist has them."""
    after = wanted.put(tags)
    if not tags.listed or (wanted.set is None and not wanted.parallel):
        return after
    row = _row_after(tags, wanted, lists)
    if row is None:
        return after
    # one list writes Gold where another has GOLD
    if (spelled := row.spelled(after.parallel)) != after.parallel:
        after = replace(after, parallel=spelled)
    if wanted.set is None:
        return after
    # name, team and further columns are those of the row in the new set
    return replace(after, subject=row.subject, team=row.team, extra=row.extra)


def _what(field: str, value: str) -> str:
    if value:
        return f"{field} {printable(value, 60)}"
    if field == "parallel":
        return BASE
    return f"no {field}"


def _before(some: int, none: int, sets: bool) -> str:
    """What the cards had before; `sets`: the field gets a value, and is not taken off."""
    parts: list[str] = []
    if some and sets:
        parts.append(f"{some:,} had another")
    elif some:
        parts.append(f"{some:,} had one")
    if none:
        parts.append(f"{none:,} had none")
    if not parts:
        return ""
    return f" ({', '.join(parts)})"


def _staying(stay: Counter[str]) -> str:
    # Most cards first: what keeps the most cards from changing is what the dealer has to look at.
    parts = [f"{many:,} {why}" for why, many in stay.most_common() if many]
    if not parts:
        return ""
    return f" · unchanged: {', '.join(parts)}"
