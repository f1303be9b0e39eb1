"""What is asked in the overview, and the keys that answer."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from tagger.ui.keys import Action, KeyHint


class Prompt(Enum):
    """What the hint line is read as: what stands before it, and what stands in it as long as
    nothing is typed."""

    FILTER = (" ▸ ", " filter: marsh, gold, untagged, doubles, over 5, 41-60, -base, …")
    CHANGE = (
        " change ▸ ",
        " nm, gold, price=3.50, at=box 3, note=…; condition= removes it",
    )
    ASIDE = (" set aside ▸ ", " reason")
    CLEAR = (" remove all tags ▸ ", " nothing to type here")

    @property
    def prompt(self) -> str:
        """What stands before the line."""
        return self.value[0]

    @property
    def empty(self) -> str:
        """What stands in the line as long as nothing is typed."""
        return self.value[1]


BY_ACTION = {
    Action.CARRY: Prompt.CHANGE,
    Action.SET_ASIDE: Prompt.ASIDE,
    Action.CLEAR: Prompt.CLEAR,
}

KEYS: Sequence[KeyHint] = (
    (Action.TAKE, "go to card"), (Action.CARRY, "change"), (Action.CHOOSE, "select"),
    ("shift+down", "select range"), (Action.SET_ASIDE, "set aside"), (Action.CLEAR, "clear"),
    (Action.AGAIN, "next copy"), (Action.UNDO, "undo"), (Action.DROP, "select none"),
    (Action.HELP, "help"), (Action.OVERVIEW, "close"),
)  # fmt: skip
# While something is asked every other key would be for cards that are not meant.
ASKED: Sequence[KeyHint] = ((Action.TAKE, "do it"), (Action.OVERVIEW, "cancel"))
