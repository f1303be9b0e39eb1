"""A lot as it stands: its cards, their marks, the desk. The one place where a change takes effect
in memory."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, MutableMapping
from dataclasses import dataclass, field

from tagger.core.lot.carried import Cursor
from tagger.core.lot.change import Effect
from tagger.core.lot.sitting import Sitting
from tagger.core.model.arrangement import Arrangement, Card
from tagger.core.model.tags import Mark, State


@dataclass(frozen=True, slots=True)
class Counts:
    """How far a lot is, in cards."""

    cards: int
    tagged: int
    set_aside: int

    @property
    def untagged(self) -> int:
        """Cards without tags that are not set aside."""
        return self.cards - self.tagged - self.set_aside


@dataclass
class LotState:
    """All that is known of a lot, its history left out. `marks` holds a mark by the card's
    identity; a card that is missing there is untagged."""

    arrangement: Arrangement = field(default_factory=Arrangement)
    marks: MutableMapping[int, Mark] = field(default_factory=dict)
    desk: Cursor = field(default_factory=Cursor)
    checklists: tuple[str, ...] = ()
    next_id: int = 1
    sittings: tuple[Sitting, ...] = ()

    def __post_init__(self) -> None:
        self._states: Counter[State] = Counter()
        self._sets: Counter[str] = Counter()
        self._ids: frozenset[int] = frozenset()
        self.recount()

    def recount(self, marks: Iterable[tuple[int, State, str]] | None = None) -> None:
        """Count states and sets afresh, from (identity, state, set) of all marks, or from the marks
        themselves."""
        self._ids = frozenset(pair.id for pair in self.arrangement.pairs)
        self._states.clear()
        self._sets.clear()
        for id, state, set_name in marks if marks is not None else self._told():
            if id in self._ids:
                self._count(state, set_name, 1)

    def _told(self) -> Iterable[tuple[int, State, str]]:
        return ((id, mark.state, mark.tags.set) for id, mark in self.marks.items())

    def _count(self, state: State, set_name: str, by: int) -> None:
        self._states[state] += by
        if state is State.TAGGED:
            self._sets[set_name] += by

    @property
    def cards(self) -> int:
        """Cards in the lot."""
        return len(self.arrangement.pairs)

    def card(self, position: int) -> Card:
        """The card at a position from 1."""
        pair = self.arrangement.pairs[position - 1]
        return Card(pair.id, pair.front, pair.back, self.mark(pair.id))

    def mark(self, id: int) -> Mark:
        """The mark of a card."""
        return self.marks.get(id) or Mark()

    def counts(self) -> Counts:
        """How far the lot is."""
        return Counts(self.cards, self._states[State.TAGGED], self._states[State.SET_ASIDE])

    def sets(self) -> frozenset[str]:
        """The sets of the tagged cards."""
        return frozenset(name for name, count in self._sets.items() if count > 0)

    def rearrange(self, arrangement: Arrangement, next_id: int | None = None) -> None:
        """Take another arrangement."""
        self.arrangement = arrangement
        self.next_id = max(
            [
                self.next_id if next_id is None else next_id,
                *(pair.id + 1 for pair in arrangement.pairs),
            ]
        )
        self.recount()

    def apply(self, effect: Effect) -> None:
        """Let a change, or the taking back of one, take effect. Marks of cards that are gone are
        passed over."""
        if effect.arrangement is not None:
            self.rearrange(effect.arrangement)
        for id, mark in effect.marks:
            if id not in self._ids:
                continue
            old = self.mark(id)
            if old.state is not mark.state or old.tags.set != mark.tags.set:
                self._count(old.state, old.tags.set, -1)
                self._count(mark.state, mark.tags.set, 1)
            self.marks[id] = mark
        self.desk = effect.desk
