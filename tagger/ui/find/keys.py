"""The keys of the find screen, which its help and the README read; those that the desk has as well
are the user's."""

from __future__ import annotations

from enum import Enum

from tagger.ui.help import all_keys
from tagger.ui.keys import Action, Keymap, edits_typed


class FindAction(Enum):
    """One thing a key does here: the desk's action whose keys it has, or keys of its own; its label
    in the key line; what the help says of it."""

    TAKE = (Action.TAKE, "open", "open the lot at the card; leaving it returns here")
    UP = (("up", "down"), "card", "go to the previous card, the next card")
    PAGE = (("pageup", "pagedown"), "page", "go one page up, one page down")
    MARK = (("f4",), "sold", "mark the card sold, pulled or returned; F4 says which, Enter does it")
    FLIP = (Action.FLIP, "pictures", "switch between the list and front and back")
    UNDO = (Action.UNDO, "undo", "undo the last mark made here")
    HELP = (Action.HELP, "help", "list the keys")
    REDRAW = (Action.REDRAW, "redraw", "redraw the screen and read all lots again")
    LEAVE = (Action.LEAVE, "leave", "leave; everything is saved already")

    def __init__(self, keys: Action | tuple[str, ...], label: str, help: str) -> None:
        self.label = label
        self.help = help
        # Keys that the user has set for the desk hold here too, so there is no list of its own.
        self.shared: Action | None = None
        """The desk's action whose keys it has, as the user set them."""
        if isinstance(keys, Action):
            self.shared, self.keys = keys, keys.keys
        else:
            self.keys = keys


_OF_THE_DESK = {action.shared: action for action in FindAction if action.shared is not None}
_OWN = {key: action for action in FindAction if action.shared is None for key in action.keys}


def find_action(keys: Keymap, key: str, typed: str = "") -> FindAction | None:
    """What a key does here beside the words that are typed, None where it is typed or edits. A key
    of `UP` or `PAGE` says itself which way."""
    # The user's keys go first: F7 may be anything there.
    of_the_desk = keys.action(key)
    if typed and edits_typed(key, of_the_desk):
        return None
    if of_the_desk in _OF_THE_DESK:
        return _OF_THE_DESK[of_the_desk]
    return _OWN.get(key)


def keys_of(keys: Keymap, action: FindAction) -> str:
    """The keys of an action as the dealer reads them: `Enter, Ctrl+J`."""
    return all_keys(_keys(keys, action))


def has_key(keys: Keymap, action: FindAction) -> bool:
    """Whether the user left the action a key."""
    return bool(_keys(keys, action))


def _keys(keys: Keymap, action: FindAction) -> tuple[str, ...]:
    return action.keys if action.shared is None else keys.of(action.shared)
