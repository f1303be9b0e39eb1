"""Where the cards of many lots lie: posting lists from the rows of an index over what was tagged to
the cards.

Cards are numbered from 0 through all lots, in feeding order. `cards.step` has the row of a card
(its step in the index, NONE where it has no tags), `cards.detail` what no row says of it,
`cards.copy` as much of that as is looked for by single words, `cards.running` its running number in
the lot, 0 where it has none, `cards.front` how many cards of the same place
lie before it in its lot, `cards.before` and `cards.after` its neighbours there; cards that are gone
are passed over by all three. `location_builder` fills the sections."""

from __future__ import annotations

import json
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.index.flat_arrays import Postings, Texts, column, numbers
from tagger.core.lot.running import stock_number
from tagger.core.model.column_names import PRICE
from tagger.core.model.money import list_price
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.model.trade import NO_TRADE, Trade

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.lot.lot import LotState
    from tagger.core.model.stock_number import StockNumber

# The highest number of 32 bits: no index has so many cards.
NONE = 0xFFFFFFFF


class IndexedCard(NamedTuple):
    """A card as it lies in a lot: its scans and its mark, the checklist's further columns left
    out."""

    front: str
    back: str
    mark: Mark


class Detail(NamedTuple):
    """What no row says of some cards, by its number in `detail_of`; `of_list` is the price that
    their checklist has."""

    at: int
    price: str
    of_list: str
    serial: str
    condition: str
    place: str
    note: str

    @property
    def tags(self) -> Tags:
        """The same as tags of a card."""
        extra = ((PRICE, self.of_list),) if self.of_list else ()
        return Tags(
            serial=self.serial,
            condition=self.condition,
            place=self.place,
            note=self.note,
            extra=extra,
            price=self.price,
        )


class IndexedLot(NamedTuple):
    """A lot by the text that it is known by, and its cards in feeding order."""

    name: str
    cards: Sequence[IndexedCard]
    part: str = ""  # of stock numbers


def indexed_lot(name: str, lot: LotState) -> IndexedLot:
    """A lot as it stands."""
    pairs = lot.arrangement.pairs
    return IndexedLot(
        name,
        [IndexedCard(pair.front or "", pair.back or "", lot.mark(pair.id)) for pair in pairs],
        lot.part,
    )


_ESCAPED = frozenset('"\\')  # signs that stand otherwise in a text that is kept


def _may_have(text: str, bare: str) -> bool:
    # a letter with a mark, escaped or not, is looked for as the letter alone
    return bare in text.lower().replace(" ", "") or "\\u" in text or not text.isascii()


