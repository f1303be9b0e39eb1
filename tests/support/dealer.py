"""A dealer at the real program: presses keys in bursts, reads the screen, and keeps a truth of
their own beside it."""

from __future__ import annotations

import random
import re
from collections import deque
from collections.abc import Callable

from support.dealt import REASONS, SHORT, Dealt, Way
from support.shelf import Kept, Shelf
from support.terminal import Terminal

F2, F3, F4, F5, F6 = "\x1bOQ", "\x1bOR", "\x1bOS", "\x1b[15~", "\x1b[17~"
ENTER, TAB, DOWN, HOME, INSERT, STRETCH = "\r", "\t", "\x1b[B", "\x1b[H", "\x1b[2~", "\x1b[1;2B"
CTRL_G, CTRL_K, CTRL_T, REVIEW, LEAVE, HISTORY = "\x07", "\x0b", "\x14", "\x16", "\x18", "\x1b[1;2D"
UNDO, REDO = ("\x1a", "\x15"), ("\x19", "\x12")
# numbers that name a set as well, and are typed with a sign before them
YEARS = (
    "19",
    "87",
    "91",
    "1987",
    "1991",
)


class Dealer:
    """Counts keys, a special key as one. `shelf` is what must be so after them."""

    def __init__(self, lot: list[Dealt], seed: int) -> None:
        self.lot, self.shelf, self.source, self.seed = (
            lot,
            Shelf(len(lot)),
            random.Random(seed),
            seed,
        )
        self.terminal: Terminal | None = None
        self.keys = self.keys_before = 0
        self.deeds = {"undone": 0, "done again": 0, "to many": 0, "same again": 0}
        self._burst: list[str] = []
        self._last: deque[str] = deque(maxlen=12)

    # Keys and screens

    def sit_down(self, terminal: Terminal) -> None:
        """Work at this terminal from now on."""
        self.terminal, self.keys_before, self.keys = terminal, self.keys_before + self.keys, 0
        self.see()

    def press(self, *keys: str, typed: str = "") -> None:
        """Type a text and press keys behind it, in one burst with what was pressed before."""
        self.keys += len(typed) + len(keys)
        self._burst += [typed, *keys]
        self._last.append(" ".join(part for part in (typed, *map(repr, keys)) if part))

    def see(self, *patterns: str, desk: bool = True) -> None:
        """Send what was pressed, and wait until the screen says what must be so: the top line, what
        is left of a stretch (on the desk), and these patterns. Raises AssertionError with the
        screen."""
        assert self.terminal is not None
        self.terminal.send("".join(self._burst))
        self._burst = []
        wanted = [self._top(), *patterns]
        if desk and self.shelf.stretch is not None:
            left = self.shelf.stretch[0]
            wanted.append(f"for the next {left} cards" if left > 1 else "for the next card\\b")
        for pattern in wanted:
            if not self.terminal.pump(
                15, lambda pattern=pattern: re.search(pattern, self.text()) is not None
            ):
                raise AssertionError(f"not on the screen: {pattern}\n{self.told()}")

    def leave(self) -> None:
        """Leave the program. Raises AssertionError where it does not end well."""
        assert self.terminal is not None
        self.press(LEAVE)
        self.terminal.send(self._burst.pop())
        self._burst = []
        assert self.terminal.wait_exit() == 0, self.told()

    def text(self) -> str:
        """The screen's words with one space between them, the top line first."""
        assert self.terminal is not None
        return " ".join(self.terminal.text().split())

    def told(self) -> str:
        """What a failure says: the seed, the keys a card, what was pressed last, and the screen."""
        assert self.terminal is not None
        cards = max(1, self.shelf.count("tagged"))
        pressed = "\n".join(self._last)
        return (
            f"seed {self.seed}, {(self.keys + self.keys_before) / cards:.2f} keys a card, "
            f"{self.deeds}\n"
            f"pressed last:\n{pressed}\n{self.terminal.text()}"
        )

    def _top(self) -> str:
        shelf = self.shelf
        place = "end of the lot" if shelf.at_end else f"card {shelf.at} of {len(self.lot)}"
        aside = shelf.count("set aside")
        aside_said = rf" · {aside} set aside\b" if aside else "(?! · [0-9]+ set aside)"
        return rf"^.{{0,30}}{place}( \S+)? {shelf.count('tagged')} tagged{aside_said}"

    # One card

    def tag_on(self, up_to: int) -> None:
        """Do the cards up to a position, one after the other, in bursts of a few."""
        while self.shelf.at <= up_to:
            for _ in range(self.source.randint(3, 7)):
                if self.shelf.at <= up_to:
                    self.do(self.lot[self.shelf.at - 1])
            self.see()

    def do(self, card: Dealt) -> None:
        """Do the card in front as it is done the first time."""
        if card.way is Way.ASIDE:
            self.press(F2, typed=card.word)
            self.shelf.aside(REASONS[card.word])
        elif card.way is Way.UNLISTED:
            number, *name = card.word.split()
            said = {
                "number": number,
                "subject": " ".join(name).title(),
                "condition": card.condition,
            }
            self.press(F4, typed=f"{card.word} {SHORT[card.condition]}")
            # Where the set is asked for, the carried one is meant; else this does nothing.
            self.press(F4)
            self.shelf.unlisted(said)
        elif card.way is Way.SLIP:
            self.mistype(card)
        elif not self._same_again(card):
            self.take(card)

    def take(self, card: Dealt, full: bool = False) -> None:
        """Type the card's number and what is not carried, or all of it, and press Enter."""
        self.press(ENTER, typed=self.hint(card, full))
        self.shelf.take(row(card), said(card))

    def mistype(self, card: Dealt) -> None:
        """Take a card with a slip in its name, for which the panel says that it is unsure."""
        name = card.row.subject.split()[1].casefold()
        self.see()
        self.press(typed=f"{self.hint(card)} {name[0]}{name[2]}{name[1]}{name[3:]}")
        self.see(rf"Enter accepts unsure [0-9]+% .*#{card.row.number} {card.row.subject.upper()}")
        self.press(ENTER)
        self.shelf.take(row(card), said(card), unsure=True)

    def _same_again(self, card: Dealt) -> bool:
        before = self.shelf.before()
        same = ("set", "number", "subject", "parallel")
        if before is None or any(
            {**row(card), **said(card)}[name] != before[name] for name in same
        ):
            return False
        other = before["condition"] != card.condition
        words = [SHORT[card.condition] if other else "", card.serial]
        self.press("=", typed=" ".join(word for word in words if word))
        self.shelf.again({"serial": card.serial} | ({"condition": card.condition} if other else {}))
        self.deeds["same again"] += 1
        return True

    def hint(self, card: Dealt, full: bool = False) -> str:
        """A hint for the card as far as it is not carried; in full, nothing is left to what is
        carried."""
        carried, number = self.shelf.carried, card.row.number
        words = []
        if full or carried.get("set") != card.row.set:
            words.append(f"set={card.row.set[2:4]}")
        name = card.row.subject.split()[1][:3].casefold()
        ways = [f"#{number}", f"#{number} {name}"]
        if not (words or self._near(card)):
            ways = ways[1:]  # a number alone is not sure where it does not follow the card before
        elif number not in YEARS and not words:
            ways += [number, number, f"{number} {name}"]
        words.append(self.source.choice(ways))
        if card.serial:
            words += self._serial(card, full)
        elif full or card.parallel != carried.get("parallel", ""):
            words.append(f"parallel={card.parallel.casefold()}" if card.parallel else "base")
        if full or card.condition != carried.get("condition", ""):
            words.append(SHORT[card.condition])
        return " ".join(words)

    def _near(self, card: Dealt) -> bool:
        """Whether the card's number follows that of the nearest listed card before."""
        behind = self.shelf.cards[: self.shelf.at - 1]
        before = next(
            (card for card in reversed(behind) if card["state"] == "tagged" and card["listed"]),
            None,
        )
        if before is None or before["set"] != card.row.set:
            return False
        return 0 <= int(card.row.number) - int(before["number"]) < 2

    def _serial(self, card: Dealt, full: bool) -> list[str]:
        alone = card.serial.partition("/")[0]
        carried = not full and self.shelf.carried.get("parallel") == card.parallel
        # A small number alone might be another card's, and the panel is not sure of it.
        apart = int(card.row.number + alone) > 400 and alone not in YEARS and int(alone) > 20
        if carried and apart:
            return [alone]
        return [card.parallel[0].casefold(), card.serial]

    # Second thoughts

    def undo(self, times: int) -> None:
        """Take so many changes back, with either key."""
        for _ in range(times):
            self.press(self.source.choice(UNDO))
            self.shelf.undo()
        self.deeds["undone"] += times
        self.see("Undone: ")

    def redo(self, times: int) -> None:
        """Do so many again."""
        for _ in range(times):
            self.press(self.source.choice(REDO))
            self.shelf.redo()
        self.deeds["done again"] += times
        self.see("Redone: ")

    def go(self, position: int) -> None:
        """Go to a card by its position."""
        self.press(CTRL_G, typed=str(position))
        self.shelf.at = position
        self.see()

    def jump(self, back: int) -> None:
        """Go where the change so many before the last was made, by the history, and come back."""
        here, where = self.shelf.at, self.shelf.past[-1 - back][2]
        self.press(HISTORY, *[DOWN] * back)
        self.see("history · Enter goes to the card", rf"▸ \d\d:\d\d \D*\b{where}\b", desk=False)
        self.press(ENTER)
        self.shelf.at = where
        self.see(rf"Changed here: \D*\b{where}\b")
        self.go(here)

    # Many cards

    def list(self, words: str, test: Callable[[Kept], bool], among: range) -> list[int]:
        """Open the overview with the cards of a stretch that a filter lists, and see how many they
        are."""
        listed = self.shelf.where(test, among)
        self.press(F3)
        self.press(typed=f"{among[0]}-{among[-1]} {words}".strip())
        self.see(rf" {len(listed)} of {len(self.lot)} cards", desk=False)
        return listed

    def find(self, words: str, positions: list[int]) -> None:
        """See how many cards a filter lists in the open overview."""
        self.press(CTRL_K)
        self.press(typed=words)
        self.see(rf" {len(positions)} of {len(self.lot)} cards", desk=False)

    def change(
        self, key: str, typed: str, told: str, positions: list[int], what: Kept, stay: str = ""
    ) -> None:
        """Do one thing to the listed or chosen cards, undo it, do it again, and close the list.
        `positions` are the cards that it changes, `what` becomes of each, and `stay` is said of
        others."""
        cards = f"{len(positions)} card{'s' * (len(positions) != 1)}: {told}"
        self.press(key)
        self.press(typed=typed)
        self.see(re.escape(cards), re.escape(stay), desk=False)
        self.press(ENTER)
        self.shelf.change(positions, what)
        self.see(rf"Done: {re.escape(cards)}", desk=False)
        self.press(UNDO[0])
        self.shelf.undo()
        self.see(rf"Undone: {re.escape(cards)}", desk=False)
        self.press(REDO[0])
        self.shelf.redo()
        self.see(rf"Redone: {re.escape(cards)}", desk=False)
        self.press(F3)
        self.see()
        self.deeds["to many"] += 1
        self.deeds["undone"] += 1
        self.deeds["done again"] += 1

    def choose(self, first: int, single: int, stretch: int) -> list[int]:
        """In the open overview choose so many cards one by one from the first listed on, leave one
        out, and choose a stretch of so many behind it. `first` is the position of the first listed,
        all behind it being listed."""
        self.press(HOME, *[INSERT] * single, DOWN, *[STRETCH] * (stretch - 1))
        self.see(rf" · {single + stretch} selected", desk=False)
        behind = first + single + 1
        return [*range(first, first + single), *range(behind, behind + stretch)]

    # The review

    def review(self) -> int:
        """Go through all cards in question until none is left; returns at how many cards the dealer
        stood."""
        shelf, passed, stood = self.shelf, set[int](), 0
        self.press(REVIEW)
        while left := shelf.questioned():
            shelf.at = at = next((other for other in left if other > shelf.at), left[0])
            many = "this is the only one left" if len(left) == 1 else f"{len(left)} left to review"
            why = re.escape("; ".join(shelf.why(at)))
            why = "set aside" if why.startswith("set") else why
            self.see(rf"Card {at}: {why} · {many}", desk=False)
            stood += 1
            card = self.lot[at - 1]
            if shelf.here["state"] == "tagged":
                self.press(ENTER)
                shelf.confirm()
            elif at not in passed and self.source.random() < 0.15:
                self.press(ENTER)  # left for the next time round
                passed.add(at)
            else:
                self.press(ENTER, typed=self.hint(card, full=True))
                shelf.take(row(card), said(card))
                shelf.at = at
        if self.terminal is not None and shelf.past[-1][1].at != shelf.past[-1][0].at:
            shelf.at += 1  # the last one was tagged, not only confirmed
        self.see("That was the last one to", desk=False)  # 80 cells may cut the rest
        return stood


def row(card: Dealt) -> dict[str, str]:
    """The card's line in the checklist."""
    return {
        "set": card.row.set, "number": card.row.number, "subject": card.row.subject,
        "team": card.row.team,
        "price": "0.25",
    }  # fmt: skip


def said(card: Dealt) -> dict[str, str]:
    """What is said of the copy in the hand."""
    return {"parallel": card.parallel, "serial": card.serial, "condition": card.condition}
