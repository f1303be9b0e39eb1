"""The lot as a list: a filter, cards that are chosen, and one change to many of them."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING

from rich.text import Text
from textual import events
from textual.timer import Timer

from tagger.core.model.counted import counted
from tagger.core.overview.bulk import enter_plan
from tagger.errors import Refused, TaggerError
from tagger.ui import theme
from tagger.ui.bottom_lines import hint, keys_among
from tagger.ui.desk import status_lines
from tagger.ui.desk.layout import LINES
from tagger.ui.desk.modes import overview_lines
from tagger.ui.desk.modes.overview_list import Overview
from tagger.ui.desk.modes.prompts import ASKED, BY_ACTION, KEYS, Prompt
from tagger.ui.hint_line import HintLine
from tagger.ui.keys import Action
from tagger.ui.modes import Mode
from tagger.ui.wording import wrapped

if TYPE_CHECKING:
    from tagger.ui.desk.parts import DeskParts

PREPARE = 0.15  # seconds without a key after which a change that is shown is made ready for Enter
PICTURE = 50  # cells for the picture beside the list, the desk's CSS has them too
WIDE = 160  # cells of the screen from which there is one
# What is for the whole screen; all else that is for one card does nothing in the list.
STAYS = frozenset((Action.HELP, Action.REDRAW, Action.LEAVE))
STRETCH = {"shift+down": 1, "shift+up": -1}


@contextmanager
def _uncollected() -> Iterator[None]:
    """Nothing is looked through for garbage while ten thousand cards are made: it would take longer
    than they do."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        if was:
            gc.enable()


