"""Another arrangement of the lot entered: its scans paired in another way, and the dealer still at
the same card."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.feeding.pairing import rearranged

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.core.model.arrangement import Arrangement
    from tagger.core.model.scan_ref import StampChange
    from tagger.core.model.side_order import SideOrder
    from tagger.core.model.tags import Marking
    from tagger.core.session.session import Session


def arrange(session: Session, sides: SideOrder) -> str:
    """Read the scans in another side order; returns what to tell the dealer. Raises Refused,
    NotSaved."""
    view = session.view
    fresh, moved = rearranged(view.arrangement, view.marks, sides, view.next_id)
    enter_arranged(session, f"sides: {sides}", fresh, moved)
    return f"Side order is now: {sides}. {len(fresh.pairs)} cards."


def enter_arranged(
    session: Session,
    label: str,
    fresh: Arrangement,
    marks: Sequence[Marking],
    stamps: Sequence[StampChange] = (),
) -> None:
    """Enter a change of the arrangement; the dealer stays at the same card. Raises NotSaved."""
    # In the change itself: moved afterwards, undo would lead to another card than the one where it
    # was made.
    position = _position_in(session.view, fresh)
    session.enter(label, marks, replace(session.view.cursor, position=position), fresh, stamps)


def _position_in(view: LotView, fresh: Arrangement) -> int:
    """Where the card in front is in another arrangement."""
    end = len(fresh.pairs) + 1
    # who had done all of it stands behind the last card again
    if view.card is None:
        return end
    scans = (scan for scan in (view.card.front, view.card.back) if scan is not None)
    there = [at for scan in scans if (at := fresh.position_with(scan)) is not None]
    # where its two scans are two cards now, the first of them
    return min(there, default=min(view.cursor.position, end))
