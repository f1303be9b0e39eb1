"""Every key that does something, declared once: the screen, the help, the README's table and the
user's settings all read this list.

The defaults survive plain SSH, tmux and screen. Left alone are Ctrl+A and Ctrl+B (screen, tmux),
Ctrl+H, I, M and [ (Backspace, Tab, Enter, Esc), Ctrl+Q, Ctrl+P, Alt with anything, Esc, and F1,
F10, F11 (desktop terminals)."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from tagger.core.model.suggestions import nearest
from tagger.errors import ConfigError


class Group(StrEnum):
    """What a command is for: the headings of the help, in their order."""

    TAGGING = "Tagging"
    LOOKING = "Looking"
    MOVING = "Moving"
    MENDING = "Mending"
    REST = "The rest"


@dataclass(frozen=True, slots=True)
class Action:
    """One thing a key does. `keys` are the defaults, in Textual's names; `label` stands in the key
    line, `help` in the help, below its `group`."""

    id: str
    keys: tuple[str, ...]
    label: str
    help: str
    group: Group = Group.REST


# Ctrl+J is what Enter arrives as when it was pressed before the program had the terminal to itself.
COMMANDS = (
    Action(
        "take",
        ("enter", "ctrl+j"),
        "take",
        "do what the panel says Enter does, and go on",
        Group.TAGGING,
    ),
    Action(
        "reading_down",
        ("down",),
        "next reading",
        "choose the next reading of the hint",
        Group.TAGGING,
    ),
    Action("reading_up", ("up",), "reading before", "choose the reading before", Group.TAGGING),
    Action("why", ("ctrl+o",), "why", "say what each word of the hint was read as", Group.TAGGING),
    Action(
        "again",
        ("equals_sign",),
        "same again",
        "the same card as the one before; only a condition or serial number may be typed before it",
        Group.TAGGING,
    ),
    Action(
        "set_aside",
        ("f2",),
        "set aside",
        "leave the card for later; the hint is the reason",
        Group.TAGGING,
    ),
    Action(
        "overview",
        ("f3",),
        "overview",
        "the lot as a list; what is typed there is a filter; Enter goes to a card",
        Group.MOVING,
    ),
    Action(
        "choose",
        ("insert",),
        "choose",
        "in the overview: choose a card for what is done to many, or let it go",
        Group.MOVING,
    ),
    Action(
        "unlisted",
        ("f4",),
        "not listed",
        "take the hint as a card that is in no checklist",
        Group.TAGGING,
    ),
    Action(
        "carry",
        ("f5",),
        "carry",
        "carry the hint's set, parallel, condition, place (at=) or note from now on, or for "
        "next=60 cards",
        Group.TAGGING,
    ),
    Action(
        "drop",
        ("f6",),
        "drop",
        "stop carrying what the hint names (next: the stretch), or what was carried last",
        Group.TAGGING,
    ),
    Action(
        "flip",
        ("f7",),
        "flip",
        "show the other side; where both fit: both, front, back in turn",
        Group.LOOKING,
    ),
    Action("loupe_left", ("ctrl+left",), "loupe left", "move the loupe to the left", Group.LOOKING),
    Action(
        "loupe_right", ("ctrl+right",), "loupe right", "move the loupe to the right", Group.LOOKING
    ),
    Action("loupe_up", ("ctrl+up",), "loupe up", "move the loupe up", Group.LOOKING),
    Action("loupe_down", ("ctrl+down",), "loupe down", "move the loupe down", Group.LOOKING),
    Action(
        "loupe_in", ("shift+up",), "loupe closer", "show less in the loupe, larger", Group.LOOKING
    ),
    Action(
        "loupe_out",
        ("shift+down",),
        "loupe wider",
        "show more in the loupe, smaller",
        Group.LOOKING,
    ),
    Action(
        "loupe_side", ("ctrl+f",), "loupe side", "hold the loupe over the other side", Group.LOOKING
    ),
    Action(
        "loupe_name",
        ("ctrl+n",),
        "name loupe",
        "a second loupe, for the name; shown, it has the loupe's keys",
        Group.LOOKING,
    ),
    Action(
        "look",
        ("ctrl+d",),
        "look closely",
        "one side over the whole screen; arrows move it, Enter closes it",
        Group.LOOKING,
    ),
    Action(
        "sides",
        ("f8",),
        "sides",
        "read the scans in the next side order (front, back; all fronts first; …)",
        Group.MENDING,
    ),
    Action(
        "findings",
        ("f12",),
        "findings",
        "what the feeder got wrong, one by one; with a hint: mend this card so",
        Group.MENDING,
    ),
    Action(
        "centering",
        ("shift+right",),
        "centering",
        "how the print of the side in the loupe is centred, an estimate",
        Group.LOOKING,
    ),
    Action("help", ("f9",), "help", "this list; what is typed narrows it"),
    Action("next_card", ("pagedown",), "next card", "go to the next card", Group.MOVING),
    Action("previous_card", ("pageup",), "card before", "go to the card before", Group.MOVING),
    Action(
        "next_untagged", ("tab",), "next untagged", "go to the next untagged card", Group.MOVING
    ),
    Action(
        "previous_untagged",
        ("shift+tab",),
        "untagged before",
        "go to the untagged card before",
        Group.MOVING,
    ),
    Action(
        "review",
        ("ctrl+v",),
        "review",
        "go to the next card in question: set aside, unlisted, unsure, doubted",
        Group.MOVING,
    ),
    Action("go", ("ctrl+g",), "go to", "go to the card whose position is typed", Group.MOVING),
    Action(
        "undo",
        ("ctrl+z", "ctrl+u"),
        "undo",
        "take the last change back, also from an earlier sitting",
        Group.MENDING,
    ),
    Action("redo", ("ctrl+y", "ctrl+r"), "redo", "do again what was undone", Group.MENDING),
    Action(
        "history",
        ("shift+left",),
        "history",
        "what was changed and what was undone; Enter goes to the card",
        Group.MENDING,
    ),
    Action("clear", ("ctrl+t",), "clear tags", "take all tags off this card", Group.MENDING),
    Action("copy", ("ctrl+s",), "copy", "write a copy of the lot into the folder that is typed"),
    Action("redraw", ("ctrl+l",), "redraw", "draw the screen afresh"),
    Action("leave", ("ctrl+x",), "leave", "leave; everything is saved already"),
)

_NAMES = {
    "enter": "Enter", "down": "↓", "up": "↑", "equals_sign": "=", "pagedown": "PgDn",
    "pageup": "PgUp", "tab": "Tab",
    "shift+tab": "Shift+Tab", "insert": "Insert", "delete": "Delete", "home": "Home", "end": "End",
    "left": "←", "right": "→",
}  # fmt: skip
_SURE = re.compile(
    r"^(enter|tab|shift\+tab|insert|pageup|pagedown|equals_sign|f[2-9]|f12|ctrl\+[defgjlnorstuvxyz]"
    r"|(ctrl\+|shift\+)?(up|down|left|right))$"
)
_EDITING_KEYS = frozenset(
    {"left", "right", "home", "end", "backspace", "delete", "ctrl+e", "ctrl+w", "ctrl+k", "ctrl+c"}
)


def key_name(key: str) -> str:
    """A key as the dealer reads it: `ctrl+z` is Ctrl+Z, `pagedown` PgDn."""
    if key in _NAMES:
        return _NAMES[key]
    return "+".join(_NAMES.get(part, part.capitalize()) for part in key.split("+"))


class Keymap:
    """Which key does what, the user's settings applied."""

    def __init__(self, changed: Mapping[str, Sequence[str]] | None = None) -> None:
        """`changed` gives keys by command id. Raises ConfigError, naming the entry."""
        keys = {command.id: command.keys for command in COMMANDS}
        for id, wanted in (changed or {}).items():
            if id not in keys:
                near = nearest(id, tuple(keys))
                raise ConfigError(
                    f"keys.{id} is no command" + (f"; did you mean {near}?" if near else ".")
                )
            keys[id] = tuple(_checked(id, key) for key in wanted)
        self._command: dict[str, Action] = {}
        self.keys = keys
        for command in COMMANDS:
            for key in keys[command.id]:
                if key in self._command:
                    raise ConfigError(
                        f"keys.{command.id}: {key_name(key)} already belongs to "
                        f"{self._command[key].id}."
                    )
                self._command[key] = command
        for id in ("take", "leave"):
            if not keys[id]:
                raise ConfigError(f"keys.{id}: this command needs a key.")

    def command(self, key: str) -> Action | None:
        """The command of a key, None where it has none."""
        return self._command.get(key)

    def shown(self, id: str) -> str:
        """The first key of a command as the dealer reads it, empty where it has none."""
        return key_name(self.keys[id][0]) if self.keys[id] else ""


def _checked(id: str, key: str) -> str:
    tidy = {"=": "equals_sign", "pgdn": "pagedown", "pgup": "pageup"}.get(
        key.lower(), key.lower().replace(" ", "")
    )
    if tidy in _EDITING_KEYS or not _SURE.match(tidy):
        raise ConfigError(
            f"keys.{id}: '{key}' does not reach the program over every line; use F2 to F9, F12, "
            "Tab, PgUp, PgDn, "
            "Insert, arrows, or Ctrl with one of D F G L N O R S T U V X Y Z."
        )
    return tidy
