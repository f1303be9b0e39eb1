"""The rows of a lot: the plain inventory, or as a layout has it. Rows are made one by one, as they
are asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from tagger.core.lot.fields import (
    CardInLot,
    Field,
    Value,
    cards,
    further_columns,
    inventory_fields,
    is_price,
    layout_fields,
    reader,
    run_of_serial,
)
from tagger.core.model.column_names import PRICE
from tagger.core.model.tags import State, Tags
from tagger.exchange.layout.row_filter import CHOICES, misspelled
from tagger.exchange.table import Row, Table

if TYPE_CHECKING:
    from tagger.core.lot.lot import LotState
    from tagger.exchange.layout.layout import Layout
    from tagger.exchange.set_counts import SetCounts

BETWEEN = "; "  # the values of several cards in one cell
_OF_THE_FIRST = ("front", "back")


@dataclass
class RowCount:
    """How many cards went into the rows, how many of them are not tagged, and how many were left
    out since they were sold or pulled; right when all rows were made. `every` asks for these as
    well; `sets` counts by set, for a file that has room for it; `last` is the card counted last,
    `ids` are the identities of all."""

    cards: int = 0
    open: int = 0
    left_out: int = 0
    every: bool = False
    notes: list[str] = field(default_factory=list)
    sets: SetCounts | None = None
    last: CardInLot | None = None
    ids: list[int] = field(default_factory=list)

    def count(self, seen: Iterator[CardInLot]) -> Iterator[CardInLot]:
        """The same cards, counted."""
        for card in seen:
            self.cards += 1
            self.last = card
            self.ids.append(card.pair.id)
            self.open += card.mark.state is not State.TAGGED
            if self.sets is not None:
                self.sets.count(card)
            yield card

    def there(self, seen: Iterator[CardInLot]) -> Iterator[CardInLot]:
        """The cards without those that were sold or pulled, unless every one is asked for."""
        for card in seen:
            if self.every or card.is_there:
                yield card
            else:
                self.left_out += 1


FurtherColumns = Mapping[str, Callable[[CardInLot], Value]]
"""Columns that no card of the lot has by itself: by name, in small letters, what reads them."""

NO_FURTHER: FurtherColumns = {}


def inventory(
    lot: LotState, count: RowCount | None = None, ours: FurtherColumns = NO_FURTHER
) -> Table:
    """The plain table of a lot: a row a card, our columns, then the checklist's further ones, those
    that any card has, then `ours`."""
    fields = inventory_fields(_further(lot, ours))
    readers = [_reader(field, ours) for field in fields]
    count = count or RowCount()
    seen = count.count(count.there(cards(lot)))
    return Table(
        tuple(field.name for field in fields),
        (tuple(read(card) for read in readers) for card in seen),
        prices=_prices(fields),
        counts=count.sets,
        fields=tuple(field.name for field in fields),
    )


def laid_out(
    lot: LotState,
    name: str,
    layout: Layout,
    count: RowCount,
    run_of: Callable[[Tags], str] = run_of_serial,
    ours: FurtherColumns = NO_FURTHER,
) -> Table:
    """The table of a lot as a layout has it. `name` is the lot's; `run_of` gives a card's print
    run; `ours` are fields that the layout may name beside those of the lot.

    Raises UsageError where the layout names a field that there is not.
    """
    further = _further(lot, ours)
    used = layout.fields(further)
    readers = {given: _reader(field, ours, name, run_of) for given, field in used.items()}
    tests = {f.name: reader(f) for f in layout_fields(further) if f.name in (*CHOICES, PRICE)}
    near_misses = misspelled(layout.only, cards(lot), tests)
    count.notes.extend(_not_met(layout.file, *one) for one in near_misses)
    # a layout that says which states it wants has its own word on what was sold
    wanted = cards(lot) if "state" in layout.only.values else count.there(cards(lot))
    seen = count.count(filter(layout.only.test(tests), wanted))
    headings = tuple(column.heading for column in layout.columns)
    alone = [used.get(column.field) for column in layout.columns]
    prices, names = _prices(alone), tuple(field.name if field else "" for field in alone)
    if layout.kind:
        kinds = _kind_rows(layout, readers, _shared(layout, used), seen)
        return Table(headings, kinds, "kinds", prices, count.sets)
    rows = (_row(layout, {n: read(card) for n, read in readers.items()}) for card in seen)
    return Table(headings, rows, "cards", prices, count.sets, names)


def _prices(fields: Sequence[Field | None]) -> frozenset[int]:
    """Which of the columns hold prices."""
    return frozenset(at for at, field in enumerate(fields) if field and is_price(field))


def _not_met(file: str, what: str, value: str, near: str) -> str:
    return f"{file}: no card has the {what} '{value}'; did you mean {near}?"


def _further(lot: LotState, ours: FurtherColumns) -> tuple[str, ...]:
    # A table that came back may have been read as a checklist: ours takes the place of a column
    # that is called like it.
    of_lists = [name for name in further_columns(lot) if name.casefold() not in ours]
    return (*of_lists, *ours)


def _reader(
    field: Field,
    ours: FurtherColumns,
    lot: str = "",
    run_of: Callable[[Tags], str] = run_of_serial,
) -> Callable[[CardInLot], Value]:
    return ours.get(field.source) or reader(field, lot, run_of)


def _shared(layout: Layout, used: Mapping[str, Field]) -> set[str]:
    """The names of fields that are the same for all cards of a kind, however they are spelled in
    the layout."""
    of_kind = [used[name] for name in layout.kind]
    return {name for name, field in used.items() if field in of_kind or field.name == "lot"}


def _row(layout: Layout, values: Mapping[str, Value]) -> Row:
    # A column that is one field alone keeps a whole number as one; composed text is text.
    texts = {name: str(value) for name, value in values.items()}
    return tuple(
        values[column.field] if column.field else column.text(texts) for column in layout.columns
    )


def _kind_rows(
    layout: Layout,
    readers: Mapping[str, Callable[[CardInLot], Value]],
    shared: set[str],
    seen: Iterator[CardInLot],
) -> Iterator[Row]:
    """A row for the cards that are alike in the fields of the kind, in order of the first of them.
    Other fields hold all values of the cards, each once; front and back are those of the first."""
    # A kind's cards lie anywhere in the lot, so none is finished before the last card.
    kinds: dict[tuple[Value, ...], list[CardInLot]] = {}
    for card in seen:
        kinds.setdefault(tuple(readers[name](card) for name in layout.kind), []).append(card)
    for alike in kinds.values():
        yield _row(
            layout,
            {name: _of_kind(name, read, alike, shared) for name, read in readers.items()},
        )


def _of_kind(
    name: str, read: Callable[[CardInLot], Value], alike: Sequence[CardInLot], shared: set[str]
) -> Value:
    if name.casefold() == "count":
        return len(alike)
    if name in shared or name.casefold() in _OF_THE_FIRST or len(alike) == 1:
        return read(alike[0])
    texts = (str(read(card)) for card in alike)
    return BETWEEN.join(dict.fromkeys(text for text in texts if text))
