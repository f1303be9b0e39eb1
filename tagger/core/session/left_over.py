"""What is left of a lot when its last card is passed."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.tags import State

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView


class LeftOver(NamedTuple):
    """Cards that something is left to do with, by what it is; a card may be in several."""

    untagged: int = 0
    set_aside: int = 0
    unlisted: int = 0
    unsure: int = 0


def left_over(view: LotView) -> LeftOver:
    """Count them. An unlisted card that was confirmed is done with, as in the review."""
    counts = view.counts()
    marks = [view.mark(pair.id) for pair in view.arrangement.pairs]
    tagged = [mark for mark in marks if mark.state is State.TAGGED and not mark.confirmed]
    return LeftOver(
        counts.untagged,
        counts.set_aside,
        sum(not mark.tags.listed for mark in tagged),
        sum(mark.unsure for mark in tagged),
    )
