"""Which cards of a lot are meant: a filter, read word by word like a hint.

Several words narrow. A word fits where a word of set, series, subject, team, parallel, condition or
place begins with it, where the number or the serial number is the same, or where it is the
condition's short form; a word of digits must be the whole word. A word tied to one field fits there
only, and with nothing behind the sign it fits cards that have none: `condition=`. `-` before a word
leaves out what fits it."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby
from operator import eq, gt, lt
from typing import TYPE_CHECKING

from tagger.core.index.word_marks import set_words
from tagger.core.lot.fields import CardInLot
from tagger.core.matching.hint import Hint, Token, parse_hint
from tagger.core.model.condition import squeezed
from tagger.core.model.money import amount, price_amount, price_text
from tagger.core.model.numbers import canonical, parse_serial, serial_fits, split_total
from tagger.core.model.place import place_holds
from tagger.core.model.stock_number import read_stock_number
from tagger.core.model.tags import BASE, Extra, State
from tagger.core.model.text import fold, words
from tagger.core.model.trade import IN_STOCK, PULLED, SOLD, STATES
from tagger.core.overview.doubles import Doubles

if TYPE_CHECKING:
    from tagger.core.model.condition import Scale

Test = Callable[[CardInLot, Doubles], bool]
DOUBLES = "doubles"


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
    "replaced": lambda card, _: card.replaced,
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
    next to each other. `unclear` as a hint has it: no card passes then. `gone`: it asks for cards
    that were sold or pulled."""

    tests: tuple[Test, ...] = ()
    together: bool = False
    unclear: str = ""
    gone: bool = False


def read_filter(text: str, scale: Scale) -> Filter:
    """Take a filter apart. Any text is a filter; nothing is raised."""
    # each word is read on its own, since `-` may stand before any of them
    reader = _FilterReader(scale)
    reader.read(text)
    if reader.unclear:
        # an edit is for all that is listed: what is not understood must not widen the list
        reader.tests.append(lambda card, _: False)
    return Filter(tuple(reader.tests), reader.together, reader.unclear, reader.gone)


class _FilterReader:
    """Reads the words of a filter into `tests`."""

    def __init__(self, scale: Scale) -> None:
        self._scale = scale
        self.tests: list[Test] = []
        self.together = False
        self.gone = False
        self.unclear = ""

    def read(self, text: str) -> None:
        """Read all words."""
        hint = self._parsed(text)
        self.tests += _tails(hint)
        # words that `_` joins are one with several tokens
        raws = deque(raw for raw, _ in groupby(token.raw for token in hint.tokens))
        read = set[str]()
        while raws:
            raw = raws.popleft()
            # A word that stands there again says nothing more, and a line may be full of one: it is
            # read with each key. Behind a word as `over` another price may stand.
            if raw not in read or raw.lstrip("-").lower() in _PAST:
                self._add(raw, raws)
            read.add(raw)

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
        return _all([*_tails(hint), *(_token(token, self._scale) for token in hint.tokens)])


def select(cards: Sequence[CardInLot], wanted: Filter, doubles: Doubles) -> list[int]:
    """The positions of the cards that a filter means, in feeding order; see `Filter.together`."""
    # one test after the other: each asks only what the ones before it left
    for test in wanted.tests:
        cards = [card for card in cards if test(card, doubles)]
    if wanted.together:
        cards = sorted(cards, key=lambda card: (*doubles.of(card.mark)[:1], card.position))
    return [card.position for card in cards]


def _not(test: Test) -> Test:
    return lambda card, doubles: not test(card, doubles)


def _all(tests: Sequence[Test]) -> Test:
    if len(tests) == 1:
        return tests[0]
    return lambda card, doubles: all(test(card, doubles) for test in tests)


def _tails(hint: Hint) -> list[Test]:
    tails = (("place", hint.place), ("note", hint.note))
    tests = [_contains(field, value) for field, value in tails if value is not None]
    if hint.price is not None:
        tests.append(_costs(hint.price))
    return tests


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


def _contains(field: str, value: str) -> Test:
    folded = fold(value)
    if not folded:
        return lambda card, _: card.lacks(field)
    if field == "place":
        return lambda card, _: place_holds(card.mark.tags.place, value)
    return lambda card, _: folded in fold(getattr(card.mark.tags, field))


class _Fits(dict[str, bool]):
    """Whether a value of one field fits a word; each value is looked at once."""

    def __init__(self, rule: Callable[[str], bool]) -> None:
        self._rule = rule

    # ten thousand cards have some hundred values of a field
    def __missing__(self, value: str) -> bool:
        self[value] = found = bool(value) and self._rule(value)
        return found


def _rules(token: Token, scale: Scale) -> dict[str, _Fits]:
    text, whole = token.text, token.text.isdigit()
    number, serial, read = canonical(text), parse_serial(text), scale.read(text)
    total = split_total(text)[1]

    def fits(found: Sequence[str]) -> bool:
        # Digits in full: `8` would else list every card of the eighties.
        return text in found if whole else any(word.startswith(text) for word in found)

    def numbered(value: str) -> bool:
        # `12/99` is a serial number where no card says that its set has 99
        if total and canonical(split_total(value)[1]) != canonical(total):
            return False
        return bool(number) and (
            canonical(value) == number or (not whole and canonical(value).startswith(number))
        )

    def serially(value: str) -> bool:
        return serial is not None and serial_fits(value, serial)

    def conditioned(value: str) -> bool:
        if squeezed(value) == squeezed(text):
            return True
        return (read is not None and read == (value, True)) or fits(words(value))

    def worded(value: str) -> bool:
        return fits(words(value))

    return {
        "number": _Fits(numbered), "subject": _Fits(worded),
        "set": _Fits(lambda value: fits(set_words(value))),
        "parallel": _Fits(worded), "condition": _Fits(conditioned), "team": _Fits(worded),
        "place": _Fits(worded), "series": _Fits(worded),
        "serial": _Fits(serially),
    }  # fmt: skip


def _token(token: Token, scale: Scale) -> Test:
    text, field = token.text, token.pin
    if field and not text:
        return _contains(field, "")
    rules = _rules(token, scale)
    if not field:
        return _in_any_field(rules, text == BASE)
    fits = rules[field]
    base = field == "parallel" and text == BASE
    return lambda card, doubles: (
        fits[getattr(card.mark.tags, field)] or (base and card.lacks("parallel"))
    )


def _in_any_field(rules: Mapping[str, _Fits], base: bool) -> Test:
    number, subject, set_name = rules["number"], rules["subject"], rules["set"]
    parallel, condition, team = rules["parallel"], rules["condition"], rules["team"]
    place, serial, series = rules["place"], rules["serial"], rules["series"]

    # written out: a filter asks every card of the lot while a word is typed on
    def test(card: CardInLot, doubles: Doubles) -> bool:
        tags = card.mark.tags
        return (
            number[tags.number] or subject[tags.subject] or set_name[tags.set]
            or parallel[tags.parallel]
            or condition[tags.condition] or team[tags.team] or place[tags.place]
            or serial[tags.serial]
            or (bool(tags.extra) and series[tags.series])
            or (base and card.lacks("parallel"))
        )  # fmt: skip

    return test
