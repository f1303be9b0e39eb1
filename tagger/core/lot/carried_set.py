"""The set that is carried follows the newest card: where that is put right, the next one is of its
set too, and the dealer does not say it twice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.model.tags import Marking, State

if TYPE_CHECKING:
    from tagger.core.lot.carried import Cursor
    from tagger.core.lot.view import LotView


def with_newest_set(view: LotView, markings: Sequence[Marking], after: Cursor) -> Cursor:
    """Where the dealer stands after a change, with what is carried then. The newest card is the
    last tagged one before the first that is not."""
    carried = after.carried.get("set")
    # asked first: a lot is not gone through for a change that cannot matter
    moved = {one.id: one.after.tags.set for one in markings if carried and _left_set(one, carried)}
    if not moved:
        return after
    newest = _newest(view)
    if newest is None or newest not in moved:
        return after
    return replace(after, carried=after.carried.put("set", moved[newest]))


def _left_set(marking: Marking, name: str) -> bool:
    """Whether a tagged card was of a set, and is tagged as one of another."""
    before, after = marking.before, marking.after
    if before.state is not State.TAGGED or after.state is not State.TAGGED:
        return False
    return before.tags.set == name and after.tags.set not in ("", name)


def _newest(view: LotView) -> int | None:
    newest = None
    for pair in view.arrangement.pairs:
        state = view.mark(pair.id).state
        if state is State.UNTAGGED:
            break
        if state is State.TAGGED:
            newest = pair.id
    return newest
