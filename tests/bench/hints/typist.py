"""How dealers type: an independent picture, for the benchmark of the matcher. Nothing is taken from
the program.

The dealer holds the card, reads the number off its back and types it: most hints hold a number.
Where the number is hard to find or the name is plain to see, the surname's beginning is typed
instead, so far that it should do. What is typed for a card of a set whose name is known, in percent
(our own estimate, no source):

    40  the number                                          23
    18  number and two or three letters of the surname      23 mar
    11  number and a short form of the parallel             23 g, 23 gol, 23 bw
     3  the same with a serial number                       23 g 12/99
    12  the beginning of the surname                        mars
     7  something of the given name and the surname         a marsh, ada mar
     2  initials                                            am
     5  the beginning of the surname and a parallel         marsh silver
     2  number, surname and parallel                        23 mar g

- The beginning of a surname has three letters (1 in 10), four, five or the whole of it. Everybody
  knows that some surnames are common: for the 40 commonest ones something of the given name is
  typed with it.
- Where a card has no parallels, nothing is typed in their place.
- A card whose number has a letter is known by that number, so that it is always typed: `rc7`, now
  and then `rc-7`, `rc 7` or `117 a`.
- A parallel is one letter where no other of the set starts with it, or two to four letters, or the
  whole word; of two words the initials, or one that tells it from the others of its set. A dealer
  at work on a set knows its parallels.
- One hint in sixteen says the condition as well, in its short form. One in ten has its words in
  another order.

A slip of the finger is one edit in a word of four letters or more: a letter too many (the same
again, or a key beside it), one missing, one replaced by a key beside it, or two neighbours changed
over. How often each happens comes from the dictionary of misspellings of the `codespell` package
(GPL-2.0; its data, codespell_lib), counted at run time."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from functools import cache
from importlib import resources
from typing import NamedTuple

from rapidfuzz.distance import OSA, Levenshtein

from bench.common.world import Card, CardSet, Parallel

KINDS = {
    "number": 40,
    "number, surname": 18,
    "number, parallel": 11,
    "number, parallel, serial": 3,
    "surname": 12,
    "given, surname": 7,
    "initials": 2,
    "surname, parallel": 5,
    "number, surname, parallel": 2,
}
CONDITIONS = {
    "nm": "Near Mint",
    "ex": "Excellent",
    "vg": "Very Good",
    "mt": "Mint",
    "gd": "Good",
    "pr": "Poor",
}
COMMON = 40  # surnames that everybody knows to be common
_KEYS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")


class Typed(NamedTuple):
    """A hint, and the card that it means."""

    text: str
    set: str
    card: Card
    parallel: str = ""
    serial: str = ""
    condition: str = ""


class Typist:
    """Types hints for cards, the same ones for the same seed."""

    def __init__(self, seed: object) -> None:
        self._source = random.Random(f"typist {seed}")

    def mixed(self, cards: CardSet, card: Card) -> Typed:
        """One of the ways above."""
        kind = self._source.choices(list(KINDS), list(KINDS.values()))[0]
        if not card.number.isdigit() and "number" not in kind:
            kind = "number"
        if kind.startswith("surname") and card.person.rank < COMMON:
            kind = f"given, {kind}"
        words: dict[str, str] = {}
        if "number" in kind:
            words["number"] = self.number(card.number)
        if "given" in kind:
            words["given"] = card.person.given[: self._source.choice((1, 2, 3))]
        if "surname" in kind:
            words["surname"] = card.person.plain[
                : self._source.choice((2, 3)) if "number" in kind else self._length()
            ]
        if kind == "initials":
            words["initials"] = card.person.given[0] + card.person.plain[0]
        parallel: Parallel = ("", None)
        serial = ""
        if "parallel" in kind and card.parallels:
            parallel = self._source.choice(card.parallels)
            words["parallel"] = self._parallel(parallel[0], card)
            if "serial" in kind and parallel[1]:
                serial = words["serial"] = f"{self._source.randint(1, parallel[1])}/{parallel[1]}"
        order = list(words.values())
        if self._source.random() < 0.1:
            self._source.shuffle(order)
        condition = self._source.choice(list(CONDITIONS)) if self._source.random() < 1 / 16 else ""
        text = " ".join((*order, condition) if condition else order)
        return Typed(text, cards.name, card, parallel[0], serial, CONDITIONS.get(condition, ""))

    def numbered(self, cards: CardSet, card: Card) -> Typed:
        """Number and the beginning of the surname."""
        start = card.person.plain[: self._source.choice((2, 3))]
        return Typed(f"{self.number(card.number)} {start}", cards.name, card)

    def number(self, printed: str) -> str:
        """A number as it is typed."""
        plain = printed.lower()
        if plain.isdigit():
            return plain
        digits = "".join(c for c in plain if c.isdigit())
        letters = "".join(c for c in plain if c.isalpha())
        chance = self._source.random()
        if plain.endswith(letters):
            return f"{digits} {letters}" if chance < 0.1 else plain
        return f"{letters}{'' if chance < 0.7 else '-' if chance < 0.9 else ' '}{digits}"

    def slipped(self, typed: Typed) -> Typed:
        """The hint with a slip in one of its words, where one is long enough."""
        words = typed.text.split()
        long = [at for at, word in enumerate(words) if len(word) >= 4 and word.isalpha()]
        if not long:
            return typed
        at = self._source.choice(long)
        words[at] = slip(words[at], self._source)
        return typed._replace(text=" ".join(words))

    def _length(self) -> int:
        return self._source.choices((3, 4, 5, 11), (1, 3, 3, 3))[0]

    def _parallel(self, name: str, card: Card) -> str:
        """The shortest of some habits that no other parallel of the card could be meant by."""
        others = [other.lower() for other, _ in card.parallels if other != name]
        words = name.lower().split()
        if len(words) > 1:
            habits = ["".join(word[0] for word in words), words[-1], " ".join(words)]
            start = self._source.choice((0, 0, 1, 1, 2))
        else:
            habits = [name.lower()[:length] for length in (1, 2, 3, 4, 11)]
            start = self._source.choice((0, 0, 0, 1, 2, 2, 3, 4))
        for habit in habits[start:]:
            if not any(_could_be(habit, other) for other in others):
                return habit
        return habits[-1]


def _could_be(text: str, name: str) -> bool:
    parts = name.split()
    return any(part.startswith(text) for part in parts) or text == "".join(
        part[0] for part in parts
    )


def slip(word: str, source: random.Random) -> str:
    """The word with one edit; never the word itself."""
    kinds = edit_shares()
    while True:
        kind = source.choices(list(kinds), list(kinds.values()))[0]
        found = _EDITS[kind](word, source.randrange(len(word)), source)
        if found != word:
            return found


def _insert(word: str, at: int, source: random.Random) -> str:
    return word[: at + 1] + source.choice(word[at] + beside(word[at])) + word[at + 1 :]


def _delete(word: str, at: int, source: random.Random) -> str:
    return word[:at] + word[at + 1 :]


def _replace(word: str, at: int, source: random.Random) -> str:
    return word[:at] + source.choice(beside(word[at])) + word[at + 1 :]


def _swap(word: str, at: int, source: random.Random) -> str:
    at = min(at, len(word) - 2)
    return word[:at] + word[at + 1] + word[at] + word[at + 2 :]


_EDITS: dict[str, Callable[[str, int, random.Random], str]] = {
    "insert": _insert,
    "delete": _delete,
    "replace": _replace,
    "swap": _swap,
}


@cache
def beside(key: str) -> str:
    """The letters beside a key: left, right, and the nearest of the rows above and below."""
    row = next(at for at, keys in enumerate(_KEYS) if key in keys)
    place = _KEYS[row].index(key)
    found = [
        (row, place - 1),
        (row, place + 1),
        (row - 1, place),
        (row - 1, place + 1),
        (row + 1, place - 1),
    ]
    found.append((row + 1, place))
    return "".join(_KEYS[r][p] for r, p in found if 0 <= r < len(_KEYS) and 0 <= p < len(_KEYS[r]))


@cache
def edit_shares() -> dict[str, float]:
    """Shares of the kinds of edit among the misspellings with one correction that is one edit
    away."""
    text = (resources.files("codespell_lib") / "data" / "dictionary.txt").read_text(
        encoding="utf-8"
    )
    counts: Counter[str] = Counter()
    for line in text.splitlines():
        typed, _, meant = line.partition("->")
        if meant.isascii() and meant.isalpha() and OSA.distance(typed, meant) == 1:
            edits = Levenshtein.editops(meant, typed).as_list()
            counts[str(edits[0][0]) if len(edits) == 1 else "swap"] += 1
    return {kind: counts[kind] / counts.total() for kind in _EDITS}