class LocationIndex:
    """The cards of some lots, found by the rows of an index over their tags."""

    def __init__(self, index: Index) -> None:
        """The index holds the cards' sections as well. Raises KeyError, TypeError or ValueError
        where one is amiss."""
        sections, self.index = index.sections, index
        self.lots = Texts(sections, "cards.lots")
        self._parts = Texts(sections, "cards.parts")
        self._running = numbers(sections["cards.running"])
        self._starts = numbers(sections["cards.starts"])
        self.step_of = numbers(sections["cards.step"])
        self.detail_of = numbers(sections["cards.detail"])
        self.copy_of = column(sections["cards.copy"], len(self.step_of))
        self._front = numbers(sections["cards.front"])
        self._before = numbers(sections["cards.before"])
        self._after = numbers(sections["cards.after"])
        self._fronts, self._backs = Texts(sections, "cards.fronts"), Texts(sections, "cards.backs")
        self._details = Texts(sections, "cards.details")
        self._copies = Texts(sections, "cards.copies")
        self._of = Postings(sections, "cards.of")
        # cards of one tray share what no row says of them
        self._mark = lru_cache(4096)(self._read_mark)
        # a line is typed on, and asks for the same word with each key
        self.details = lru_cache(1)(self._read_details)

    def __len__(self) -> int:
        return len(self.step_of)

    def of(self, step: int) -> Sequence[int]:
        """The cards of a row, in their order."""
        return self._of.of(step)

    def lot_of(self, card: int) -> int:
        """The place in `lots` of the lot that holds a card."""
        return bisect_right(self._starts, card) - 1

    def place_in(self, card: int) -> tuple[int, int, int]:
        """(position in its lot from 1, cards of the lot, which one of its place it is from the
        front, from 1)."""
        lot = self.lot_of(card)
        start, end = self._starts[lot], self._starts[lot + 1]
        return card - start + 1, end - start, self._front[card] + 1

    def stock_number(self, card: int) -> str:
        """The stock number of a card, empty before its first tag."""
        return stock_number(self._parts[self.lot_of(card)], self.card(card).mark)

    def numbered(self, number: StockNumber) -> Iterator[int]:
        """The cards with a stock number: one, or the same one in copies of a lot."""
        for lot, part in enumerate(self._parts):
            # Few lots have one part, so their cards are gone through; a table of all numbers would
            # be the largest section.
            if part == number.part:
                cards = range(self._starts[lot], self._starts[lot + 1])
                yield from (card for card in cards if self._running[card] == number.running)

    def _read_details(self, word: str = "") -> list[Detail]:
        """What no row says of cards; with `word` only where it is somewhere in it, whatever its
        case and its blanks, and maybe some others."""
        bare = word.lower().replace(" ", "") if word.isascii() and not _ESCAPED & set(word) else ""
        texts = self._details[:]
        there = [at for at, text in enumerate(texts) if _may_have(text, bare)]
        # read as one document: there may be a hundred thousand
        every = json.loads(f"[{','.join(map(texts.__getitem__, there))}]")
        return [Detail(at, *said[4:6], *said[-4:]) for at, said in zip(there, every, strict=True)]

    @cached_property
    def copies(self) -> Sequence[Mark]:
        """What single words say of cards: state, reason, parallel and condition; of all that there
        are, by its number in `copy_of`."""
        return [_read_copy(text) for text in self._copies]

    def neighbours(self, card: int) -> tuple[int | None, int | None]:
        """The cards before and after one in its place, None at either end."""
        return _known(self._before[card]), _known(self._after[card])

    def card(self, card: int) -> IndexedCard:
        """A card by its number."""
        mark, step = self._mark(self.detail_of[card]), self.step_of[card]
        if running := self._running[card]:
            mark = replace(mark, running=running)
        # what its row says is kept there once, for all copies
        if step != NONE:
            row, extra = self.index.row(step), mark.tags.extra
            named = mark.tags.saying(
                {"set": row.set, "number": row.number, "subject": row.subject, "team": row.team}
            )
            mark = replace(mark, tags=replace(named, extra=(*row.extra, *extra)))
        return IndexedCard(self._fronts[card], self._backs[card], mark)

    def lot(self, at: int) -> IndexedLot:
        """A lot as it was packed."""
        cards = range(self._starts[at], self._starts[at + 1])
        return IndexedLot(self.lots[at], list(map(self.card, cards)), self._parts[at])

    def _read_mark(self, detail: int) -> Mark:
        state, gone, reason, listed, price, of_list, trade, *copy = json.loads(
            self._details[detail]
        )
        parallel, serial, condition, place, note = copy
        extra = ((PRICE, of_list),) if of_list else ()
        tags = Tags("", "", "", "", parallel, serial, condition, place, note, listed, extra, price)
        return Mark(State(state), tags, reason, gone, trade=Trade(*trade))


def mark_copy(mark: Mark) -> tuple[object, ...]:
    """As much of a mark as is looked for by single words; far fewer differ in that."""
    return str(mark.state), mark.gone, mark.reason, mark.tags.parallel, mark.tags.condition


def _read_copy(text: str) -> Mark:
    state, gone, reason, parallel, condition = json.loads(text)
    return Mark(State(state), Tags(parallel=parallel, condition=condition), reason, gone)


def mark_detail(mark: Mark) -> tuple[object, ...]:
    """What of a mark no row says, in the order in which it is read again."""
    tags = mark.tags
    copy = tags.parallel, tags.serial, tags.condition, tags.place, tags.note
    # of most cards nothing is known there, so they share what is left
    trade = () if mark.trade == NO_TRADE else tuple(mark.trade)
    # an own price goes before it, and each price more is one more detail to keep
    of_list = "" if tags.price else list_price(tags.extra, tags.parallel)[0]
    return str(mark.state), mark.gone, mark.reason, tags.listed, tags.price, of_list, trade, *copy


def _known(card: int) -> int | None:
    if card == NONE:
        return None
    return card
