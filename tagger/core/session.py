"""One sitting at a lot: where the dealer stands, what is carried, and each thing that a key can do.

Every change goes through one door: it is made durable by the store first, and only then is it so in memory.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from tagger.core.arrange import first_intake, later_intake, rearranged
from tagger.core.checklist import Checklist
from tagger.core.condition import Scale
from tagger.core.hint import parse_hint
from tagger.core.index import Index
from tagger.core.model import (
    CARRIED_FIELDS,
    Arrangement,
    Card,
    Carried,
    Change,
    Desk,
    LotState,
    Mark,
    Marking,
    SideOrder,
    State,
    Tags,
)
from tagger.core.pace import Pace
from tagger.core.ports import Entry, LotStore
from tagger.core.ranking import Candidate, Context, Matcher
from tagger.core.text import fold
from tagger.core.unlisted import unlisted_tags
from tagger.errors import Refused


@dataclass(frozen=True, slots=True)
class Counts:
    """How far a lot is, in cards."""

    cards: int
    tagged: int
    set_aside: int

    @property
    def untagged(self) -> int:
        return self.cards - self.tagged - self.set_aside


class Session:
    """A lot at work. Methods that change something return what to tell the dealer; Refused says why not."""

    def __init__(self, store: LotStore, scale: Scale | None = None, clock: Callable[[], float] = time.time) -> None:
        self._store = store
        self._clock = clock
        self.scale = scale or Scale()
        self.pace = Pace()
        self.matcher = Matcher(Index(Checklist()), self.scale)
        self._state = store.load()
        self._sets_at: dict[int, Mark] | None = None
        self._sets: frozenset[str] = frozenset()

    # What is so

    @property
    def desk(self) -> Desk:
        """Where the dealer stands and what is carried."""
        return self._state.desk

    @property
    def sides(self) -> SideOrder:
        """Which scan is which side."""
        return self._state.arrangement.sides

    @property
    def checklists(self) -> tuple[str, ...]:
        """Checklist files that belong to the lot."""
        return self._state.checklists

    @property
    def cards(self) -> int:
        """Cards in the lot."""
        return len(self._state.arrangement.pairs)

    @property
    def at_end(self) -> bool:
        """Whether the dealer stands behind the last card."""
        return self.desk.position > self.cards

    @property
    def card(self) -> Card | None:
        """The card in front of the dealer, None at the end of the lot."""
        return None if self.at_end else self.card_at(self.desk.position)

    def card_at(self, position: int) -> Card:
        """The card at a position from 1."""
        pair = self._state.arrangement.pairs[position - 1]
        return Card(pair.id, pair.front, pair.back, self._state.marks.get(pair.id, Mark()))

    def counts(self) -> Counts:
        """How far the lot is."""
        states = [self._state.marks[p.id].state for p in self._state.arrangement.pairs if p.id in self._state.marks]
        return Counts(self.cards, states.count(State.TAGGED), states.count(State.SET_ASIDE))

    def before(self) -> Tags | None:
        """Tags of the nearest tagged card before this one in feeding order, None where there is none."""
        for position in range(min(self.desk.position - 1, self.cards), 0, -1):
            mark = self.card_at(position).mark
            if mark.state is State.TAGGED:
                return mark.tags
        return None

    def last_change(self) -> Change | None:
        """The change that undo would take back."""
        done = len(self._state.history) - self._state.undone
        return self._state.history[done - 1] if done > 0 else None

    def candidates(self, hint: str, limit: int = 9) -> list[Candidate]:
        """What the hint could mean here, best first. With an empty hint: what is likely next."""
        return self.matcher.rank(hint, Context(self.desk.carried, self.before(), self._seen()), limit)

    def _seen(self) -> frozenset[str]:
        """Sets met in this lot so far; looked up once after each change."""
        if self._sets_at is not self._state.marks:
            self._sets_at = self._state.marks
            self._sets = frozenset(m.tags.set for m in self._sets_at.values() if m.state is State.TAGGED)
        return self._sets

    # Taking in

    def take_in(self, names: Sequence[str], checklists: Sequence[str] = ()) -> None:
        """Read the folder's scans (any order) and the checklists given with the command into the lot."""
        state = self._state
        if state.arrangement.pairs:
            arrangement, next_id = later_intake(state.arrangement, state.marks, names, state.next_id)
        else:
            arrangement, next_id = first_intake(names)
        if arrangement != state.arrangement:
            self._store.intake(arrangement, next_id)
            self._state = replace(state, arrangement=arrangement, next_id=next_id)
        added = tuple(dict.fromkeys((*self._state.checklists, *checklists)))
        if added != self._state.checklists:
            self._store.remember(added)
            self._state = replace(self._state, checklists=added)
        if self.desk.position > self.cards + 1:
            self._stand(replace(self.desk, position=self.cards + 1))

    # Tagging

    def take(self, candidate: Candidate) -> str:
        """Tag the card in front with a candidate and go on."""
        if candidate.problem:
            raise Refused(f"Not taken: {candidate.problem}.")
        return self._tag(candidate.tags)

    def take_unlisted(self, hint: str) -> str:
        """Tag the card in front with what the hint says, as a card that is in no checklist, and go on."""
        tags = unlisted_tags(parse_hint(hint), self.desk.carried, self.scale)
        return self._tag(tags)

    def again(self) -> str:
        """The same card as the one before, without its serial number and note."""
        before = self.before()
        if before is None:
            raise Refused("There is no tagged card before this one.")
        carried = self.desk.carried
        return self._tag(replace(before, serial="", note=carried.get("note"), place=carried.get("place")))

    def keep(self) -> str:
        """Leave a marked card as it is and go on."""
        card = self._here()
        self._stand(replace(self.desk, position=self.desk.position + 1))
        return f"Card {self.desk.position - 1} stays as it was: {card.mark.brief()}."

    def set_aside(self, reason: str) -> str:
        """Leave the card for later, with a reason."""
        said = " ".join(reason.split()) or "look again"
        position = self.desk.position
        self._mark(Mark(State.SET_ASIDE, self._here().mark.tags, said), f"set aside: {said}", self.desk.carried)
        return f"Card {position} is set aside: {said}."

    def clear(self) -> str:
        """Take all tags off the card in front; the dealer stays at it."""
        card = self._here()
        if card.mark == Mark():
            raise Refused("This card has no tags to clear.")
        self._mark(Mark(), "cleared", self.desk.carried, step=0)
        return f"Card {self.desk.position} is untagged again."

    def _tag(self, tags: Tags) -> str:
        card = self._here()
        carried = self.desk.carried
        if card.mark.state is State.UNTAGGED and tags.set:
            carried = carried.put("set", tags.set)
        position = self.desk.position
        self._mark(Mark(State.TAGGED, tags), tags.brief(), carried)
        self.pace.card(self._clock())
        return f"Card {position}: {tags.brief()}."

    def _mark(self, mark: Mark, what: str, carried: Carried, step: int = 1) -> None:
        card = self._here()
        after = Desk(self.desk.position + step, carried)
        label = f"card {self.desk.position}: {what}"
        self._enter(Change(label, self._clock(), self.desk, after, (Marking(card.id, card.mark, mark),)))

    # Carrying

    def carry(self, hint: str) -> str:
        """Carry what the hint says about set, parallel, condition, place and note from now on."""
        found = self._carriable(hint)
        if not found:
            raise Refused("Type what to carry: a set, a parallel, a condition, at=box 3, row 2 or note=…")
        carried = self.desk.carried
        for name, value in found.items():
            carried = carried.put(name, value)
        said = ", ".join(f"{name} {value}" if value else f"no {name}" for name, value in found.items())
        self._carry(carried, f"carry {said}")
        return f"Carried from now on: {said}."

    def drop(self, hint: str) -> str:
        """Stop carrying the field that the hint names, or with an empty hint the one set last."""
        named = fold(hint.strip())
        field = (
            next((f for f in CARRIED_FIELDS if named and f.startswith(named)), "")
            if named
            else self.desk.carried.newest()
        )
        if not field or not self.desk.carried.get(field):
            what = f"no {field} is carried" if field else "nothing but the set is carried" if not named else ""
            raise Refused(
                f"Nothing dropped: {what}."
                if what
                else f"Nothing dropped: '{hint}' is none of {', '.join(CARRIED_FIELDS)}."
            )
        self._carry(self.desk.carried.put(field, ""), f"drop {field}")
        return f"No {field} is carried any more."

    def _carry(self, carried: Carried, what: str) -> None:
        if carried == self.desk.carried:
            raise Refused("That is carried already.")
        self._enter(Change(what, self._clock(), self.desk, replace(self.desk, carried=carried)))

    def _carriable(self, hint: str) -> dict[str, str]:
        parsed = parse_hint(hint)
        found: dict[str, str] = {}
        if parsed.tokens:
            found_here = self.candidates(hint, 24)
            best = next((c for c in found_here if _MODEST.issuperset(_meanings(c))), next(iter(found_here), None))
            meanings = _meanings(best) if best else set()
            if best is None or "" in meanings:
                raise Refused(f"Nothing carried: not every word of '{hint}' was understood.")
            if meanings & {"number", "subject", "initials", "set", "start of the subject", "start of the number"}:
                found["set"] = best.tags.set
            if "parallel" in meanings or "serial number" in meanings:
                found["parallel"] = best.tags.parallel
            if "condition" in meanings:
                found["condition"] = best.tags.condition
        for name, value in (("place", parsed.place), ("note", parsed.note)):
            if value is not None:
                found[name] = value
        return found

    # Moving

    def go(self, position: int) -> str:
        """Stand at a card, counted from 1; one past the last is the end of the lot."""
        if not 1 <= position <= self.cards + 1:
            raise Refused(f"There is no card {position}; the lot has {self.cards}.")
        self._stand(replace(self.desk, position=position))
        return ""

    def step(self, by: int) -> str:
        """Go some cards on (or back, below 0), at most to either end."""
        return self.go(min(max(1, self.desk.position + by), self.cards + 1))

    def next_untagged(self, direction: int = 1) -> str:
        """Go to the nearest untagged card onwards (1) or backwards (-1), round the end once."""
        start, total = self.desk.position, self.cards
        for distance in range(1, total + 1):
            position = (start - 1 + direction * distance) % total + 1
            if position != start and self.card_at(position).mark.state is State.UNTAGGED:
                return self.go(position)
        raise Refused("No other card is untagged.")

    # Second thoughts

    def undo(self) -> str:
        """Take the last change back and stand where it was made."""
        change = self.last_change()
        if change is None:
            raise Refused("There is nothing to undo.")
        self._enter(change, Entry.UNDO)
        return f"Undone: {change.label}."

    def redo(self) -> str:
        """Do again what was undone last."""
        if not self._state.undone:
            raise Refused("There is nothing to redo.")
        change = self._state.history[-self._state.undone]
        self._enter(change, Entry.REDO)
        return f"Done again: {change.label}."

    def arrange(self, sides: SideOrder) -> str:
        """Read the scans in another side order."""
        state = self._state
        fresh, moved = rearranged(state.arrangement, state.marks, sides, state.next_id)
        after = replace(self.desk, position=min(self.desk.position, len(fresh.pairs) + 1))
        self._enter(Change(f"sides: {sides}", self._clock(), self.desk, after, moved, (state.arrangement, fresh)))
        return f"Sides are now read as: {sides}. {len(fresh.pairs)} cards."

    # The one door

    def _here(self) -> Card:
        card = self.card
        if card is None:
            raise Refused("This is the end of the lot; PgUp goes back to its cards.")
        return card

    def _enter(self, change: Change, entry: Entry = Entry.DO) -> None:
        self._store.enter(entry, change)
        self._state = entered(self._state, entry, change)

    def _stand(self, desk: Desk) -> None:
        self._store.stand(desk)
        self._state = replace(self._state, desk=desk)

    def close(self) -> None:
        """Let go of the lot; all is kept."""
        self._store.close()


# What a word to be carried is meant as, before it is taken for a card's own number or name.
_MODEST = frozenset({"parallel", "condition", "serial number", "set", "team"})


def _meanings(candidate: Candidate) -> set[str]:
    return {meaning for _, meaning in candidate.reasons}


def entered(state: LotState, entry: Entry, change: Change) -> LotState:
    """The lot after a change was entered: the one rule by which memory and every store follow the history."""
    effect = change.inverse() if entry is Entry.UNDO else change
    marks = dict(state.marks)
    for marking in effect.marks:
        marks[marking.id] = marking.after
    arrangement: Arrangement = effect.arrangement[1] if effect.arrangement else state.arrangement
    if entry is Entry.DO:
        kept = state.history[: len(state.history) - state.undone]
        history, undone = (*kept, change), 0
    else:
        history, undone = state.history, state.undone + (1 if entry is Entry.UNDO else -1)
    next_id = (
        max([state.next_id, *(pair.id + 1 for pair in arrangement.pairs)]) if effect.arrangement else state.next_id
    )
    return replace(
        state, marks=marks, arrangement=arrangement, desk=effect.after, history=history, undone=undone, next_id=next_id
    )
