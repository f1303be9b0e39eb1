"""What was read of a lot's cards, weighed against the lists as they are now, and what of a card is
to be read next.

The first cards of a set are read whole, until it is known where its cards have their numbers. From
then on only that is read, with names and last lines; a card that does not stand out by that is read
whole after all. Nothing that was read is read again because the lists changed."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from tagger.core.reading.evidence import CardSaid, Weighing
from tagger.core.reading.places import RIM, Parts, SetPlaces

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tagger.core.index.index import Index
    from tagger.core.reading.printed import CardReading, Evidence, Spot

WHOLE_OF_SET = 3  # cards of a set that are read whole before it is read where they have it
WHOLE: Parts = {}
REMEMBERED = 200  # cards of which is remembered what they say: those around the dealer


class CardKey(NamedTuple):
    """A card by what is read of it: its scans, and by how many degrees they are turned."""

    front: str | None
    front_turn: int
    back: str | None
    back_turn: int


class _Weighed(NamedTuple):
    evidence: Evidence
    lists: Index
    places: int  # the count of places that were learned before


class ReadingBook:
    """The readings of one lot. One thread puts them in; any may ask."""

    def __init__(self) -> None:
        self._index: Index | None = None
        self._readings: dict[CardKey, CardReading] = {}
        self._weighed: dict[CardKey, _Weighed] = {}
        self._said: dict[CardKey, CardSaid] = {}
        self._places: dict[str, SetPlaces] = {}
        self._learned = 0
        self._last_set = ""
        # cards that stood out by the lists then; to weigh all of them at each step would take time
        self._done: dict[CardKey, Index] = {}

    def use(self, index: Index) -> None:
        """These are the lists from now on; all is weighed by them when it is asked for."""
        self._index = index

    def put(self, key: CardKey, reading: CardReading) -> None:
        """A card was read, or more of it."""
        self._readings[key] = reading
        self._weighed.pop(key, None)
        self._said.pop(key, None)
        if self._index is not None:
            self._learn(key, reading, self._index)

    def reading(self, key: CardKey) -> CardReading | None:
        """What was read of a card, None where nothing was yet."""
        return self._readings.get(key)

    def evidence(self, key: CardKey) -> Evidence | None:
        """What that says of the rows of the lists; None where nothing was read yet."""
        reading, index = self._readings.get(key), self._index
        if reading is None or index is None:
            return None
        known = self._weighed.get(key)
        if known is None or known.lists is not index or known.places != self._learned:
            # Before it is weighed: a place that is learned meanwhile, by the thread that reads,
            # makes this one stale.
            learned = self._learned
            found = self._weighing(key, reading, index).evidence()
            known = self._weighed[key] = _Weighed(found, index, learned)
        return known.evidence

    @property
    def learned(self) -> int:
        """How often a place was learned: cards that were weighed before are to be weighed again."""
        return self._learned

    def weighed(self, key: CardKey) -> Evidence | None:
        """The same where it was asked for before and nothing has changed since; None where it would
        have to be weighed first, which beside long lists is not done at once."""
        known = self._weighed.get(key)
        if known is None or known.lists is not self._index or known.places != self._learned:
            return None
        return known.evidence

    def wanted(self, key: CardKey) -> Parts | None:
        """What of a card is to be read next, empty for all of it; None where nothing is."""
        reading = self._readings.get(key)
        if reading is None:
            return self._parts()
        if reading.whole or self._done.get(key) is self._index:
            return None
        evidence = self.evidence(key)
        if evidence is None or evidence.alone is None:
            return WHOLE
        if self._index is not None:
            self._done[key] = self._index
        return None

    def number_places(self, set_name: str) -> tuple[Spot, ...]:
        """Where the cards of a set have their number, on the straight card; empty where that is not
        known."""
        places = self._places.get(set_name)
        return () if places is None else places.numbers

    def _parts(self) -> Parts:
        """What is read of a card of the set that came last."""
        places = self._places.get(self._last_set)
        if places is None or places.cards < WHOLE_OF_SET:
            return WHOLE
        return places.parts() or dict(RIM)

    def _learn(self, key: CardKey, reading: CardReading, index: Index) -> None:
        learned = self._learned
        weighing = self._weighing(key, reading, index)
        evidence = weighing.evidence()
        self._weighed[key] = _Weighed(evidence, index, learned)
        # The set that came last is most likely the next one's too: a tray has one set after the
        # other.
        if evidence.alone is not None:
            self._last_set = index.sets[index.set_of(evidence.alone)]
        if not reading.whole:
            return
        found = weighing.places_of(evidence)
        if found is None:
            return
        set_id, card = found
        self._last_set = index.sets[set_id]
        places = self._places.setdefault(self._last_set, SetPlaces())
        before = places.numbers, places.last_lines
        places.learn(key, card)
        if (places.numbers, places.last_lines) != before:
            self._learned += 1

    def _weighing(self, key: CardKey, reading: CardReading, index: Index) -> Weighing:
        said = self._said.get(key)
        if said is None or said.index is not index:
            if len(self._said) >= REMEMBERED:
                del self._said[next(iter(self._said))]
            said = self._said[key] = CardSaid(index, reading)
        return Weighing(said, self._of_index(index))

    def _of_index(self, index: Index) -> Mapping[int, SetPlaces]:
        found = {}
        # A copy, since the thread that reads may put a set in while another asks. By name, since
        # the numbers of sets change with the lists.
        for name, places in list(self._places.items()):
            set_id = index.set_id(name)
            if set_id is not None:
                found[set_id] = places
        return found
