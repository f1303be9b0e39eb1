"""What is asked in the overview, and the keys that answer."""

from __future__ import annotations

from enum import Enum


class Prompt(Enum):
    """What the hint line is read as: what stands before it, and what stands in it as long as
    nothing is typed."""

    FILTER = (" ▸ ", " a filter: marsh, gold, untagged, doubles, over 5, 41-60, -base, …")
    CHANGE = (" change ▸ ", " nm, p=gold, at=box 3, row 2, note=…; c= takes the condition off")
    ASIDE = (" set aside ▸ ", " the reason")
    CLEAR = (" all tags off ▸ ", " nothing is to be typed here")

    @property
    def prompt(self) -> str:
        """What stands before the line."""
        return self.value[0]

    @property
    def empty(self) -> str:
        """What stands in the line as long as nothing is typed."""
        return self.value[1]


BY_COMMAND = {"carry": Prompt.CHANGE, "set_aside": Prompt.ASIDE, "clear": Prompt.CLEAR}

# What the key line shows: a command, or a key that means this only here, and its words.
KEYS = (
    ("take", "to the card"), ("carry", "change"), ("choose", "choose"), ("shift+down", "a stretch"),
    ("set_aside", "set aside"), ("clear", "clear"), ("again", "next double"), ("undo", "undo"),
    ("drop", "choose none"),    ("help", "help"), ("overview", "back"),
)  # fmt: skip
ASKED = (("take", "do it"), ("overview", "back to the list"))
