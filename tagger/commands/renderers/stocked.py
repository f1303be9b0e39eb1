"""A card of the stock as JSON documents have it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.core.model.money import price_text

if TYPE_CHECKING:
    from tagger.core.stock.stocked import Stocked

_TAGS = ("set", "number", "subject", "team", "parallel", "serial", "condition")


def card_document(card: Stocked) -> dict[str, object]:
    """One card: what it is, where it lies, and what became of it."""
    return {
        "stock_number": card.number,
        "place": card.mark.tags.place,
        "depth": card.from_front,
        "previous_card": card.before,
        "next_card": card.after,
        **{name: getattr(card.mark.tags, name) for name in _TAGS},
        "price": price_text(card.mark.tags),
        "state": card.mark.standing,
        "order": card.mark.trade.order,
        "buyer": card.mark.trade.buyer,
        "lot": card.lot,
        "position": card.position,
        "front": card.front.encode("utf-8", "backslashreplace").decode(),
    }
