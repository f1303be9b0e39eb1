"""Copies of the same card, in a lot and over several."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from tagger.core.lot.fields import cards
from tagger.core.model.copies import Kind, kind_of

if TYPE_CHECKING:
    from tagger.core.lot.fields import CardInLot
    from tagger.core.lot.view import LotView
    from tagger.core.model.tags import Mark

Copies = Counter[Kind]
"""How many copies of each card are in stock."""


def _kind(mark: Mark) -> Kind | None:
    # a copy that was sold or pulled makes no double of the one that is left
    if not mark.in_stock or not (mark.tags.number or mark.tags.subject):
        return None
    return kind_of(mark.tags)


def copies_in(lots: Iterable[LotView]) -> Copies:
    """The copies that are in stock over some lots."""
    kinds = (_kind(card.mark) for lot in lots for card in cards(lot))
    return Counter(kind for kind in kinds if kind is not None)


class Doubles:
    """Which cards of a lot are copies of the same card, as far as they are in stock."""

    def __init__(self, cards: Iterable[CardInLot] = (), over: Copies | None = None) -> None:
        """`over` are the copies of all lots that are looked at together, this one among them; None
        where that is this lot alone."""
        self._at: defaultdict[Kind | None, list[int]] = defaultdict(list)
        for card in cards:
            self._at[_kind(card.mark)].append(card.position)
        self._at.pop(None, None)  # cards that nothing is known of are no copies of each other
        self._over = over

    def of(self, mark: Mark) -> Sequence[int]:
        """The positions in the lot of all cards that are the same as this one, itself among them;
        empty where it is not in stock."""
        return self._at.get(_kind(mark), ())

    def has(self, mark: Mark) -> bool:
        """Whether there is another copy of this card, in any of the lots."""
        kind = _kind(mark)
        if self._over is None or kind is None:
            return len(self.of(mark)) > 1
        return self._over[kind] > 1
