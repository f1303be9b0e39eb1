"""The rows of lots: the plain inventory, or as a layout has it. Rows are made one by one, as they
are asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.fields import (
    LOT,
    CardInLot,
    Field,
    Value,
    inventory_fields,
    is_price,
    run_of_serial,
)
from tagger.core.model.copies import Kind, alike_key
from tagger.core.model.tags import State, Tags
from tagger.core.model.text import fold
from tagger.exchange.layout.picture_cells import BETWEEN, SIDES
from tagger.exchange.table import Row, Table
from tagger.exchange.table_lots import (
    NO_FURTHER,
    FurtherColumns,
    TableLot,
    all_further,
    meant_cards,
    misspelled_notes,
)

if TYPE_CHECKING:
    from tagger.core.lot.lot import LotState
    from tagger.exchange.layout.layout import Layout
    from tagger.exchange.set_counts import SetCounts

_OF_THE_FIRST = ("front", "back")
_SIDES = {f"{side} picture": (side,) for side in SIDES}


class Seen(NamedTuple):
    """A card of a lot, and what reads the lot's fields by the names that a layout gives them."""

    card: CardInLot
    lot: TableLot
    readers: Mapping[str, Callable[[CardInLot], Value]]


@dataclass
class RowCount:
    """How many cards went into the rows, how many of them are not tagged, and how many were left
    out since they were sold or pulled; right when all rows were made. `every` asks for these as
    well; `sets` counts by set, for a file that has room for it; `last` is the card counted last,
    `at` which of the lots it is of, from 0; `ids` are the identities of all by lot."""

    cards: int = 0
    open: int = 0
    left_out: int = 0
    every: bool = False
    notes: list[str] = field(default_factory=list)
    sets: SetCounts | None = None
    last: CardInLot | None = None
    at: int = 0
    ids: dict[int, list[int]] = field(default_factory=dict)

    def count(self, seen: Iterator[CardInLot], at: int = 0) -> Iterator[CardInLot]:
        """The same cards of one of the lots, counted."""
        self.at, ids = at, self.ids.setdefault(at, [])
        for card in seen:
            self.cards += 1
            self.last = card
            ids.append(card.pair.id)
            self.open += card.mark.state is not State.TAGGED
            if self.sets is not None:
                self.sets.count(card)
            yield card

    def there(self, seen: Iterable[CardInLot]) -> Iterator[CardInLot]:
        """The cards without those that were sold or pulled, unless every one is asked for."""
        for card in seen:
            if self.every or card.is_there:
                yield card
            else:
                self.left_out += 1


def inventory(
    lot: LotState, count: RowCount | None = None, ours: FurtherColumns = NO_FURTHER
) -> Table:
    """The plain table of one lot; see `lots_inventory`."""
    return lots_inventory([TableLot("", lot, ours=ours)], count)


def laid_out(
    lot: LotState,
    name: str,
    layout: Layout,
    count: RowCount,
    run_of: Callable[[Tags], str] = run_of_serial,
    ours: FurtherColumns = NO_FURTHER,
) -> Table:
    """The table of one lot as a layout has it; see `lots_laid_out`."""
    return lots_laid_out([TableLot(name, lot, run_of, ours)], layout, count)


def lots_inventory(lots: Sequence[TableLot], count: RowCount | None = None) -> Table:
    """The plain table of lots: a row a card, of several lots their names, our columns, then the
    checklists' further ones, those that any card has, then those of the export."""
    fields = inventory_fields(all_further(lots), len(lots) > 1)
    count = count or RowCount()
    return Table(
        tuple(field.name for field in fields),
        _inventory_rows(lots, fields, count),
        prices=_prices(fields),
        counts=count.sets,
        fields=tuple(field.name for field in fields),
    )


def _inventory_rows(
    lots: Sequence[TableLot], fields: Sequence[Field], count: RowCount
) -> Iterator[Row]:
    for at, one in enumerate(lots):
        readers = [one.reader(field) for field in fields]
        for card in count.count(meant_cards(one, None, count.there), at):
            yield tuple(read(card) for read in readers)


