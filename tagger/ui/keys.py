"""Every key that does something, declared once: the screen, the help, the README's table and the
user's settings all read this list.

The defaults survive plain SSH, tmux and screen. Left alone are Ctrl+A and Ctrl+B (screen, tmux),
Ctrl+H, I, M and [ (Backspace, Tab, Enter, Esc), Ctrl+Q, Ctrl+P, Alt with anything, Esc, and F1,
F10, F11 (desktop terminals)."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from enum import Enum, StrEnum
from typing import NamedTuple

from tagger.core.model.suggestions import nearest
from tagger.errors import ConfigError


class Group(StrEnum):
    """What a command is for: the headings of the help, in their order."""

    TAGGING = "Tagging"
    LOOKING = "Viewing"
    MOVING = "Moving"
    MENDING = "Undo and fixes"
    REST = "Other"


class KeyUse(NamedTuple):
    """The default keys of an action, apart by a space; what else it is declared with."""

    keys: str
    label: str
    help: str
    group: Group


class Action(Enum):
    """One thing a key does: its default keys, in Textual's names; its label in the key line; what
    the help says of it; the heading it stands below there. What it does is a screen's affair."""

    # Ctrl+J is what Enter arrives as when it was pressed before the program had the terminal.
    TAKE = KeyUse(
        "enter ctrl+j", "accept", "accept the proposed card and go to the next", Group.TAGGING
    )
    READING_DOWN = KeyUse("down", "next match", "show the next match for the hint", Group.TAGGING)
    READING_UP = KeyUse("up", "previous match", "show the previous match", Group.TAGGING)
    WHY = KeyUse("ctrl+o", "why", "say how each word of the hint was read", Group.TAGGING)
    AGAIN = KeyUse(
        "equals_sign",
        "same again",
        "repeat the card before; type a condition or serial number first to change it",
        Group.TAGGING,
    )
    PROOFS = KeyUse(
        "plus",
        "page of proofs",
        "hint empty, with reading: check the next cards that were read and accept them together",
        Group.TAGGING,
    )
    SET_ASIDE = KeyUse(
        "f2", "set aside", "leave the card for later; the hint is the reason", Group.TAGGING
    )
    OVERVIEW = KeyUse(
        "f3", "overview", "list the lot; type to filter it, Enter goes to a card", Group.MOVING
    )
    CHOOSE = KeyUse(
        "insert",
        "select",
        "in the overview: select or deselect the card for a bulk edit",
        Group.MOVING,
    )
    UNLISTED = KeyUse(
        "f4", "not listed", "tag the card as typed, though no checklist has it", Group.TAGGING
    )
    CARRY = KeyUse(
        "f5",
        "carry",
        "carry the hint's set, parallel, condition, place, note or price to the next cards",
        Group.TAGGING,
    )
    DROP = KeyUse(
        "f6",
        "drop",
        "stop carrying the field you name (`next` ends a next= run), or the last one set",
        Group.TAGGING,
    )
    FLIP = KeyUse(
        "f7", "flip", "show the other side (wide screen: cycle both, front, back)", Group.LOOKING
    )
    LOUPE_LEFT = KeyUse("ctrl+left", "loupe left", "move the loupe left", Group.LOOKING)
    LOUPE_RIGHT = KeyUse("ctrl+right", "loupe right", "move the loupe right", Group.LOOKING)
    LOUPE_UP = KeyUse("ctrl+up", "loupe up", "move the loupe up", Group.LOOKING)
    LOUPE_DOWN = KeyUse("ctrl+down", "loupe down", "move the loupe down", Group.LOOKING)
    LOUPE_IN = KeyUse("shift+up", "loupe closer", "enlarge what the loupe shows", Group.LOOKING)
    LOUPE_OUT = KeyUse("shift+down", "loupe wider", "show more in the loupe", Group.LOOKING)
    LOUPE_SIDE = KeyUse("ctrl+f", "loupe side", "put the loupe on the other side", Group.LOOKING)
    # Both edit a hint that is typed; where there is none they have nothing to edit.
    LOUPE_NUMBER = KeyUse(
        "home",
        "loupe to number",
        "hint empty: put the loupe on the likeliest place of the number, then on the next",
        Group.LOOKING,
    )
    LOUPE_CORNER = KeyUse(
        "end",
        "loupe to corner",
        "hint empty: put the loupe in a corner, then in the next one",
        Group.LOOKING,
    )
    LOUPE_NAME = KeyUse(
        "ctrl+n",
        "name loupe",
        "open a second loupe for the name; the loupe keys then move it",
        Group.LOOKING,
    )
    LOOK = KeyUse(
        "ctrl+d",
        "zoom",
        "show one side on the whole screen; arrows move, F7 turns it over, Enter closes",
        Group.LOOKING,
    )
    SIDES = KeyUse(
        "f8",
        "sides",
        "change how scans are paired (front/back, all fronts first, …)",
        Group.MENDING,
    )
    FINDINGS = KeyUse(
        "f12",
        "problems",
        "step through scan problems; with text typed, apply it to this card as a fix",
        Group.MENDING,
    )
    CENTERING = KeyUse(
        "shift+right", "centering", "estimate the centering of this side", Group.LOOKING
    )
    HELP = KeyUse("f9", "help", "list all keys; type to search", Group.REST)
    NEXT_CARD = KeyUse("pagedown", "next card", "go to the next card", Group.MOVING)
    PREVIOUS_CARD = KeyUse("pageup", "previous card", "go to the previous card", Group.MOVING)
    NEXT_UNTAGGED = KeyUse("tab", "next untagged", "go to the next untagged card", Group.MOVING)
    PREVIOUS_UNTAGGED = KeyUse(
        "shift+tab", "previous untagged", "go to the previous untagged card", Group.MOVING
    )
    REVIEW = KeyUse(
        "ctrl+v",
        "review",
        "go to the next card to review: set aside, unlisted, low confidence, suspicious",
        Group.MOVING,
    )
    GO = KeyUse("ctrl+g", "go to", "go to the card whose position you typed", Group.MOVING)
    UNDO = KeyUse(
        "ctrl+z ctrl+u",
        "undo",
        "undo the last change, also one from an earlier sitting",
        Group.MENDING,
    )
    REDO = KeyUse("ctrl+y ctrl+r", "redo", "redo what was undone", Group.MENDING)
    HISTORY = KeyUse(
        "shift+left",
        "history",
        "list what was changed and undone; Enter goes to the card",
        Group.MENDING,
    )
    CLEAR = KeyUse("ctrl+t", "clear tags", "remove all tags from this card", Group.MENDING)
    COPY = KeyUse("ctrl+s", "copy", "write a copy of the lot into the folder you typed", Group.REST)
    REDRAW = KeyUse("ctrl+l", "redraw", "redraw the screen", Group.REST)
    LEAVE = KeyUse("ctrl+x", "leave", "leave; everything is saved already", Group.REST)

    def __init__(self, keys: str, label: str, help: str, group: Group) -> None:
        # An Enum gives its value, a tuple, as so many arguments.
        self.keys = tuple(keys.split())
        self.label = label
        self.help = help
        self.group = group

    @property
    def id(self) -> str:
        """What the settings call it: `take`."""
        return self.name.lower()


