"""The desk's keys while the help is open: what is typed narrows the list, arrows scroll it."""

from __future__ import annotations

from collections.abc import Sequence

from rich.text import Text
from textual import events
from textual.screen import Screen

from tagger.core.session.session import Session
from tagger.ui import theme
from tagger.ui.desk.layout import LINES
from tagger.ui.help import help_lines
from tagger.ui.hint_line import HintLine
from tagger.ui.keys import Keymap
from tagger.ui.widgets.line_box import LineBox


class HelpKeys(Screen[None]):
    """The part of the desk that has the help. The hint stays as it is meanwhile."""

    _session: Session
    _keymap: Keymap
    _boxes: dict[str, LineBox]
    _search = HintLine()
    _help_top = 0

    @property
    def _helping(self) -> bool:
        """Whether the help is open."""
        return self.has_class("-manual")

    def _do_help(self) -> tuple[str, bool]:
        self._find(HintLine())
        self.add_class("-manual")
        return "", False

    def _find(self, search: HintLine) -> None:
        self._search, self._help_top = search, 0

    def _turn_help(self, event: events.Key, id: str) -> bool:
        """Narrow, widen, scroll or close the help; the key of another command closes it and does
        its own work."""
        page = self._help_page()
        by = {"pagedown": page, "down": 1, "pageup": -page, "up": -1}.get(event.key)
        if by is not None:
            self._help_top = max(0, self._help_top + by)
        elif event.character is not None and event.is_printable:
            self._find(self._search.typed(event.character))
        elif (edited := self._search.edited(event.key)) is not None:
            self._find(edited)
        else:
            self.remove_class("-manual")
            return id in ("help", "take")
        return True

    def _help_page(self) -> int:
        return max(1, self.app.size.height - LINES - 2)

    def _show_help(self, useful: Sequence[str], width: int) -> None:
        found = help_lines(
            self._keymap, width, useful, self._search.text, self._session.reasons.by_word
        )
        self._help_top = min(self._help_top, max(0, len(found) - self._help_page()))
        further = len(found) - self._help_top > self._help_page()
        said = " Type to narrow the list" + (" · ↓ PgDn more" if further else "")
        head = Text(f"{said} · {self._keymap.shown('help')} closes", theme.DIM)
        self._boxes["manual"].show([head, Text(), *found[self._help_top :]])
