"""The rows of a lot: the plain inventory, or as a layout has it. Rows are made one by one, as they
are asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from tagger.core.lot.fields import (
    CardInLot,
    Value,
    cards,
    further_columns,
    inventory_fields,
    layout_fields,
    reader,
    run_of_serial,
)
from tagger.core.lot.lot import LotState
from tagger.core.model.tags import State, Tags
from tagger.exchange.layout.layout import Layout
from tagger.exchange.layout.row_filter import CHOICES, misspelled
from tagger.exchange.table import Row, Table

BETWEEN = "; "  # the values of several cards in one cell
_OF_THE_FIRST = ("front", "back")


@dataclass
class RowCount:
    """How many cards went into the rows, and how many of them are not tagged; right when all rows
    were made."""

    cards: int = 0
    open: int = 0
    notes: list[str] = field(default_factory=list)

    def count(self, seen: Iterator[CardInLot]) -> Iterator[CardInLot]:
        """The same cards, counted."""
        for card in seen:
            self.cards += 1
            self.open += card.mark.state is not State.TAGGED
            yield card


def inventory(lot: LotState, told: RowCount | None = None) -> Table:
    """The plain table of a lot: a row a card, our columns and then the checklist's further ones,
    those that any card has."""
    fields = inventory_fields(further_columns(lot))
    readers = [reader(field) for field in fields]
    seen = (told or RowCount()).count(cards(lot))
    return Table(
        tuple(field.name for field in fields),
        (tuple(read(card) for read in readers) for card in seen),
    )


def laid_out(
    lot: LotState,
    name: str,
    layout: Layout,
    told: RowCount,
    run_of: Callable[[Tags], str] = run_of_serial,
) -> Table:
    """The table of a lot as a layout has it. `name` is the lot's; `run_of` gives a card's print
    run.

    Raises UsageError where the layout names a field that there is not.
    """
    further = further_columns(lot)
    used = layout.fields(further)
    readers = {given: reader(field, name, run_of) for given, field in used.items()}
    tests = {f.name: reader(f) for f in layout_fields(further) if f.name in (*CHOICES, "price")}
    for what, value, near in misspelled(layout.only, cards(lot), tests):
        told.notes.append(f"{layout.file}: no card has the {what} '{value}'; did you mean {near}?")
    seen = told.count(filter(layout.only.test(tests), cards(lot)))
    headings = tuple(column.heading for column in layout.columns)
    if layout.kind:
        shared = {
            given for given, field in used.items() if field in [used[name] for name in layout.kind]
        }
        shared |= {given for given in used if used[given].name == "lot"}
        return Table(headings, _kind_rows(layout, readers, shared, seen), "kinds")
    return Table(
        headings,
        (_row(layout, {n: read(card) for n, read in readers.items()}) for card in seen),
        "cards",
    )


def _row(layout: Layout, values: Mapping[str, Value]) -> Row:
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
    kinds: dict[tuple[Value, ...], list[CardInLot]] = {}
    for card in seen:
        kinds.setdefault(tuple(readers[name](card) for name in layout.kind), []).append(card)
    for alike in kinds.values():
        values: dict[str, Value] = {}
        for name, read in readers.items():
            if name.casefold() == "count":
                values[name] = len(alike)
            elif name in shared or name.casefold() in _OF_THE_FIRST or len(alike) == 1:
                values[name] = read(alike[0])
            else:
                values[name] = BETWEEN.join(
                    dict.fromkeys(text for card in alike if (text := str(read(card))))
                )
        yield _row(layout, values)
