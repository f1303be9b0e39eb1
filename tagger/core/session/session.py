"""One sitting at a lot: each thing that a key can do to it.

Every change goes through one door, `Session.enter`: it is made durable by the store first, and only
then is it so in memory. What is so is read from `Session.view`."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.lot.carried import KEPT_ASIDE, Carried, Cursor
from tagger.core.lot.carried_run import counted, told_over
from tagger.core.lot.carried_set import with_newest_set
from tagger.core.lot.change import Change, ChecklistsKnown
from tagger.core.lot.pace import Pace
from tagger.core.lot.running import numbered
from tagger.core.lot.scan_stamps import names_anew, newly_placed
from tagger.core.lot.sitting import Sitting, WorkTime
from tagger.core.lot.view import UNTAGGED, LotView
from tagger.core.model.condition import Scale
from tagger.core.model.reasons import Reasons
from tagger.core.model.tags import Mark, Marking, State, Tags, mark_changes
from tagger.core.model.text import printable, sentence
from tagger.core.session.candidates import Candidates, LatestPrices
from tagger.core.session.carrying import carrying_on, dropping
from tagger.core.session.intake import FolderScans
from tagger.core.session.proposal import Deed, Proposals
from tagger.core.session.review import LOOK_AGAIN, Review, left_named, taken, warned
from tagger.core.session.scans.known_scans import KnownScans
from tagger.core.session.seen import is_seen
from tagger.errors import Refused

if TYPE_CHECKING:  # what reads hints is loaded with the checklists
    from tagger.core.lot.ports import LotStore
    from tagger.core.matching.candidate import Candidate
    from tagger.core.model.arrangement import Arrangement
    from tagger.core.model.scan_ref import StampChange
    from tagger.core.session.seen import Seen
    from tagger.core.session.unlisted_card import UnlistedCard, UnlistedCards

GUESS = 0.5  # confidence below which it is said that a card was taken while the reading was unsure

TAGGED_ALREADY = "This card is tagged: = repeats the card before on an untagged card only."


class Session:
    """A lot at work. Methods that change something return what to tell the dealer; Refused says why
    not.

    `view` is the lot as it stands; `looking` says why it is open for looking only, empty where it
    can be worked on; `now` gives seconds since 1970; `history` and `last_change` are those of the
    store."""

    def __init__(
        self,
        store: LotStore,
        scale: Scale | None = None,
        clock: Callable[[], float] = time.time,
        reasons: Reasons | None = None,
        closer_look: Decimal | None = None,
    ) -> None:
        """`reasons` are the short words for setting aside, `closer_look` is the price from which a
        card is worth a closer look."""
        self._store = store
        self.view: LotView = store.lot
        self.scale = scale or Scale()
        self.looking = store.looking
        # handed on as they are: a method here would say nothing more
        self.now, self.history, self.last_change = clock, store.history, store.last
        self.note = store.note
        self.reasons = reasons or Reasons()
        self.folder = FolderScans(store)
        self.review = Review(self.view, self, closer_look)
        self.candidates = Candidates(self.view, self.scale)
        self.review.may_be = self.candidates.may_be
        self.prices = LatestPrices(self.candidates)
        self.review.priced = self.prices.tags
        self.proposals = Proposals(self.view, self.candidates, self.review, self.unlisted)
        self._unlisted: UnlistedCards | None = None
        self.remember_unlisted: Callable[[Callable[[], Sequence[Tags]]], None] = lambda cards: None
        """Lets other lots know the unlisted cards of this one."""
        self.begin_stock: Callable[[], None] = lambda: None
        """Gives the lot its part of stock numbers; asked before its first change."""
        self.heard: Callable[[Sequence[Marking]], None] = lambda markings: None
        """Hears of each change of marks, undone ones too."""
        self.scans = KnownScans(store)
        self.pace = Pace()
        self.work = WorkTime(clock())
        self._opened = self.view.counts()
        self._touched: set[int] = set()

    def sitting(self) -> Sitting:
        """This sitting so far."""
        # in cards more than at the opening: one that is tagged anew was done before
        now, then = self.view.counts(), self._opened
        return self.work.sitting(now.tagged - then.tagged, now.set_aside - then.set_aside)

    def touched(self) -> set[int]:
        """Identities of the cards whose marks changed since this was asked last."""
        touched, self._touched = self._touched, set()
        return touched

    def take_in(
        self,
        names: Sequence[str],
        checklists: Sequence[str] = (),
        renamed: Mapping[str, str] | None = None,
    ) -> None:
        """Read the folder's scans (any order) and the checklists given with the command into the
        lot. `renamed` gives the names that scans of tagged cards have now."""
        view = self.view
        before = view.arrangement
        self.folder.read(names, renamed or {})
        self.scans.are_known(newly_placed(view, before, view.arrangement))
        added = tuple(dict.fromkeys((*view.checklists, *checklists)))
        if added != view.checklists:
            self._store.note(ChecklistsKnown(added))
        # cards may be fewer now: of a lot without a mark, those whose scans are gone
        if view.cursor.position > view.cards + 1:
            self._move(view.cards + 1)

    # Tagging

    def accept(self, hint: str, choice: int = 0, seen: Seen | None = None) -> str:
        """Do what is proposed (see `Proposals.of`), and say what was done; in the review, go on
        with that."""
        proposal, review = self.proposals.of(hint, choice, seen), self.review
        if proposal.deed is Deed.KEEP:
            return review.after(review.keep) if review.going else self.keep()
        candidate = proposal.candidate
        if candidate is None:
            raise Refused(proposal.why)
        if proposal.deed is Deed.REFUSE:
            raise Refused(f"Not accepted: {proposal.why}.")
        if proposal.deed is Deed.CHANGE:
            return review.after(lambda: self.correct(candidate.tags))
        # its doubts were found for the panel already
        return review.after(lambda: self.take(candidate, proposal.doubts))

    def take(self, candidate: Candidate, doubts: tuple[str, ...] | None = None) -> str:
        """Tag the card in front with a candidate and go on. It is marked as unsure where the panel
        said so. `doubts` are those that `review.warnings` has of it, where they are known."""
        if candidate.problem:
            raise Refused(f"Not accepted: {candidate.problem}.")
        # What was only seen is chosen by a key, with the card large beside it. Words of the copy
        # alone say nothing of which card it is: it is the one that Enter takes without them.
        typed = not candidate.says_only_copy and not is_seen(candidate)
        # A number that goes on by itself was large on the screen, as the next card of a list is.
        typed = typed and not candidate.guessed
        # a set that was carried by a key or a divider was named as well
        named = "set" in candidate.meanings or candidate.tags.set == self.view.carried.get("set")
        said = self._tag(candidate.tags, typed and not candidate.sure, doubts, named=named)
        # one warning is enough: what is doubted says more than a number
        if typed and candidate.confidence < GUESS and not said.startswith(LOOK_AGAIN):
            return warned(said, (f"unsure, {candidate.confidence:.0%}",))
        return said

    def correct(self, tags: Tags) -> str:
        """Change what is said of the card in front that has tags, and go on: of this copy,
        or of a card that no checklist has. What is carried stays out of it, and so does what the
        lot learns from: it is the same card."""
        card, position = self.view.here(), self.view.cursor.position
        mark = replace(card.mark, state=State.TAGGED, reason="", tags=tags)
        changed = mark_changes(card.mark, mark)
        what = "; ".join(f"{f} {new}, was {old}" for f, old, new in changed)
        self._mark(mark, what, self.view.cursor.carried)
        return f"Card {position}: {what}."

    def take_unlisted(self, hint: str, seen: Seen | None = None) -> str:
        """Tag the card in front with what the hint says, as a card that is in no checklist, and go
        on."""
        return self._tag(self.unlisted(hint).tags, seen=seen)

    def unlisted(self, hint: str) -> UnlistedCard:
        """The card that `take_unlisted` would make of the one in front. Raises Refused."""
        if self._unlisted is None:
            from tagger.core.session.unlisted_card import UnlistedCards

            self._unlisted = UnlistedCards(self.view, self.candidates, self.scale)
        return self._unlisted.of(hint)

    def again(self, hint: str = "", seen: Seen | None = None) -> str:
        """The same card as the one before, but for serial number, note, and what the hint says; see
        `Candidates.is_copy`."""
        if self.view.here().mark.named:
            raise Refused(TAGGED_ALREADY)
        tags, unsure = self.candidates.copy(hint)
        return self._tag(tags, unsure, seen=seen)

    def keep(self) -> str:
        """Leave a marked card as it is and go on."""
        card, position = self.view.here(), self.view.cursor.position
        self._move(position + 1)
        return f"Card {position} stays as it was: {card.mark.brief()}."

    def set_aside(self, reason: str) -> str:
        """Leave the card for later, with a reason or a short word for one. One that is set aside
        with its tags is tagged with them again where no reason is given."""
        mark = self.view.here().mark
        if mark.state is State.SET_ASIDE and mark.named and not reason.strip():
            brief, carried = mark.tags.brief(), self.view.cursor.carried
            again = replace(mark, state=State.TAGGED, reason="")
            position = self.view.cursor.position
            self._mark(again, f"{brief}, no longer set aside", carried)
            return f"Card {position} is no longer set aside: {brief}."
        # the card is gone from the eye with this key, so an empty line is no reason to refuse it
        why = self.reasons.meant(reason) or "check again"
        position, carried = self.view.cursor.position, self.view.carried
        tags = mark.tags
        # It lies among the cards of today, whenever it is tagged; one that has tags has its own.
        if mark.state is State.UNTAGGED:
            tags = tags.saying({field: carried.get(field) for field in KEPT_ASIDE})
        self._mark(Mark(State.SET_ASIDE, tags, why), f"set aside: {why}", carried)
        said = sentence(f"Card {position} is set aside: {why}")
        return _and_over(said, carried, self.view)

    def clear(self) -> str:
        """Take all tags off the card in front; the dealer stays at it."""
        mark = self.view.here().mark
        if mark == UNTAGGED:
            raise Refused("This card has no tags to clear.")
        if mark.gone:
            raise Refused(left_named(self.view.cursor.position, mark))
        # It stays in front: who clears a card is about to say what it is.
        self._mark(UNTAGGED, "cleared", self.view.cursor.carried, step=0)
        return f"Card {self.view.cursor.position} is untagged again."

    def _tag(
        self,
        tags: Tags,
        unsure: bool = False,
        doubts: tuple[str, ...] | None = None,
        seen: Seen | None = None,
        named: bool | None = None,
    ) -> str:
        card, position = self.view.here(), self.view.cursor.position
        if doubts is None:
            doubts = self.review.warnings(position, tags, seen)
        first, before = card.mark.state is State.UNTAGGED, self.view.tags_before()
        passed = self.view.passed()
        # at a card that was passed before, what is carried stays as it is where the lot goes on
        was = carried = self.view.carried if first else self.view.cursor.carried
        if first and tags.set:
            # a tray has one set after the other: what was taken is what comes next
            carried = carried.put("set", tags.set)
        brief = _with_another_set(tags, card.mark, before)
        self._mark(taken(tags, card.mark, unsure), brief, carried)
        if first:
            # a card that is tagged anew says nothing of how the lot goes on
            self.candidates.learn(before, tags, named, passed)
        self.pace.card(self.now())
        return _and_over(warned(f"Card {position}: {brief}.", doubts), was, self.view)

    def _mark(self, mark: Mark, what: str, carried: Carried, step: int = 1) -> None:
        card, position = self.view.here(), self.view.cursor.position
        if mark.state is not State.UNTAGGED:
            # a card that was sold stays so, whatever it is called
            mark = replace(mark, gone=card.mark.gone, trade=card.mark.trade)
        if step and card.mark.state is State.UNTAGGED:
            # a stretch is so many new cards; one that is mended within it is none
            carried = counted(carried)
        marking = Marking(card.id, card.mark, mark)
        # who says anew which card it is has answered whether it is another one
        stamps = self.scans.replaced.accepted([position]) if names_anew(marking) else ()
        after = Cursor(position + step, carried)
        self.enter(f"card {position}: {what}", [marking], after, stamps=stamps)

    # Carrying

    def carry(self, hint: str) -> str:
        """Carry what the hint says about set, parallel, condition, place, note and price from now
        on, or with `next=60` for so many untagged cards."""
        return self.carry_off(hint)[0]

    def carry_off(self, hint: str) -> tuple[str, str]:
        """The same, and the words of the hint that stay: those that are of the card in front."""
        view = self.view
        carrying = carrying_on(view.cursor, view.carried, self.candidates, hint)
        self.enter(carrying.label, after=carrying.cursor)
        return carrying.told, carrying.rest

    def drop(self, hint: str) -> str:
        """Stop carrying the field that the hint names, with an empty hint the one set last; `next`
        ends a stretch."""
        carrying = dropping(self.view.cursor, self.view.carried, hint)
        self.enter(carrying.label, after=carrying.cursor)
        return carrying.told

    # Moving

    def go(self, position: int) -> str:
        """Stand at a card, counted from 1; one past the last is the end of the lot."""
        if not 1 <= position <= self.view.cards + 1:
            raise Refused(f"There is no card {position}; the lot has {self.view.cards}.")
        self._move(position)
        return ""

    def step(self, by: int) -> str:
        """Go some cards on (or back, below 0), at most to either end."""
        return self.go(min(max(1, self.view.cursor.position + by), self.view.cards + 1))

    def next_untagged(self, direction: int = 1) -> str:
        """Go to the nearest untagged card onwards (1) or backwards (-1), round the end once."""
        start, total = self.view.cursor.position, self.view.cards
        for distance in range(1, total + 1):
            position = (start - 1 + direction * distance) % total + 1
            untagged = self.view.card_at(position).mark.state is State.UNTAGGED
            # round the end once, the last to be asked is the card in front itself
            if position != start and untagged:
                return " ".join(filter(None, (_left_untagged(self.view), self.go(position))))
        raise Refused("No other card is untagged.")

    def _move(self, position: int) -> None:
        self._store.move_to(replace(self.view.cursor, position=position))

    # Second thoughts

    def undo(self) -> str:
        """Take the last change back and stand where it was made."""
        return f"Undone: {self._retraced(self._store.undo, 'There is nothing to undo.')}."

    def redo(self) -> str:
        """Do again what was undone last."""
        return f"Redone: {self._retraced(self._store.redo, 'There is nothing to redo.')}."

    def _retraced(self, step: Callable[[], Change | None], nothing: str) -> str:
        # the arrangement before the step: scans that come back find their cards by it
        before, change = self.view.arrangement, step()
        if change is None:
            raise Refused(nothing)
        self._changed(change)
        self.scans.undigested.extend(one.scan for one in change.stamps)
        if change.arrangement is not None:
            # scans that came after it stay in the lot, whatever is undone or done again
            self.folder.read_again(before)
        return change.label

    # The one door

    def enter(
        self,
        label: str,
        markings: Sequence[Marking] = (),
        after: Cursor | None = None,
        arrangement: Arrangement | None = None,
        stamps: Sequence[StampChange] = (),
    ) -> None:
        """Do a change; it is durable when this returns. Without `after` the dealer stays where they
        stand; `stamps` is what scans are known to be, and for cards that are tagged now it is what
        they are. Raises NotSaved."""
        now = self.view.cursor
        # Before the change: a card that is tagged has its stock number from that moment on, also
        # where the program dies in between.
        if not self.view.part:
            self.begin_stock()
        markings = numbered(self.view, markings)
        both = None if arrangement is None else (self.view.arrangement, arrangement)
        known = (*stamps, *self.scans.stamped(markings, arrangement, stamps))
        then = with_newest_set(self.view, markings, after or now)
        change = Change(label, self.now(), now, then, tuple(markings), both, known)
        # first on the disk: what raises here has changed nothing
        self._store.enter(change)
        self._changed(change)

    def _changed(self, change: Change) -> None:
        ids = [marking.id for marking in change.marks]
        self._touched.update(ids)
        self.heard(change.marks)
        self.candidates.changed(ids, change.arrangement is not None)
        self.review.changed(ids)

    # Keeping

    def copy_to(self, folder: str) -> str:
        """Write the lot as it stands into another folder."""
        if not folder.strip():
            raise Refused("Type the folder for the copy.")
        target = self._store.copy_to(Path(os.path.expanduser(folder.strip())))
        return f"A copy of the lot is in {printable(str(target))}."

    def settle(self) -> None:
        """The keys are quiet: let the store bring up what waits."""
        # a sitting is kept now and then, too: the connection may break before it is closed
        self._store.sat(self.sitting())
        self._store.settle()
        self.remember_unlisted(self.candidates.unlisted)

    def close(self) -> None:
        """Let go of the lot; all is kept."""
        self._store.sat(self.sitting())
        self._store.close()
        self.remember_unlisted(self.candidates.unlisted)


def _with_another_set(tags: Tags, mark: Mark, before: Tags | None) -> str:
    """Tags in few words, with their set where it is another one: of a card that is put right, or
    from which on the lot goes on in that set, which a number alone may have done."""
    said = tags.brief()
    if not mark.named and mark.state is not State.UNTAGGED:
        return said
    last = mark.tags if mark.named else before
    if last is None or last.set == tags.set:
        return said
    return f"{said}, {tags.set or 'no set'}"


def _and_over(done: str, before: Carried, view: LotView) -> str:
    """What was done, that a stretch was over by it, and which divider comes next."""
    now = view.cursor.carried
    return " ".join(filter(None, (done, told_over(before, now), view.told_divider(now))))


def _left_untagged(view: LotView) -> str:
    """That the card in front has no tag and is passed over; empty where it has one."""
    card = view.card
    if card is None or card.mark.state is not State.UNTAGGED:
        return ""
    return f"Card {view.cursor.position} is left untagged."
