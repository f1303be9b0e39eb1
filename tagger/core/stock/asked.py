"""A sale that another station asks for: what its card must still be, and what becomes of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.cells import plain
from tagger.core.lot.offers import is_free_for
from tagger.core.model.text import printable
from tagger.core.model.trade import SOLD, Trade
from tagger.core.session.stock_status import StockChange, already_sold

if TYPE_CHECKING:
    from tagger.core.model.tags import Mark, Tags

# What says which card it is. Its place, its price and its note may change meanwhile.
SEEN = ("set", "number", "subject", "team", "parallel", "serial", "condition")
OPEN, DONE, REFUSED, OVER = "open", "done", "refused", "over"
# Nothing of where the card is listed or for whom it is reserved travels with a wish: that is the
# record of the station that has the card.
_OF_A_WISH = ("sold_on", "price", "fee", "shipping", "channel", "order", "buyer", "lines")


class Wish(NamedTuple):
    """A sale that `station` (by its name) asks for: of the card `card` of the lot `lot`, by their
    identities. `seen` are its tags as that station knew them, `details` fields of a Trade."""

    id: str
    lot: str
    card: int
    station: str
    seen: Mapping[str, str]
    details: Mapping[str, str]

    @property
    def line(self) -> str:
        """What marks the sale in `Trade.lines`: the same wish is never done twice."""
        return f"asked:{self.id}"


class Answer(NamedTuple):
    """What becomes of a wish: DONE, REFUSED with the reason, or OPEN: the card is to be marked as
    `mark`."""

    state: str
    why: str = ""
    mark: Mark | None = None


def seen_of(tags: Tags) -> dict[str, str]:
    """What says which card it is."""
    return {name: plain(getattr(tags, name)) for name in SEEN}


def wished(before: Mark, after: Mark) -> dict[str, str]:
    """What is noted of a sale that turns one mark into the other; the lines of orders that are
    new."""
    known = before.trade.lines.split()
    # The card's earlier lines are in its own lot already; sent again they would stand there twice.
    lines = " ".join(line for line in after.trade.lines.split() if line not in known)
    said = {**after.trade._asdict(), "lines": lines}
    return {name: said[name] for name in _OF_A_WISH if said[name]}


def is_sale(before: Mark, after: Mark) -> bool:
    """Whether a change of marks sells a card that was there, and nothing else."""
    # A change that retags and sells at once cannot be asked of another station: what the card is,
    # is for that station to say.
    return before.gone != SOLD and after.gone == SOLD and before.tags == after.tags


def answer(wish: Wish, mark: Mark | None) -> Answer:
    """What becomes of a wish, with the card's mark as it is now; None where there is no such
    card."""
    if mark is None or not mark.on_record:
        return Answer(REFUSED, "the card is not tagged any more")
    # Asked before whether it is gone: a wish that was done is answered as done, also where the
    # connection broke before its answer was heard.
    if wish.line in mark.trade.lines.split():
        return Answer(DONE)
    if mark.gone:
        return Answer(REFUSED, _gone(mark))
    # Sold was the card as the other station saw it. What it is called now may be another card, and
    # a buyer returns that.
    if said := _changed(wish.seen, seen_of(mark.tags)):
        return Answer(REFUSED, said)
    if not is_free_for(mark.trade, wish.details.get("order", ""), wish.details.get("buyer", "")):
        return Answer(REFUSED, f"it is reserved for {printable(mark.trade.reserved, 40)}")
    return Answer(OPEN, mark=_sold(wish, mark))


def _gone(mark: Mark) -> str:
    return f"it {already_sold(mark)}" if mark.gone == SOLD else f"it was {mark.gone}"


def _changed(seen: Mapping[str, str], now: Mapping[str, str]) -> str:
    """Which of the tags are others now, as a clause; empty where all are as they were."""
    said = [
        f"its {name} is {printable(now[name], 40) or 'empty'} now, was "
        f"{printable(str(seen.get(name, '')), 40) or 'empty'}"
        for name in SEEN
        if now[name] != seen.get(name, "")
    ]
    # Two say enough of a card that was retagged as another one: then all of its fields differ.
    return " and ".join(said[:2])


def _sold(wish: Wish, mark: Mark) -> Mark:
    # A newer station may know fields that this one does not: they are left out, and the sale
    # counts.
    known = {name: text for name, text in wish.details.items() if name in Trade._fields}
    lines = " ".join(filter(None, (mark.trade.lines, known.pop("lines", ""), wish.line)))
    return StockChange(SOLD, {**known, "lines": lines}).after(mark)
