"""Puts right what the feeder got wrong in a lot at work: every mend is one change, durable and
undoable like a tag."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tagger.core.fixes.fix import BringsCards, Fix, apply_fix
from tagger.core.lot.view import UNTAGGED
from tagger.core.model.scan_ref import StampChange
from tagger.core.model.tags import Mark, Marking, State
from tagger.core.session.arranging import enter_arranged
from tagger.core.session.replaced_answers import another_card
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.audit.findings import Finding
    from tagger.core.model.arrangement import Arrangement
    from tagger.core.session.session import Session


@dataclass(frozen=True)
class Fixed:
    """A lot with some things put right that are not entered yet: its arrangement, the marks, the
    next card's identity, what was done in a few words each, and the stamps of scans that came."""

    arrangement: Arrangement
    marks: Mapping[int, Mark]
    next_id: int
    labels: tuple[str, ...] = ()
    stamps: tuple[StampChange, ...] = ()

    def then(self, mends: Sequence[Fix]) -> Fixed:
        """With more put right, one thing after the other. Raises Refused."""
        now, marks, next_id = self.arrangement, dict(self.marks), self.next_id
        labels = list(self.labels)
        # each is worked out on what the one before made: positions move
        for mend in mends:
            labels.append(mend.label(now))
            now, moved = apply_fix(now, marks, mend, next_id)
            next_id = max([next_id, *(pair.id + 1 for pair in now.pairs)])
            marks.update((marking.id, marking.after) for marking in moved)
        stamps = (*self.stamps, *_brought(mends))
        return Fixed(now, marks, next_id, tuple(labels), stamps)

    def said(self, since: int = 0) -> str:
        """What was done, after the first so many things."""
        return f"{_capital(_label(self.labels[since:]))}."


class Fixer:
    """Mends the lot of a session. Methods return what to tell the dealer; Refused says why not."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def begin(self) -> Fixed:
        """The lot with nothing put right."""
        view = self._session.view
        marks = {pair.id: view.mark(pair.id) for pair in view.arrangement.pairs}
        return Fixed(view.arrangement, marks, view.next_id)

    def mend(self, mends: Sequence[Fix]) -> str:
        """Put right one thing after the other, as one change. The dealer stays at the same card."""
        return self.enter(self.begin().then(mends))

    def enter(self, fixed: Fixed) -> str:
        """Enter all that was put right, as one change."""
        before = self.begin()
        # Two findings may ask for the same fix; a change that changes nothing would be one step of
        # undo that does nothing.
        if fixed.arrangement == before.arrangement:
            raise Refused("Already done.")
        changed = list(_changed(before.marks, fixed.marks))
        label = _label(fixed.labels)
        enter_arranged(self._session, label, fixed.arrangement, changed, fixed.stamps)
        return fixed.said()

    def set_of(self, position: int) -> str:
        """The set of the card at a position (from 1), empty where it has none: the carried one
        counts for the card in front only."""
        # what is carried is for the next card that is taken, and no other one
        view = self._session.view
        own = view.card_at(position).mark.tags.set
        if own or position != view.cursor.position:
            return own
        return view.carried.get("set")

    def remedy(self, finding: Finding) -> str:
        """Do what one key can do about a finding. Raises Refused where that is nothing."""
        # First: of a scan that is another file by now, everything that was found in the old one
        # says nothing.
        if finding.replaced:
            at = self._session.view.arrangement.position_with(finding.scans[0])
            return another_card(self._session, [] if at is None else [at])
        if finding.fixes:
            return self.mend(finding.fixes)
        if finding.aside:
            return self._set_aside(finding)
        raise Refused(f"No automatic fix. {finding.remedy}")

    def set_aside(self) -> set[str]:
        """The scans of the cards that are set aside."""
        view = self._session.view
        return {
            scan
            for pair in view.arrangement.pairs
            if view.mark(pair.id).state is State.SET_ASIDE
            for scan in pair.scans
        }

    def _set_aside(self, finding: Finding) -> str:
        view = self._session.view
        # a finding names scans, which stay when cards are put in between
        places = {view.arrangement.position_with(scan) for scan in finding.scans}
        at = sorted(position for position in places if position is not None)
        cards = [view.card_at(position) for position in at]
        marks = [
            Marking(card.id, card.mark, _aside(card.mark, finding.aside))
            for card in cards
            if card.mark.state is not State.SET_ASIDE
        ]
        if not marks:
            raise Refused("Already set aside.")
        where, are = _cards_at(at)
        self._session.enter(f"{where}: set aside: {finding.aside}", marks)
        return f"{_capital(where)} {are} set aside: {finding.aside}."


def _brought(mends: Sequence[Fix]) -> list[StampChange]:
    """What is known of the scans of cards that come with tags of their own."""
    bringing = (mend for mend in mends if isinstance(mend, BringsCards))
    return [
        StampChange(scan, None, stamp) for mend in bringing for scan, stamp in mend.stamps.items()
    ]


def _aside(mark: Mark, reason: str) -> Mark:
    return replace(mark, state=State.SET_ASIDE, reason=reason)


def _cards_at(positions: Sequence[int]) -> tuple[str, str]:
    """Which cards they are, and the verb that goes with them."""
    if len(positions) == 1:
        return f"card {positions[0]}", "is"
    return f"{len(positions)} cards from card {positions[0]} on", "are"


def _label(labels: Sequence[str]) -> str:
    """What the history calls several fixes at once."""
    if len(labels) == 1:
        return labels[0]
    return f"{labels[0]}, and {len(labels) - 1} more"


def _capital(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}"


def _changed(first: Mapping[int, Mark], marks: Mapping[int, Mark]) -> Iterator[Marking]:
    # of a mark that one mend moved and another moved on, the history has both ends only
    for id, mark in marks.items():
        before = first.get(id, UNTAGGED)
        if before != mark:
            yield Marking(id, before, mark)
