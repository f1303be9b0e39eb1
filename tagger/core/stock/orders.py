"""Which card each line of an order means, over all lots."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.offers import is_free_for, is_of_order, is_reserved_for
from tagger.core.model.copies import NEAREST, WORST, kind_of
from tagger.core.model.numbers import canonical
from tagger.core.model.stock_number import read_stock_number
from tagger.core.model.text import WordKey, fold, printable, word_key
from tagger.core.model.trade import SOLD
from tagger.core.session.stock_status import already_sold
from tagger.core.stock.order_fit import (
    card_title,
    fits,
    nearest,
    slip,
    unread,
)
from tagger.core.stock.stocked import shared_numbers

if TYPE_CHECKING:
    from tagger.core.model.condition import Scale
    from tagger.core.stock.order_lines import OrderLine
    from tagger.core.stock.stocked import Stocked

_SHOWN = 3  # cards that are named where a line could mean several


class OrderMatch(NamedTuple):
    """A line and the card that it means; None with the reason. `done`: that line was there before,
    and its card was sold by it."""

    line: OrderLine
    card: Stocked | None = None
    why: str = ""
    done: bool = False


class _Unmatched(Exception):
    """Why no card is meant."""


class OrderMatcher:
    """Matches lines to cards; each card is given once."""

    def __init__(self, cards: Sequence[Stocked], scale: Scale, copy: str = NEAREST) -> None:
        """`copy` is one of COPIES."""
        self._scale, self._copy = scale, copy
        self._ranks = {step.name: rank for rank, step in enumerate(scale.steps)}
        self._by_number = {card.number: card for card in cards if card.number}
        self._shared = shared_numbers(cards)
        self._by_line = {key: card for card in cards for key in card.mark.trade.lines.split()}
        self._named: dict[str, list[Stocked]] = defaultdict(list)
        self._subjects: dict[WordKey, list[Stocked]] = defaultdict(list)
        for card in cards:
            self._named[canonical(card.mark.tags.number)].append(card)
            self._subjects[word_key(card.mark.tags.subject)].append(card)
        self._given: set[tuple[str, int]] = set()

    def match(self, lines: Iterable[OrderLine]) -> list[OrderMatch]:
        """The card of each line."""
        lines = list(lines)
        found: dict[int, OrderMatch] = {}
        # a stock number names its card, so that no other line may be given it before
        for exactly in (True, False):
            for at, line in enumerate(lines):
                if (read_stock_number(line.get("stock")) is not None) is exactly:
                    found[at] = self._match(line)
        return [found[at] for at in range(len(lines))]

    def _match(self, line: OrderLine) -> OrderMatch:
        if line.problem:
            return OrderMatch(line, why=line.problem)
        # Before all else: a table that is read twice, or holds last week's lines again, must not
        # sell a second copy.
        if before := self._by_line.get(line.key):
            return OrderMatch(line, before, done=True)
        try:
            card = self._card(line)
        except _Unmatched as reason:
            return OrderMatch(line, why=str(reason))
        # Sold by hand with this order's number before the table came: the same sale, and not
        # another one.
        done = _is_sold_to(card, line)
        self._given.add((card.lot, card.id))
        return OrderMatch(line, card, done=done)

    def _card(self, line: OrderLine) -> Stocked:
        number = read_stock_number(line.get("stock"))
        if number is not None:
            return self._numbered(line, str(number))
        if line.get("stock") and not line.names_card:
            raise _Unmatched(f"'{printable(line.get('stock'), 40)}' is not a stock number")
        if not line.names_card:
            raise _Unmatched("the line names no card")
        return self._described(line)

    def _numbered(self, line: OrderLine, number: str) -> Stocked:
        card = self._by_number.get(number)
        if card is None:
            raise _Unmatched(f"no card in the lots opened on this machine has the number {number}")
        if number in self._shared:
            raise _Unmatched(self._shared[number])
        # The two disagree, so one of them is a slip: neither the number nor the description is
        # believed alone.
        if wrong := slip(card, line):
            raise _Unmatched(unread(line) or f"{number} is {wrong}")
        if said := self._why_not(card, line):
            raise _Unmatched(f"{number} {said}")
        return card

    def _why_not(self, card: Stocked, line: OrderLine) -> str:
        """Why the very card that a line names cannot be sold by it; empty where it can."""
        mark = card.mark
        if mark.gone == SOLD and not _is_sold_to(card, line):
            return already_sold(mark)
        if mark.gone and mark.gone != SOLD:
            return f"was {mark.gone}"
        if (card.lot, card.id) in self._given:
            return "is named by a line before"
        if not mark.gone and not _is_free(card, line):
            return f"is reserved ({printable(mark.trade.reserved, 40)})"
        return ""

    def _described(self, line: OrderLine) -> Stocked:
        fitting = [card for card in self._candidates(line) if fits(card, line)]
        if not fitting:
            raise _Unmatched(unread(line) or self._none(line))
        # Among all that fit, also those that are sold: with only one kind still there the line
        # could have meant the other.
        _check_one_kind(fitting)
        by_hand = [card for card in fitting if self._is_sold_by_hand(card, line)]
        return by_hand[0] if by_hand else self._there(fitting, line)

    def _there(self, fitting: Sequence[Stocked], line: OrderLine) -> Stocked:
        """The copy that a line is given, of those that fit it."""
        there = [card for card in fitting if self._is_free(card, line)]
        if not there:
            raise _Unmatched("every copy is sold, pulled, reserved or set aside")
        return min(self._conditioned(there, line), key=self._preference(line))

    def _candidates(self, line: OrderLine) -> Sequence[Stocked]:
        if line.get("number"):
            return self._named.get(canonical(line.get("number")), ())
        return self._subjects.get(word_key(line.get("subject")), ())

    def _none(self, line: OrderLine) -> str:
        """That no card fits a line, and which one would but for one thing that it says."""
        numbered = self._named.get(canonical(line.get("number")), ()) if line.get("number") else ()
        named = self._subjects.get(word_key(line.get("subject")), ())
        near = nearest((*numbered, *named), line)
        there = f"; there is {near}" if near else ""
        return f"no such card in the lots opened on this machine{there}"

    def _is_free(self, card: Stocked, line: OrderLine) -> bool:
        if not card.mark.in_stock or (card.lot, card.id) in self._given:
            return False
        return _is_free(card, line)

    def _is_sold_by_hand(self, card: Stocked, line: OrderLine) -> bool:
        """Whether a card was sold to the order of a line, and by no line of a table."""
        if not line.get("order") or (card.lot, card.id) in self._given:
            return False
        if card.mark.trade.lines or not _is_sold_to(card, line):
            return False
        # a copy in another condition may be another one of the same order
        wanted = line.get("condition")
        return not wanted or self._is_in(card, self._named_condition(wanted))

    def _conditioned(self, there: Sequence[Stocked], line: OrderLine) -> Sequence[Stocked]:
        """The copies in the condition that was ordered; where the worst that fits is sold, those in
        a better one, too."""
        if not line.get("condition"):
            return there
        wanted = self._named_condition(line.get("condition"))
        fitting = [card for card in there if self._is_in(card, wanted)]
        if not fitting:
            had = ", ".join(dict.fromkeys(_condition(card) for card in there))
            raise _Unmatched(f"no copy is {printable(wanted, 40)}; there is {printable(had, 80)}")
        return fitting

    def _named_condition(self, text: str) -> str:
        """A condition by its name in the scale, as it was written where it is in none."""
        read = self._scale.read(fold(text))
        return read.name if read else text

    def _is_in(self, card: Stocked, wanted: str) -> bool:
        """Whether a card is in a condition that fits the one that is wanted."""
        if self._copy == WORST and wanted in self._ranks:
            return 0 <= self._rank(card) <= self._ranks[wanted]
        return fold(card.mark.tags.condition) == fold(wanted)

    def _rank(self, card: Stocked) -> int:
        return self._ranks.get(card.mark.tags.condition, -1)

    def _preference(self, line: OrderLine) -> Callable[[Stocked], tuple[object, ...]]:
        def key(card: Stocked) -> tuple[object, ...]:
            worse = -self._rank(card) if self._copy == WORST else 0
            # The reserved copy was promised; then the worst that fits is the cheapest to give; then
            # the one whose way is shortest.
            promised = is_reserved_for(card.mark.trade, line.get("order"), line.get("buyer"))
            return (not promised, worse, *card.nearness)

        return key


def _check_one_kind(fitting: Sequence[Stocked]) -> None:
    """Raises _Unmatched where a line could mean one card or another: that is asked, never
    guessed."""
    kinds = {kind_of(card.mark.tags): card for card in fitting}
    if len(kinds) > 1:
        shown = " or ".join(card_title(card) for card in list(kinds.values())[:_SHOWN])
        more = ", …" if len(kinds) > _SHOWN else ""
        raise _Unmatched(f"it could be {shown}{more}")


def _is_sold_to(card: Stocked, line: OrderLine) -> bool:
    """Whether a card was sold to the order of a line, by hand or by its table."""
    return card.mark.gone == SOLD and is_of_order(card.mark.trade, line.get("order"))


def _is_free(card: Stocked, line: OrderLine) -> bool:
    """Whether no reservation keeps a card from the order of a line."""
    return is_free_for(card.mark.trade, line.get("order"), line.get("buyer"))


def _condition(card: Stocked) -> str:
    return card.mark.tags.condition or "no condition"
