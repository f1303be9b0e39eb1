"""One side over the whole screen: arrows move it, Enter closes it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events

from tagger.ui.bottom_lines import keys_among
from tagger.ui.keys import Action, KeyHint
from tagger.ui.modes import Mode

if TYPE_CHECKING:
    from tagger.ui.desk.looking import Looking
    from tagger.ui.desk.parts import DeskParts

ARROWS = {
    "left": Action.LOUPE_LEFT, "right": Action.LOUPE_RIGHT,
    "up": Action.LOUPE_UP, "down": Action.LOUPE_DOWN,
}  # fmt: skip
KEYS: tuple[KeyHint, ...] = (
    (Action.TAKE, "close"), ("left", "↑ ↓ → move"), (Action.FLIP, "other side"),
    (Action.LOUPE_IN, "closer"), (Action.LOUPE_OUT, "wider"), (Action.NEXT_CARD, "next card"),
    (Action.HELP, "help"), (Action.LEAVE, "leave"),
)  # fmt: skip
# What the dealer does while looking: it is left to the modes below, and the look goes on.
STAYS = frozenset(
    (*ARROWS.values(), Action.LOUPE_IN, Action.LOUPE_OUT, Action.LOUPE_SIDE,
     Action.LOUPE_CORNER, Action.NEXT_CARD,
     Action.PREVIOUS_CARD, Action.REDRAW)
)  # fmt: skip


class CloseLook(Mode[Action]):
    """Open from the beginning to its close; `below` is what was in front before."""

    css = "-closely"

    def __init__(self, parts: DeskParts, looking: Looking, below: Mode[Action]) -> None:
        self._parts, self._looking, self._below = parts, looking, below
        parts.previews.look_closely(parts.session)
        looking.arrange()

    def on_key(self, event: events.Key, action: Action | None) -> bool:
        """Move the look or close it; any other key closes it and does its own work."""
        if event.key in ARROWS:
            self._parts.actions.run(ARROWS[event.key])
            return True
        if action is Action.FLIP:
            self._parts.actions.run(Action.LOUPE_SIDE)
            return True
        if action in STAYS:
            return False
        # Closed first: the key may be for the next card, which is seen by both its sides again.
        self._parts.previews.look_no_longer()
        self._parts.modes.close(self)
        self._looking.arrange()
        # Enter closes only: what it would take was not seen.
        return action in (Action.LOOK, Action.TAKE)

    def draw(self) -> None:
        """The lines of what lies below, but for the keys: they do other things here."""
        parts = self._parts
        self._below.draw()
        parts.boxes.keys.show([keys_among(KEYS, parts.keys, parts.size.width)])
