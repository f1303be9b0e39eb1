"""Where a card lies: what a hint means among the cards of many lots, and each copy of it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.core.index.location_builder import name_of
from tagger.core.matching.hint import parse_hint
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.ranking.ranked import rounded
from tagger.core.matching.read import PARALLEL_MISTYPED, POOR
from tagger.core.matching.variants.variant_words import AS_CONDITION, AS_PARALLEL, AS_SERIAL
from tagger.core.model.condition import Scale
from tagger.core.model.numbers import parse_serial, serial_fits
from tagger.core.model.place import place_order
from tagger.core.model.scan_ref import LotRef
from tagger.core.model.stock_number import is_mistyped, read_stock_number
from tagger.core.model.tags import Mark, State, Tags, kept_parallel
from tagger.core.model.text import natural, printable
from tagger.core.reports.by_copy import Beside, first_rows, in_lots, with_words
from tagger.core.reports.lot_words import is_called, without_lot

if TYPE_CHECKING:
    from tagger.core.index.location_index import IndexedCard, LocationIndex
    from tagger.core.matching.hint import Token
    from tagger.core.matching.variants.option import Option
    from tagger.core.model.stock_number import StockNumber

LIMIT = 20  # different cards that are told
_VARIANT = frozenset({AS_PARALLEL, PARALLEL_MISTYPED, AS_SERIAL})


@dataclass(frozen=True, slots=True)
class SearchHit:
    """One physical card. `lot` is the text that its lot is known by; `position` of `cards` is where
    it stands in the lot, `from_front` which one of its place it is, those that are gone left out;
    `before` and `after` name its neighbours there, empty at either end; `stock_number` is empty
    before its first tag."""

    lot: str
    position: int
    cards: int
    from_front: int
    before: str
    after: str
    front: str
    back: str
    mark: Mark
    stock_number: str = ""


NO_WORD = "Type a number, a name, a place (at=box 3) or another word of the card."
NONE_FITS = "No card in the lots opened on this machine matches all of these words."


@dataclass(frozen=True, slots=True)
class SearchResults:
    """The cards that a hint means, best first, all copies of each; of those that left their place
    only the number. `more` says that there are others than the best `limit`. `every` has the cards
    in the same order with those among them that left, of at most `limit` different ones."""

    cards: tuple[SearchHit, ...] = ()
    gone: int = 0
    more: bool = False
    every: tuple[SearchHit, ...] = ()


def find(
    parts: Sequence[tuple[LocationIndex, Collection[int]]],
    hint: str,
    scale: Scale | None = None,
    limit: int = LIMIT,
) -> SearchResults:
    """Every word of the hint fits each card that is told; those for which a word must be guessed
    count only where there are no others. Each part comes with the lots in it that count, by their
    places; limit: different cards that are told."""
    if (number := read_stock_number(hint)) is not None:
        return _numbered(parts, number)
    hint, wanted = without_lot(hint)
    parsed = parse_hint(hint)
    held = [(part, _called(part, lots, wanted)) for part, lots in parts]
    beside = Beside(parsed, [part for part, _ in held])
    if not parsed.tokens:
        placed = [hit for part, lots in held for hit in _beside(part, lots, beside)]
        return _told(sorted(placed, key=lambda hit: hit.order), limit)
    hits = _Hits(held, beside, limit, scale or Scale())
    return _told(_best_read(hits.of(hint, parsed.tokens)), limit, hits.gone_beyond)


def _told(hits: Sequence[_Hit], limit: int, gone_beyond: int = 0) -> SearchResults:
    every, more = _first_different(hits, limit)
    cards = [_found(hit.part, hit.number, hit.card) for hit in every]
    gone = sum(bool(hit.card.mark.gone) for hit in hits) + gone_beyond
    return SearchResults(
        tuple(card for card in cards if not card.mark.gone), gone, more, tuple(cards)
    )


def _beside(part: LocationIndex, lots: Collection[int], beside: Beside) -> Iterator[_Hit]:
    """The cards that lie in a place, have a note or cost so much, by place and there from the
    front."""
    for number in beside.within(part, range(len(part))):
        if part.lot_of(number) in lots:
            card = part.card(number)
            yield _Hit(part, number, card, (place_order(card.mark.tags.place), number), False)


def _numbered(
    parts: Sequence[tuple[LocationIndex, Collection[int]]], number: StockNumber
) -> SearchResults:
    """The card with a stock number, wherever it lies."""
    every = tuple(
        _found(part, card, part.card(card))
        for part, lots in parts
        for card in part.numbered(number)
        if part.lot_of(card) in lots
    )
    # who asks for one card by its number wants to know what became of it
    return SearchResults(every, every=every)


def _called(part: LocationIndex, lots: Collection[int], wanted: str) -> Collection[int]:
    """Those of some lots whose name has these words in it."""
    if not wanted:
        return lots
    return [at for at in lots if is_called(LotRef.read(part.lots[at]).name, wanted)]


def _best_read(hits: Sequence[_Hit]) -> list[_Hit]:
    """The hits in their order; those for which a word was guessed only where there are no
    others."""
    # a guess beside a card that reads as it was typed is noise
    certain = [hit for hit in hits if not hit.guessed]
    return sorted(certain or hits, key=lambda hit: hit.order)


def _first_different(hits: Iterable[_Hit], limit: int) -> tuple[list[_Hit], bool]:
    """All copies of the first `limit` different cards, and whether there are others; cards that
    left their place are counted by themselves."""
    # else many sold cards would leave no room for those that can still be found
    told: dict[bool, set[object]] = {True: set(), False: set()}
    first: list[_Hit] = []
    more = False
    for hit in hits:
        left, name = bool(hit.card.mark.gone), name_of(hit.card.mark.tags)
        if name in told[left] or len(told[left]) < limit:
            told[left].add(name)
            first.append(hit)
        else:
            more = more or not left
    return first, more


def none_fits(hint: str) -> str:
    """That no card was found, and what may have been misread."""
    misread = [word for word in hint.split() if is_mistyped(word, bare=True)]
    if not misread:
        return NONE_FITS
    shown = printable(misread[0], 40)
    return f"{NONE_FITS} If {shown} is a stock number, its last character does not fit the others."


def problem_of(hint: str) -> str:
    """Why nothing can be looked for with a hint, as a sentence; empty where something can."""
    if is_mistyped(hint):
        return (
            f"'{printable(hint, 40)}' is not a stock number: its last character does not fit the "
            "others. Read it again."
        )
    parsed = parse_hint(without_lot(hint)[0])
    if parsed.unclear:
        return f"{parsed.unclear}."
    if not (parsed.tokens or parsed.place or parsed.note or parsed.price):
        return NO_WORD
    return ""


def lies(card: SearchHit) -> str:
    """`box 3, row 2, card 127 of 412; 103 from the front, between #45 and #47`."""
    where = f"card {card.position} of {card.cards}; {_there(card)}"
    place = card.mark.tags.place
    return ", ".join(filter(None, (place, where)))


def _there(card: SearchHit) -> str:
    """Where a card is in its place; of one that is gone, since when, and for which order."""
    if not card.mark.gone:
        return from_front(card)
    became = card.mark.trade.told(card.mark.gone)
    return f"{became}, to be pulled; {from_front(card)}" if card.mark.to_pull else became


def from_front(card: SearchHit) -> str:
    """`103 from the front, between #45 and #47`."""
    return f"{card.from_front} from the front, {between(card.before, card.after)}"


def between(before: str, after: str) -> str:
    """Where a card lies by its neighbours, each empty at an end."""
    if before and after:
        return f"between {before} and {after}"
    if before:
        return f"the last, after {before}"
    if after:
        return f"the first, before {after}"
    return "the only card there"


@dataclass(frozen=True, slots=True)
class _Hit:
    part: LocationIndex
    number: int
    card: IndexedCard
    order: tuple[object, ...]
    guessed: bool


@dataclass
class _Hits:
    """Looks for the cards that words mean, in parts with the lots that count there. `gone_beyond`:
    how many more were sold or pulled than are among the hits."""

    held: Sequence[tuple[LocationIndex, Collection[int]]]
    beside: Beside
    limit: int
    scale: Scale
    gone_beyond: int = 0

    def of(self, hint: str, words: Sequence[Token]) -> list[_Hit]:
        """The cards of the rows that the words name, and behind them those that have all words
        without being named."""
        found: list[_Hit] = []
        for part, lots in self.held:
            named = list(self._named(part, lots, hint))
            known = {hit.number for hit in named if not hit.guessed}
            found += named
            found += self._unnamed(part, lots, words, known)
        return found

    def _named(self, part: LocationIndex, lots: Collection[int], hint: str) -> Iterator[_Hit]:
        seen: set[int] = set()
        # a row stands there once for each of its variants
        # Twice as many as are told: of some rows no copy is of the variant that was typed, or in a
        # lot that counts.
        for weight, step, option in Matcher(part.index, self.scale).fitting(hint, 2 * self.limit):
            guessed = any(meaning in POOR for _, meaning in option.reasons)
            for number in part.of(step):
                # a part may hold a lot as it was before it changed; that one is not in `lots`
                if number in seen or part.lot_of(number) not in lots:
                    continue
                tags = part.card(number).mark.tags
                if _is_variant(tags, option) and self.beside.fits(tags):
                    seen.add(number)
                    yield self._hit(part, number, weight, guessed)

    def _unnamed(
        self,
        part: LocationIndex,
        lots: Collection[int],
        words: Sequence[Token],
        known: Collection[int],
    ) -> Iterator[_Hit]:
        cards = self.beside.within(part, with_words(part, words, self.scale))
        cards = [card for card in in_lots(part, cards, lots) if card not in known]
        first, gone = first_rows(part, cards, self.limit)
        self.gone_beyond += gone
        for number in first:
            yield self._hit(part, number, _BEHIND, False)

    def _hit(self, part: LocationIndex, number: int, weight: float, guessed: bool) -> _Hit:
        card, lot = part.card(number), part.lots[part.lot_of(number)]
        return _Hit(part, number, card, _order(weight, card, lot, number), guessed)


_BEHIND = -1e6  # below whatever a row weighs that words name


def _order(weight: float, card: IndexedCard, lot: str, number: int) -> tuple[object, ...]:
    tags = card.mark.tags
    # copies of one card lie next to each other, whatever lot they are in
    return (
        # Rounded, since the same row weighs differently by the last bits in two parts, and copies
        # would be told apart.
        -rounded(weight),
        tags.set,
        natural(tags.number),
        tags.number,
        tags.subject,
        tags.series,
        tags.team,
        lot,
        number,
    )


def _is_variant(tags: Tags, option: Option) -> bool:
    """Whether a card has the parallel, the serial number and the condition that were typed."""
    # only what was typed is asked: a hint without a parallel means any copy
    meanings = {meaning for _, meaning in option.reasons}
    if meanings & _VARIANT and kept_parallel(tags.parallel) != option.parallel:
        return False
    if AS_SERIAL in meanings and not _has_serial(tags, option):
        return False
    return AS_CONDITION not in meanings or tags.condition == option.condition


def _has_serial(tags: Tags, option: Option) -> bool:
    """Whether a card is the copy with this serial number; `/99` asks for any copy of 99."""
    return serial_fits(tags.serial, parse_serial(option.serial) or (None, option.run))


def _found(part: LocationIndex, number: int, card: IndexedCard) -> SearchHit:
    position, cards, from_front = part.place_in(number)
    before, after = part.neighbours(number)
    near = _short(part, before), _short(part, after)
    lot = part.lots[part.lot_of(number)]
    return SearchHit(
        lot, position, cards, from_front, *near,
        card.front, card.back, card.mark, part.stock_number(number),
    )  # fmt: skip


def _short(part: LocationIndex, number: int | None) -> str:
    """`#45`, or the subject where there is no number, or the card's position."""
    if number is None:
        return ""
    return short_name(part.card(number).mark, part.place_in(number)[0])


def short_name(mark: Mark, at: int) -> str:
    """What a card is called as the neighbour of another; `at` is its position in the lot."""
    position = f"card {at}"
    if mark.state is State.UNTAGGED:
        return position
    if mark.tags.number:
        return f"#{mark.tags.number}"
    return mark.tags.subject or position
