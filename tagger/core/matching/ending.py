"""How a place or a note that was begun goes on, by those that were typed before: the third card
from `box 12, row 3` should not cost its letters once more."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from tagger.core.matching.hint import open_tail

if TYPE_CHECKING:
    from tagger.core.model.tags import Tags


def ending(hint: str, now: Tags, before: Iterable[Tags]) -> tuple[str, str]:
    """The hint with the first place or note in some tags that goes on as it ends, written as it was
    then, and what that adds; both empty where none goes on so, or is what the card has `now`."""
    open_field = open_tail(hint)
    if open_field is None:
        return "", ""
    field, begun = open_field
    for tags in before:
        value: str = getattr(tags, field)
        # behind a sign the rest of it would be read as another field
        if "=" not in value and value != getattr(now, field) and _goes_on(value, begun):
            return hint[: len(hint) - len(begun)] + value, value[len(begun) :]
    return "", ""


def _goes_on(value: str, begun: str) -> bool:
    return len(value) > len(begun) and value[: len(begun)].casefold() == begun.casefold()
