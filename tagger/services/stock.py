"""The stock over all lots of this machine: cards found by their numbers, and changes of several
lots, all or none."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from tagger.core.lot.fields import cards, with_replaced
from tagger.core.model.stock_number import StockNumber, is_mistyped, read_stock_number
from tagger.core.model.text import natural, printable
from tagger.core.overview.doubles import Doubles, copies_in
from tagger.core.overview.selection import Filter, read_filter_of_lots, select
from tagger.core.reports.lot_words import is_called
from tagger.core.stock.stocked import Stocked, shared_numbers, stocked, told_shared
from tagger.errors import HubError, LotError, Refused, UsageError
from tagger.services.hub.sales import sales_told
from tagger.services.lists.lot_checklists import ListPrices
from tagger.services.lot_changes import LotChange, check_unchanged, enter_held, undo_all
from tagger.services.lot_selection import ChosenLots
from tagger.services.opening import change
from tagger.services.scans.replaced_told import replaced_cards
from tagger.store.lot.lot_file import read_lot
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder, is_pulled
from tagger.store.machine.pulled import read_pulled

if TYPE_CHECKING:
    from pathlib import Path

    from tagger.config import Settings
    from tagger.core.lot.lot import LotState
    from tagger.core.model.condition import Scale
    from tagger.core.session.session import Session


@dataclass
class Stock:
    """The cards on record of several lots, as they stand; `lots` by their names. `skipped` has a
    sentence for each lot that cannot be read."""

    cards: list[Stocked] = field(default_factory=list)
    lots: dict[str, tuple[LotPlace, LotState]] = field(default_factory=dict)
    skipped: list[str] = field(default_factory=list)

    @property
    def checklists(self) -> tuple[str, ...]:
        """The checklists of all lots."""
        return tuple(dict.fromkeys(one for _, lot in self.lots.values() for one in lot.checklists))


def read_stock(folders: Sequence[Path] = (), pulled: bool = False) -> Stock:
    """The stock of some lots, of all on this machine where none is named; with `pulled` of those of
    other stations, too. Raises LotError where there is no lot."""
    chosen, stock = ChosenLots(folders, pulled), Stock()
    # by name, so that the same lots give the same answer each time
    for place, lot in sorted(chosen.read(), key=lambda one: natural(one[0].name)):
        stock.lots[place.name] = place, lot
        stock.cards += stocked(place.name, lot, is_pulled(place))
    stock.skipped = chosen.skipped
    return stock


def cards_numbered(words: Sequence[str]) -> dict[LotPlace, tuple[LotState, list[int]]]:
    """The cards with these stock numbers: by lot the lot as it is kept and their positions. Raises
    UsageError where a word is not a stock number, Refused where no lot has the card."""
    wanted = dict.fromkeys(map(_number, words))
    lots, skipped = _lots_with({number.part for number in wanted})
    found: dict[LotPlace, tuple[LotState, list[int]]] = {}
    for number in wanted:
        at = [one for one in lots if one[1].part == number.part and _positions(one[1], number)]
        if not at:
            said = f"No card in the lots opened on this machine has the number {number}."
            # it may be in one that is on a drive that is not there
            raise Refused(" ".join((said, *skipped)))
        if len(at) > 1:
            said = told_shared((place.name for place, _ in at), str(number))
            raise Refused(f"{said}; name the lot and the position.")
        place, lot = at[0]
        found.setdefault(place, (lot, []))[1].extend(_positions(lot, number))
    return found


def _positions(lot: LotState, number: StockNumber) -> list[int]:
    """Where in a lot the card with a number is; nowhere, or at one position."""
    pairs = enumerate(lot.arrangement.pairs, start=1)
    return [at for at, pair in pairs if lot.mark(pair.id).running == number.running][:1]


def _number(word: str) -> StockNumber:
    number = read_stock_number(word)
    if number is None:
        why = (
            "its check character does not fit"
            if is_mistyped(word, bare=True)
            else "type it as on the label"
        )
        raise UsageError(f"'{printable(word, 40)}' is not a stock number: {why}.")
    return number


def _lots_with(parts: set[str]) -> tuple[list[tuple[LotPlace, LotState]], list[str]]:
    """The lots with these parts of stock numbers; a sentence for each lot that cannot be read."""
    elsewhere = list(_pulled_with(parts))
    known = [one for one in LotList(data_folder()).known() if one.part in parts]
    # of a lot that was opened by an older program the list knows no part: then all are read
    if parts <= {*(one.part for one in known), *(lot.part for _, lot in elsewhere)}:
        lots = ChosenLots([one.place.folder for one in known])
        read = list(lots.read()) if known else []
    else:
        lots = ChosenLots(())
        read = list(_any_read(lots, bool(elsewhere)))
    return [*(one for one in read if one[1].part in parts), *elsewhere], lots.skipped


def _any_read(lots: ChosenLots, others: bool) -> Iterator[tuple[LotPlace, LotState]]:
    """All lots of this machine. Raises LotError where there is none, and none of `others`."""
    try:
        yield from lots.read()
    except LotError:
        if not others:
            raise


def _pulled_with(parts: set[str]) -> Iterator[tuple[LotPlace, LotState]]:
    """The lots of other stations with these parts."""
    pulled = read_pulled()
    wanted = {id for id, lot in pulled.lots.items() if lot.part in parts}
    for place in pulled.places():
        if place.home.name in wanted:
            yield place, read_lot(place.home)


def chosen_cards(stock: Stock, words: Sequence[str], scale: Scale) -> list[Stocked]:
    """The cards that words mean: stock numbers, or a filter as the overview has it, with
    `lot=spring` for lots with this in their name. Raises UsageError where they cannot be read."""
    for word in filter(is_mistyped, words):
        _number(word)  # says what is wrong with it
    numbers = [read_stock_number(word) for word in words]
    if words and all(numbers):
        wanted = set(map(str, numbers))
        return [card for card in stock.cards if card.number in wanted]
    meant = read_filter_of_lots(" ".join(words), scale)
    if meant.unclear:
        raise UsageError(f"{meant.unclear}.")
    by_name = by_lot(stock.cards).items()
    asked = {name: there for name, there in by_name if is_called(name, meant.lot)}
    return list(_selected(stock, asked, meant))


def check_one_each(chosen: Iterable[Stocked], stock: Stock) -> None:
    """Raises Refused where one of some cards has a number that another lot's card has too."""
    shared = shared_numbers(stock.cards)
    for card in chosen:
        if card.number in shared:
            raise Refused(f"{shared[card.number]}; name the lot and the position.")


