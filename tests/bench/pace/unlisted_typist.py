"""The same typist at a lot without any checklist. What Enter accepts is what he types; he types
less where the screen fills it in:

1. The set is typed whole where it begins, the number where the screen does not have it already.
2. A name that he typed before: letters of its surname until the screen has it, or ↓ leads to it in
   three keys at most, then those of its first name. Any other name is typed whole.
"""

from __future__ import annotations

from bench.pace.lots import Card
from bench.pace.screen import Seen
from bench.pace.typist import MOST_DOWNS, SHORT, Typist


class UnlistedTypist(Typist):
    """Works one terminal, card by card."""

    listed = False
    _met: frozenset[str] = frozenset()

    def _bring_up(self, card: Card, seen: Seen) -> None:
        typed = [word for word in self._ahead(card, seen) if word]
        known = card.subject in self._met
        first, last = card.subject.casefold().split()
        for word in typed:
            self._type(word)
            if self._reached(card, self._look(), MOST_DOWNS + 1):
                return
        self._met |= {card.subject}
        if not known:
            self._type(f"{first} {last}")
            if not self._reached(card, self._look(), MOST_DOWNS + 1):
                raise AssertionError(f"not brought up: {card}\n{self.terminal.text()}")
            return
        for word in (last, first):
            for count, key in enumerate(f" {word}" if self._hint else word):
                self._press(key)
                if key == " ":
                    continue
                if self._reached(card, self._look(), len(word) - count):
                    return
        if not self._reached(card, self._look(), MOST_DOWNS + 1):
            raise AssertionError(f"not brought up: {card}\n{self.terminal.text()}")

    def _ahead(self, card: Card, seen: Seen) -> list[str]:
        """What is typed before the name: the set, a condition that is not carried, the number."""
        words = []
        before = self._before
        if before is None or before.set != card.set:
            words.append(f"set={card.set.casefold().replace(' ', '_')}")
        if card.condition != "Near Mint":
            words.append(SHORT[card.condition])
        begins = before is None or before.set != card.set
        if begins or not self._has_number(card, seen):
            words.append(card.number)
        return words

    def _has_number(self, card: Card, seen: Seen) -> bool:
        """Whether the screen fills in the number."""
        return f" #{card.number} " in f"{seen.takes} "

    def _type(self, word: str) -> None:
        for key in f" {word}" if self._hint else word:
            self._press(key)