def lots_laid_out(lots: Sequence[TableLot], layout: Layout, count: RowCount) -> Table:
    """The table of lots as a layout has it.

    Raises UsageError where the layout names a field that there is not.
    """
    used = layout.fields(all_further(lots))
    count.notes.extend(misspelled_notes(lots, layout))
    headings = tuple(column.heading for column in layout.columns)
    alone = [used.get(column.field) for column in layout.columns]
    prices, names = _prices(alone), tuple(field.name if field else "" for field in alone)
    seen = _seen(lots, layout, used, count)
    if layout.kind:
        shared = _shared(layout, used, len(lots) > 1)
        of_kind = [(name, used[name].name) for name in layout.kind]
        kinds = _kind_rows(layout, shared, seen, of_kind)
        return Table(headings, kinds, "kinds", prices, count.sets)
    return Table(headings, _card_rows(layout, seen), "cards", prices, count.sets, names)


def _seen(
    lots: Sequence[TableLot], layout: Layout, used: Mapping[str, Field], count: RowCount
) -> Iterator[Seen]:
    today = date.today().isoformat()
    for at, one in enumerate(lots):
        readers = {name: _reader(one, field, today) for name, field in used.items()}
        for card in count.count(meant_cards(one, layout, count.there), at):
            yield Seen(card, one, readers)


def _reader(lot: TableLot, field: Field, today: str) -> Callable[[CardInLot], Value]:
    if field.source == "today":
        return lambda card: today
    return lot.reader(field)


def _prices(fields: Sequence[Field | None]) -> frozenset[int]:
    """Which of the columns hold prices."""
    return frozenset(at for at, field in enumerate(fields) if field and is_price(field))


def _shared(layout: Layout, used: Mapping[str, Field], several: bool) -> set[str]:
    """The names of fields that are the same for all cards of a kind, however they are spelled in
    the layout."""
    of_kind = [used[name] for name in layout.kind]
    of_all = ("today",) if several else ("today", LOT)
    return {name for name, field in used.items() if field in of_kind or field.name in of_all}


def _row(layout: Layout, values: Mapping[str, Value]) -> Row:
    # A column that is one field alone keeps a whole number as one; composed text is text.
    texts = {name: str(value) for name, value in values.items()}
    return tuple(
        values[column.field] if column.field else column.text(texts) for column in layout.columns
    )


def _card_rows(layout: Layout, seen: Iterator[Seen]) -> Iterator[Row]:
    pictures = layout.picture_fields
    for one in seen:
        values = {name: read(one.card) for name, read in one.readers.items()}
        for name in pictures:
            values[name] = _pictures(layout, name, (one,))
        yield _row(layout, values)


def _kind_rows(
    layout: Layout, shared: set[str], seen: Iterator[Seen], of_kind: Sequence[tuple[str, str]]
) -> Iterator[Row]:
    """A row for the cards that are alike in the fields of the kind, in order of the first of them.
    Other fields hold all values of the cards, each once; front and back are those of the first.
    `of_kind` has the fields of the kind by their names in the layout and their own."""
    named = [field for _, field in of_kind if field in Kind._fields]
    others = [name for name, field in of_kind if field not in named]
    # A kind's cards lie anywhere in the lots, so none is finished before the last card.
    kinds: dict[tuple[Value, ...], list[Seen]] = {}
    for one in seen:
        # in any spelling, as everywhere else that copies are counted
        read = (_compared(one.readers[name](one.card)) for name in others)
        key = (*alike_key(one.card.mark.tags, named), *read)
        kinds.setdefault(key, []).append(one)
    pictures = layout.picture_fields
    for alike in kinds.values():
        values = {name: _of_kind(name, alike, shared) for name in alike[0].readers}
        for name in pictures:
            values[name] = _pictures(layout, name, alike)
        yield _row(layout, values)


def _compared(value: Value) -> Value:
    return fold(value) if isinstance(value, str) else value


def _of_kind(name: str, alike: Sequence[Seen], shared: set[str]) -> Value:
    if name.casefold() == "count":
        return len(alike)
    texts = (one.readers[name](one.card) for one in alike)
    if name in shared or name.casefold() in _OF_THE_FIRST or len(alike) == 1:
        return next(texts)
    return BETWEEN.join(dict.fromkeys(text for text in map(str, texts) if text))


def _pictures(layout: Layout, name: str, alike: Sequence[Seen]) -> str:
    sides = _SIDES.get(name.casefold(), layout.pictures.order)
    names = (one.lot.picture(one.card, side) for one in alike for side in sides)
    return layout.pictures.cell(names)
