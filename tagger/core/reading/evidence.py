"""What was read on a card, weighed: how much it speaks for each row of an index.

The log weight of a row is a sum, relative to a row that nothing speaks for::

    its name      a line is the name (`names_read`); somebody else's name is on the card
    its number    ln(1 + SCALE * how much the number is like the card's own * how sure it was read)
                  where another number stands at the place of the number: AGAINST
    its set       the year of the last line, words of the set's name; or a last line as cards of
                  the set have it that name it (`sets_read`)

`alone` is the row that stands out by that, whatever is carried. Its name, its number and its set
must all be read, nothing against it; and every other row must be behind it by APART, so that a set
of the same year with the same numbers and people is told apart by what is printed, or not at all. A
set whose name has all words of another's and more is as likely as that one where only the shorter
name was read: the rest may not be printed.

Parallel, condition and serial number are no matter of reading."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.reading.lines_read import ReadLine, lines_of
from tagger.core.reading.names_read import WHOLE, NameRead, names_read
from tagger.core.reading.numbers_read import (
    AT_PLACE,
    AT_RIM,
    BESIDE_NAME,
    IN_TABLE,
    MARKED,
    OFF_PLACE,
    NumberRead,
    is_at,
    numbers_read,
    spot_of,
)
from tagger.core.reading.places import CardPlaces, SetPlaces
from tagger.core.reading.printed import NOTHING_READ, CardReading, Evidence, Spot
from tagger.core.reading.sets_read import SetsRead

if TYPE_CHECKING:
    from tagger.core.index.index import Index

SCALE = 200.0
AGAINST, OTHER_NAME = -7.0, -5.0  # another number at the number's place; another's name alone
APART = 2.5  # a row that is to be sure is ahead of all others by so much
NAMED, NUMBERED = WHOLE - 4.0, 0.55  # of the row that is to be sure
LIKELY = 6.0  # of a row that is worth to be shown first
CLEAR = 0.5  # of another number: how sure it must be to speak against a row
# A common first name or a low number is in thousands of rows; beyond these a row is so far behind
# that it proposes nothing.
MOST_ROWS, MOST_OF_NUMBER = 400, 3000

Learned = Mapping[int, SetPlaces]
"""What was learned of sets, by their numbers in the index."""
NOTHING_LEARNED: Learned = {}


class CardSaid:
    """What one reading says beside an index, whatever was learned of its sets: most of the work of
    weighing it, so that to weigh it again takes little."""

    def __init__(self, index: Index, reading: CardReading) -> None:
        self.index, self.whole = index, reading.whole
        self.lines = lines_of(reading)
        self.names = names_read(index, self.lines)
        self.numbers = numbers_read(reading.texts)
        self.sets = SetsRead(index, self.lines, {})


class Weighing:
    """One reading against an index."""

    def __init__(self, said: CardSaid, learned: Learned) -> None:
        self._index = said.index
        self._places = {id: places.numbers for id, places in learned.items() if places.numbers}
        self._lines, self._names, self._numbers = said.lines, said.names, said.numbers
        last = {id: places.last_lines for id, places in learned.items() if places.last_lines}
        self._sets = said.sets.beside(last)
        self._whole = said.whole
        self._dated = {id: places.dated for id, places in learned.items() if places.cards}
        self._own_name = any(read.weight >= WHOLE - 3 for read in self._names.values())
        self._at: dict[int, list[NumberRead]] = {}
        self._support: dict[tuple[int, str], tuple[float, NumberRead | None]] = {}

    def evidence(self) -> Evidence:
        """What the reading says of the rows."""
        weights = self._weights()
        if not weights:
            return NOTHING_READ
        # Of rows that weigh the same the first: the same reading must name the same row on every
        # machine.
        best = max(weights, key=lambda step: (weights[step], -step))
        name = self._names.get(self._index.subject_of[best])
        number = self._number(best)[1]
        return Evidence(
            weights,
            best if self._is_alone(best, weights) else None,
            None if number is None else spot_of(number),
            None if name is None else name.line.spot,
        )

    def places_of(self, evidence: Evidence) -> tuple[int, CardPlaces] | None:
        """The set of the card as far as it is known, and where what names it stands; None where its
        name was not read."""
        best = evidence.best(-math.inf)
        if best is None or not self._is_named(best):
            return None
        set_id, wanted = self._index.set_of(best), self._number_text(best)
        numbers = [read.text.on_side for read in self._numbers
                   if read.number == wanted and read.share > CLEAR]  # fmt: skip
        names = [line.on_card for line in self._lines if self._says(line, best)]
        lines = [line.on_card for line in self._sets.line_of(set_id, self._lines)]
        # Learned from sure cards alone: a last line taken from a wrong set would name that one on
        # every card to come.
        last = self._sets.last_lines if evidence.alone == best else frozenset()
        return set_id, CardPlaces(
            tuple(numbers), tuple(names), tuple(lines), last, self._sets.is_dated(set_id), wanted
        )

    def _is_named(self, step: int) -> bool:
        name = self._names.get(self._index.subject_of[step])
        return name is not None and name.weight >= NAMED

    def _says(self, line: ReadLine, step: int) -> bool:
        subject = self._index.subject_of[step]
        mine = names_read(self._index, [line]).get(subject)
        return mine is not None and mine.weight >= NAMED

    def _weights(self) -> dict[int, float]:
        rows: dict[int, float] = {}
        for step in self._rows():
            weight = self._weight(step)
            if weight:
                # Rounded, so that sums that differ in the last bits alone are ties, as they are
                # meant to be.
                rows[step] = round(weight, 3)
        if len(rows) > MOST_ROWS:
            rows = dict(sorted(rows.items(), key=lambda item: -abs(item[1]))[:MOST_ROWS])
        return rows

    def _rows(self) -> Iterable[int]:
        """The rows that something speaks for: by name, and by a number that is like the card's
        own."""
        index, found = self._index, dict[int, None]()
        for subject in self._names:
            found.update(dict.fromkeys(index.steps_of_subject(subject)))
        for number in {read.number for read in self._numbers if self._is_like_own(read)}:
            steps = index.steps_of_number(index.number_id(number))
            found.update(dict.fromkeys(steps[:MOST_OF_NUMBER]))
        return found

    def _is_like_own(self, read: NumberRead) -> bool:
        if read.like >= AT_RIM:
            return True
        return any(_is_at_one(read, places) for places in self._places.values())

    def _weight(self, step: int) -> float:
        set_id = self._index.set_of(step)
        weight = self._name_weight(step) + self._number_weight(step)
        return weight + self._sets.weight(set_id)

    def _name_weight(self, step: int) -> float:
        name = self._names.get(self._index.subject_of[step])
        if name is not None:
            return name.weight
        return OTHER_NAME if self._own_name else 0.0

    def _number_weight(self, step: int) -> float:
        support = self._number(step)[0]
        # A logarithm, from 1.1 for one in a table to 5.3 for one at its place: the surest number
        # stays below the name that is read whole.
        weight = math.log1p(SCALE * support)
        return weight + (AGAINST if self._is_against(step) else 0.0)

    def _number_text(self, step: int) -> str:
        return self._index.number_texts[self._index.number_of(step)]

    def _number(self, step: int) -> tuple[float, NumberRead | None]:
        """How much a row's number was read (0 to 1), and what of the card says so."""
        set_id, number = self._index.set_of(step), self._number_text(step)
        key = set_id, number
        if key not in self._support:
            reads = [read for read in self._numbers if read.number == number]
            scored = [(self._like(set_id, read) * read.share, read) for read in reads]
            best = max(scored, key=lambda item: item[0], default=(0.0, None))
            self._support[key] = best
        return self._support[key]

    def _like(self, set_id: int, read: NumberRead) -> float:
        places = self._places.get(set_id)
        if not places:
            return read.like
        return AT_PLACE if _is_at_one(read, places) else OFF_PLACE * read.like

    def _is_against(self, step: int) -> bool:
        """Whether another number stands where the number of this row's set stands."""
        number = self._number_text(step)
        return any(
            read.number != number and read.share >= CLEAR
            for read in self._telling(self._index.set_of(step))
        )

    def _telling(self, set_id: int) -> list[NumberRead]:
        """The numbers at the number's place; without one those with a sign before them."""
        if set_id not in self._at:
            places = self._places.get(set_id)
            own = [read for read in self._numbers if _stands_alone(read)]
            if places:
                found = [read for read in own if _is_at_one(read, places)]
            else:
                found = [read for read in own if read.like >= MARKED]
            self._at[set_id] = found
        return self._at[set_id]

    def _is_alone(self, best: int, weights: Mapping[int, float]) -> bool:
        set_id = self._index.set_of(best)
        name = self._names.get(self._index.subject_of[best])
        if name is None or name.weight < NAMED or not self._sets.is_named(set_id):
            return False
        if not self._has_year(set_id) or self._number(best)[0] < NUMBERED or self._is_against(best):
            return False
        behind = weights[best] - APART
        return all(
            weight <= behind and not self._may_be_twin(best, step, name)
            for step, weight in weights.items()
            if step != best
        )

    def _has_year(self, set_id: int) -> bool:
        """Whether the year could speak against a set: it was read, or the set's cards have none.
        Else it stands where nothing was read, or was read too badly; of the first cards of a set
        that are read whole neither is known."""
        if self._sets.is_dated(set_id) or self._dated.get(set_id) is False:
            return True
        return self._whole and set_id not in self._dated

    def _may_be_twin(self, best: int, step: int, name: NameRead) -> bool:
        """Whether another row has the same number and name in a set whose name goes on where this
        one's ends."""
        index = self._index
        if index.number_of(step) != index.number_of(best):
            return False
        if self._names.get(index.subject_of[step]) != name:
            return False
        mine, other = (self._sets.printed(index.set_of(each)) for each in (best, step))
        if mine.years and other.years and not mine.years & other.years:
            return False
        return set(mine.words) <= set(other.words)


def _stands_alone(read: NumberRead) -> bool:
    """Whether a number is all of its text and in no table. A badge with letters is no number, and
    the year of a last line none of a card."""
    return read.like not in (BESIDE_NAME, IN_TABLE) and not read.number.isalpha()


def _is_at_one(read: NumberRead, places: Sequence[Spot]) -> bool:
    return any(is_at(read, place) for place in places)


def evidence_of(index: Index, reading: CardReading, learned: Learned = NOTHING_LEARNED) -> Evidence:
    """What a reading says of the rows of an index."""
    return Weighing(CardSaid(index, reading), learned).evidence()
