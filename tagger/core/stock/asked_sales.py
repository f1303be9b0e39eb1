"""Sales that other stations ask for, entered in the lot that has the cards."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from tagger.core.model.tags import Marking
from tagger.core.stock.asked import answer

if TYPE_CHECKING:
    from tagger.core.session.session import Session
    from tagger.core.stock.asked import Wish


def enter_wishes(session: Session, wishes: Iterable[Wish]) -> list[str]:
    """Mark the cards of these wishes as sold, each by a change of its own that undo reverts; a
    sentence for each. What cannot be sold any more is left alone. Raises NotSaved."""
    told: list[str] = []
    for wish in wishes:
        before = session.view.mark(wish.card)
        position = session.view.arrangement.position_of(wish.card)
        # Asked anew here, with the lot locked: between the look at the wishes and now somebody may
        # have sold the card at its own desk.
        after = answer(wish, before).mark
        if after is None or position is None:
            continue
        label = f"card {position} sold, asked by {wish.station}"
        session.enter(label, [Marking(wish.card, before, after)])
        told.append(f"{label[0].upper()}{label[1:]}: {after.tags.brief()}.")
    return told
