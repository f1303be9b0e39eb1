"""The lots of a table: what reads their cards, and which of the cards the table has."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import chain
from types import MappingProxyType
from typing import TYPE_CHECKING

from tagger.core.lot.fields import (
    CardInLot,
    Field,
    Value,
    cards,
    further_columns,
    layout_fields,
    reader,
    run_of_serial,
    with_replaced,
)
from tagger.core.model.column_names import PRICE
from tagger.core.overview.doubles import Copies, Doubles
from tagger.core.overview.selection import Filter, select
from tagger.core.reports.lot_words import is_called
from tagger.exchange.layout.row_filter import CHOICES, NOT_FILTERED, misspelled

if TYPE_CHECKING:
    from tagger.core.lot.lot import LotState
    from tagger.core.model.tags import Tags
    from tagger.exchange.layout.layout import Layout

FurtherColumns = Mapping[str, Callable[[CardInLot], Value]]
"""Columns that no card of the lot has by itself: by name, in small letters, what reads them."""

NO_FURTHER: FurtherColumns = MappingProxyType({})
There = Callable[[Iterable[CardInLot]], Iterable[CardInLot]]


@dataclass(frozen=True)
class TableLot:
    """A lot whose cards go into a table. `name` is the lot's; `run_of` gives a card's print run;
    `ours` are columns beside those of the lot; `only` are filters as the overview has them, all of
    which a card must pass; `copies` and `places` are those of all lots of the table, None where it
    is one; `replaced` are the positions of cards whose scans were replaced, where that is asked."""

    name: str
    lot: LotState
    run_of: Callable[[Tags], str] = run_of_serial
    ours: FurtherColumns = field(default_factory=lambda: NO_FURTHER)
    only: tuple[Filter, ...] = ()
    copies: Copies | None = None
    places: Collection[str] | None = None
    replaced: Collection[int] = ()

    @cached_property
    def columns(self) -> tuple[str, ...]:
        """The checklist's further columns of the lot's cards."""
        return further_columns(self.lot)

    def reader(self, wanted: Field) -> Callable[[CardInLot], Value]:
        """What gives a card's value in a field."""
        own = self.ours.get(wanted.source)
        return own or reader(self._spelled(wanted), self.name, self.run_of)

    def _spelled(self, wanted: Field) -> Field:
        # the lists of two lots may have a column in two spellings: Rarity, rarity
        if not wanted.source or wanted.source in self.columns:
            return wanted
        alike = (name for name in self.columns if name.casefold() == wanted.source.casefold())
        return wanted._replace(source=next(alike, wanted.source))

    def picture(self, card: CardInLot, side: str) -> str:
        """The file of a card's picture, empty where none was written."""
        read = self.ours.get(f"{side} picture")
        return str(read(card)) if read else ""

    def further(self) -> tuple[str, ...]:
        """The checklist's further columns, then `ours`."""
        # A table that came back may have been read as a checklist: ours takes the place of a column
        # that is called like it.
        return (*(name for name in self.columns if name.casefold() not in self.ours), *self.ours)


def all_further(lots: Iterable[TableLot]) -> tuple[str, ...]:
    """The further columns of all lots, each once in the spelling of the first lot that has it, then
    those of the export."""
    names, ours = dict[str, None](), dict[str, None]()
    for one in lots:
        had = {name.casefold() for name in names}
        new = [name for name in one.further() if name not in one.ours]
        names.update(dict.fromkeys(name for name in new if name.casefold() not in had))
        ours.update(dict.fromkeys(one.ours))
    return (*names, *ours)


def meant_cards(lot: TableLot, layout: Layout | None, there: There) -> Iterator[CardInLot]:
    """The cards of a lot that a table by a layout has, in feeding order. `there` leaves out those
    that were sold or pulled."""
    # What says which states it wants has its own word on what was sold.
    own_word = layout is not None and "state" in layout.only.values
    own_word = own_word or any(one.gone for one in lot.only)
    every = cards(lot.lot)
    found = iter(every if own_word else there(every))
    if layout is not None:
        found = filter(layout.only.test(_tests(lot)), found)
    return _passing(lot, found) if lot.only else found


def pictured(
    lot: TableLot, layouts: Iterable[Layout | None], every: bool
) -> Collection[int] | None:
    """The positions of the cards that any of some tables has; None for all. With `every` those that
    were sold or pulled are among them."""
    named = list(layouts)
    if not lot.only and not any(one and one.only != NOT_FILTERED for one in named):
        return None

    def there(seen: Iterable[CardInLot]) -> Iterable[CardInLot]:
        return (card for card in seen if every or card.is_there)

    return {card.position for one in named or [None] for card in meant_cards(lot, one, there)}


def _passing(lot: TableLot, found: Iterator[CardInLot]) -> Iterator[CardInLot]:
    if not all(is_called(lot.name, one.lot) for one in lot.only):
        return iter(())
    every = with_replaced(cards(lot.lot), lot.replaced)
    doubles = Doubles(every, lot.copies)
    passing = set(range(1, len(every) + 1))
    for one in lot.only:
        passing &= set(select(every, one, doubles, lot.places))
    return (card for card in found if card.position in passing)


def misspelled_notes(lots: Sequence[TableLot], layout: Layout) -> Iterator[str]:
    """A sentence for each value that a filter has, but no card, where cards have nearly it."""
    if not lots:
        return
    every = chain.from_iterable(cards(one.lot) for one in lots)
    # what the values are read by is the same for every lot
    for what, value, near in misspelled(layout.only, every, _tests(lots[0])):
        yield f"{layout.file}: no card has the {what} '{value}'; did you mean {near}?"


def _tests(lot: TableLot) -> Mapping[str, Callable[[CardInLot], Value]]:
    known = layout_fields(lot.further())
    return {field.name: reader(field) for field in known if field.name in (*CHOICES, PRICE)}
