"""One sitting at a lot: where the dealer stands, what is carried, and each thing that a key can do.

Every change goes through one door: it is made durable by the store first, and only then is it so in
memory."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.feeding.pairing import as_before, first_intake, later_intake, rearranged
from tagger.core.lot.carried import CARRIED_FIELDS, Carried, Cursor
from tagger.core.lot.carried_run import (
    carried_on,
    counted,
    dropped,
    ended,
    names_the_stretch,
    read_next,
    said,
    told_over,
)
from tagger.core.lot.change import Change
from tagger.core.lot.history import Past
from tagger.core.lot.lot import Counts, LotState
from tagger.core.lot.pace import Pace
from tagger.core.lot.ports import LotStore
from tagger.core.lot.sitting import Sitting, WorkTime
from tagger.core.matching.candidate import Candidate
from tagger.core.model.arrangement import Arrangement, Card, Pair, SideOrder
from tagger.core.model.condition import Scale
from tagger.core.model.reasons import Reasons
from tagger.core.model.tags import Mark, Marking, Parallel, State, Tags
from tagger.core.model.text import fold, printable
from tagger.core.session.candidates import Candidates
from tagger.core.session.carrying import carriable
from tagger.core.session.review import LOOK_AGAIN, Review, taken, warned
from tagger.errors import Refused

# what reads hints is loaded when the first hint is read: the first card is on the screen before
if TYPE_CHECKING:
    from tagger.core.matching.matcher import Matcher
    from tagger.core.session.recognition import Recognition


GUESS = 0.5  # confidence below which it is said that a card was taken while the reading was unsure


class Session:
    """A lot at work. Methods that change something return what to tell the dealer; Refused says why
    not."""

    def __init__(
        self, store: LotStore, scale: Scale | None = None, clock: Callable[[], float] = time.time
    ) -> None:
        self._store = store
        self._clock = clock
        self.scale = scale or Scale()
        self.pace = Pace()
        self.work = WorkTime(clock())
        self._opened = store.lot.counts()
        self._scans: Sequence[str] = ()
        self.reasons = Reasons()
        self.review = Review(self)
        self.offers = Candidates(self)
        self.alike: Recognition | None = None
        """What the card in front looks like, where that is known and was shown to the dealer."""
        self._touched: set[int] = set()

    # What is so

    @property
    def desk(self) -> Cursor:
        """Where the dealer stands and what is carried."""
        return self._lot.desk

    @property
    def sides(self) -> SideOrder:
        """Which scan is which side."""
        return self._lot.arrangement.sides

    @property
    def arrangement(self) -> Arrangement:
        """Which scans make which card, and what was mended."""
        return self._lot.arrangement

    @property
    def next_id(self) -> int:
        """The identity that the next new card gets."""
        return self._lot.next_id

    @property
    def scans(self) -> Sequence[str]:
        """The scans that were in the folder, and in those that are joined to it now, when they were
        read last."""
        joined = self.arrangement.mending.joined
        return [
            scan
            for scan in self._scans
            if not scan.startswith("../") or scan.rpartition("/")[0] in joined
        ]

    def mark(self, id: int) -> Mark:
        """The mark of a card by its identity."""
        return self._lot.mark(id)

    def now(self) -> float:
        """Seconds since 1970."""
        return self._clock()

    @property
    def looking(self) -> str:
        """Why the lot is open for looking only, empty where it can be worked on."""
        return self._store.looking

    @property
    def checklists(self) -> tuple[str, ...]:
        """Checklist files that belong to the lot."""
        return self._lot.checklists

    @property
    def cards(self) -> int:
        """Cards in the lot."""
        return self._lot.cards

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
        return self._lot.card(position)

    def sets(self) -> frozenset[str]:
        """The sets of the tagged cards."""
        return self._lot.sets()

    def counts(self) -> Counts:
        """How far the lot is."""
        return self._lot.counts()

    def sitting(self) -> Sitting:
        """This sitting so far."""
        now, then, work = self.counts(), self._opened, self.work
        cards, aside = max(0, now.tagged - then.tagged), max(0, now.set_aside - then.set_aside)
        return Sitting(
            work.began, round(work.seconds, 1), round(work.away, 1), cards, aside, work.keys
        )

    def before(self, listed: bool = False) -> Tags | None:
        """Tags of the nearest tagged card before this one in feeding order, None where there is
        none.

        With `listed`, cards that are in no checklist are passed over.
        """
        mark = self._mark_before(listed)
        return mark.tags if mark else None

    def _mark_before(self, listed: bool = False) -> Mark | None:
        for position in range(min(self.desk.position - 1, self.cards), 0, -1):
            mark = self.card_at(position).mark
            if mark.state is State.TAGGED and (mark.tags.listed or not listed):
                return mark
        return None

    def last_change(self) -> str:
        """The label of the change that undo would take back, empty where there is none."""
        return self._store.last()

    def resembles(self, card: Card | None) -> Recognition | None:
        """What is proposed for a card in front by its look, while it is untagged."""
        alike = self.alike
        untagged = card is not None and card.mark.state is State.UNTAGGED
        return (
            alike
            if untagged and alike is not None and card is not None and alike.id == card.id
            else None
        )

    def candidates(self, hint: str) -> list[Candidate]:
        """What the hint could mean here, best first, at most nine; see Offers."""
        return self.offers.candidates(hint)

    @property
    def matcher(self) -> Matcher:
        """What reads hints; with no checklist there is nothing that it finds."""
        return self.offers.matcher

    @matcher.setter
    def matcher(self, matcher: Matcher) -> None:
        self.offers.matcher = matcher

    def touched(self) -> set[int]:
        """Identities of the cards whose marks changed since this was asked last."""
        touched, self._touched = self._touched, set()
        return touched

    # Taking in

    def take_in(self, names: Sequence[str], checklists: Sequence[str] = ()) -> None:
        """Read the folder's scans (any order) and the checklists given with the command into the
        lot."""
        lot, self._scans = self._lot, tuple(names)
        self._read_in(lot.arrangement.pairs)
        added = tuple(dict.fromkeys((*lot.checklists, *checklists)))
        if added != lot.checklists:
            self._store.remember(added)
        if self.desk.position > self.cards + 1:
            self._stand(replace(self.desk, position=self.cards + 1))

    def _read_in(self, known: Sequence[Pair]) -> None:
        """Take in the scans of the folder that are no side of a card yet. `known` is where cards
        had them before."""
        lot, scans = self._lot, self.scans
        if lot.cards or lot.arrangement.mending.left_out:
            arrangement, next_id = later_intake(lot.arrangement, lot.marks, scans, lot.next_id)
        else:
            arrangement, next_id = first_intake(scans)
        arrangement = as_before(arrangement, lot.arrangement, known)
        if arrangement != lot.arrangement:
            self._store.intake(arrangement, next_id)

    # Tagging

    def take(self, candidate: Candidate) -> str:
        """Tag the card in front with a candidate and go on. It is marked as unsure where the panel
        said so."""
        if candidate.problem:
            raise Refused(f"Not taken: {candidate.problem}.")
        said = self._tag(candidate.tags, unsure=bool(candidate.reasons) and not candidate.sure)
        if candidate.reasons and candidate.confidence < GUESS and not said.startswith(LOOK_AGAIN):
            return warned(said, (f"unsure, {candidate.confidence:.0%}",))
        return said

    def take_unlisted(self, hint: str) -> str:
        """Tag the card in front with what the hint says, as a card that is in no checklist, and go
        on."""
        from tagger.core.matching.hint import parse_hint
        from tagger.core.matching.unlisted import unlisted_tags

        tags = unlisted_tags(parse_hint(hint), self.desk.carried, self.scale)
        return self._tag(tags)

    def again(self, hint: str = "") -> str:
        """The same card as the one before, but for serial number, note, and what the hint says; see
        `repeats`."""
        from tagger.core.matching.repeat_card import CopyChange, again, read_change

        before = self._mark_before()
        if before is None:
            raise Refused("There is no tagged card before this one.")
        carried, parallels = self.desk.carried, self._parallels_of(before.tags)
        said = read_change(hint, self.scale, before.tags, parallels) or CopyChange()
        tags = again(before.tags, said, parallels)
        tags = replace(tags, note=carried.get("note"), place=carried.get("place"))
        return self._tag(tags, unsure=before.unsure)

    def repeats(self, hint: str) -> bool:
        """Whether `again` takes the hint: all of it reads as condition or serial number of the card
        before."""
        before = self.before()
        if before is None or not hint.strip() or not self.offers.ready:
            # what reads hints may just be loaded by another thread, which must not be met there
            return False
        from tagger.core.matching.repeat_card import read_change

        return read_change(hint, self.scale, before, self._parallels_of(before)) is not None

    def _parallels_of(self, tags: Tags) -> Sequence[Parallel]:
        step = self.matcher.index.find(tags.set, tags.number, tags.subject)
        return () if step is None else self.matcher.index.parallels_at(step)

    def keep(self) -> str:
        """Leave a marked card as it is and go on."""
        card = self._here()
        self._stand(replace(self.desk, position=self.desk.position + 1))
        return f"Card {self.desk.position - 1} stays as it was: {card.mark.brief()}."

    def set_aside(self, reason: str) -> str:
        """Leave the card for later, with a reason or a short word for one."""
        why = self.reasons.meant(reason) or "look again"
        position, carried = self.desk.position, self.desk.carried
        self._mark(Mark(State.SET_ASIDE, self._here().mark.tags, why), f"set aside: {why}", carried)
        return self._and_over(
            f"Card {position} is set aside: {why}" + ("" if why.endswith("?") else "."), carried
        )

    def clear(self) -> str:
        """Take all tags off the card in front; the dealer stays at it."""
        card = self._here()
        if card.mark == Mark():
            raise Refused("This card has no tags to clear.")
        self._mark(Mark(), "cleared", self.desk.carried, step=0)
        return f"Card {self.desk.position} is untagged again."

    def _tag(self, tags: Tags, unsure: bool = False) -> str:
        card, warnings = self._here(), self.review.warnings(self.desk.position, tags)
        carried = self.desk.carried
        if card.mark.state is State.UNTAGGED and tags.set:
            carried = carried.put("set", tags.set)
        position, before, was = self.desk.position, self.before(), self.desk.carried
        self._mark(taken(tags, card.mark, unsure), tags.brief(), carried)
        if card.mark.state is State.UNTAGGED:
            self.offers.learn(before, tags)
        self.pace.card(self._clock())
        return self._and_over(warned(f"Card {position}: {tags.brief()}.", warnings), was)

    def _and_over(self, done: str, before: Carried) -> str:
        return f"{done} {told_over(before, self.desk.carried)}".rstrip()

    def _mark(self, mark: Mark, what: str, carried: Carried, step: int = 1) -> None:
        card = self._here()
        if mark.state is not State.UNTAGGED:
            # a card that was sold stays so, whatever it is called
            mark = replace(mark, gone=card.mark.gone)
        if step and card.mark.state is State.UNTAGGED:
            carried = counted(carried)
        after = Cursor(self.desk.position + step, carried)
        label = f"card {self.desk.position}: {what}"
        self.enter(
            Change(label, self._clock(), self.desk, after, (Marking(card.id, card.mark, mark),))
        )

    # Carrying

    def carry(self, hint: str) -> str:
        """Carry what the hint says about set, parallel, condition, place and note from now on, or
        with `next=60` for so many untagged cards."""
        rest, count = read_next(hint)
        found = carriable(self, rest)
        if not found and (count is None or self.desk.carried.stretch is None):
            raise Refused(
                "Type what to carry: a set, a parallel, a condition, at=box 3, row 2 or note=…"
            )
        what, carried = said(found) or "the same", carried_on(self.desk.carried, found, count)
        if count is None:
            self._carry(carried, f"carry {what}")
            return f"Carried from now on: {what}."
        cards = f"the next {count} cards" if count > 1 else "the next card"
        self._carry(carried, f"carry {what} for {cards}")
        return f"Carried for {cards}: {what}."

    def drop(self, hint: str) -> str:
        """Stop carrying the field that the hint names, with an empty hint the one set last; `next`
        ends a stretch."""
        if (carried := self.desk.carried).stretch is not None and names_the_stretch(hint):
            self._carry(ended(carried), "end of the stretch")
            return told_over(carried, self.desk.carried)
        named = fold(hint.strip())
        field = (
            next((f for f in CARRIED_FIELDS if named and f.startswith(named)), "")
            if named
            else self.desk.carried.newest()
        )
        if not field or not self.desk.carried.get(field):
            what = (
                f"no {field} is carried"
                if field
                else "nothing but the set is carried"
                if not named
                else ""
            )
            raise Refused(
                f"Nothing dropped: {what}."
                if what
                else f"Nothing dropped: '{hint}' is none of {', '.join(CARRIED_FIELDS)}."
            )
        self._carry(dropped(self.desk.carried, field), f"drop {field}")
        return f"No {field} is carried any more."

    def _carry(self, carried: Carried, what: str) -> None:
        if carried == self.desk.carried:
            raise Refused("That is carried already.")
        self.enter(Change(what, self._clock(), self.desk, replace(self.desk, carried=carried)))

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
        pairs, change = self._lot.arrangement.pairs, self._store.undo()
        if change is None:
            raise Refused("There is nothing to undo.")
        self._changed(change)
        self._arranged_again(change, pairs)
        return f"Undone: {change.label}."

    def redo(self) -> str:
        """Do again what was undone last."""
        pairs, change = self._lot.arrangement.pairs, self._store.redo()
        if change is None:
            raise Refused("There is nothing to redo.")
        self._changed(change)
        self._arranged_again(change, pairs)
        return f"Done again: {change.label}."

    def history(self, limit: int, undone: bool = False, onward: int | None = None) -> list[Past]:
        """Changes that stand, the newest first, or those that redo would do; see LotStore."""
        return self._store.history(limit, undone, onward)

    def arrange(self, sides: SideOrder) -> str:
        """Read the scans in another side order."""
        lot = self._lot
        fresh, moved = rearranged(lot.arrangement, lot.marks, sides, lot.next_id)
        self.enter_arranged(f"sides: {sides}", fresh, moved)
        return f"Sides are now read as: {sides}. {len(fresh.pairs)} cards."

    def _arranged_again(self, change: Change, pairs: Sequence[Pair]) -> None:
        """Scans that came after a change of the arrangement stay in the lot, whatever is undone or
        done again."""
        if change.arrangement is not None and self._scans:
            self._read_in(pairs)

    # The one door

    def enter_arranged(self, label: str, fresh: Arrangement, marks: tuple[Marking, ...]) -> None:
        """Enter a change of the arrangement; the dealer stays at the same card. Raises NotSaved."""
        card = self.card
        scans = {card.front, card.back} - {None} if card else set()
        there = (
            at for at, pair in enumerate(fresh.pairs, start=1) if scans & {pair.front, pair.back}
        )
        after = replace(
            self.desk, position=next(there, min(self.desk.position, len(fresh.pairs) + 1))
        )
        if self.at_end:
            after = replace(self.desk, position=len(fresh.pairs) + 1)
        self.enter(
            Change(label, self._clock(), self.desk, after, marks, (self._lot.arrangement, fresh))
        )

    def _here(self) -> Card:
        card = self.card
        if card is None:
            raise Refused("This is the end of the lot; PgUp goes back to its cards.")
        return card

    @property
    def _lot(self) -> LotState:
        return self._store.lot

    def enter(self, change: Change) -> None:
        """Do a change; it is durable when this returns. Raises NotSaved."""
        self._store.enter(change)
        self._changed(change)

    def _changed(self, change: Change) -> None:
        self._touched.update(marking.id for marking in change.marks)
        self.review.changed(change)

    def _stand(self, desk: Cursor) -> None:
        self._store.stand(desk)

    def copy_to(self, folder: str) -> str:
        """Write the lot as it stands into another folder."""
        if not folder.strip():
            raise Refused("Type the folder that the copy goes to.")
        target = self._store.copy_to(Path(folder.strip()).expanduser())
        return f"A copy of the lot is in {printable(str(target))}."

    def settle(self) -> None:
        """The keys are quiet: let the store bring up what waits."""
        self._store.sat(self.sitting())
        self._store.settle()

    def close(self) -> None:
        """Let go of the lot; all is kept."""
        self._store.sat(self.sitting())
        self._store.close()
