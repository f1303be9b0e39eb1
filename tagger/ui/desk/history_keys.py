"""The desk's keys for second thoughts: going through the history, and through the cards that are in
question."""

from __future__ import annotations

from collections.abc import Callable

from textual.screen import Screen

from tagger.core.session.session import Session
from tagger.errors import Refused
from tagger.ui.desk.history import History
from tagger.ui.desk.layout import LINES
from tagger.ui.keys import Keymap
from tagger.ui.widgets.line_box import LineBox

Done = tuple[str | None, bool]


class HistoryKeys(Screen[None]):
    """The part of the desk that has these keys."""

    _session: Session
    _keymap: Keymap
    _history: History
    _boxes: dict[str, LineBox]
    _say: Callable[..., None]
    _do: Callable[[str], None]
    _message: str

    def _do_history(self) -> Done:
        self._history.open()
        self.add_class("-past")
        return "", False

    def _do_review(self) -> Done:
        return self._session.review.next(), True

    def _turn_history(self, key: str, id: str) -> bool:
        """Do what a key does in the history. Any other key closes it and does its own work."""
        past = self._history
        if id in ("reading_down", "reading_up"):
            past.step(1 if id == "reading_down" else -1)
        elif key in ("pagedown", "pageup"):
            past.turn(1 if key == "pagedown" else -1)
        elif id in ("undo", "redo"):
            self._do(id)
            past.open()
        elif id != "redraw":
            past.shown = False
            self.remove_class("-past")
            self._say("")
            if id == "take":
                self._go_to_change()
            return id in ("take", "history")
        else:
            return False
        return True

    def _go_to_change(self) -> None:
        entry = self._history.here
        try:
            if entry is None or entry.card is None:
                raise Refused(
                    "That card is no longer in the lot." if entry else "Nothing was changed yet."
                )
            self._session.go(entry.card)
            self._say(f"Here it was: {entry.words}.")
        except Refused as error:
            self._say(error.message, alarm=True)

    def _show_history(self) -> None:
        # By the screen's size: the box has none of its own until it has been laid out, which may be
        # after this.
        size = self.app.size
        self._boxes["past"].show(
            self._history.lines(self._keymap, size.width, max(1, size.height - LINES))
        )
