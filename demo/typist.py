"""Someone who tags: looks at a card, types as little as the screen allows, and presses Enter only
on the right card."""

from __future__ import annotations

import re
from collections.abc import Mapping

from support.terminal import Terminal

ENTER, DOWN, F5, CLEAR = "\r", "\x1b[B", "\x1b[15~", "\x0b"
LOOK = 0.06  # seconds without a change after which a screen is read
SHORT = {
    "Mint": "mt",
    "Near Mint": "nm",
    "Excellent": "ex",
    "Very Good": "vg",
    "Good": "gd",
    "Fair": "fr",
    "Poor": "pr",
}

Card = Mapping[str, str]  # one row of the truth: what the card in the hand says


class Typist:
    """Works one terminal. Counts keys, a special key as one."""

    def __init__(self, terminal: Terminal) -> None:
        self.terminal = terminal
        self.keys = 0
        self.carried: dict[str, str] = {}
        self.set = ""
        self.last: dict[str, str] = {}

    def tag(self, card: Card, position: int) -> None:
        """Tag the card in front. Raises AssertionError where no hint brings the right card up."""
        self.terminal.wait_for(rf"card {position} of")
        self._carry(card)
        self.terminal.settle(LOOK)  # nobody reads a screen that is half drawn
        if self._same_again(card):
            self._press("=")
        else:
            for hint in self._hints(card):
                if self._try(hint, card):
                    break
            else:
                raise AssertionError(f"no hint brings up {dict(card)}\n{self.terminal.text()}")
            self._press(ENTER)
        self.last = dict(card)
        self.terminal.pump(15, lambda: f"card {position} of" not in self._top())
        self.set = card["set"]

    def _same_again(self, card: Card) -> bool:
        """Whether one key will do: a double of the card before, which carries no serial number."""
        named = ("set", "number", "subject", "parallel", "condition", "place")
        return not card["serial"] and all(card[name] == self.last.get(name) for name in named)

    def _carry(self, card: Card) -> None:
        """The place and the usual condition are carried; only their changes are typed."""
        if card["place"] != self.carried.get("place"):
            self._type(f"at={card['place']}")
            self._press(F5)
            self.carried["place"] = card["place"]
            self.terminal.wait_for(r"Carrying from now on: place")
        if "condition" not in self.carried and card["condition"]:
            self._type(SHORT[card["condition"]])
            self._press(F5)
            self.carried["condition"] = card["condition"]
            self.terminal.wait_for(r"Carrying from now on: condition")

    def _hints(self, card: Card) -> list[str]:
        """From the shortest to the fullest."""
        variant = card["serial"] or card["parallel"]
        graded = (
            "" if card["condition"] == self.carried.get("condition") else SHORT[card["condition"]]
        )
        short = re.sub(r"^(?:19|20)", "", card["set"]).casefold()
        surname = card["subject"].split()[-1].casefold()
        ways = [
            "",
            card["number"],
            f"{card['number']} {surname}",
            f"set={short.split()[0]} {card['number']}",
            f"set={short.split()[0]} {card['number']} name={surname}",
            " ".join(f"set={word}" for word in short.split())
            + f" #{card['number']} name={surname}",
        ]
        if card["set"] != self.set:
            ways = ways[3:]
        elif f"#{card['number']} {card['subject'].upper()} " not in self._panel():
            ways = ways[1:]  # the screen proposes another card, so its number is typed
        fulls = (
            [f"{variant}", f"parallel={card['parallel'].split()[0]} {card['serial']}"]
            if variant
            else [""]
        )
        return [" ".join(f"{way} {full} {graded}".split()) for full in fulls for way in ways]

    def _try(self, hint: str, card: Card) -> bool:
        """Type a hint and look; take it out again where it does not bring the card up."""
        if hint:
            self._type(hint)
            self.terminal.settle(LOOK)
        if self._shows(card):
            return True
        if hint:
            self._press(DOWN)
            self.terminal.settle(LOOK)
            if self._shows(card):
                return True
            self._press(CLEAR)
            self.terminal.settle(LOOK)
        return False

    def _shows(self, card: Card) -> bool:
        """Whether the panel says that Enter accepts this very card."""
        said = self._panel()
        number = f"#{card['number']} " if card["number"] else ""
        variant = " ".join(part for part in (card["parallel"] or "base", card["serial"]) if part)
        wanted = (
            f"{number}{card['subject'].upper()} {variant} · "
            f"{card['condition'] or 'no condition'} {card['set']}"
        )
        return said.startswith(f"Enter accepts {wanted}")

    def _panel(self) -> str:
        """The words of the panel's upper part on one line, without the figures and the
        confidence."""
        lines = self.terminal.screen.display
        head = next((line for line in lines if "Enter accepts" in line), None)
        if head is None:
            return ""
        left = head.index("Enter accepts")
        words = "Enter accepts"
        for line in lines[lines.index(head) + 1 :]:
            part = line[left:].strip()
            if part == "or" or part.startswith(("or ", "for the next")):
                break
            if part and not set(part) & set("▀▄█"):
                words += f" {part}"
        return words

    def _top(self) -> str:
        return self.terminal.screen.display[0]

    def _type(self, text: str) -> None:
        self.keys += len(text)
        self.terminal.send(text)
        self.terminal.pump(
            5, lambda: self.terminal.screen.display[-2].rstrip().endswith(text[-30:].rstrip())
        )

    def _press(self, key: str) -> None:
        self.keys += 1
        self.terminal.send(key)
