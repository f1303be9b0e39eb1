"""Cards that leave their place, sold or pulled, and come back: marked, never taken out of the
lot."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.model.tags import Mark, Marking, State
from tagger.core.model.text import printable
from tagger.errors import Refused, UsageError

if TYPE_CHECKING:
    from tagger.core.session.session import Session

SOLD, PULLED = "sold", "pulled"
_SPAN = re.compile(r"([0-9]{1,9})(?:-([0-9]{1,9}))?")


def positions(words: Sequence[str], cards: int) -> list[int]:
    """`12 40-42` as positions of a lot with so many cards, each once. Raises UsageError."""
    found: list[int] = []
    for word in words:
        first, last = _span(word)
        for end in (first, last):
            if not 1 <= end <= cards:
                raise UsageError(f"There is no card {end}; the lot has {cards}.")
        found.extend(range(first, last + 1))
    return list(dict.fromkeys(found))


def _span(word: str) -> tuple[int, int]:
    """The first and the last position that a word names. Raises UsageError."""
    match = _SPAN.fullmatch(word)
    if match is None:
        raise UsageError(
            f"'{printable(word, 40)}' is not a position; type 12, or 40-42 for several."
        )
    first, last = int(match[1]), int(match[2] or match[1])
    if first > last:
        raise UsageError(f"{word} runs backwards; type the smaller position first.")
    return first, last


def leave(session: Session, where: Sequence[int], gone: str) -> str:
    """Mark the cards at some positions as `gone` (SOLD or PULLED; empty: they are back in their
    places), as one change that undo takes back. Raises Refused, NotSaved."""
    marks: list[Marking] = []
    for position in where:
        card = session.view.card_at(position)
        # all or nothing: a list of positions with one wrong card in it is a list of the wrong cards
        _check(position, card.mark, gone)
        # one of several may have been marked before
        if card.mark.gone != gone:
            marks.append(Marking(card.id, card.mark, replace(card.mark, gone=gone)))
    if not marks:
        raise Refused(f"Already {gone}: {_cards(where)}. Nothing was changed.")
    said = f"{_cards(where)} {gone or 'returned to stock'}"
    session.enter(said, marks)
    return f"{said[0].upper()}{said[1:]}: {_names(marks)}."


def _check(position: int, mark: Mark, gone: str) -> None:
    """Raises Refused where a card cannot leave its place, or come back to it."""
    if mark.state is State.UNTAGGED:
        raise Refused(
            f"Card {position} is untagged; tag it first, so the record shows which card left."
        )
    if not gone and not mark.gone:
        raise Refused(f"Card {position} is already in its place.")


def _names(marks: Sequence[Marking]) -> str:
    """The first few of the cards."""
    names = "; ".join(mark.after.tags.brief() for mark in marks[:3])
    if len(marks) > 3:
        names += f" and {len(marks) - 3} more"
    return names


def _cards(where: Sequence[int]) -> str:
    shown = ", ".join(map(str, where[:8]))
    if len(where) > 8:
        shown += " …"
    return f"cards {shown}" if len(where) > 1 else f"card {shown}"
