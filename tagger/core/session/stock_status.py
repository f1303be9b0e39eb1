"""What becomes of cards in the trade: listed, reserved, sold, pulled, returned. They are marked,
never removed from the lot."""

from __future__ import annotations

import re
import time
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.offers import is_free_for, listed_in
from tagger.core.model.tags import Mark, Marking, State
from tagger.core.model.text import printable
from tagger.core.model.trade import LISTED, PULLED, RESERVED, SOLD, ShopListing
from tagger.errors import Refused, UsageError

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.core.session.session import Session

Details = Mapping[str, str]
"""Fields of a Trade by their names."""
NONE: Details = {}
_SPAN = re.compile(r"([0-9]{1,9})(?:-([0-9]{1,9}))?")


def positions(words: Sequence[str], cards: int) -> list[int]:
    """`12 40-42` as positions of a lot with so many cards, each once. Raises UsageError."""
    found: list[int] = []
    for word in words:
        first, last = _span(word)
        for end in (first, last):
            if not 1 <= end <= cards:
                raise UsageError(f"There is no card {end}; the lot has {cards}.")
        found.extend(range(first, last + 1))
    return list(dict.fromkeys(found))


def _span(word: str) -> tuple[int, int]:
    """The first and the last position that a word names. Raises UsageError."""
    match = _SPAN.fullmatch(word)
    if match is None:
        raise UsageError(
            f"'{printable(word, 40)}' is not a position; type 12, or 40-42 for several."
        )
    first, last = int(match[1]), int(match[2] or match[1])
    if first > last:
        raise UsageError(f"{word} runs backwards; type the smaller position first.")
    return first, last


def leave(session: Session, where: Sequence[int], gone: str, details: Details = NONE) -> str:
    """Mark the cards at some positions as `gone` (SOLD or PULLED; empty: they are back in their
    places), with what is known of it, as one change that undo takes back. Raises Refused,
    NotSaved."""
    what = StockChange(gone, details, today_at(session.now()))
    marks = what.markings(session.view, where)
    session.enter(what.label(where), marks)
    return what.told(where, marks)


class StockChange(NamedTuple):
    """What becomes of cards: `kind` is `sold`, `pulled`, `listed`, `reserved`, or empty for those
    that were returned. `today` is its day where the details name none."""

    kind: str
    details: Details = NONE
    today: str = ""

    def markings(self, lot: LotView, where: Sequence[int]) -> list[Marking]:
        """The changed marks of the cards at some positions of a lot. Raises Refused."""
        marks: list[Marking] = []
        for position in where:
            card = lot.card_at(position)
            # all or nothing: a list with one wrong card in it is a list of the wrong cards
            check(position, card.mark, self.kind)
            self._check_promise(position, card.mark)
            # one of several may have been marked before
            # Pulled once more is pulled all the same, and keeps its day; sold twice is a mistake,
            # which `check` refused.
            if self.kind != PULLED or not card.mark.is_pulled:
                marks.append(Marking(card.id, card.mark, self.after(card.mark)))
        if not marks:
            raise Refused(f"Already {self.kind}: {_cards(where)}. Nothing was changed.")
        return marks

    def _check_promise(self, position: int, mark: Mark) -> None:
        """Raises Refused where a card is sold to somebody else than it is reserved for."""
        order, buyer = (self.details.get(name, "") for name in ("order", "buyer"))
        # Where neither is said, it may well be sold to whom it is reserved for.
        if self.kind != SOLD or not (order or buyer) or is_free_for(mark.trade, order, buyer):
            return
        promised = printable(mark.trade.reserved, 40)
        raise Refused(
            f"Card {position} is reserved for {promised}. Say so with --buyer or --order if it "
            "goes there; to sell it to somebody else, end the reservation first: --reserved ''."
        )

    def after(self, mark: Mark) -> Mark:
        """The mark of a card once that has become of it."""
        # The details behind: a day that was said goes before today.
        dated = {_DAYS[self.kind]: self.today, **self.details} if self.kind in _DAYS else {}
        match self.kind:
            case "sold":
                return _with(mark, SOLD, dated)
            case "pulled":
                # A sold one stays sold, and waits no longer: were it pulled instead, its sale
                # would fall out of the year's sums.
                return _with(mark, SOLD if mark.gone == SOLD else PULLED, dated)
            case "":
                return _with(_back(mark), "", {"reason": "", **dated})
            case "listed":
                listing = ShopListing(self.details.get("listed", ""), self.today)
                return listed_in(mark, listing)
        return _with(mark, mark.gone, self.details)

    def label(self, where: Sequence[int]) -> str:
        """The change in a few words: `cards 3, 7 sold`."""
        return f"{_cards(where)} {self._became()}"

    def _became(self) -> str:
        # an empty text ends what was noted
        if self.kind in (LISTED, RESERVED) and not self.details.get(self.kind):
            return f"no longer {self.kind}"
        return self.kind or "returned to stock"

    def told(self, where: Sequence[int], marks: Sequence[Marking]) -> str:
        """What was done, as a sentence."""
        said = self.label(where)
        return f"{said[0].upper()}{said[1:]}: {_names(marks)}."


_DAYS = {SOLD: "sold_on", PULLED: "pulled_on", "": "returned_on"}


def today_at(now: float) -> str:
    """The day of a time in seconds since 1970 here, as ISO 8601 has it."""
    # In the dealer's own time zone: an evening's sale must not stand under the next day.
    return time.strftime("%Y-%m-%d", time.localtime(now))


def _back(mark: Mark) -> Mark:
    """The mark of a card that comes back, with nothing sold."""
    trade = mark.trade.without_sale()
    # What it was reserved for is over with the sale; a pulled one is still promised.
    return replace(mark, trade=trade._replace(reserved="") if mark.gone == SOLD else trade)


def _with(mark: Mark, gone: str, details: Details) -> Mark:
    return replace(mark, gone=gone, trade=mark.trade._replace(**details))


def check(position: int, mark: Mark, kind: str) -> None:
    """Raises Refused where a card cannot become what is asked: `sold`, `pulled`, `listed`,
    `reserved`, or empty for returned."""
    if not mark.on_record:
        is_so = "is untagged" if mark.state is State.UNTAGGED else "is set aside without tags"
        raise Refused(
            f"Card {position} {is_so}; tag it first, so the record shows which card left."
        )
    if not kind and not mark.gone:
        raise Refused(f"Card {position} is already in its place.")
    if kind == SOLD and mark.gone == SOLD:
        raise Refused(f"Card {position} {already_sold(mark)}. Nothing was changed.")
    if kind in (LISTED, RESERVED) and mark.gone:
        raise Refused(f"Card {position} is {mark.gone}, so it cannot be {kind}.")


def already_sold(mark: Mark) -> str:
    """`was already sold on 2026-11-02, order A-17`: when and to whom a card was sold."""
    trade = mark.trade
    parts = [f"was already sold on {trade.sold_on}" if trade.sold_on else "was already sold"]
    if trade.order:
        parts.append(f"order {printable(trade.order, 40)}")
    if trade.buyer:
        parts.append(f"to {printable(trade.buyer, 40)}")
    return ", ".join(parts)


def _names(marks: Sequence[Marking]) -> str:
    """The first few of the cards."""
    names = "; ".join(mark.after.tags.brief() for mark in marks[:3])
    if len(marks) > 3:
        names += f" and {len(marks) - 3} more"
    return names


def _cards(where: Sequence[int]) -> str:
    shown = ", ".join(map(str, where[:8]))
    if len(where) > 8:
        shown += " …"
    return f"cards {shown}" if len(where) > 1 else f"card {shown}"
