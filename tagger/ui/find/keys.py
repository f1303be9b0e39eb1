"""The keys of the find screen, which its help and the README read; those that the desk has as well
are the user's."""

from __future__ import annotations

from tagger.ui.keys import Action, Keymap, key_name

FIND = (
    Action(
        "take", ("enter", "ctrl+j"), "open", "open the lot at the card; leaving it comes back here"
    ),
    Action("up", ("up", "down"), "card", "go to the card before, to the next one"),
    Action("page", ("pageup", "pagedown"), "page", "go a page up, a page down"),
    Action("mark", ("f4",), "sold", "sold, pulled, or there again: F4 says which, Enter does it"),
    Action("flip", ("f7",), "pictures", "front and back instead of the list, and the list again"),
    Action("undo", ("ctrl+z", "ctrl+u"), "undo", "take back what was marked here last"),
    Action("help", ("f9",), "help", "this list"),
    Action("redraw", ("ctrl+l",), "redraw", "draw the screen afresh, and look at all lots again"),
    Action("leave", ("ctrl+x",), "leave", "leave; everything is saved already"),
)
SHARED = ("take", "flip", "undo", "help", "redraw", "leave")
_OWN = {key: command.id for command in FIND if command.id not in SHARED for key in command.keys}


def find_command(keys: Keymap, key: str) -> str:
    """What a key does here, by id; empty where it is typed or edits. A key of `up` or `page` says
    itself which way."""
    command = keys.command(key)
    return command.id if command is not None and command.id in SHARED else _OWN.get(key, "")


def keys_of(keys: Keymap, command: Action) -> str:
    """The keys of a command as the dealer reads them: `Enter, Ctrl+J`."""
    own = keys.keys[command.id] if command.id in SHARED else command.keys
    return ", ".join(map(key_name, own))
