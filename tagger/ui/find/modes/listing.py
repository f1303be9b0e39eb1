"""The mode that is always there: the list and its cursor, and the words that are typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from textual import events

from tagger.ui.find import lines
from tagger.ui.find.keys import FindAction
from tagger.ui.find.modes.help import FindHelpMode
from tagger.ui.find.modes.marking import MarkMode
from tagger.ui.keys import Action
from tagger.ui.modes import Mode, bound

if TYPE_CHECKING:
    from tagger.ui.find.marks import Marks
    from tagger.ui.find.parts import FindParts
    from tagger.ui.find.ports import Copy
    from tagger.ui.hint_line import HintLine

DIRECTIONS = {"up": -1, "down": 1, "pageup": -1, "pagedown": 1}
Handler = Callable[[str], None]
"""Does an action by one of its keys; may raise TaggerError, which is said."""


class Listing(Mode[FindAction]):
    """`open` opens the lot of a card; `arrange` lays the screen out."""

    def __init__(
        self,
        parts: FindParts,
        marks: Marks,
        open: Callable[[Copy], None],
        arrange: Callable[[], None],
    ) -> None:
        self._parts, self._marks, self._open, self._arrange = parts, marks, open, arrange
        handlers: Mapping[FindAction, Handler] = {
            FindAction.TAKE: lambda _: self._open(parts.here()),
            FindAction.UP: lambda key: self._move(DIRECTIONS[key]),
            FindAction.PAGE: lambda key: self._move(DIRECTIONS[key] * self._page),
            FindAction.MARK: lambda _: self._ask(),
            FindAction.FLIP: lambda _: self._flip(),
            FindAction.UNDO: lambda _: marks.undo(),
            FindAction.HELP: lambda _: parts.modes.push(FindHelpMode(parts)),
            FindAction.REDRAW: lambda _: self._redraw(),
            FindAction.LEAVE: lambda _: parts.screen.app.exit(),
        }
        self._handlers = bound(FindAction, handlers)

    def on_key(self, event: events.Key, action: FindAction | None) -> bool:
        """Every key ends here."""
        if action is not None:
            self._run(action, event.key)
        elif (edited := self._parts.typed.line.edited(event.key)) is not None:
            self._edit(edited)
        elif event.character is not None and event.is_printable:
            self.on_text(event.character)
        elif event.key == "ctrl+c":
            # A habit from other programs, where it ends what is done.
            leave = self._parts.keys.shown(Action.LEAVE)
            self._parts.message.say(f"{leave} leaves. Everything is saved already.")
        return True

    def on_text(self, text: str) -> bool:
        """Typing goes into the words that are searched for."""
        self._edit(self._parts.typed.line.typed(text))
        return True

    def _edit(self, line: HintLine) -> None:
        self._parts.typed.line = line
        self._parts.message.say("")

    def _run(self, action: FindAction, key: str) -> None:
        """Do an action; whatever goes wrong is a sentence on the screen."""
        with self._parts.message.complaints():
            self._handlers[action](key)

    @property
    def _page(self) -> int:
        # Less than is seen: one line of the page before stays for the eye to hold on to.
        return max(1, self._parts.rows - 2)

    def _move(self, by: int) -> None:
        self._parts.found.move(by)
        self._parts.message.say("")

    def _ask(self) -> None:
        self._parts.modes.push(MarkMode(self._parts, self._marks, self._parts.here()))
        self._parts.message.say("")

    def _flip(self) -> None:
        self._parts.here()  # without a card there are no pictures to be seen
        self._parts.views.instead = not self._parts.views.instead
        self._arrange()

    def _redraw(self) -> None:
        self._parts.screen.refresh(layout=True)
        # Lots may have changed at other desks: who redraws wants to see what is so.
        self._parts.search.look_again()

    def draw(self) -> None:
        """The frame, and the list."""
        parts = self._parts
        wanted = lines.useful(parts.found, parts.views.instead, self._marks.count > 0)
        parts.draw_frame(lines.key_line(wanted, parts.keys, parts.size.width))
        parts.draw_list()
