"""The desk's keys for the lot as a list: a filter, cards that are chosen, and one change to many of
them."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from rich.text import Text
from textual.screen import Screen
from textual.timer import Timer

from tagger.core.model.text import printable
from tagger.core.session.session import Session
from tagger.errors import Refused, TaggerError
from tagger.ui import theme
from tagger.ui.desk import panel
from tagger.ui.desk.layout import LINES
from tagger.ui.desk.previews import Previews
from tagger.ui.desk.prompts import ASKED, BY_COMMAND, KEYS, Prompt
from tagger.ui.hint_line import HintLine
from tagger.ui.keys import Keymap
from tagger.ui.widgets.line_box import LineBox
from tagger.ui.wording import wrapped

if TYPE_CHECKING:  # loaded when the list is opened: the first card is on the screen before
    from tagger.ui.desk.overview import Overview

PREPARE = 0.15  # seconds without a key after which a change that is shown is made ready for Enter
PICTURE = 50  # cells for the picture beside the list, the desk's CSS has them too
WIDE = 160  # cells of the screen from which there is one
_STAYS = ("help", "redraw", "leave")

Done = tuple[str | None, bool]


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


class OverviewKeys(Screen[None]):
    """The part of the desk that has these keys."""

    _session: Session
    _line: HintLine
    _keymap: Keymap
    _boxes: dict[str, LineBox]
    _previews: Previews
    _overview: Overview  # made when the list is opened
    _listing = False
    _lot: str
    _message: str
    _alarm: bool
    _say: Callable[..., None]

    # the hint that was typed when the list was opened, and the filter while something is asked
    _desk_line = HintLine()
    _filter_line = HintLine()
    _preparing: Timer | None = None

    def _do_overview(self) -> Done:
        from tagger.ui.desk.overview import Overview

        self._desk_line = self._line
        with _uncollected():
            self._overview = Overview(self._session)
        self._listing = True
        self.add_class("-overview")
        return "", False

    def _do_choose(self) -> Done:
        raise Refused(f"Cards are chosen in the overview, {self._keymap.shown('overview')}.")

    def _turn_overview(self, key: str, id: str) -> bool:
        """Do what a key does in the list. Typing and what is for the whole screen is left to the
        desk; a command of the desk that is for one card does nothing here."""
        if id in _STAYS:
            return False
        overview = self._overview
        if overview.ask is Prompt.FILTER:
            overview.narrow(self._line.text)
        try:
            return self._moved(key, id) or self._asked(key, id)
        except TaggerError as error:
            self._say(error.message, alarm=True)
            return True

    @property
    def _pictured(self) -> bool:
        """Whether a picture stands beside the list."""
        return self._listing and self.app.size.width >= WIDE

    def _where(self) -> int:
        """The card that is looked at: in front of the dealer, or at the cursor of the list."""
        here = self._overview.here if self._listing else None
        return here.position if here is not None else self._session.desk.position

    @property
    def _rows(self) -> int:
        """Cards on the screen; the list has one line more."""
        return max(1, self.app.size.height - LINES - 1)

    def _moved(self, key: str, id: str) -> bool:
        overview = self._overview
        rows = self._rows
        steps = {"down": 1, "up": -1, "pagedown": rows, "pageup": -rows}
        if overview.ask is Prompt.FILTER:
            steps |= {"home": -len(overview.list), "end": len(overview.list)}
        if key not in steps:
            return False
        overview.move(steps[key])
        self._say("")
        return True

    def _asked(self, key: str, id: str) -> bool:
        """Keys while something is asked, and those of the list itself."""
        overview = self._overview
        if overview.ask is Prompt.FILTER:
            return self._listed(key, id)
        if id == "take":
            from tagger.core.overview.bulk import enter_plan

            with _uncollected():
                said = enter_plan(self._session, overview.plan(self._line.text))
            self._end()
            overview.changed()
            self._say(said)
        elif id == "overview" or id in BY_COMMAND:
            self._end()
            self._say("")
        elif id:
            raise Refused(
                f"{self._keymap.shown('take')} does it, {self._keymap.shown('overview')} goes back."
            )
        else:
            self._say("")
            return overview.ask is Prompt.CLEAR  # nothing is to be typed
        return True

    def _listed(self, key: str, id: str) -> bool:
        overview, typed = self._overview, self._line.text
        if key in ("shift+down", "shift+up"):
            overview.stretch(1 if key == "shift+down" else -1)
        elif key == "equals_sign" and (not typed or typed.endswith(" ")):
            overview.next_double()
        elif id == "take":
            self._go_from_overview()
        elif id == "overview":
            self._close_overview()
        elif id in BY_COMMAND:
            overview.begin(BY_COMMAND[id])
            self._filter_line, self._line = self._line, HintLine()
        elif id == "choose":
            overview.choose()
        elif id == "drop":
            many = overview.let_go()
            self._say(f"{many:,} chosen before, none now.")
            return True
        elif id in ("undo", "redo"):
            with _uncollected():
                said = self._session.undo() if id == "undo" else self._session.redo()
            overview.changed()
            self._say(said)
            return True
        elif id in ("next_untagged", "previous_untagged"):
            overview.next_untagged(1 if id == "next_untagged" else -1)
        elif id:
            raise Refused(f"That is for one card: {self._keymap.shown('take')} goes to it.")
        else:
            return False
        self._say("")
        return True

    def _go_from_overview(self) -> None:
        here = self._overview.here
        if here is None:
            raise Refused("There is no card in the list to go to.")
        self._close_overview()
        self._line = HintLine()
        self._session.go(here.position)

    def _close_overview(self) -> None:
        self._listing = False
        self._previews.listed = None
        self._line = self._desk_line
        self.remove_class("-overview")

    def _end(self) -> None:
        self._overview.end()
        self._line = self._filter_line

    def _show_overview(self) -> None:
        """Draw the list: only the lines that are seen are made."""
        from tagger.ui.desk import overview_lines

        overview, session, keys, width = (
            self._overview,
            self._session,
            self._keymap,
            self.app.size.width,
        )
        ask = overview.ask
        if ask is Prompt.FILTER:
            overview.narrow(self._line.text)
        boxes = self._boxes
        boxes["status"].show([panel.status(session, self._lot, width)])
        here = overview.here
        self._previews.beside.display = self._pictured
        self._previews.listed = None
        if self._pictured and here is not None:
            self._previews.listed = session.card_at(here.position)
        across = width - (PICTURE if self._pictured else 0)
        widths = overview_lines.columns(across, len(overview.cards))
        page = overview.page(self._rows)
        shown = [overview_lines.card_line(overview, place, widths, session.scale) for place in page]
        boxes["list"].show([overview_lines.head(overview, across), *shown])
        about = overview_lines.about(overview, keys.shown("undo"), session.last_change(), width)
        said = [Text(f" {printable(self._message)}", theme.RUST if self._alarm else theme.SEA)]
        if ask is not Prompt.FILTER and not self._alarm:
            about, *said = self._told(width)
        boxes["was"].show([about])
        boxes["message"].show(said[:1])
        boxes["hint"].show([panel.hint(self._line, width, ask.prompt, ask.empty)])
        among = KEYS if ask is Prompt.FILTER else ASKED
        boxes["keys"].show([panel.keys_among(among, keys, width)])

    def _told(self, width: int) -> list[Text]:
        """What Enter would do, or why it does nothing."""
        try:
            plan = self._overview.plan(self._line.text)
        except TaggerError as error:
            return wrapped(error.message, width, theme.RUST)
        if self._preparing is not None:
            self._preparing.stop()
        self._preparing = self.set_timer(PREPARE, lambda: len(plan.markings))
        return wrapped(plan.told, width, theme.SEA)
