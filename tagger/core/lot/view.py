"""The read side of a lot at work: what its cards are and where the dealer stands.

Rules take this view, and not the session or the store: nothing that they hold can change the lot,
and a card is a look into one mapping away."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import islice
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.feeding.groups import Groups, groups_of
from tagger.core.lot.carried import Carried, Cursor
from tagger.core.model.arrangement import Arrangement, Card
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.model.trade import NO_PURCHASE, Purchase
from tagger.errors import Refused

if TYPE_CHECKING:
    from tagger.core.lot.sitting import Sitting
    from tagger.core.model.scan_ref import ScanStamp
    from tagger.core.model.side_order import SideOrder

UNTAGGED = Mark()  # shared: of a new lot every card is asked for its mark


class Counts(NamedTuple):
    """How far a lot is, in cards."""

    cards: int
    tagged: int
    set_aside: int

    @property
    def untagged(self) -> int:
        """Cards without tags that are not set aside."""
        return self.cards - self.tagged - self.set_aside


class Tally:
    """How many cards are in which state, and how many of which set are tagged."""

    def __init__(self) -> None:
        self.states: Counter[State] = Counter()
        self.sets: Counter[str] = Counter()

    def count(self, state: State, set_name: str, by: int) -> None:
        """So many more cards are in this state, and of this set (below 0: fewer)."""
        self.states[state] += by
        if state is State.TAGGED:
            self.sets[set_name] += by

    def clear(self) -> None:
        """Count from nothing again."""
        self.states.clear()
        self.sets.clear()


@dataclass
class LotView:
    """All that is known of a lot, its history left out. `marks` holds a mark by the card's
    identity; a card that is missing there is untagged. `revision` counts what happened to the lot:
    what was worked out from it holds as long as that is the same. `name` is the lot's own, empty
    where it is called like its folder. `part` is its part of stock numbers, empty before it has
    one; `highest` the highest running number that any of its cards ever had. `bought` is what the
    dealer gave for it; `stamps` has what the scans of tagged cards were."""

    arrangement: Arrangement = field(default_factory=Arrangement)
    marks: Mapping[int, Mark] = field(default_factory=dict)
    cursor: Cursor = field(default_factory=Cursor)
    checklists: tuple[str, ...] = ()
    next_id: int = 1
    sittings: tuple[Sitting, ...] = ()
    name: str = ""
    part: str = ""
    highest: int = 0
    stamps: Mapping[str, ScanStamp] = field(default_factory=dict)
    bought: Purchase = NO_PURCHASE
    revision: int = field(default=0, init=False, compare=False)
    # kept up with each mark: to count a lot afresh takes longer than a key may
    _tally: Tally = field(default_factory=Tally, init=False, repr=False, compare=False)
    _groups: tuple[Arrangement, Groups] | None = field(
        default=None, init=False, repr=False, compare=False
    )

    @property
    def groups(self) -> Groups:
        """The cards between the lot's dividers."""
        # worked out once for each arrangement: a key asks for it several times
        if self._groups is None or self._groups[0] is not self.arrangement:
            self._groups = self.arrangement, groups_of(self.arrangement)
        return self._groups[1]

    @property
    def carried(self) -> Carried:
        """What is carried at the card in front: at one without tags also what the divider before it
        says."""
        return self.carried_at(self.cursor.position, self.cursor.carried)

    def carried_at(self, position: int, carried: Carried) -> Carried:
        """What is carried at a card that is reached with this carried: at one without tags also
        what the divider before it says."""
        if not self.arrangement.mending.dividers:
            return carried
        # A tagged card is read beside its own tags; what lies before it says nothing new of it.
        if position <= self.cards and self.card_at(position).mark.named:
            return carried
        # a lot without dividers never loads what reads them
        from tagger.core.lot.divided import carried_at

        return carried_at(self.groups, position, carried)

    def told_divider(self, before: Carried) -> str:
        """A sentence where the card in front is the first behind a divider that is reached with it;
        empty otherwise. `before` is what was carried."""
        if not self.arrangement.mending.dividers:
            return ""
        from tagger.core.lot.divided import told_reached

        return told_reached(self.groups, self.cursor.position, before, self.carried)

    @property
    def cards(self) -> int:
        """Cards in the lot."""
        return len(self.arrangement.pairs)

    @property
    def sides(self) -> SideOrder:
        """Which scan is which side."""
        return self.arrangement.sides

    @property
    def at_end(self) -> bool:
        """Whether the dealer stands behind the last card."""
        return self.cursor.position > self.cards

    @property
    def card(self) -> Card | None:
        """The card in front of the dealer, None at the end of the lot."""
        return None if self.at_end else self.card_at(self.cursor.position)

    def here(self) -> Card:
        """The card in front of the dealer. Raises Refused at the end of the lot."""
        card = self.card
        if card is None:
            raise Refused("This is the end of the lot; PgUp returns to its cards.")
        return card

    def card_at(self, position: int) -> Card:
        """The card at a position from 1."""
        pair = self.arrangement.pairs[position - 1]
        return Card(pair.id, pair.front, pair.back, self.mark(pair.id))

    def mark(self, id: int) -> Mark:
        """The mark of a card by its identity."""
        return self.marks.get(id, UNTAGGED)

    def before(self, listed: bool = False) -> Mark | None:
        """The mark of the nearest tagged card before the dealer in feeding order, None where there
        is none. With `listed`, cards that are in no checklist are passed over."""
        # cards that are set aside or skipped lie between, seldom many
        for position in range(min(self.cursor.position - 1, self.cards), 0, -1):
            mark = self.card_at(position).mark
            if mark.state is State.TAGGED and (mark.tags.listed or not listed):
                return mark
        return None

    def passed(self) -> int:
        """How many cards without a tag lie between the card in front and the nearest tagged one
        before it; 0 where there is none."""
        return self.passed_before(self.cursor.position)

    def passed_before(self, position: int) -> int:
        """The same for the card at a position."""
        pairs = self.arrangement.pairs
        last = min(position - 1, self.cards)
        for at in range(last - 1, -1, -1):
            if self.mark(pairs[at].id).state is State.TAGGED:
                return last - 1 - at
        return 0

    def is_tagged_on(self) -> bool:
        """Whether a card behind the one in front has a tag: who is here went back."""
        behind = islice(self.arrangement.pairs, self.cursor.position, None)
        return any(self.mark(pair.id).state is State.TAGGED for pair in behind)

    def all_before(self) -> Iterator[Tags]:
        """The tags of the cards before the dealer, the nearest first."""
        for position in range(min(self.cursor.position - 1, self.cards), 0, -1):
            mark = self.card_at(position).mark
            if mark.state is State.TAGGED:
                yield mark.tags

    def listed_before(self) -> Iterator[Tags]:
        """The same of listed cards."""
        return (tags for tags in self.all_before() if tags.listed)

    def tags_before(self, listed: bool = False) -> Tags | None:
        """The tags of that card; see `before`."""
        mark = self.before(listed)
        if mark is None:
            return None
        return mark.tags

    def counts(self) -> Counts:
        """How far the lot is."""
        states = self._tally.states
        return Counts(self.cards, states[State.TAGGED], states[State.SET_ASIDE])

    def sets(self) -> frozenset[str]:
        """The sets of the tagged cards."""
        # a set whose last card was cleared is counted, with none
        return frozenset(name for name, count in self._tally.sets.items() if count > 0)
