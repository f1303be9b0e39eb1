"""Puts right what the feeder got wrong in a lot at work: every mend is one change, durable and
undoable like a tag."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tagger.core.audit.findings import Finding
from tagger.core.fixes.fix import Fix, apply_fix
from tagger.core.lot.change import Change
from tagger.core.model.tags import Mark, Marking, State
from tagger.core.session.session import Session
from tagger.errors import Refused


class Fixer:
    """Mends the lot of a session. Methods return what to tell the dealer; Refused says why not."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def mend(self, mends: Sequence[Fix]) -> str:
        """Put right one thing after the other, as one change. The dealer stays at the same card."""
        session = self._session
        before, next_id = session.arrangement, session.next_id
        marks = {pair.id: session.mark(pair.id) for pair in before.pairs}
        first = dict(marks)
        now, labels = before, []
        for mend in mends:
            labels.append(mend.label(now))
            now, moved = apply_fix(now, marks, mend, next_id)
            next_id = max([next_id, *(pair.id + 1 for pair in now.pairs)])
            marks.update((marking.id, marking.after) for marking in moved)
        if now == before:
            raise Refused("That is so already.")
        changed = tuple(
            Marking(id, first.get(id, Mark()), mark)
            for id, mark in marks.items()
            if first.get(id, Mark()) != mark
        )
        label = labels[0] if len(labels) == 1 else f"{labels[0]}, and {len(labels) - 1} more"
        session.enter_arranged(label, now, changed)
        return f"{label[0].upper()}{label[1:]}."

    def set_of(self, position: int) -> str:
        """The set of the card at a position (from 1), empty where it has none: the carried one
        counts for the card in front only."""
        session = self._session
        carried = session.desk.carried.get("set") if position == session.desk.position else ""
        return session.card_at(position).mark.tags.set or carried

    def remedy(self, finding: Finding) -> str:
        """Do what one key can do about a finding. Raises Refused where that is nothing."""
        if finding.fixes:
            return self.mend(finding.fixes)
        if finding.aside:
            return self._set_aside(finding)
        raise Refused(f"Nothing here that a key can do. {finding.remedy}")

    def set_aside(self) -> set[str]:
        """The scans of the cards that are set aside."""
        session = self._session
        pairs = (
            pair
            for pair in session.arrangement.pairs
            if session.mark(pair.id).state is State.SET_ASIDE
        )
        return {scan for pair in pairs for scan in pair[1:] if scan is not None}

    def _set_aside(self, finding: Finding) -> str:
        session, scans = self._session, set(finding.scans)
        at = [
            n for n, pair in enumerate(session.arrangement.pairs, start=1) if scans & set(pair[1:])
        ]
        marks = []
        for position in at:
            card = session.card_at(position)
            if card.mark.state is not State.SET_ASIDE:
                marks.append(
                    Marking(
                        card.id,
                        card.mark,
                        replace(card.mark, state=State.SET_ASIDE, reason=finding.aside),
                    )
                )
        if not marks:
            raise Refused("It is set aside already.")
        where = f"card {at[0]}" if len(at) == 1 else f"{len(at)} cards from card {at[0]} on"
        session.enter(
            Change(
                f"{where}: set aside: {finding.aside}",
                session.now(),
                session.desk,
                session.desk,
                tuple(marks),
            )
        )
        return (
            f"{where[0].upper()}{where[1:]} {'is' if len(at) == 1 else 'are'} set aside: "
            f"{finding.aside}."
        )
