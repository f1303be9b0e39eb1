"""What a card is offered as, which cards a shop does not have yet as they are, and to whom one is
promised."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.model.money import price_text
from tagger.core.model.tags import Marking
from tagger.core.model.text import fold
from tagger.core.model.trade import ShopListing

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.core.model.tags import Mark, Tags
    from tagger.core.model.trade import Trade

# What a buyer reads. A card that goes to another box is the same offer.
_TOLD = ("set", "number", "subject", "team", "parallel", "serial", "condition", "note")


def offer(tags: Tags) -> str:
    """A digest of what a card is offered as and for how much, 16 characters."""
    told = (*(getattr(tags, name) for name in _TOLD), price_text(tags))
    # A digest and not the text: it is kept with every listed card, and compared for nothing but
    # sameness.
    return hashlib.blake2b("\x1f".join(told).encode(), digest_size=8).hexdigest()


def is_new(mark: Mark, shop: str = "") -> bool:
    """Whether a card in stock was never listed in a shop, or is not what it was listed as there:
    its tags or its price were changed since, or it was sold and returned. Without a shop: in any,
    or not as it is in one of those where it is listed."""
    if not mark.in_stock:
        return False
    listings = _in_shop(mark, shop) if shop else mark.trade.listings
    return not listings or any(_is_outdated(one, mark) for one in listings)


def listed_in(mark: Mark, new: ShopListing) -> Mark:
    """The card offered in one more shop, or there once more; without a shop in none."""
    there = _in_shop(mark, new.shop)
    others = [one for one in mark.trade.listings if new.shop and one not in there]
    return replace(mark, trade=mark.trade.offered_in(new, others))


def _in_shop(mark: Mark, shop: str) -> list[ShopListing]:
    return [one for one in mark.trade.listings if fold(one.shop) == fold(shop)]


def _is_outdated(listing: ShopListing, mark: Mark) -> bool:
    # Days of ISO 8601, which sort as text. One that was returned on the day it was listed still
    # counts as listed.
    if mark.trade.returned_on > listing.on:
        return True
    # of one that was marked without a table nobody knows what it was offered as
    return bool(listing.offered) and listing.offered != offer(mark.tags)


def listed_marks(
    lot: LotView, shown: LotView, ids: Collection[int], where: str, today: str
) -> Iterator[Marking]:
    """The changed marks of those among some cards that are in stock, once they are listed in a shop
    on a day as they are `shown` there; a card that is listed so already stays unchanged."""
    for id in ids:
        mark, offered = lot.mark(id), shown.mark(id)
        if not mark.in_stock:
            continue
        now = ShopListing(where, today, offer(offered.tags))
        known = (one.offered for one in _in_shop(mark, where))
        # A card that is listed there as it is keeps its day: a second export of the same cards
        # would else change hundreds of marks.
        if is_new(offered, where) or next(known) != now.offered:
            yield Marking(id, mark, listed_in(mark, now))


def is_reserved_for(trade: Trade, order: str, buyer: str) -> bool:
    """Whether a card is reserved for this order, or for its buyer, in any spelling."""
    wanted = _spelled(trade.reserved)
    return bool(wanted) and wanted in (_spelled(order), _spelled(buyer))


def is_free_for(trade: Trade, order: str, buyer: str) -> bool:
    """Whether no reservation keeps a card from this order of this buyer."""
    return not trade.reserved or is_reserved_for(trade, order, buyer)


def is_of_order(trade: Trade, order: str) -> bool:
    """Whether a card was sold to this order, in any spelling; two without a number agree."""
    return _spelled(trade.order) == _spelled(order)


def _spelled(name: str) -> str:
    return " ".join(fold(name).split())
