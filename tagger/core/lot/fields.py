"""The fields of a card that leave the tool: their names, and what a card has in them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.cells import plain
from tagger.core.lot.running import stock_number
from tagger.core.model.column_names import PRICE
from tagger.core.model.money import is_price_column, price_column, price_text
from tagger.core.model.numbers import parse_serial
from tagger.core.model.tags import Mark, State, Tags

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.core.model.arrangement import Pair

COLUMNS = (
    "position", "front", "back", "set", "number", "subject", "team", "parallel", "serial",
    "condition", "place", "note",
    "state", "stock number",
)  # fmt: skip
PRINT_RUN, LOT = "print run", "lot"
# The names are a contract: layouts of users and the JSON schemas name them.
FIELDS = (*COLUMNS, PRINT_RUN, "price", LOT, "count", "listed in", "listed on")
TAGS = ("set", "number", "subject", "team", "parallel", "serial", "condition", "place")

Value = int | str


class CardInLot(NamedTuple):
    """A card as the lot has it: its position from 1, its scans, its mark, the lot's part of stock
    numbers, and whether its scans are other files than when it was tagged, as far as that is asked
    here."""

    position: int
    pair: Pair
    mark: Mark
    part: str = ""
    replaced: bool = False

    @property
    def is_there(self) -> bool:
        """Whether it was neither sold nor pulled."""
        return not self.mark.gone

    @property
    def stock_number(self) -> str:
        """Its stock number, empty before its first tag."""
        return stock_number(self.part, self.mark)


class Field(NamedTuple):
    """A field by its name. `source` is the checklist's column that it is, empty for one of ours.
    `own`: it is the price; the dealer's own goes before the column of the card's own parallel, and
    that before `source`."""

    name: str
    source: str = ""
    own: bool = False

    def column(self, tags: Tags) -> str:
        """The checklist's column that the field is for a card with these tags."""
        own = price_column(tags.extra, tags.parallel) if self.own else ""
        return own or self.source

    def value(self, tags: Tags) -> str:
        """What a card with these tags has in it, for a field with a source."""
        return price_text(tags) if self.own else further_value(tags, self.source)


def is_price(field: Field) -> bool:
    """Whether a field has prices in it: the card's, or those that a list has for a parallel."""
    return field.own or is_price_column(field.source)


def cards(lot: LotView, every: bool = True) -> Iterator[CardInLot]:
    """All cards of a lot in feeding order; without `every` those that were sold or pulled are left
    out."""
    for position, pair in enumerate(lot.arrangement.pairs, start=1):
        card = CardInLot(position, pair, lot.mark(pair.id), lot.part)
        if every or card.is_there:
            yield card


def with_replaced(found: Iterable[CardInLot], replaced: Collection[int]) -> list[CardInLot]:
    """All cards of a lot, those at some positions as cards whose scans were replaced."""
    every = list(found)
    for at in replaced:
        every[at - 1] = every[at - 1]._replace(replaced=True)
    return every


def further_columns(lot: LotView) -> tuple[str, ...]:
    """The checklist's further columns that any card has, in their order on the most cards; the one
    of prices also where only the dealer gave a price."""
    seen = [card.mark.tags for card in cards(lot)]
    alike = Counter(tuple(name for name, _ in tags.extra) for tags in seen)
    # A card that lost a column and got it again has it last: the order of most cards counts.
    rows = sorted(alike, key=lambda names: (-len(names), -alike[names]))
    names = dict.fromkeys(name for names in rows for name in names)
    if _prices(names) is None and any(tags.price for tags in seen):
        names[PRICE] = None
    return tuple(names)


def inventory_fields(further: Iterable[str], several: bool = False) -> tuple[Field, ...]:
    """The columns of the plain inventory: ours, of `several` lots the lot first, then the
    checklist's. One of the checklist that is called like a column of ours is called
    `checklist …`."""
    names = tuple(further)
    prices = _prices(names)
    ours = (LOT, *COLUMNS) if several else COLUMNS
    titled = _titled(names, set(ours))
    return (*map(Field, ours), *(f._replace(own=f.source == prices) for f in titled))


def layout_fields(further: Iterable[str]) -> tuple[Field, ...]:
    """The fields that a layout can name. The checklist's column of prices is the field `price`; for
    a card whose parallel has a column of its own it is that one, and the dealer's own price goes
    before both."""
    # a checklist that spells it Price means the same column
    names = tuple(further)
    source = _prices(names) or PRICE
    ours = {name: Field(name) for name in FIELDS} | {PRICE: Field(PRICE, source, own=True)}
    return (*ours.values(), *_titled((name for name in names if name != source), set(FIELDS)))


def _prices(names: Iterable[str]) -> str | None:
    """The column of prices among further ones, as the checklist spells it."""
    return next((name for name in names if name.casefold() == PRICE), None)


def _titled(further: Iterable[str], taken: set[str]) -> Iterator[Field]:
    for name in further:
        # two columns of one name would be one where the table is read back
        title = plain(name).strip()
        # A list may already have a `checklist team` of its own, so it is put in front until the
        # title is free.
        while title.casefold() in taken:
            title = f"checklist {title}"
        taken.add(title.casefold())
        yield Field(title, name)


def further_value(tags: Tags, column: str) -> str:
    """What a card has in one of the checklist's further columns, empty where it has nothing."""
    return next((value.strip() for name, value in tags.extra if name == column), "")


def told_note(mark: Mark) -> str:
    """The note as a table has it: for a card that is set aside, the reason first."""
    if mark.state is not State.SET_ASIDE:
        return mark.tags.note
    return "; ".join(part for part in (mark.reason, mark.tags.note) if part)


def run_of_serial(tags: Tags) -> str:
    """The print run that a serial number names: `12/99` gives `99`."""
    read = parse_serial(tags.serial)
    return str(read[1]) if read and read[1] is not None else ""


def reader(
    field: Field, lot: str = "", run_of: Callable[[Tags], str] = run_of_serial
) -> Callable[[CardInLot], Value]:
    """What gives a card's value in a field: a whole number for `position` and `count`, else text
    (see `plain`).

    `lot` is the lot's name; `run_of` gives the print run of a card.
    """
    name = field.name
    if field.source:
        return lambda card: plain(field.value(card.mark.tags))
    if name in TAGS:
        return lambda card: plain(getattr(card.mark.tags, name))
    # chosen once a field, not once a card: an export of ten thousand cards asks each of these
    ours: dict[str, Callable[[CardInLot], Value]] = {
        "position": lambda card: card.position,
        "front": lambda card: plain(card.pair.front or ""),
        "back": lambda card: plain(card.pair.back or ""),
        "note": lambda card: plain(told_note(card.mark)),
        "state": lambda card: card.mark.standing,
        "stock number": lambda card: card.stock_number,
        PRINT_RUN: lambda card: run_of(card.mark.tags),
        LOT: lambda card: lot,
        "count": lambda card: 1,
        "listed in": lambda card: plain("; ".join(one.shop for one in card.mark.trade.listings)),
        "listed on": lambda card: plain("; ".join(one.on for one in card.mark.trade.listings)),
    }
    return ours[name]
