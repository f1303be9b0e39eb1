"""Which cards of a lot are meant: a filter, read word by word like a hint.

Several words narrow. What a word of a card fits is told in `reports.word_fits`. `-` before a word
leaves out what fits it."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Callable, Container, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import groupby, islice
from operator import eq, gt, lt
from typing import TYPE_CHECKING

from tagger.core.lot.fields import CardInLot
from tagger.core.matching.hint import Hint, parse_hint
from tagger.core.model.money import amount, price_amount, price_text
from tagger.core.model.place import lies_in, places_meant
from tagger.core.model.stock_number import read_stock_number
from tagger.core.model.tags import Extra, State
from tagger.core.model.text import fold
from tagger.core.model.trade import IN_STOCK, PULLED, SOLD, STATES
from tagger.core.overview.doubles import Doubles
from tagger.core.reports.lot_words import without_lot
from tagger.core.reports.word_fits import Fit, fits_card, fits_condition

if TYPE_CHECKING:
    from tagger.core.model.condition import Scale

Test = Callable[[CardInLot, Doubles], bool]
DOUBLES, REPLACED = "doubles", "replaced"
MOST_OF_CONDITION = 5  # words behind the first of a condition that are looked at


def _stands(state: str) -> Test:
    return lambda card, _: card.mark.stock == state


_STRETCH = re.compile(r"([0-9]{1,9})-([0-9]{1,9})")
_STATES: dict[str, Test] = {
    "all": lambda card, _: True,
    "tagged": lambda card, _: card.mark.stands_as(State.TAGGED),
    "untagged": lambda card, _: card.mark.state is State.UNTAGGED,
    "aside": lambda card, _: card.mark.state is State.SET_ASIDE,
    "unlisted": lambda card, _: card.mark.state is not State.UNTAGGED and not card.mark.tags.listed,
    "unsure": lambda card, _: is_unsure(card),
    REPLACED: lambda card, _: card.replaced,
    "stock": lambda card, _: card.mark.in_stock,
    **{state: _stands(state) for state in STATES if state != IN_STOCK},
    "returned": lambda card, _: card.mark.in_stock and bool(card.mark.trade.returned_on),
    DOUBLES: lambda card, doubles: doubles.has(card.mark),
}
WORDS = tuple(_STATES)
_PAST: dict[str, Callable[[Decimal, Decimal], bool]] = {"over": gt, "under": lt}


def is_unsure(card: CardInLot) -> bool:
    """Whether a card was taken while its reading was not sure."""
    return bool(getattr(card.mark, "unsure", False))


@dataclass(frozen=True, slots=True)
class Filter:
    """What was typed, as tests that a card must all pass. With `together` copies of one card lie
    next to each other. `places`: where it lies, which hangs on what places there are. `unclear` as
    a hint has it: no card passes then. `gone`: it asks for cards that were sold or pulled;
    `replaced`: whether scans were replaced. `lot`: words of the names of the lots that are meant,
    empty for all."""

    tests: tuple[Test, ...] = ()
    places: tuple[str, ...] = ()
    together: bool = False
    unclear: str = ""
    gone: bool = False
    replaced: bool = False
    lot: str = ""

    @property
    def narrows(self) -> bool:
        """Whether anything is asked of a card."""
        return bool(self.tests or self.places)


def read_filter(text: str, scale: Scale) -> Filter:
    """Take a filter apart. Any text is a filter; nothing is raised."""
    # each word is read on its own, since `-` may stand before any of them
    reader = _FilterReader(scale)
    reader.read(text)
    if reader.unclear:
        # an edit is for all that is listed: what is not understood must not widen the list
        reader.tests.append(lambda card, _: False)
    return Filter(
        tuple(reader.tests),
        tuple(reader.places),
        reader.together,
        reader.unclear,
        reader.gone,
        reader.replaced,
    )


def read_filter_of_lots(text: str, scale: Scale) -> Filter:
    """A filter over several lots, which may say `lot=spring`."""
    rest, named = without_lot(text)
    return replace(read_filter(rest, scale), lot=named)


class _FilterReader:
    """Reads the words of a filter into `tests`."""

    def __init__(self, scale: Scale) -> None:
        self._scale = scale
        self.tests: list[Test] = []
        self.places: list[str] = []
        self.together = False
        self.gone = self.replaced = False
        self.unclear = ""

    def read(self, text: str) -> None:
        """Read all words."""
        hint = self._parsed(text)
        # Behind `-` a place is one word, and whole.
        if hint.place is not None:
            self.places.append(hint.place)
        self.tests += _tails(replace(hint, place=None))
        # words that `_` joins are one with several tokens
        raws = deque(raw for raw, _ in groupby(token.raw for token in hint.tokens))
        read = set[str]()
        while raws:
            raw = self._condition(raws.popleft(), raws)
            # A word that stands there again says nothing more, and a line may be full of one: it is
            # read with each key. Behind a word as `over` another price may stand.
            if raw not in read or raw.lstrip("-").lower() in _PAST:
                self._add(raw, raws)
            read.add(raw)

    def _condition(self, raw: str, rest: deque[str]) -> str:
        """A word with those behind it that spell one condition with it, which are taken off the
        rest: `very good`."""
        behind = list(islice(rest, MOST_OF_CONDITION))
        said = self._scale.read_several([fold(one) for one in (raw.removeprefix("-"), *behind)])
        more = [rest.popleft() for _ in range(said[1] - 1)] if said else []
        return " ".join([raw, *more])

    def _parsed(self, text: str) -> Hint:
        hint = parse_hint(text)
        self.unclear = self.unclear or hint.unclear
        return hint

    def _add(self, raw: str, rest: deque[str]) -> None:
        without = raw.startswith("-")
        word = raw[without:]
        test = self._test(word, rest)
        if test is None:
            return
        self.replaced = self.replaced or word.lower() == REPLACED
        if without:
            self.tests.append(_not(test))
            return
        self.tests.append(test)
        self.together = self.together or word.lower() == DOUBLES
        self.gone = self.gone or word.lower() in (SOLD, PULLED)

    def _test(self, word: str, rest: deque[str]) -> Test | None:
        """The test for a word, None while it is still being typed. A price that belongs to it is
        taken off the rest."""
        if not word:
            return None
        is_past = _PAST.get(word.lower())
        if is_past is None:
            return self._word(word)
        if not rest:
            return None
        price = amount(rest[0])
        if price is None:
            return self._word(word)
        rest.popleft()
        return _priced(price, is_past)

    def _word(self, word: str) -> Test:
        # A word of the filter goes before a name that is called so; `name=sold` finds that.
        if word.lower() in _STATES:
            return _STATES[word.lower()]
        if (number := read_stock_number(word)) is not None:
            return lambda card, _: (card.part, card.mark.running) == number
        if stretch := _STRETCH.fullmatch(word):
            low, high = sorted(map(int, stretch.groups()))
            return lambda card, _: low <= card.position <= high
        hint = self._parsed(word)
        if len(word.split()) > 1:
            return _of(fits_condition(hint.tokens, self._scale))
        tests = _tails(hint)
        if hint.tokens:
            tests.append(_of(fits_card(hint.tokens, self._scale)))
        return _all(tests)


def select(
    cards: Sequence[CardInLot],
    wanted: Filter,
    doubles: Doubles,
    places: Iterable[str] | None = None,
) -> list[int]:
    """The positions of the cards that a filter means, in feeding order; see `Filter.together`.
    `places` are all that there are, where others are looked at as well as these cards."""
    if wanted.places:
        there = [card.mark.tags.place for card in cards] if places is None else places
        cards = _placed_in(cards, [places_meant(typed, there) for typed in wanted.places])
    # one test after the other: each asks only what the ones before it left
    for test in wanted.tests:
        cards = [card for card in cards if test(card, doubles)]
    if wanted.together:
        cards = sorted(cards, key=lambda card: (*doubles.of(card.mark)[:1], card.position))
    return [card.position for card in cards]


def _placed_in(cards: Iterable[CardInLot], meant: Sequence[Container[str]]) -> list[CardInLot]:
    # a card without any tags lacks everything, and is not what is looked for
    tagged = (card for card in cards if card.mark.state is not State.UNTAGGED)
    return [card for card in tagged if all(card.mark.tags.place in places for places in meant)]


def _of(fit: Fit) -> Test:
    return lambda card, _: fit(card.mark)


def _not(test: Test) -> Test:
    return lambda card, doubles: not test(card, doubles)


def _all(tests: Sequence[Test]) -> Test:
    if len(tests) == 1:
        return tests[0]
    return lambda card, doubles: all(test(card, doubles) for test in tests)


def _tails(hint: Hint) -> list[Test]:
    tests: list[Test] = []
    if hint.place is not None:
        tests.append(_placed(hint.place))
    if hint.note is not None:
        tests.append(_noted(fold(hint.note)))
    if hint.price is not None:
        tests.append(_costs(hint.price))
    return tests


def _placed(place: str) -> Test:
    if not place:
        return lambda card, _: card.mark.lacks("place")
    return lambda card, _: lies_in(card.mark.tags.place, place)


def _noted(wanted: str) -> Test:
    if not wanted:
        return lambda card, _: card.mark.lacks("note")
    return lambda card, _: wanted in fold(card.mark.tags.note)


def _costs(text: str) -> Test:
    """The test for a price that is typed as a field: the same sum, whatever the currency; typed
    empty, cards without a price."""
    if not text:
        return lambda card, _: (
            card.mark.state is not State.UNTAGGED and not price_text(card.mark.tags)
        )
    limit = amount(text)
    if limit is None:  # it is told as unclear
        return lambda card, _: False
    return _priced(limit, eq)


def _priced(limit: Decimal, is_so: Callable[[Decimal, Decimal], bool]) -> Test:
    # cards of one row and parallel have one price, and reading it costs more than the test
    known: dict[tuple[str, Extra, str], Decimal | None] = {}

    def test(card: CardInLot, _: Doubles) -> bool:
        tags = card.mark.tags
        key = tags.price, tags.extra, tags.parallel
        if key not in known:
            known[key] = price_amount(tags)
        price = known[key]
        return price is not None and is_so(price, limit)

    return test
