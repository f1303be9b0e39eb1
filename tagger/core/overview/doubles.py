"""Copies of the same card in a lot."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from tagger.core.model.numbers import canonical
from tagger.core.model.tags import Mark, State
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.lot.fields import CardInLot

_Key = tuple[str, str, str, str]


def _key(mark: Mark) -> _Key | None:
    tags = mark.tags
    if mark.state is not State.TAGGED or not (tags.number or tags.subject):
        return None
    # as hints compare them, so that `RC-7` and `rc7` are one card
    return fold(tags.set), canonical(tags.number), fold(tags.subject), fold(tags.parallel)


class Doubles:
    """Which tagged cards of a lot are the same: set, number, subject and parallel, compared as
    hints are. Condition, place and serial number do not tell two copies apart (common practice, no
    source)."""

    def __init__(self, cards: Iterable[CardInLot] = ()) -> None:
        self._at: defaultdict[_Key | None, list[int]] = defaultdict(list)
        for card in cards:
            self._at[_key(card.mark)].append(card.position)
        self._at.pop(None, None)  # cards that nothing is known of are no copies of each other

    def of(self, mark: Mark) -> Sequence[int]:
        """The positions of all cards that are the same as this one, itself among them; empty where
        it is no tagged card."""
        return self._at.get(_key(mark), ())
