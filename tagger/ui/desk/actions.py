"""What the desk's actions do: each is bound to one function, so that an action that does nothing
cannot be declared."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.session.review import LOOK_AGAIN
from tagger.errors import TaggerError
from tagger.ui.keys import Action
from tagger.ui.modes import bound

if TYPE_CHECKING:
    from tagger.ui.desk.hint_entry import HintEntry
    from tagger.ui.message_line import MessageLine


class Outcome(NamedTuple):
    """What an action did: what is said of it, None where the message stays as it is; and whether
    the hint is done with, but for the words that are `left` of it."""

    said: str | None = ""
    clears: bool = False
    left: str = ""


def done(said: str | None, left: str = "") -> Outcome:
    """The hint is done with."""
    return Outcome(said, clears=True, left=left)


Handler = Callable[[], Outcome]
"""Does an action; may raise TaggerError, which is said."""


class Actions:
    """Runs the actions of the desk."""

    def __init__(self, hint: HintEntry, message: MessageLine) -> None:
        self._hint, self._message = hint, message
        self._handlers: dict[Action, Handler] = {}

    def bind(self, *tables: Mapping[Action, Handler]) -> None:
        """Take what each action does from these tables. Raises ValueError, see `bound`."""
        self._handlers = bound(Action, *tables)

    def run(self, action: Action) -> None:
        """Do an action; whatever goes wrong is a sentence on the screen."""
        try:
            said, clears, left = self._handlers[action]()
        except TaggerError as error:
            # The hint stays: the dealer mends it and presses the key again.
            self._message.say(error.message, alarm=True)
            return
        if clears:
            self._hint.clear()
            self._hint.type(left)
        if said is not None:
            # A warning after the fact is no refusal, but it must not look like all was well.
            self._message.say(said, alarm=said.startswith(LOOK_AGAIN))
