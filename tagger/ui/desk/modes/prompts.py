"""What is asked in the overview, and the keys that answer."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from tagger.ui.keys import Action, KeyHint


class Prompt(Enum):
    """What the hint line is read as: what stands before it, and what stands in it as long as
    nothing is typed."""

    FILTER = (" ▸ ", " a filter: marsh, gold, untagged, doubles, over 5, 41-60, -base, …")
    CHANGE = (" change ▸ ", " nm, gold, at=box 3, row 2, note=…; condition= takes it off")
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


BY_ACTION = {
    Action.CARRY: Prompt.CHANGE,
    Action.SET_ASIDE: Prompt.ASIDE,
    Action.CLEAR: Prompt.CLEAR,
}

KEYS: Sequence[KeyHint] = (
    (Action.TAKE, "to the card"), (Action.CARRY, "change"), (Action.CHOOSE, "choose"),
    ("shift+down", "a stretch"), (Action.SET_ASIDE, "set aside"), (Action.CLEAR, "clear"),
    (Action.AGAIN, "next double"), (Action.UNDO, "undo"), (Action.DROP, "choose none"),
    (Action.HELP, "help"), (Action.OVERVIEW, "back"),
)  # fmt: skip
# While something is asked every other key would be for cards that are not meant.
ASKED: Sequence[KeyHint] = ((Action.TAKE, "do it"), (Action.OVERVIEW, "back to the list"))
