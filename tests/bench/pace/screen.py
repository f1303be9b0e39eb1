"""What a person reads off the desk: what Enter accepts, the other readings, what is carried."""

from __future__ import annotations

import re
from dataclasses import dataclass

from support.terminal import Terminal

from bench.pace.lots import Card

QUIET = 0.05  # seconds without a change after which a screen is read
DEED = re.compile("Enter (accepts|changes|keeps|does) ")
CHANGE = re.compile("(?P<field>number|name): (?P<old>.+) → (?P<new>.+)")


@dataclass(frozen=True)
class Seen:
    """The panel's words. `takes` is one line from "Enter accepts" on; `below` are the readings
    under the chosen one."""

    takes: str
    below: tuple[str, ...]
    carried: str

    def names(self, card: Card) -> bool:
        """Whether what Enter accepts is this very card, to the last field."""
        said = f"Enter accepts {self._head(card)} {_variant(card)} · {card.condition} "
        return self.takes.startswith(said) and self.of_set(card)

    def same_subject(self, card: Card) -> bool:
        """Whether it is the card's number, subject and set, in whatever variant and condition."""
        return self.takes.startswith(f"Enter accepts {self._head(card)} ") and self.of_set(card)

    def of_set(self, card: Card) -> bool:
        """Whether it is of the card's set."""
        return f" {card.set} " in self.takes

    def of_parallel(self, card: Card) -> bool:
        """Whether it is of the card's parallel, the serial number aside."""
        return f" {card.parallel or 'base'} " in self.takes.partition(" · ")[0] + " "

    def of_condition(self, card: Card) -> bool:
        """Whether it has the card's condition."""
        return f" · {card.condition} " in self.takes

    def downs(self, card: Card) -> int:
        """How many ↓ lead to the card among the readings shown; 0 where it is not among them."""
        for at, shown in enumerate(self.below, start=1):
            line = shown.replace(" unlisted", " base")
            named, _, set_name = line.partition(" · ")
            number, _, rest = named.partition(" ")
            told = rest.strip()
            if told in ("", card.subject):  # the variant is left out where all share it
                of_it = f" {_variant(card)} · " in self.takes
            else:
                of_it = _is_short_for(told, f"{card.subject} {_variant(card)}")
            of_set = _is_short_for(set_name, card.set) if set_name else self.of_set(card)
            if number == f"#{card.number}" and of_it and of_set:
                return at
        return 0

    @staticmethod
    def _head(card: Card) -> str:
        return f"#{card.number} {card.subject.upper()}"


def _is_short_for(shown: str, text: str) -> bool:
    """Whether this is the text, or the text with parts left out where the dots stand."""
    return re.fullmatch(".*".join(map(re.escape, shown.split("…"))), text) is not None


def _variant(card: Card) -> str:
    return " ".join(part for part in (card.parallel or "base", card.serial) if part)


def look(terminal: Terminal) -> Seen:
    """Wait until the screen stands still, and read it."""
    terminal.settle(QUIET)
    lines = terminal.screen.display
    head = next((at for at, line in enumerate(lines) if DEED.search(line)), None)
    if head is None:
        return Seen("", (), "")
    left = lines[head].index("Enter ")
    parts = [line[left:].rstrip() for line in lines[head:]]
    takes, below, carried, kind = (
        ["Enter accepts" if "accepts" in parts[0] else parts[0]],
        [],
        [],
        "takes",
    )
    for part in parts[1:]:
        word = part.strip()
        if word == "or" or word.startswith(("or ↓ ", "or ↑ ")):
            kind = "or"
            # where there is room for one other reading alone, it stands behind its key
            if word.startswith("or ↓ "):
                below.append(word.removeprefix("or ↓ ").strip())
        elif word.startswith("for the next"):
            kind = "carried"
        elif kind == "or" and word.startswith("▸"):
            below = []  # what stands above the chosen reading is no longer below it
        elif kind == "takes" and word and not set(word) & set("▀▄█"):
            takes.append(word)
        elif kind == "or" and word:
            below.append(word)
        elif kind == "carried":
            carried.append(word)
    return Seen(" ".join(_changed(takes)) + " ", tuple(below), "\n".join(carried))


def _changed(lines: list[str]) -> list[str]:
    """What the panel says with its changes done: the card that Enter leaves behind."""
    changes = [change for line in lines if (change := CHANGE.fullmatch(line))]
    if not changes:
        return lines
    head = lines[1]
    for change in changes:
        old, new = change["old"].upper(), change["new"].upper()
        number = change["field"] == "number"
        head = head.replace(f"#{old} ", f"#{new} ", 1) if number else head.replace(old, new, 1)
    rest = [line for line in lines[2:] if not CHANGE.fullmatch(line)]
    return ["Enter accepts", head, *rest]
