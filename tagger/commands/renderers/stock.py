"""What is in stock, and what came of a count, of `tagger stock`: as text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from tagger.commands.renderers.value import CAUTION, ranges, span_text
from tagger.core.model.counted import counted
from tagger.core.model.money import money
from tagger.core.model.numbers import natural
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.reports.value import Valuation
    from tagger.core.stock.counting import CountedCard, StockCount
    from tagger.core.stock.stocked import Stocked
    from tagger.services.valuation import StockValue

NO_PLACE, NO_SET = "no place", "no set"


def stock_text(cards: Sequence[Stocked], lots: int, valued: StockValue) -> Iterator[str]:
    """Cards and value in all, by box, by set and by price range."""
    yield f"In stock: {counted(len(cards), 'card')} in {counted(lots, 'lot')}{_worth(valued)}"
    yield "By box:"
    yield from _rows(cards, lambda card: card.mark.tags.place, valued.by_place, NO_PLACE)
    yield "By set:"
    yield from _rows(cards, lambda card: card.mark.tags.set, valued.by_set, NO_SET)
    yield from _by_price(valued.by_place)
    if valued.by_place.sums:
        yield CAUTION


def _worth(valued: StockValue) -> str:
    sums = [money(held.total, currency) for currency, held in valued.by_place.sums.items()]
    priced = sum(held.cards for held in valued.by_place.sums.values())
    return f"; {' and '.join(sums)} for {counted(priced, 'card')}" if sums else ""


def _rows(
    cards: Sequence[Stocked], key: Callable[[Stocked], str], valuation: Valuation, none: str
) -> Iterator[str]:
    counts = Counter(map(key, cards))
    for name in sorted(counts, key=natural):
        worth = [
            money(held.lots[name][0], currency)
            for currency, held in valuation.sums.items()
            if name in held.lots
        ]
        yield "  " + ", ".join((f"{name or none}: {counted(counts[name], 'card')}", *worth))


def _by_price(valuation: Valuation) -> Iterator[str]:
    bounds = valuation.terms.bounds
    for currency, held in valuation.sums.items():
        yield "By price:"
        for span, (cards, total) in zip(ranges(bounds), held.stacks, strict=True):
            cards_there = counted(cards, "card")
            yield f"  {span_text(span, currency)}: {cards_there}, {money(total, currency)}"


def count_text(count: StockCount) -> Iterator[str]:
    """What came of a count."""
    yield f"{counted(count.found, 'card is', 'cards are')} where expected."
    yield from _block(f"Missing: {counted(len(count.missing), 'card')}", map(_card, count.missing))
    yield from _block(
        f"In another place: {counted(len(count.elsewhere), 'card')}",
        (_misplaced(card, place) for card, place in count.elsewhere),
    )
    yield from _block(
        f"Counted, but sold or pulled: {counted(len(count.gone), 'card')}", map(_card, count.gone)
    )
    yield from _block(f"Unknown stock numbers: {len(count.unknown)}", map(_line, count.unknown))
    yield from _block(f"Counted more than once: {len(count.twice)}", map(_line, count.twice))


def _block(head: str, lines: Iterator[str]) -> Iterator[str]:
    rest = list(lines)
    if rest:
        yield f"{head}."
        yield from (f"  {line}" for line in rest)


def _card(card: Stocked) -> str:
    place = card.mark.tags.place or NO_PLACE
    what = f"{card.mark.tags.set} {card.mark.tags.brief()}"
    return f"{card.number}  {what}  ({place}, {card.lies}; {card.lot}, card {card.position})"


def _misplaced(card: Stocked, place: str) -> str:
    return f"{_card(card)}; found in {printable(place, 60)}" if place else _card(card)


def _line(line: CountedCard) -> str:
    return f"{line.where}: {printable(line.number, 60) or 'no number'}"
