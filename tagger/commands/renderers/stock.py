"""What is in stock, and what came of a count, of `tagger stock`: as text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.commands.renderers.stocked import card_document
from tagger.commands.renderers.value import (
    CAUTION,
    bound_text,
    ranges,
    span_text,
    uncertain,
    uncertain_document,
)
from tagger.core.model.counted import counted
from tagger.core.model.money import money
from tagger.core.model.text import natural, printable

if TYPE_CHECKING:
    from decimal import Decimal

    from tagger.core.reports.value import Valuation
    from tagger.core.stock.counting import CountedCard, StockCount
    from tagger.core.stock.stocked import Stocked
    from tagger.services.valuation import StockValue

NO_PLACE, NO_SET = "no place", "no set"


@dataclass
class StockAnswer:
    """What is said of the stock: the cards with their value, or a count. `lots`: how many were
    looked through; of the stock those are told that have one of the cards."""

    lots: int
    stock: tuple[Sequence[Stocked], StockValue] | None = None
    count: StockCount | None = None

    @property
    def right(self) -> bool:
        """Whether a count found all as it should be, or there was none."""
        return self.count is None or self.count.right

    def as_text(self) -> Iterator[str]:
        """The lines of the answer."""
        if self.stock is not None:
            cards, valued = self.stock
            yield from stock_text(cards, valued)
        if self.count is not None:
            yield from count_text(self.count)

    def left_out(self) -> Iterator[str]:
        """What the sums of the stock leave out or take as it stands."""
        if self.stock is not None:
            yield from uncertain(self.stock[1].by_place)

    def as_json(self, skipped: Sequence[str]) -> dict[str, object]:
        """The document of --json."""
        stock = None if self.stock is None else _stock_document(*self.stock)
        count = None if self.count is None else _count_document(self.count)
        lots = self.lots if self.stock is None else _lots(self.stock[0])
        return {"lots": lots, "stock": stock, "count": count, "skipped": list(skipped)}


def _stock_document(cards: Sequence[Stocked], valued: StockValue) -> dict[str, object]:
    by_place, bounds = valued.by_place, valued.by_place.terms.bounds
    return {
        "cards": len(cards),
        "values": [
            _value_document(currency, held.total, held.cards)
            for currency, held in by_place.sums.items()
        ],
        "boxes": _groups(cards, lambda card: valued.places[card.mark.tags.place], by_place),
        "sets": _groups(cards, lambda card: valued.set_names[card.mark.tags.set], valued.by_set),
        "price_ranges": [
            {"currency": currency, "min": bound_text(low), "max": bound_text(high)}
            | {"cards": count, "total": format(total, "f")}
            for currency, held in by_place.sums.items()
            for (low, high), (count, total) in zip(ranges(bounds), held.stacks, strict=True)
        ],
        **uncertain_document(by_place),
    }


def _groups(
    cards: Sequence[Stocked], key: Callable[[Stocked], str], valuation: Valuation
) -> list[dict[str, object]]:
    counts = Counter(map(key, cards))
    return [
        {
            "name": name,
            "cards": counts[name],
            "values": [
                _value_document(currency, *held.lots[name])
                for currency, held in valuation.sums.items()
                if name in held.lots
            ],
        }
        for name in sorted(counts, key=natural)
    ]


def _value_document(currency: str, total: Decimal, cards: int) -> dict[str, object]:
    return {"currency": currency, "total": format(total, "f"), "cards": cards}


def _count_document(count: StockCount) -> dict[str, object]:
    lines = {"unknown": count.unknown, "twice": count.twice}
    return {
        "found": count.found,
        "missing": list(map(card_document, count.missing)),
        "elsewhere": [
            {"card": card_document(card), "found_in": place} for card, place in count.elsewhere
        ],
        "gone": list(map(card_document, count.gone)),
        **{
            name: [{"where": line.where, "number": line.number} for line in those]
            for name, those in lines.items()
        },
    }


def stock_text(cards: Sequence[Stocked], valued: StockValue) -> Iterator[str]:
    """Cards and value in all, by box, by set and by price range; of the lots those count that have
    one of the cards."""
    lots = counted(_lots(cards), "lot")
    yield f"In stock: {counted(len(cards), 'card')} in {lots}{_worth(valued)}"
    yield "By box:"
    spelled, named = valued.places, valued.set_names
    yield from _rows(cards, lambda card: spelled[card.mark.tags.place], valued.by_place, NO_PLACE)
    yield "By set:"
    yield from _rows(cards, lambda card: named[card.mark.tags.set], valued.by_set, NO_SET)
    yield from _by_price(valued.by_place)
    if valued.by_place.sums:
        yield CAUTION


def _lots(cards: Sequence[Stocked]) -> int:
    return len({card.lot for card in cards})


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
