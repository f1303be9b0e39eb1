"""Cards that are found without a word which names their row: by words of the copy, its team or its
series, by the place where it lies, its note, its price.

Many cards share what is asked here, so it is asked once of each different answer, and a million
cards are gone through by their numbers alone."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.index.location_index import NONE
from tagger.core.matching.token_match import TokenMatches
from tagger.core.matching.variants.variant_words import means_base, serial_typed
from tagger.core.model.money import amount, price_amount
from tagger.core.model.numbers import serial_fits
from tagger.core.model.place import place_key, places_meant
from tagger.core.model.text import fold
from tagger.core.reports.word_fits import fits_copy, spelled

if TYPE_CHECKING:
    from tagger.core.index.location_index import Detail, LocationIndex
    from tagger.core.matching.hint import Hint, Token
    from tagger.core.model.condition import Scale
    from tagger.core.model.tags import Tags


class Beside:
    """What a hint says beside its words: where a card lies, its note, its price. A field that is
    still typed, with nothing behind its sign, asks for nothing."""

    def __init__(self, hint: Hint, parts: Iterable[LocationIndex]) -> None:
        """`parts` have all cards: what a place that is begun means hangs on those there are."""
        place = hint.place or ""
        self._note = fold(hint.note or "")
        self._price = amount(hint.price or "")
        self._places: Collection[str] | None = None
        largest = place_key(place)[0]
        # The index finds by one word; the others are looked at on what that leaves.
        self._word = largest or self._note.partition(" ")[0]
        self._asks = bool(self._word) or self._price is not None
        asked = parts if self._asks else ()
        self._details = {id(part): part.details(self._word) for part in asked}
        if largest:
            self._places = places_meant(place, self._all_places())

    def _all_places(self) -> Iterable[str]:
        return {one.place for found in self._details.values() for one in found}

    def fits(self, tags: Tags) -> bool:
        """Whether a card is so."""
        if self._places is not None and tags.place not in self._places:
            return False
        if self._note not in fold(tags.note):
            return False
        # As amounts: `3.5`, `3.50` and `3,50 €` are one price.
        return self._price is None or price_amount(tags) == self._price

    def within(self, part: LocationIndex, cards: Sequence[int]) -> Sequence[int]:
        """Those of some cards that are so."""
        if not self._asks or not cards:
            return cards
        detail_of = part.detail_of
        details = {one.at for one in self._details[id(part)] if self._may_fit(one)}
        return [card for card in cards if detail_of[card] in details]

    def _may_fit(self, one: Detail) -> bool:
        # most lie elsewhere, and are not worth an object each
        return (self._places is None or one.place in self._places) and self.fits(one.tags)


def with_words(part: LocationIndex, words: Sequence[Token], scale: Scale) -> Sequence[int]:
    """The cards that have each of some words in their copy, their team or their series."""
    asked = [_Asked.of(part, token, scale) for token in spelled(words, scale)]
    cards: Sequence[int] = range(len(part))
    # first whether any has each word: most words name a row, and no card is gone through for them
    if not all(any(one) for one in asked):
        return ()
    for one in asked:
        cards = one.among(part, cards)
    if any(map(means_base, words)):
        # what has no name has no parallel either, and is no base card
        cards = [card for card in cards if part.step_of[card] != NONE]
    return cards


class _Asked(NamedTuple):
    """What has a word, by the numbers that it has in the index: copies, details, rows."""

    copies: Collection[int] = ()
    details: Collection[int] = ()
    rows: Collection[int] = ()

    @classmethod
    def of(cls, part: LocationIndex, token: Token, scale: Scale) -> _Asked:
        """What has this word."""
        fits = fits_copy(token, scale)
        copies = frozenset(at for at, copy in enumerate(part.copies) if fits(copy))
        return cls(copies, _with_serial(part, token), _of_team_or_series(part, token))

    def among(self, part: LocationIndex, cards: Sequence[int]) -> Sequence[int]:
        """Those of some cards that have the word."""
        copies, copy_of = self.copies, part.copy_of
        if not (self.details or self.rows):
            return [card for card in cards if copy_of[card] in copies]
        details, detail_of, rows, step_of = self.details, part.detail_of, self.rows, part.step_of
        return [
            card
            for card in cards
            if copy_of[card] in copies or detail_of[card] in details or step_of[card] in rows
        ]


def _with_serial(part: LocationIndex, token: Token) -> Collection[int]:
    """Details with a serial number that was typed."""
    wanted = serial_typed(token) if token.may_be("serial") else None
    if wanted is None or not token.text:
        return ()
    # leading zeros may stand before either
    number, run = wanted
    word = str(run) if number is None else f"{number}/"
    return {one.at for one in part.details(word) if serial_fits(one.serial, wanted)}


def _of_team_or_series(part: LocationIndex, token: Token) -> Collection[int]:
    """Rows whose team or series a word could mean."""
    index, word = part.index, TokenMatches(part.index, token)
    teams, series = word.teams, word.series
    if not (teams or series):
        return ()
    both = enumerate(zip(index.team_of, index.extra_of, strict=True))
    return frozenset(step for step, (team, extra) in both if team in teams or extra in series)


def in_lots(part: LocationIndex, cards: Sequence[int], lots: Collection[int]) -> Sequence[int]:
    """Those of some cards that lie in lots that count."""
    if len(lots) == len(part.lots):
        return cards
    return [card for card in cards if part.lot_of(card) in lots]


def first_rows(part: LocationIndex, cards: Sequence[int], limit: int) -> tuple[list[int], int]:
    """Of some cards the copies of the first rows, one more than `limit`, of those that are there
    and of those that left their place; how many more left."""
    gone = frozenset(at for at, copy in enumerate(part.copies) if copy.gone)
    copy_of = part.copy_of
    left = [card for card in cards if copy_of[card] in gone]
    here = cards if not left else [card for card in cards if copy_of[card] not in gone]
    first_left = _of_first_rows(part, left, limit + 1)
    return [*_of_first_rows(part, here, limit + 1), *first_left], len(left) - len(first_left)


def _of_first_rows(part: LocationIndex, cards: Sequence[int], count: int) -> list[int]:
    step_of = part.step_of
    rows = frozenset(sorted(set(map(step_of.__getitem__, cards)))[:count])
    return [card for card in cards if step_of[card] in rows]
