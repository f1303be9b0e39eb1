"""Running numbers of cards: given with the first tag, kept with the card, never given again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.model.stock_number import StockNumber
from tagger.core.model.tags import Mark, Marking, State

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView


def numbered(lot: LotView, markings: Sequence[Marking]) -> list[Marking]:
    """The same changes, with a running number for each card that gets its first tag."""
    # A fix moves tags from card to card, and the number with them: the card that they left must not
    # keep it too.
    moved = {marking.after.running for marking in markings}
    highest, found = lot.highest, list[Marking]()
    for marking in markings:
        running = _kept(marking.before, marking.after, moved)
        # Not before the first tag: numbers would else go to scans that turn out to be no card.
        if not running and marking.after.state is State.TAGGED:
            highest += 1
            running = highest
        found.append(marking._replace(after=_with(marking.after, running)))
    return found


def numbers_kept(lot: LotView, marks: Iterable[tuple[int, Mark]]) -> Iterable[tuple[int, Mark]]:
    """Marks as they are put: a tagged card that had a number keeps it, also where an older change
    that knew of none is undone."""
    marks = tuple(marks)
    moved = {mark.running for _, mark in marks}
    for id, mark in marks:
        if mark.running or mark.state is not State.TAGGED:
            yield id, mark
        else:
            yield id, _with(mark, _kept(lot.mark(id), mark, moved))


def _kept(before: Mark, after: Mark, moved: set[int]) -> int:
    """The number that a card has after a change, 0 where it has none yet; `moved` are those that
    went from card to card with their tags."""
    if after.running or before.running in moved or after.state is State.UNTAGGED:
        return after.running
    return before.running


def _with(mark: Mark, running: int) -> Mark:
    if mark.running == running:
        return mark
    return replace(mark, running=running)


def stock_number(part: str, mark: Mark) -> str:
    """The stock number of a card in a lot with this part, empty before its first tag."""
    if not part or not mark.running:
        return ""
    return str(StockNumber(part, mark.running))
