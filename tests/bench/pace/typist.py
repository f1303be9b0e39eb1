"""Someone who tags with the card in one hand and knows only what the screen shows. The policy:

1. At the first card the usual condition is typed and carried (F5). In a tray whose dividers mark
   stretches of one parallel, its beginning is typed and carried when a stretch begins, and F6 drops
   it when the stretch ends.
2. If Enter accepts the card in the hand, to the last field: Enter. If it is the card before once
   more, in the same parallel: `=`, behind its serial number (without the print run) where it has
   one, and its condition where that is another.
3. If number, subject and set are right already, only what is not is typed: parallel, serial number,
   condition. Otherwise the number is typed first. Still not the right subject: where the set is
   wrong the first letters of a word of it that fewest other sets, teams and parallels begin like,
   then letters of the surname; then parallel, serial number, condition.
4. After each key the screen is read again; the word is left as soon as it has done its work, and
   Enter is pressed as soon as it takes the right card. The `blind` typist types the number whole
   before he looks.
5. Where the right card stands among the other readings and ↓ leads there in fewer keys than he
   reckons are still to be typed (three at most): ↓.
6. A card that is to be corrected is tagged as it was taken first, and gone back to at once: see
   `correcting.py`.
7. A word that was typed in vain is taken out again (Ctrl+W), and where all words are typed in vain,
   he is at a loss: that is a fault of the benchmark or of the program, and ends the run.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from support.drawn import TEAMS
from support.terminal import Terminal

from bench.pace.correcting import changes_only, typed_for
from bench.pace.lots import PARALLELS, SETS, Card
from bench.pace.screen import QUIET, Seen, look

ENTER, DOWN, F5, F6, WORD_OUT, ALL_OUT = "\r", "\x1b[B", "\x1b[15~", "\x1b[17~", "\x17", "\x0b"
PAGE_UP, RIGHT = "\x1b[5~", "\x1b[C"
NAMES = {
    ENTER: "Enter",
    DOWN: "↓",
    F5: "F5",
    F6: "F6",
    WORD_OUT: "Ctrl+W",
    ALL_OUT: "Ctrl+K",
    PAGE_UP: "PgUp",
    RIGHT: "→",
    " ": "space",
}
SHORT = {"Near Mint": "nm", "Excellent": "ex", "Very Good": "vg"}
MOST_DOWNS = 3


def kind(key: str) -> str:
    """The kind that a key is counted as."""
    if key.isdigit() or key == "/":
        return "digits, /"
    return "letters" if key.isalpha() else NAMES.get(key, key)


@dataclass
class Spent:
    """The keys that one card took, and how often the screen was read."""

    card: Card
    keys: list[str] = field(default_factory=list)
    looks: int = 0
    correcting: int = 0
    """How many of the keys correct it."""

    def __str__(self) -> str:
        said = "".join(
            key if key not in NAMES or key == " " else f" {NAMES[key]} " for key in self.keys
        )
        return " ".join(said.replace("  ", " ").split())

    def kinds(self) -> Counter[str]:
        """Keys by kind."""
        return Counter(kind(key) for key in self.keys)


class Typist:
    """Works one terminal, card by card. `listed`: whether there are checklists."""

    listed = True

    def __init__(self, terminal: Terminal, *, blind: bool) -> None:
        self.terminal = terminal
        self.blind = blind
        self.spent: list[Spent] = []
        self._hint = ""
        self._before: Card | None = None
        self._carries = ""  # the parallel

    def tag(self, card: Card) -> None:
        """Tag the card in front, wrongly at first where it is to be corrected. Raises
        AssertionError where nothing that is typed brings it up."""
        self.spent.append(Spent(card))
        self._tag(card.first or card)
        if card.first is not None:
            tagging = len(self.spent[-1].keys)
            self._correct(card, card.first)
            self.spent[-1].correcting = len(self.spent[-1].keys) - tagging
            self._before = card

    def _correct(self, card: Card, first: Card) -> None:
        """Go back to the card that was tagged last, change one field, and look on."""
        position, self._hint = len(self.spent), ""
        self._press(PAGE_UP)
        self.terminal.wait_for(rf"card {position} of")
        if card.number != first.number:
            self._bring_up(card, self._look())
        else:
            word = typed_for(card, first, SHORT, self.listed)
            for at, key in enumerate(word, start=1):
                self._press(key)
                if self._completes(word[:at], word[at:]):
                    key = RIGHT
                    self._press(key)
                    # on a busy machine it takes its time
                    self.terminal.pump(2, lambda: changes_only(look(self.terminal), card, first))
                if key != " " and changes_only(self._look(), card, first):
                    break
            else:
                raise AssertionError(
                    f"not corrected by {self.spent[-1]}: {card}\n{self.terminal.text()}"
                )
        self._press(ENTER)
        self._left_behind(position)

    def _completes(self, typed: str, rest: str) -> bool:
        """Whether → adds all that is left of a place or note, and that is more than a key."""
        if "=" not in typed or len(rest) < 2:
            return False
        self.terminal.settle(QUIET)
        return self.terminal.screen.display[-2].rstrip().endswith(f"{typed}  → {rest}")

    def _left_behind(self, position: int) -> None:
        """Wait until the card is not in front any more."""
        if not self.terminal.pump(
            15, lambda: f"card {position} of" not in self.terminal.screen.display[0]
        ):
            raise AssertionError(
                f"card {position} was not left after {self.spent[-1]}\n{self.terminal.text()}"
            )

    def _tag(self, card: Card) -> None:
        position = len(self.spent)
        self.terminal.wait_for(rf"card {position} of")
        self._hint = ""
        if position == 1:
            self._carry("condition", card.condition, SHORT[card.condition])
        if card.stretch and card.parallel != self._carries:
            self._carry("parallel", card.parallel, card.parallel.casefold())
            self._carries = card.parallel
        elif self._carries and not card.stretch:
            self._press(F6)
            self._carries = ""
        seen = self._look()
        if seen.names(card):
            self._press(ENTER)
        elif self._before is not None and card.tags[:4] == self._before.tags[:4]:
            said = card.serial.partition("/")[0]
            if card.condition != self._before.condition:
                said = f"{said} {SHORT[card.condition]}".strip()
            for key in f"{said}=":
                self._press(key)
        else:
            self._bring_up(card, seen)
            self._press(ENTER)
        self._before = card
        self._left_behind(position)

    def _carry(self, name: str, value: str, word: str) -> None:
        """Type as much of the word as makes the screen read it, and carry it."""
        for key in word:
            self._press(key)
            seen = self._look()
            if f" {value} " in f"{seen.takes} ".replace("/", " /"):
                break
        self._press(F5)
        self._hint = ""
        # on a busy machine it takes its time
        told = f"{name} {value}"
        if not self.terminal.pump(5, lambda: told in look(self.terminal).carried):
            raise AssertionError(
                f"{name} {value} is not carried after {self.spent[-1]}\n{self.terminal.text()}"
            )

    def _bring_up(self, card: Card, seen: Seen) -> None:
        """Type until Enter accepts the card."""
        words = self._words(card, seen)
        for at, (what, word) in enumerate(words):
            if self._reached(card, seen, self._left(words[at:], card, seen, 0)):
                return
            if self._done(what, card, seen):
                continue
            started = len(self._hint)
            for count, key in enumerate(
                f" {word}" if self._hint else word, start=0 if self._hint else 1
            ):
                self._press(key)
                if key == " " or (
                    self.blind and what == "number" and len(self._hint) - started < len(word)
                ):
                    continue
                seen = self._look()
                if self._reached(card, seen, self._left(words[at:], card, seen, count)):
                    return
                if what not in ("number", "serial") and self._done(what, card, seen):
                    break
            if what in ("set", "name") and not self._done(what, card, seen):
                self._press(WORD_OUT)
                seen = self._look()
        if not self._reached(card, seen, MOST_DOWNS + 1):
            raise AssertionError(
                f"not brought up by {self.spent[-1]}: {card}\n{self.terminal.text()}"
            )

    def _words(self, card: Card, seen: Seen) -> list[tuple[str, str]]:
        """What could be typed, in order."""
        words = []
        if not seen.same_subject(card):
            own = [word for word in card.set.casefold().split() if word.isalpha()]
            names = (
                *(name for name in SETS if name != card.set),
                *TEAMS,
                *(name for name, _ in PARALLELS),
            )
            others = [word[0] for name in names for word in name.casefold().split()]
            own.sort(key=lambda word: others.count(word[0]))
            words += [
                ("number", card.number),
                ("set", own[0]),
                ("name", card.subject.split()[-1].casefold()),
            ]
        words.append(("parallel", card.parallel.casefold().split()[0] if card.parallel else "base"))
        if card.serial:
            words.append(("serial", card.serial))
            if not card.stretch:
                words.remove(words[-2])  # the print run names the parallel
        return [*words, ("condition", SHORT[card.condition])]

    def _left(self, words: list[tuple[str, str]], card: Card, seen: Seen, typed: int) -> int:
        """How many keys he reckons are still to be typed, `typed` being those of the first word:
        digits and serial number whole, three keys for a set or name, two for a parallel; set and
        name are not reckoned in advance."""
        keys = 0
        for at, (what, word) in enumerate(words):
            if self._done(what, card, seen) or (at and what in ("set", "name")):
                continue
            whole = {"set": 3, "name": 3, "parallel": 1}.get(what, len(word))
            keys += max(0 if at else 1, whole + (1 if at else -typed))
        return keys

    def _done(self, what: str, card: Card, seen: Seen) -> bool:
        """Whether a word of this kind has nothing left to do."""
        if what == "set":
            return seen.of_set(card)
        if what in ("number", "name"):
            return seen.same_subject(card)
        if what == "parallel":
            return seen.of_parallel(card)
        return what == "condition" and seen.of_condition(card)

    def _reached(self, card: Card, seen: Seen, left: int) -> bool:
        """Whether Enter accepts the card, perhaps after a few ↓ that cost less than the keys
        that are left."""
        if seen.names(card):
            return True
        downs = seen.downs(card) if seen.of_condition(card) else 0
        if not 0 < downs <= min(MOST_DOWNS, left - 1):
            return False
        for _ in range(downs):
            self._press(DOWN)
        # on a busy machine it takes its time
        self.terminal.pump(2, lambda: look(self.terminal).names(card))
        if not self._look().names(card):
            raise AssertionError(
                f"↓ did not choose what the list shows: {card}\n{self.terminal.text()}"
            )
        return True

    def _press(self, key: str) -> None:
        self.spent[-1].keys.append(key)
        self.terminal.send(key)
        if key == WORD_OUT:
            self._hint = self._hint.rstrip().rpartition(" ")[0]
        elif len(key) == 1 and key.isprintable():
            self._hint += key
            wanted = self._hint.rstrip()
            if key != "=":  # behind a whole hint it is a key of its own, and empties the line
                self.terminal.pump(5, lambda: self._typed().endswith(wanted))

    def _typed(self) -> str:
        """What stands in the hint line, without what → would add."""
        return self.terminal.screen.display[-2].partition("  → ")[0].rstrip()

    def _look(self) -> Seen:
        self.spent[-1].looks += 1
        return look(self.terminal)
