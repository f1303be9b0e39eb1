"""Digits that could be a card's number or the year of its set: `74 89`.

Alone they are a number. Beside a word that is the number of the card they are its set, the carried
one as well as any other: who goes through a shuffled pile types the year of every card."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tagger.core.index.flat_arrays import within
from tagger.core.matching.read import LETTERED, SET_WORD, Read

if TYPE_CHECKING:
    from tagger.core.index.near_set import Near
    from tagger.core.matching.priors.prior import Prior
    from tagger.core.matching.token_match import TokenMatches

# A year of the carried set that stands behind the number: less likely than a serial number of the
# parallel that is carried (our own estimate, no source).
SET_BEHIND = SET_WORD - 1.5
WHOLE = frozenset({"number", LETTERED})  # what the card's number is read as


class Years:
    """The words of a hint that could be either. `repeating`: those that repeat the carried set, but
    could be a number of it as well."""

    def __init__(self, readings: Sequence[TokenMatches], prior: Prior) -> None:
        self._readings = readings
        self.repeating: frozenset[TokenMatches] = frozenset()
        if prior.carried is not None:
            steps = prior.index.steps(prior.carried)
            self.repeating = frozenset(
                reading
                for reading in readings
                if prior.carried in reading.sets and within(reading.far_numbers, steps)
            )
        self._twice = [
            at
            for at, reading in enumerate(readings)
            if reading.sets and reading.text in (other.text for other in readings[at + 1 :])
        ]

    def unclear_in(self, step: int) -> frozenset[TokenMatches]:
        """Those of `repeating` that say nothing of the set in a row of it: no other word is its
        number."""
        if not self.repeating:
            return self.repeating
        numbers = [one for one in self._readings if one.is_whole_number_of(step)]
        return frozenset(
            word for word in self.repeating if all(number is word for number in numbers)
        )

    def numbered(self, near: Near) -> set[int]:
        """The rows of one set of which a word is the number, where it matters that one is."""
        if not self.repeating:
            return set()
        return {step for reading in self._readings for step in reading.whole_numbers(near)}

    def in_order(self, reads: Sequence[Read], set_id: int) -> Sequence[Read]:
        """What words are in a row of a set by their order: of the same digits twice, as in `88 88`,
        the first are its year; that of the carried set behind the number says less."""
        if not self.repeating and not self._twice:
            return reads
        found = [self._said_once(at, read, set_id) for at, read in enumerate(reads)]
        numbers = [at for at, read in enumerate(found) if read[1] in WHOLE]
        for at in range(min(numbers, default=len(found)), len(found)):
            if found[at][1] == "set" and self._readings[at] in self.repeating:
                found[at] = SET_BEHIND, "set"
        return found

    def _said_once(self, at: int, read: Read, set_id: int) -> Read:
        if at in self._twice and read[1] == "number" and set_id in self._readings[at].sets:
            return SET_WORD, "set"
        return read
