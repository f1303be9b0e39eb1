"""What the dealer says of a card whose scans were replaced: the same card scanned again, or another
one. Each answer is one change, durable and undoable."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.lot.view import UNTAGGED
from tagger.core.model.counted import counted
from tagger.core.model.tags import Marking
from tagger.core.session.review import left_named
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.session.session import Session


def same_card(session: Session, positions: Sequence[int]) -> str:
    """These cards were scanned again: they keep their tags. Raises Refused where none of them is
    asked about."""
    asked = _asked(session, positions)
    said = f"{_cards(asked)}: scanned again, tags kept"
    session.enter(said, stamps=session.scans.replaced.accepted(asked))
    return f"{said[0].upper()}{said[1:]}."


def another_card(session: Session, positions: Sequence[int]) -> str:
    """Other cards lie there now: the tags are removed, but of cards that were sold or pulled: these
    say what left. Raises Refused where none of the others is asked about."""
    asked = _asked(session, positions)
    there = [at for at in asked if not session.view.card_at(at).mark.gone]
    if not there:
        raise Refused(left_named(asked[0], session.view.card_at(asked[0]).mark))
    cards = [session.view.card_at(position) for position in there]
    said = f"{_cards(there)}: another card, tags removed"
    session.enter(said, [Marking(card.id, card.mark, UNTAGGED) for card in cards])
    left = len(asked) - len(there)
    more = f" Sold or pulled, and unchanged: {counted(left, 'card')}." if left else ""
    return f"{said[0].upper()}{said[1:]}.{more}"


# by the words that are typed for them
ANSWERS: Mapping[str, Callable[[Session, Sequence[int]], str]] = {
    "same": same_card,
    "another": another_card,
}


def _asked(session: Session, positions: Sequence[int]) -> list[int]:
    meant = set(positions)
    asked = [position for position in session.scans.replaced.positions() if position in meant]
    if not asked:
        raise Refused("No scan was replaced here since the card was tagged.")
    return asked


def _cards(positions: Sequence[int]) -> str:
    if len(positions) == 1:
        return f"card {positions[0]}"
    return f"{counted(len(positions), 'card')} from card {positions[0]} on"