_NAMES = {
    "enter": "Enter", "down": "↓", "up": "↑", "equals_sign": "=", "plus": "+", "pagedown": "PgDn",
    "pageup": "PgUp", "tab": "Tab", "shift+tab": "Shift+Tab", "insert": "Insert",
    "delete": "Delete", "home": "Home", "end": "End", "left": "←", "right": "→",
}  # fmt: skip
# What a user may bind: these arrive as one and the same key over plain SSH, in tmux and in screen.
_SURE = re.compile(
    r"^(enter|tab|shift\+tab|insert|pageup|pagedown|equals_sign|plus|f[2-9]|f12|ctrl\+[defgjlnorstuvxyz]"
    r"|(ctrl\+|shift\+)?(up|down|left|right))$"
)
# A command on one of these would take from the hint line what every line editor has.
_EDITING_KEYS = frozenset(
    {"left", "right", "home", "end", "backspace", "delete", "ctrl+e", "ctrl+w", "ctrl+k", "ctrl+c"}
)
_TIDY = {"=": "equals_sign", "+": "plus", "pgdn": "pagedown", "pgup": "pageup"}
# Without Enter nothing could be tagged, without a way out nobody could leave.
_NEEDED = (Action.TAKE, Action.LEAVE)

# What a key line shows: an action, or a key that means this only there, and its words.
KeyHint = tuple[Action | str, str]