class OverviewMode(Mode[Action]):
    """The hint line is the filter while the list is open, and the answer while something is asked;
    the hint that was typed before is there again when it is closed."""

    css = "-overview"
    keys_here = KEYS
    topic = "overview"

    def __init__(self, parts: DeskParts) -> None:
        self._parts = parts
        self._desk_line = self._filter_line = parts.hint.line
        self._preparing: Timer | None = None
        with _uncollected():
            self._overview = Overview(parts.session)
        self._in_list: Mapping[Action, Callable[[], str]] = {
            Action.TAKE: self._go_to_card,
            Action.OVERVIEW: self._close,
            Action.CHOOSE: self._choose,
            Action.DROP: self._choose_none,
            Action.UNDO: lambda: self._turn_back(parts.session.undo),
            Action.REDO: lambda: self._turn_back(parts.session.redo),
            Action.NEXT_UNTAGGED: lambda: self._next_untagged(1),
            Action.PREVIOUS_UNTAGGED: lambda: self._next_untagged(-1),
            Action.CARRY: lambda: self._ask(Prompt.CHANGE),
            Action.SET_ASIDE: lambda: self._ask(Prompt.ASIDE),
            Action.CLEAR: lambda: self._ask(Prompt.CLEAR),
        }

    @property
    def pictured(self) -> bool:
        """Whether a picture stands beside the list."""
        return self._parts.size.width >= WIDE

    # Keys

    def on_key(self, event: events.Key, action: Action | None) -> bool:
        """Do what a key does in the list. Typing and what is for the whole screen is left to the
        desk."""
        if action in STAYS:
            return False
        filtering = self._overview.ask is Prompt.FILTER
        if filtering:
            self._overview.narrow(self._parts.hint.text)
        answer = self._listed if filtering else self._answered
        with self._parts.message.complaints():
            return self._moved(event.key, filtering) or answer(event.key, action)
        return True

    @property
    def _rows(self) -> int:
        """Cards on the screen; the list has one line more."""
        return max(1, self._parts.size.height - LINES - 1)

    def _moved(self, key: str, filtering: bool) -> bool:
        rows, every = self._rows, len(self._overview.list)
        steps = {"down": 1, "up": -1, "pagedown": rows, "pageup": -rows}
        if filtering:
            # In an answer these two move in the line.
            steps |= {"home": -every, "end": every}
        if key not in steps:
            return False
        self._overview.move(steps[key])
        self._parts.message.say("")
        return True

    def _listed(self, key: str, action: Action | None) -> bool:
        """A key of the list itself."""
        typed, said = self._parts.hint.text, ""
        if key in STRETCH:
            self._overview.stretch(STRETCH[key])
        elif key == "equals_sign" and (not typed or typed.endswith(" ")):
            # Elsewhere the sign belongs to a word of the filter: c=nm.
            self._overview.next_double()
        elif action is None:
            return False
        elif action in self._in_list:
            said = self._in_list[action]()
        else:
            take = self._parts.keys.shown(Action.TAKE)
            raise Refused(f"That key works on one card: {take} goes to it.")
        self._parts.message.say(said)
        return True

    def _answered(self, key: str, action: Action | None) -> bool:
        """A key while something is asked."""
        keys, said = self._parts.keys, ""
        if action is Action.TAKE:
            said = self._enter()
        elif action is Action.OVERVIEW or action in BY_ACTION:
            self._end()
        elif action is not None:
            take, back = keys.shown(Action.TAKE), keys.shown(Action.OVERVIEW)
            raise Refused(f"{take} does it, {back} cancels.")
        else:
            self._parts.message.say("")
            return self._overview.ask is Prompt.CLEAR  # nothing is to be typed
        self._parts.message.say(said)
        return True

    def _enter(self) -> str:
        with _uncollected():
            said = enter_plan(self._parts.session, self._overview.plan(self._parts.hint.text))
        self._end()
        self._overview.changed()
        return said

    def _ask(self, prompt: Prompt) -> str:
        self._overview.begin(prompt)
        self._filter_line, self._parts.hint.line = self._parts.hint.line, HintLine()
        return ""

    def _end(self) -> None:
        self._overview.end()
        # The cards that were meant are those of the filter: it must be seen again.
        self._parts.hint.line = self._filter_line

    def _choose(self) -> str:
        self._overview.choose()
        return ""

    def _choose_none(self) -> str:
        return f"{counted(self._overview.let_go(), 'card')} deselected."

    def _next_untagged(self, direction: int) -> str:
        self._overview.next_untagged(direction)
        return ""

    def _turn_back(self, turn: Callable[[], str]) -> str:
        with _uncollected():
            said = turn()
        self._overview.changed()
        return said

    def _go_to_card(self) -> str:
        here = self._overview.here
        if here is None:
            raise Refused("No card in the list to go to.")
        self._close()
        # The hint was for the card that the dealer came from.
        self._parts.hint.line = HintLine()
        return self._parts.session.go(here.position)

    def _close(self) -> str:
        self._parts.modes.close(self)
        self._parts.previews.listed = None
        self._parts.hint.line = self._desk_line
        return ""

    # Drawing

    def draw(self) -> None:
        """The list: only the lines that are seen are made."""
        parts, overview, boxes = self._parts, self._overview, self._parts.boxes
        width, filtering = parts.size.width, overview.ask is Prompt.FILTER
        if filtering:
            overview.narrow(parts.hint.text)
        boxes.status.show([status_lines.status(parts.session, parts.lot, width)])
        self._place_picture()
        self._draw_list()
        change, undo = parts.session.last_change(), parts.keys.shown(Action.UNDO)
        about = overview_lines.about(overview, undo, change, width)
        said = parts.message.lines(width)
        if not filtering and not parts.message.alarm:
            said = self._what_enter_does(width)
        parts.draw_said(about, said)
        ask = overview.ask
        boxes.hint.show([hint(parts.hint.line, width, ask.empty, ask.prompt)])
        boxes.keys.show([keys_among(KEYS if filtering else ASKED, parts.keys, width)])

    def _place_picture(self) -> None:
        previews, here = self._parts.previews, self._overview.here
        previews.beside.display = self.pictured
        previews.listed = None
        if self.pictured and here is not None:
            previews.listed = self._parts.session.view.card_at(here.position)

    def _draw_list(self) -> None:
        overview, scale = self._overview, self._parts.session.scale
        across = self._parts.size.width - PICTURE * self.pictured
        shown = overview_lines.card_lines(overview, self._rows, across, scale)
        self._parts.boxes.list.show([overview_lines.head(overview, across), *shown])

    def _what_enter_does(self, width: int) -> list[Text]:
        """What Enter would do, or why it does nothing."""
        try:
            plan = self._overview.plan(self._parts.hint.text)
        except TaggerError as error:
            return wrapped(error.message, width, theme.RUST)
        if self._preparing is not None:
            self._preparing.stop()
        # Ten thousand marks take a moment, which Enter need not take.
        self._preparing = self._parts.screen.set_timer(PREPARE, lambda: len(plan.markings))
        return wrapped(plan.told, width, theme.SEA)
