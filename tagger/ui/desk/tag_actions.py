"""The desk's actions for tagging a card, for going to another one, and for taking back what was
done."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from tagger.core.model.side_order import SideOrder
from tagger.core.session.arranging import arrange
from tagger.errors import Refused
from tagger.ui.desk.actions import Handler, Outcome, done
from tagger.ui.keys import Action

if TYPE_CHECKING:
    from tagger.core.session.proposal import Proposal
    from tagger.core.session.seen import Seen
    from tagger.ui.desk.parts import DeskParts

LONGEST_POSITION = 9  # digits; more are a slip of the finger, and no lot has so many cards


class TagActions:
    """Each asks one thing of the session."""

    def __init__(self, parts: DeskParts) -> None:
        self._parts, self._session, self._hint = parts, parts.session, parts.hint
        session, review, hint = parts.session, parts.session.review, parts.hint
        self._doubted: tuple[int, str] | None = None
        self.handlers: Mapping[Action, Handler] = {
            Action.TAKE: self._take,
            Action.READING_DOWN: self._reading_down,
            Action.READING_UP: self._reading_up,
            Action.WHY: self._why,
            Action.AGAIN: self._reviewed(lambda text: session.again(text, self._seen)),
            Action.SET_ASIDE: self._reviewed(session.set_aside),
            Action.UNLISTED: self._take_unlisted,
            Action.CARRY: lambda: done(*session.carry_off(hint.text)),
            Action.DROP: lambda: done(session.drop(hint.text)),
            Action.SIDES: self._next_side_order,
            Action.NEXT_CARD: lambda: done(session.step(1)),
            Action.PREVIOUS_CARD: lambda: done(session.step(-1)),
            Action.NEXT_UNTAGGED: lambda: done(session.next_untagged(1)),
            Action.PREVIOUS_UNTAGGED: lambda: done(session.next_untagged(-1)),
            Action.REVIEW: lambda: done(review.next()),
            Action.GO: self._go,
            Action.UNDO: lambda: done(session.undo()),
            Action.REDO: lambda: done(session.redo()),
            Action.CLEAR: lambda: done(session.clear()),
            Action.COPY: lambda: done(session.copy_to(hint.text)),
        }

    def _reviewed(self, tag: Callable[[str], str]) -> Handler:
        """Tag by the hint; who goes through the cards in question goes on to the next of them."""
        review, hint = self._session.review, self._hint
        return lambda: done(review.after(lambda: tag(hint.text)))

    def _take_unlisted(self) -> Outcome:
        session, text = self._session, self._hint.text
        here = session.view.cursor.position, text
        # A set that is carried on in silence would be a wrong tag: pressed again, the key says it.
        if (doubt := session.unlisted(text).doubt) and self._doubted != here:
            self._doubted = here
            key = self._parts.keys.shown(Action.UNLISTED)
            raise Refused(f"{doubt} Another set: type set=…; this one: {key} again.")
        return self._reviewed(lambda hint: session.take_unlisted(hint, self._seen))()

    @property
    def _seen(self) -> Seen | None:
        return self._parts.seen

    def _take(self) -> Outcome:
        # What came by itself a moment ago is not what this key was pressed for.
        if not self._hint.text and self._parts.reading.just_changed:
            raise Refused("What was read came just now: look at it, then press the key again.")
        said = self._session.accept(self._hint.text, self._hint.choice, self._seen)
        return done(said)

    def _proposal(self) -> Proposal:
        return self._parts.proposal()

    def _reading_down(self) -> Outcome:
        last = max(0, len(self._proposal().candidates) - 1)
        self._hint.choice = min(self._hint.choice + 1, last)
        return Outcome()

    def _reading_up(self) -> Outcome:
        self._hint.choice = max(0, self._hint.choice - 1)
        return Outcome()

    def _why(self) -> Outcome:
        candidate = self._proposal().candidate
        if candidate is None:
            raise Refused("No match to explain.")
        return Outcome(f"Read as: {candidate.explained()}.")

    def _next_side_order(self) -> Outcome:
        orders = list(SideOrder)
        # Round and round: the dealer sees on the screen which one it is.
        after = (orders.index(self._session.view.sides) + 1) % len(orders)
        return Outcome(arrange(self._session, orders[after]))

    def _go(self) -> Outcome:
        typed = self._hint.text.strip()
        if not typed.isdecimal() or len(typed) > LONGEST_POSITION:
            raise Refused(f"Type the position of a card, then {self._parts.keys.shown(Action.GO)}.")
        return done(self._session.go(int(typed)))