def _selected(
    stock: Stock, asked: Mapping[str, Sequence[Stocked]], meant: Filter
) -> Iterator[Stocked]:
    """Those cards of some lots, as they are shown today, that a filter means; copies and places are
    those of all of them."""
    prices = ListPrices()
    lots = {name: prices.lot(stock.lots[name][1]) for name in asked}
    over = copies_in(lots.values())
    places = {card.mark.tags.place for there in asked.values() for card in there}
    for name, there in asked.items():
        replaced = replaced_cards(*stock.lots[name]) if meant.replaced else ()
        every = with_replaced(cards(lots[name]), replaced)
        positions = set(select(every, meant, Doubles(every, over), places))
        yield from (card for card in there if card.position in positions)


def with_prices_of_today(stock: Stock, cards: Iterable[Stocked]) -> list[Stocked]:
    """Cards as they are shown: with today's prices of their lists. A list that cannot be read is
    told with what `stock` skipped."""
    prices = ListPrices()
    shown = [
        card._replace(mark=prices.mark(stock.lots[card.lot][1].checklists, card.mark))
        for card in cards
    ]
    stock.skipped += [one for one in prices.unread if one not in stock.skipped]
    return shown


def by_lot(cards: Iterable[Stocked]) -> dict[str, list[Stocked]]:
    """Cards by the names of their lots."""
    found: dict[str, list[Stocked]] = {}
    for card in cards:
        found.setdefault(card.lot, []).append(card)
    return found


def enter_all(changes: Iterable[LotChange], settings: Settings) -> None:
    """Change several lots, all or none: each is held before the first is changed. Raises
    LockedError where another program holds one, Refused where one was changed since it was read,
    NotSaved; nothing is changed then. Cards of other stations are asked for at the hub, which may
    raise Refused or HubError."""
    changes = list(changes)
    own = [one for one in changes if not is_pulled(one.place)]
    with contextlib.ExitStack() as held:
        every = [(one, held.enter_context(change(one.place, settings))) for one in own]
        for one, session in every:
            check_unchanged(one, session)
        done: Sequence[Session] = ()
        try:
            with sales_told([(one.place, one.marks) for one in changes], settings):
                done = enter_held(every)
        except HubError:
            undo_all(done)
            raise
