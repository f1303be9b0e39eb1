"""The find screen's keys that mark the card at the cursor, and those of its help."""

from __future__ import annotations

from collections.abc import Callable

from textual.screen import Screen

from tagger.errors import Refused, TaggerError
from tagger.ui.desk.layout import LINES
from tagger.ui.find import lines
from tagger.ui.find.hit_list import HitList, choices
from tagger.ui.find.ports import Copy, Finder
from tagger.ui.keys import Keymap
from tagger.ui.widgets.line_box import LineBox


class FindMarks(Screen[None]):
    """The part of the find screen that has these keys."""

    _finder: Finder
    _found: HitList
    _keymap: Keymap
    _boxes: dict[str, LineBox]
    _say: Callable[..., None]
    _look_again: Callable[[], None]

    _choice: str | None = (
        None  # what Enter would mark the card at the cursor as; None while nothing is asked
    )
    _marked = 0  # how many marks can be taken back
    _help_top = 0

    def _here(self) -> Copy:
        """The copy at the cursor. Raises Refused where there is none."""
        here = self._found.here
        if here is None:
            raise Refused("There is no card in the list; type another word.")
        return here

    def _ask_mark(self) -> None:
        """Ask what the card at the cursor is to be marked as."""
        self._choice = choices(self._here())[0]
        self._say("")

    def _decide(self, id: str) -> bool:
        """A key while it is asked what the card is marked as; returns whether it was for that. Any
        other ends it."""
        copy, gone = self._found.here, self._choice
        self._choice = None
        if copy is None or gone is None or id not in ("take", "mark"):
            return False
        if id == "mark":
            left = choices(copy)[choices(copy).index(gone) + 1 :]
            self._choice = left[0] if left else None
            return True
        try:
            said = self._finder.mark(copy, gone)
        except TaggerError as error:
            self._look_again()
            self._say(error.message, alarm=True)
        else:
            self._marked += 1
            self._after(f"{said} {self._keymap.shown('undo')} takes it back.")
        return True

    def _after(self, said: str) -> None:
        self._look_again()
        self._say(said)

    def _undo(self) -> None:
        said = self._finder.undo()
        self._marked -= 1
        self._after(said)

    # The help

    @property
    def _rows(self) -> int:
        """Rows of the list, its head with them."""
        return max(2, self.app.size.height - LINES)

    def _turn_help(self, key: str, id: str) -> bool:
        """Scroll the help, or close it; a key that is for neither closes it and does its own
        work."""
        page = self._rows
        by = {"down": 1, "up": -1, "pagedown": page, "pageup": -page}.get(key)
        if by is not None:
            self._help_top = max(0, self._help_top + by)
            return True
        self.remove_class("-manual")
        return id in ("help", "take")

    def _show_help(self, width: int) -> None:
        shown = lines.help_of(self._keymap, width)
        self._help_top = min(self._help_top, max(0, len(shown) - self._rows))
        self._boxes["manual"].show(shown[self._help_top :])
