"""What the keys mean now: a stack of modes, the one in front asked first (the state pattern, as a
pushdown automaton). A mode takes a key, or leaves it to the one below."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Mapping, Sequence
from typing import ClassVar, Generic, TypeVar

from textual import events
from textual.screen import Screen

ActionT = TypeVar("ActionT")
"""What the screen's keys do: the desk and the find screen have a list of actions each."""


HandlerT = TypeVar("HandlerT")


def bound(
    actions: Iterable[ActionT], *tables: Mapping[ActionT, HandlerT]
) -> dict[ActionT, HandlerT]:
    """What each action does, taken from these tables. Raises ValueError where one is in none of
    them, or in two: a key that does nothing, or one of two things, is a slip of whoever wrote it.
    """
    given = [action for table in tables for action in table]
    wrong = [str(action) for action in actions if given.count(action) != 1]
    if wrong:
        raise ValueError(f"bound not at all, or twice: {', '.join(wrong)}")
    return {action: handler for table in tables for action, handler in table.items()}


class Mode(ABC, Generic[ActionT]):
    """One meaning of the keys, and what the screen shows while it is in front."""

    css: ClassVar[str] = ""
    """The class that the screen has while this mode is open; its style says which boxes are
    seen."""

    topic: ClassVar[str] = ""
    """The page of `tagger help` about what is done here."""

    @property
    def keys_here(self) -> Sequence[tuple[ActionT | str, str]]:
        """The keys of use here with what they do, for the help; empty where that hangs on the
        card in front."""
        return ()

    @abstractmethod
    def on_key(self, event: events.Key, action: ActionT | None) -> bool:
        """Do what a key does here; `action` is what it is for, None where it is typed or edits.
        Returns whether it is done with: otherwise the mode below has it, also where this one has
        closed itself."""

    def on_text(self, text: str) -> bool:
        """Take pasted text, a line of it; returns as `on_key` does."""
        return False

    @abstractmethod
    def draw(self) -> None:
        """Draw the screen as it is in this mode."""

    @property
    def pictured(self) -> bool:
        """Whether pictures of a card are seen."""
        return True


class ModeStack(Generic[ActionT]):
    """The modes that are open, the one in front last. The first one is there from the beginning to
    the end and takes every key."""

    def __init__(self, screen: Screen[None]) -> None:
        self._screen = screen
        self._modes: list[Mode[ActionT]] = []

    @property
    def front(self) -> Mode[ActionT]:
        """The mode that is asked first."""
        return self._modes[-1]

    @property
    def only_first(self) -> bool:
        """Whether no mode but the first one is open."""
        return len(self._modes) == 1

    def push(self, mode: Mode[ActionT]) -> None:
        """Open a mode before the others."""
        self._modes.append(mode)
        # By the screen's style: boxes that are not seen are not laid out either.
        if mode.css:
            self._screen.add_class(mode.css)

    def close(self, mode: Mode[ActionT]) -> None:
        """Close an open mode."""
        self._modes.remove(mode)
        if mode.css:
            self._screen.remove_class(mode.css)

    def on_key(self, event: events.Key, action: ActionT | None) -> None:
        """Give a key to the first mode that takes it."""
        # A copy: a mode may close itself and leave the key to the one below.
        for mode in reversed(self._modes.copy()):
            if mode.on_key(event, action):
                return

    def on_text(self, text: str) -> None:
        """Give a line of pasted text to the first mode that takes it."""
        # Pasted text is no key: it closes nothing by itself, unless a mode says so.
        for mode in reversed(self._modes.copy()):
            if mode.on_text(text):
                return
