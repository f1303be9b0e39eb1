"""What stands in the panel when the program is opened for the first time on this machine, until any
key."""

from __future__ import annotations

from collections.abc import Callable

from rich.text import Text

from tagger.ui import theme
from tagger.ui.keys import Action, Keymap
from tagger.ui.wording import cut

HEAD = "Type which card this is."


class Welcome:
    """Shown until a key is pressed; `over` is then called, once. None: it was shown before."""

    def __init__(self, over: Callable[[], None] | None) -> None:
        self._over = over

    @property
    def shown(self) -> bool:
        """Whether it is on the screen."""
        return self._over is not None

    def closed_by(self, action: Action | None) -> bool:
        """Take it away for a key; whether that is all that the key does. Enter would accept a card
        that is not to be seen before; each other key does its own work."""
        closes = self.shown and action is Action.TAKE
        self.dismiss()
        return closes

    def dismiss(self) -> None:
        """Something was typed: it is not shown any more."""
        # Forgotten before it is called: what is called may fail, and would be called by each key.
        over, self._over = self._over, None
        if over is not None:
            over()


def welcome_lines(keys: Keymap, width: int) -> list[Text]:
    """Six lines, which fit the smallest panel that there is."""
    said = (
        ("23, marsh", "number, name, or part"),
        (keys.shown(Action.TAKE), "accepts it and goes on"),
        (keys.shown(Action.AGAIN), "same card again"),
        (keys.shown(Action.SET_ASIDE), "leaves it for later"),
        (keys.shown(Action.HELP), f"all keys; {keys.shown(Action.LEAVE)} leaves"),
    )
    # By the user's keys: what the README says may be another one.
    found = [Text(HEAD, theme.BRASS)]
    for key, what in said:
        found.append(Text(f"{key or 'no key':<10} ", theme.BRIGHT).append(what, theme.PLAIN))
    return [cut(line, width) for line in found]
