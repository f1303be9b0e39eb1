"""What becomes of cards in the trade: listed, reserved, sold, pulled, returned. They are marked,
never removed from the lot."""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.model.tags import Mark, Marking, State
from tagger.core.model.text import printable
from tagger.core.model.trade import LISTED, PULLED, RESERVED, SOLD
from tagger.errors import Refused, UsageError

if TYPE_CHECKING:
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
    places), with what is known of it, as one change that undo takes back. Without a day in the
    details it is today. Raises Refused, NotSaved."""
    today = today_at(session.now())
    after = {
        SOLD: lambda mark: sold(mark, {"sold_on": today, **details}),
        PULLED: lambda mark: pulled(mark, {"pulled_on": today, **details}),
        "": lambda mark: returned(mark, {"returned_on": today, **details}),
    }[gone]
    return _mark(session, where, gone, gone or "returned to stock", after)


def offer(session: Session, where: Sequence[int], details: Details) -> str:
    """Note where the cards at some positions are listed, or for whom they are reserved, as one
    change. Raises Refused, NotSaved."""
    kind = RESERVED if details.get("reserved") else LISTED
    if kind == LISTED:
        details = {"listed_on": today_at(session.now()), **details}
    return _mark(session, where, kind, kind, lambda mark: _with(mark, mark.gone, details))


def today_at(now: float) -> str:
    """The day of a time in seconds since 1970 here, as ISO 8601 has it."""
    return time.strftime("%Y-%m-%d", time.localtime(now))


def sold(mark: Mark, details: Details) -> Mark:
    """The mark of a card that is sold. What it was reserved for is over."""
    return _with(mark, SOLD, {"reserved": "", **details})


def pulled(mark: Mark, details: Details = NONE) -> Mark:
    """The mark of a card that was removed for another reason than a sale."""
    return _with(mark, PULLED, details)


def returned(mark: Mark, details: Details) -> Mark:
    """The mark of a card that is in its place again; nothing of its sale stands any more."""
    bare = replace(mark, trade=mark.trade.without_sale())
    return _with(bare, "", {"reason": "", **details})


def _with(mark: Mark, gone: str, details: Details) -> Mark:
    return replace(mark, gone=gone, trade=mark.trade._replace(**details))


def _mark(
    session: Session, where: Sequence[int], kind: str, what: str, after: Callable[[Mark], Mark]
) -> str:
    marks: list[Marking] = []
    for position in where:
        card = session.view.card_at(position)
        # all or nothing: a list of positions with one wrong card in it is a list of the wrong cards
        check(position, card.mark, kind)
        # one of several may have been marked before
        if kind != PULLED or card.mark.gone != PULLED:
            marks.append(Marking(card.id, card.mark, after(card.mark)))
    if not marks:
        raise Refused(f"Already {kind}: {_cards(where)}. Nothing was changed.")
    said = f"{_cards(where)} {what}"
    session.enter(said, marks)
    return f"{said[0].upper()}{said[1:]}: {_names(marks)}."


def check(position: int, mark: Mark, kind: str) -> None:
    """Raises Refused where a card cannot become what is asked: `sold`, `pulled`, `listed`,
    `reserved`, or empty for returned."""
    if mark.state is State.UNTAGGED:
        raise Refused(
            f"Card {position} is untagged; tag it first, so the record shows which card left."
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
