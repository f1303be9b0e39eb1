"""What became of a card in the trade: where it is listed, for whom it is reserved, what it was sold
for. All of it is the dealer's own record."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Sequence


SOLD, PULLED = "sold", "pulled"
LISTED, RESERVED, IN_STOCK = "listed", "reserved", "in stock"
STATES = (IN_STOCK, LISTED, RESERVED, SOLD, PULLED)
_APART = "\t"  # what is noted of a shop is one line without it


class ShopListing(NamedTuple):
    """That a card is offered in a shop: since which day, and as what (`offer`); each text as in a
    Trade."""

    shop: str
    on: str = ""
    offered: str = ""


class Trade(NamedTuple):
    """Each field is text, empty where it is not known. Dates are as ISO 8601 has them (2026-11-28),
    sums as they were typed (`3.50 €`).

    listed, listed_on: where the card was offered last, and since when; offered: what it was offered
    as (`offer`); also_listed: the other shops, see `listings`; reserved: for whom, or for which
    order, kept while the card is sold, so that a sale that is undone leaves it promised; sold_on,
    price, fee, shipping, channel, order, buyer: the sale; reason: why the card was pulled;
    returned_on: when it came back last; pulled_on: when a card that was sold was taken out of its
    place; lines: marks of the lines of orders by which it was ever sold (see `order_lines`), apart
    by spaces."""

    listed: str = ""
    listed_on: str = ""
    offered: str = ""
    reserved: str = ""
    sold_on: str = ""
    price: str = ""
    fee: str = ""
    shipping: str = ""
    channel: str = ""
    order: str = ""
    buyer: str = ""
    reason: str = ""
    returned_on: str = ""
    pulled_on: str = ""
    lines: str = ""
    also_listed: str = ""

    @property
    def listings(self) -> tuple[ShopListing, ...]:
        """Where the card is offered, a shop each, the latest last."""
        also = (ShopListing(*line.split(_APART)[:3]) for line in self.also_listed.splitlines())
        last = ShopListing(self.listed, self.listed_on, self.offered)
        return tuple(one for one in (*also, last) if one.shop)

    def offered_in(self, last: ShopListing, others: Sequence[ShopListing]) -> Trade:
        """The same card offered in these shops and no more, in `last` since the latest day."""
        return self._replace(
            listed=last.shop,
            listed_on=last.on if last.shop else "",
            offered=last.offered,
            also_listed="\n".join(map(_APART.join, others)),
        )

    def without_sale(self) -> Trade:
        """The same card with nothing sold."""
        return self._replace(**dict.fromkeys(OF_A_SALE, ""))

    def told(self, standing: str) -> str:
        """What became of a card in a few words: `sold 2026-11-28, 3.50 €, order 17`."""
        order = self.order and f"order {self.order}"
        listed = tuple(text for one in self.listings for text in (one.shop, one.on))
        said = {
            LISTED: listed,
            RESERVED: (self.reserved,),
            SOLD: (self.sold_on, self.price, self.channel, order),
            PULLED: (self.reason,),
        }.get(standing, ())
        return ", ".join(filter(None, (f"{standing} {said[0] if said else ''}".strip(), *said[1:])))


NO_TRADE = Trade()
# the lines stay: the table of an order that came to nothing may be read once more
OF_A_SALE = ("sold_on", "price", "fee", "shipping", "channel", "order", "buyer", "pulled_on")


class Purchase(NamedTuple):
    """What a lot was bought for, as the dealer noted it: from whom, when (ISO 8601), for how much;
    each empty where it is not known."""

    source: str = ""
    on: str = ""
    cost: str = ""


NO_PURCHASE = Purchase()
