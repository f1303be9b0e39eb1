"""The typist at a desk that reads. What differs from `typist.py`:

1. Where the card in front is proposed because it was read, and that is right: +, the page of
   proofs. On a page each line is held against the card in the hand. A line that is another card is
   crossed out by its digit. Of one in another parallel or condition the digit is typed, and behind
   it the first letter of the parallel, the serial number without its print run, the short word of
   the condition; ↓ before the next digit, since digits would go on the word. Enter accepts the
   page.
2. Where the card in front has its tags already, or the lot is at its end with some left: Tab.
3. Any other card is tagged as the typist always does. Where the desk says that what was read came
   as Enter was pressed, he looks, and presses it again.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from support.terminal import Terminal

from bench.pace.lots import Card
from bench.pace.screen import look
from bench.pace.typist import DOWN, ENTER, SHORT, Spent, Typist

TAB, PAGE = "\t", "+"
WORDS = 36  # cells of the page's right column in a terminal of 120
AGAIN = "press the key again"
GLANCE = 1.0  # seconds that he looks at a page at least
LINE = re.compile(r"[▸ ]([0-9]| )([ x*])")


class ReadingTypist(Typist):
    """Works one terminal until all cards are tagged."""

    def __init__(self, terminal: Terminal, cards: Sequence[Card]) -> None:
        super().__init__(terminal, blind=False)
        self._cards = cards
        self._all = [Spent(card) for card in cards]
        self._begun = False

    def work(self) -> list[Spent]:
        """Tag all of them; the keys by card. Raises AssertionError where he is at a loss."""
        self._stand_at(1)
        card = self._cards[0]
        self._carry("condition", "Near Mint", SHORT["Near Mint"])
        self._begun = True
        self.terminal.pump(20, lambda: self._is_read() and not self._stale())
        while (position := self._position()) is not None:
            self._stand_at(position)
            card = self._cards[position - 1]
            seen = look(self.terminal)
            if self._is_read() and seen.names(card):
                self._pages()
            else:
                self._tag(card)
        return self._all

    def _left_behind(self, position: int) -> None:
        """Where the proposal changed as Enter was pressed he looks, and presses it again."""
        card = self._cards[position - 1]
        for _ in range(5):
            self.terminal.pump(3, lambda: AGAIN in self.terminal.text() or self._is_gone(position))
            if self._is_gone(position) or AGAIN not in self.terminal.text():
                break
            self.terminal.pump(GLANCE)
            if look(self.terminal).names(card):
                self._press(ENTER)
                self.terminal.pump(3, lambda: self._is_gone(position))
        super()._left_behind(position)

    def _is_gone(self, position: int) -> bool:
        return f"card {position} of" not in self.terminal.screen.display[0]

    def _stand_at(self, position: int) -> None:
        self.spent = self._all[:position]
        self._hint = ""
        self._before = self._cards[position - 2] if position > 1 else None

    def _carry(self, name: str, value: str, word: str) -> None:
        if not self._begun:
            super()._carry(name, value, word)

    def _position(self) -> int | None:
        """The untagged card in front, found by Tab where another one is; None where all are
        done."""
        for _ in range(3):
            self.terminal.settle(0.1)
            text = self.terminal.text()
            words = " ".join(text.split())
            if "every card is done" in words or "No other card is untagged" in words:
                return None
            found = re.search(r"card (\d+) of", self.terminal.screen.display[0])
            if found and "Enter keeps" not in text:
                return int(found[1])
            self._press(TAB)
        raise AssertionError(f"nowhere to go\n{self.terminal.text()}")

    def _is_read(self) -> bool:
        return re.search(r"Enter accepts .* read\s*$", self.terminal.text(), re.M) is not None

    def _stale(self) -> bool:
        return "page of proofs" not in self.terminal.text()

    def _pages(self) -> None:
        self._press(PAGE)
        self.terminal.wait_for("read on the scans")
        while "read on the scans" in self.terminal.text():
            self.terminal.pump(30, lambda: "still to be drawn" not in self.terminal.text())
            self.terminal.pump(GLANCE)
            self.terminal.pump(30, self._is_whole)
            first, last = self._check()
            shown = f"Cards {first} to {last}"
            self._press(ENTER)
            self.terminal.pump(15, lambda shown=shown: shown not in self.terminal.text())
            self.terminal.settle(0.1)

    def _is_whole(self) -> bool:
        """Whether all lines that are seen are of the page that is named: a busy machine draws in
        parts, and a line of the page before may still stand between two that are new."""
        named = re.search(r"Cards (\d+) to (\d+)", self.terminal.text())
        places = [position for _, position, _ in self._lines()]
        if named is None or not places:
            return False
        in_order = all(a < b for a, b in pairwise(places))
        return in_order and int(named[1]) <= places[0] and places[-1] == int(named[2])

    def _check(self) -> tuple[int, int]:
        """Mark what is not as it should be; the page's first and last card."""
        lines, typing = self._lines(), False
        first = int(re.search(r"Cards (\d+) to", self.terminal.text())[1])
        self.spent = self._all[:first]
        said: list[tuple[str, str]] = []
        for digit, position, words in lines:
            card = self._cards[position - 1]
            if not _is_card(words, card):
                # once more, and the line would be right again
                if not words[2].startswith("wrong"):
                    said.insert(0, (digit, ""))
            elif (word := _word(words, card)) and digit != " ":
                said.append((digit, word))
        for digit, word in said:
            for key in (DOWN if typing else "") and [DOWN]:
                self._press(key)
            self._hint = ""
            self.spent[-1].keys.append(digit)
            self.terminal.send(digit)
            self.terminal.settle(0.1)
            for key in word:
                self._press(key)
            self._hint, typing = "", bool(word)
            self.terminal.settle(0.1)
        return first, max(position for _, position, _ in lines)

    def _lines(self) -> list[tuple[str, int, tuple[str, ...]]]:
        """(digit, position, words) of each line of the page."""
        found = []
        rows = self.terminal.screen.display
        left = len(rows[0]) - WORDS
        for at, row in enumerate(rows[1:-4], start=1):
            if place := re.search(r"card (\d+)\s*$", row[left:]):
                words = tuple(one[left:].strip() for one in rows[at - 1 : at + 2])
                digit = LINE.match(rows[at - 1])
                assert digit is not None, self.terminal.text()
                found.append((digit[1], int(place[1]), words))
        return found


def _is_card(words: tuple[str, ...], card: Card) -> bool:
    title, of_set, _ = words
    set_name = re.sub(r"\s+card \d+$", "", of_set)
    return _fits(title, f"#{card.number} {card.subject}") and _fits(set_name, card.set)


def _fits(shown: str, text: str) -> bool:
    return re.fullmatch(".*".join(map(re.escape, shown.split("…"))), text) is not None


def _word(words: tuple[str, ...], card: Card) -> str:
    """What is typed behind the digit, empty where the line is right."""
    variant, _, condition = words[2].partition(" · ")
    wanted = " ".join(filter(None, (card.parallel or "base", card.serial)))
    said = []
    if variant != wanted:
        said.append(card.parallel[0].casefold() if card.parallel else "base")
        if card.serial:
            said.append(card.serial.partition("/")[0] + "/")
    if condition != card.condition:
        said.append(SHORT[card.condition])
    return " ".join(said)
