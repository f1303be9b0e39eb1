"""Modes and actions: who has a key, and that each action does one thing."""

from __future__ import annotations

from types import SimpleNamespace

import pytest
from support.quiet_desk import new_session, quiet_desk

from tagger.errors import Refused
from tagger.ui.desk.actions import Actions, Outcome, done
from tagger.ui.desk.hint_entry import HintEntry
from tagger.ui.keys import Action
from tagger.ui.message_line import MessageLine
from tagger.ui.modes import Mode, ModeStack, bound


class Noting(Mode[Action]):
    """Takes some keys, and notes all that it is asked about."""

    def __init__(self, name: str, takes: str, asked: list[str], css: str = "") -> None:
        self._name, self._takes, self._asked = name, takes, asked
        self.css = css

    def on_key(self, event, action) -> bool:
        self._asked.append(self._name)
        return event.key in self._takes

    def draw(self) -> None:
        pass


class Classes:
    """The classes of a screen."""

    def __init__(self) -> None:
        self.classes: set[str] = set()

    def add_class(self, name: str) -> None:
        self.classes.add(name)

    def remove_class(self, name: str) -> None:
        self.classes.discard(name)


def key(name: str) -> SimpleNamespace:
    return SimpleNamespace(key=name)


def test_a_key_is_the_first_mode_s_that_takes_it():
    asked: list[str] = []
    stack = ModeStack(Classes())
    for mode in (Noting("tagging", "abc", asked), Noting("list", "ab", asked)):
        stack.push(mode)
    stack.push(Noting("help", "a", asked))
    stack.on_key(key("a"), None)
    stack.on_key(key("b"), None)
    stack.on_key(key("c"), None)
    assert asked == ["help", "help", "list", "help", "list", "tagging"]


def test_a_mode_that_closes_itself_leaves_the_key_to_the_one_below():
    asked: list[str] = []
    screen = Classes()
    stack = ModeStack(screen)
    below = Noting("tagging", "x", asked)
    stack.push(below)

    class Closing(Noting):
        def on_key(self, event, action) -> bool:
            stack.close(self)
            return super().on_key(event, action)

    stack.push(Closing("help", "", asked, css="-manual"))
    assert screen.classes == {"-manual"}
    stack.on_key(key("x"), None)
    assert asked == ["help", "tagging"]
    assert stack.front is below
    assert screen.classes == set()


def test_an_action_without_a_deed_or_with_two_cannot_be_bound():
    table = dict.fromkeys(Action, Outcome)
    assert bound(Action, table) == table
    del table[Action.COPY]
    with pytest.raises(ValueError, match="COPY"):
        bound(Action, table)
    with pytest.raises(ValueError, match="TAKE"):
        bound(Action, table, {Action.COPY: Outcome, Action.TAKE: Outcome})


def test_every_action_of_the_desk_is_bound_once():
    """A desk that is made has asked `bound`; it could not be made otherwise."""
    app = quiet_desk(new_session())
    app.get_default_screen()


def test_what_goes_wrong_is_said_and_the_hint_stays():
    hint, message = HintEntry(), MessageLine()
    actions = Actions(hint, message)

    def refuse() -> Outcome:
        raise Refused("Not that.")

    deeds = {Action.TAKE: refuse, Action.UNDO: lambda: done("Undone."), Action.LOOK: Outcome}
    actions.bind({action: lambda: Outcome(None) for action in Action if action not in deeds}, deeds)
    hint.type("gold")
    actions.run(Action.TAKE)
    assert (message.text, message.alarm, hint.text) == ("Not that.", True, "gold")
    actions.run(Action.FLIP)
    assert (message.text, hint.text) == ("Not that.", "gold")
    actions.run(Action.UNDO)
    assert (message.text, message.alarm, hint.text) == ("Undone.", False, "")