def key_name(key: str) -> str:
    """A key as the dealer reads it: `ctrl+z` is Ctrl+Z, `pagedown` PgDn."""
    if key in _NAMES:
        return _NAMES[key]
    return "+".join(_NAMES.get(part, part.capitalize()) for part in key.split("+"))


def edits_typed(key: str, action: Action | None) -> bool:
    """Whether the key of an action edits the hint instead, where one is typed."""
    # Who has typed something wrong presses Ctrl+U as in a shell: that must not cost a tag.
    return key in ("home", "end") or (key == "ctrl+u" and action is Action.UNDO)


class Keymap:
    """Which key does what, the user's settings applied."""

    def __init__(self, changed: Mapping[str, Sequence[str]] | None = None) -> None:
        """`changed` gives keys by an action's id. Raises ConfigError, naming the entry."""
        self._keys = {action: action.keys for action in Action}
        for id, wanted in (changed or {}).items():
            # What is set replaces the defaults: who gives undo another key wants the old one free.
            self._keys[_named(id)] = tuple(_checked(id, key) for key in wanted)
        self._actions: dict[str, Action] = {}
        for action, keys in self._keys.items():
            for key in keys:
                self._give(key, action)
        self._check_needed()

    def _check_needed(self) -> None:
        for action in _NEEDED:
            if not self._keys[action]:
                raise ConfigError(f"keys.{action.id}: this command needs a key.")

    def _give(self, key: str, action: Action) -> None:
        # Two commands on one key: the last one would win in silence, and the other could not be
        # done.
        if key in self._actions:
            raise ConfigError(
                f"keys.{action.id}: {key_name(key)} already belongs to {self._actions[key].id}."
            )
        self._actions[key] = action

    def action(self, key: str) -> Action | None:
        """What a key does, None where it does nothing of its own."""
        return self._actions.get(key)

    def of(self, action: Action) -> tuple[str, ...]:
        """The keys of an action, none where the user took them away."""
        return self._keys[action]

    def shown(self, action: Action) -> str:
        """The first key of an action as the dealer reads it, empty where it has none."""
        return key_name(self._keys[action][0]) if self._keys[action] else ""


def _named(id: str) -> Action:
    """The action that an entry of the settings names. Raises ConfigError."""
    known = {action.id: action for action in Action}
    if id in known:
        return known[id]
    near = nearest(id, tuple(known))
    hint = f"; did you mean {near}?" if near else "."
    raise ConfigError(f"keys.{id}: unknown command{hint}")


def _checked(id: str, key: str) -> str:
    """A key in Textual's name. Raises ConfigError where not every connection passes it on."""
    # As people write keys, `Ctrl + Z`, and not only as Textual names them.
    tidy = _TIDY.get(key.lower(), key.lower().replace(" ", ""))
    if tidy in _EDITING_KEYS or not _SURE.match(tidy):
        raise ConfigError(
            f"keys.{id}: '{key}' does not work over every SSH, tmux or screen connection; use F2 "
            "to F9, F12, Tab, PgUp, PgDn, Insert, arrows, or Ctrl with one of D F G L N O R S T U "
            "V X Y Z."
        )
    return tidy
