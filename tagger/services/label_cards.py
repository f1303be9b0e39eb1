"""The cards of all lots that get a label."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.fields import CardInLot, cards
from tagger.core.model.numbers import natural
from tagger.core.model.tags import State
from tagger.core.model.text import fold
from tagger.core.overview.doubles import Doubles
from tagger.core.overview.selection import read_filter, select
from tagger.core.reports.card_search import without_lot
from tagger.errors import UsageError

if TYPE_CHECKING:
    from tagger.core.model.condition import Scale
    from tagger.core.model.tags import Tags
    from tagger.core.overview.selection import Filter
    from tagger.services.lot_selection import ChosenLots


class LabelCard(NamedTuple):
    """A tagged card; `number` is its stock number, empty where its lot has none yet."""

    lot: str
    position: int
    number: str
    tags: Tags


def label_cards(
    lots: ChosenLots, words: Sequence[str], scale: Scale
) -> tuple[list[LabelCard], list[str]]:
    """The cards in stock that words mean, by place and there from the front: a filter as the
    overview has it, with `lot=spring` for lots with this in their name; and the lots' checklists.
    Raises UsageError where the words cannot be read, LotError where there is no lot."""
    hint, named = without_lot(" ".join(words))
    wanted = read_filter(hint, scale)
    if wanted.unclear:
        raise UsageError(f"{wanted.unclear}.")
    found: list[LabelCard] = []
    checklists: dict[str, None] = {}
    for place, lot in lots.read():
        checklists |= dict.fromkeys(lot.checklists)
        if named in fold(place.name):
            there = _meant(list(cards(lot)), wanted)
            found += [LabelCard(place.name, c.position, c.stock_number, c.mark.tags) for c in there]
    found.sort(key=lambda card: (natural(card.tags.place), natural(card.lot), card.position))
    return found, list(checklists)


def _meant(every: list[CardInLot], wanted: Filter) -> Iterator[CardInLot]:
    positions = set(select(every, wanted, Doubles(every)))
    for card in every:
        if card.position in positions and card.is_there and card.mark.state is State.TAGGED:
            yield card
