"""The lot as a list: what is shown of it, where the cursor is, which cards are chosen, and what is
asked of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.lot.fields import CardInLot, with_replaced
from tagger.core.lot.fields import cards as cards_of
from tagger.core.model.tags import State
from tagger.core.overview.bulk import BulkPlan, Lists, plan_aside, plan_clear, plan_tags
from tagger.core.overview.bulk_change import read_change
from tagger.core.overview.doubles import Doubles
from tagger.core.overview.selection import read_filter, select
from tagger.errors import Refused, TaggerError
from tagger.ui.desk.modes.prompts import Prompt

if TYPE_CHECKING:
    from tagger.core.model.arrangement import Arrangement
    from tagger.core.session.session import Session


class Overview:
    """At first all cards, the cursor at the card in front of the dealer. Positions count from 1,
    places in the list from 0. What costs more than a moment is worked out once after each change of
    the lot or of the filter."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self.ask = Prompt.FILTER
        self.at = self.top = 0
        self.list: Sequence[int] = ()
        # by the cards' identities, as are the cards that are asked about
        self.chosen: frozenset[int] = frozenset()
        self._asked: frozenset[int] = frozenset()
        # where it began, and what was chosen before
        self._stretch: tuple[int, frozenset[int]] | None = None
        self._text: str | None = None
        self.unclear = ""
        # the cards whose scans were replaced, by their positions
        self.replaced: Sequence[int] = ()
        self._cards: list[CardInLot] = []
        self._arrangement: Arrangement | None = None
        self._known_doubles: Doubles | None = None
        self._lists: Lists | None = None
        self._plan: tuple[Prompt, str, BulkPlan | TaggerError] | None = None
        self.narrow("")
        self.at = max(0, min(session.view.cursor.position, len(self.list)) - 1)

    # What is listed

    def changed(self) -> None:
        """The lot is not as it was."""
        self._text, self._arrangement, self._known_doubles, self._plan = None, None, None, None

    @property
    def cards(self) -> list[CardInLot]:
        """All cards of the lot."""
        session, arrangement = self._session, self._session.view.arrangement
        if self._arrangement is not arrangement:
            self.changed()
            self._arrangement = arrangement
            self.replaced = session.scans.replaced.positions()
            self._cards = with_replaced(cards_of(session.view), self.replaced)
        return self._cards

    def priced(self, card: CardInLot) -> CardInLot:
        """A card as it is shown and filtered: with its list's price of today. What changes cards
        keeps them as they are."""
        tags = self._session.prices.tags(card.mark.tags)
        return card if tags is card.mark.tags else card._replace(mark=replace(card.mark, tags=tags))

    @property
    def ruled(self) -> bool:
        """Whether there are dividers between the cards."""
        return bool(self._session.view.arrangement.mending.dividers)

    def rules(self, place: int) -> list[str]:
        """The dividers before the card at a place of the list, each with what it says and how many
        cards are behind it."""
        from tagger.core.lot.divided import told_groups

        after = self.list[place - 1] if place else 0
        return told_groups(self._session.view.groups, after, self.list[place])

    @property
    def doubles(self) -> Doubles:
        """Which cards are there more than once."""
        cards = self.cards
        if self._known_doubles is None:
            self._known_doubles = Doubles(cards)
        return self._known_doubles

    @property
    def here(self) -> CardInLot | None:
        """The card at the cursor."""
        cards = self.cards
        if self.at >= len(self.list):
            return None
        # The list is narrowed when it is drawn; cards may have gone since.
        position = self.list[self.at]
        return cards[position - 1] if position <= len(cards) else None

    def narrow(self, text: str) -> None:
        """List the cards that a filter means. The cursor stays at its card, or goes to the next one
        that is listed."""
        cards = self.cards
        if text == self._text:
            return
        position = self.list[self.at] if self.at < len(self.list) else 0
        self._text, self._stretch = text, None
        wanted = read_filter(text, self._session.scale)
        self.unclear = wanted.unclear
        self.list = range(1, len(cards) + 1)
        # Doubles cost more than all else: they are looked up for a filter that is one, only then.
        if wanted.narrows:
            self.list = select(list(map(self.priced, cards)), wanted, self.doubles)
        self.at = self._nearest(position)

    def _nearest(self, position: int) -> int:
        """The place of a card in the list, or of the next one that is listed."""
        if position in self.list:
            return self.list.index(position)
        onwards = (at for at, other in enumerate(self.list) if other > position)
        return next(onwards, max(0, len(self.list) - 1))

    def page(self, rows: int) -> range:
        """The places that so many rows show. A cursor that leaves them is brought to their middle:
        one screen to send where there would be many."""
        last = max(0, len(self.list) - rows)
        # Line by line, each step past the edge would send the whole screen again.
        if not self.top <= self.at < self.top + rows:
            self.top = self.at - rows // 2
        self.top = min(max(0, self.top), last)
        return range(self.top, min(len(self.list), self.top + rows))

    # Moving and choosing

    def move(self, by: int) -> None:
        """Move the cursor so many places, at most to either end."""
        self._stretch = None
        self._go(self.at + by)

    def _go(self, place: int) -> None:
        self.at = min(max(0, place), max(0, len(self.list) - 1))

    def next_double(self) -> None:
        """Go to the next card that is the same as that at the cursor, round the end once. Raises
        Refused."""
        same: set[int] = set()
        if (here := self.here) is not None:
            same = set(self.doubles.of(here.mark))
        self._turn_to(same, 1, "No other copy of this card in the list.")

    def next_untagged(self, direction: int) -> None:
        """Go to the next untagged card, round the end once. Raises Refused."""
        untagged = {card.position for card in self.cards if card.mark.state is State.UNTAGGED}
        self._turn_to(untagged, direction, "No other untagged card in the list.")

    def _turn_to(self, positions: set[int], direction: int, none: str) -> None:
        total = len(self.list)
        for step in range(1, total):
            place = (self.at + direction * step) % total
            if self.list[place] in positions:
                self.move(place - self.at)
                return
        raise Refused(none)

    def choose(self) -> None:
        """Choose the card at the cursor, or let it go; the cursor moves on."""
        if (here := self.here) is not None:
            self.chosen ^= {here.pair.id}
        self.move(1)

    def stretch(self, by: int) -> None:
        """Choose from where this was pressed first to where the cursor goes now."""
        if not self.list:
            return
        # What was chosen before stays chosen when the stretch becomes shorter again.
        begun, before = self._stretch or (self.at, self.chosen)
        self._stretch = begun, before
        self._go(self.at + by)
        low, high = sorted((begun, self.at))
        cards = self.cards
        self.chosen = before | {
            cards[position - 1].pair.id for position in self.list[low : high + 1]
        }

    def let_go(self) -> int:
        """Choose none; returns how many there were."""
        many, self.chosen, self._stretch = len(self.chosen), frozenset(), None
        return many

    def meant(self) -> frozenset[int]:
        """The cards that an action is for, by identity: those chosen, else all that a filter lists,
        else the one at the cursor."""
        cards, here = self.cards, self.here
        if self.chosen:
            return self.chosen & {card.pair.id for card in cards}
        if (self._text or "").strip():
            return frozenset(cards[position - 1].pair.id for position in self.list)
        return frozenset() if here is None else frozenset({here.pair.id})

    # Asking and doing

    def begin(self, ask: Prompt) -> None:
        """Ask what is to become of the cards that are meant. Raises Refused where there are
        none."""
        # Held while it is asked: what is typed from now on is no filter.
        self._asked = self.meant()
        if not self._asked:
            raise Refused("No card in the list to change.")
        self.ask, self._plan = ask, None

    def end(self) -> None:
        """Ask no more."""
        self.ask, self._plan = Prompt.FILTER, None

    def plan(self, text: str) -> BulkPlan:
        """What Enter would do with this text. Raises Refused."""
        cards = self.cards
        if self._plan is None or self._plan[:2] != (self.ask, text):
            found: BulkPlan | TaggerError
            try:
                found = self._planned(text, [card for card in cards if card.pair.id in self._asked])
            except TaggerError as error:
                found = error
            self._plan = self.ask, text, found
        plan = self._plan[2]
        if isinstance(plan, TaggerError):
            raise plan
        return plan

    def _planned(self, text: str, cards: Sequence[CardInLot]) -> BulkPlan:
        if self.ask is Prompt.CLEAR:
            return plan_clear(cards)
        if self.ask is Prompt.ASIDE:
            return plan_aside(cards, self._session.reasons.meant(text))
        index = self._session.candidates.matcher.index
        if self._lists is None or self._lists.index is not index:
            self._lists = Lists(index)
        sets = {card.mark.tags.set for card in self.cards}
        wanted = read_change(text, self._session.scale, index, self._lists.parallels(cards), sets)
        return plan_tags(cards, wanted, self._lists)
