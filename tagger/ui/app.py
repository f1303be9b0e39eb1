"""Runs the desk in a terminal, and leaves the terminal as it was, whatever ends the program."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import traceback
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("TEXTUAL_FPS", "240")  # read once, when textual is imported: half the time from key to screen
os.environ.setdefault("TEXTUAL_ANIMATIONS", "none")

from textual.app import App
from textual.driver import Driver

from tagger.core.loupe import LoupeMemory
from tagger.core.session import Session
from tagger.errors import TaggerError, UsageError
from tagger.preview.choices import Depth
from tagger.preview.manner import manner
from tagger.preview.pictures import Source
from tagger.ui.desk import Desk, ReadLists
from tagger.ui.keys import Keymap
from tagger.ui.resembling import Memory
from tagger.ui.stands import Stands
from tagger.ui.watch import Work

if sys.platform != "win32":
    from tagger.ui.driver import TerminalDriver


class TaggerApp(App[None], inherit_bindings=False):
    """One lot in the terminal."""

    ENABLE_COMMAND_PALETTE = False
    CSS = "App { background: #11161a; }"

    def __init__(
        self,
        session: Session,
        name: str,
        source: Source,
        read: ReadLists,
        keys: Keymap,
        loupes: tuple[LoupeMemory, LoupeMemory],
        work: Work,
        stands: Stands,
        drawing: str,
        colours: Depth | None = None,
        notice: str = "",
        report: Path | None = None,
        first_time: Callable[[], None] | None = None,
        known: tuple[Memory | None, str] = (None, ""),
    ) -> None:
        """`first_time`: called at the first key where the program is opened for the first time on this machine.
        `known`: what remembers how cards look, and the lot's folder as it is known there."""
        super().__init__(driver_class=_driver())
        self._desk_parts = (session, name, source, read, keys, loupes, work, stands)
        self._drawing, self._colours = drawing, colours
        self._notice = notice
        self._report, self._first_time, self._known = report, first_time, known
        self.failure = ""

    def get_default_screen(self) -> Desk:
        """The desk is all there is."""
        drawn = manner(self._drawing, self._depth())
        return Desk(
            *self._desk_parts, manner=drawn, notice=self._notice, first_time=self._first_time, known=self._known
        )

    def on_mount(self) -> None:
        """Leave in order when the line drops or the system says so."""
        loop = asyncio.get_running_loop()
        for name in (signal.SIGHUP, signal.SIGTERM):
            loop.add_signal_handler(name, self.exit)

    def _depth(self) -> Depth:
        if self.no_color:
            return Depth.GREY
        system = self.console.color_system
        return self._colours or {"truecolor": Depth.TRUE, "256": Depth.C256}.get(system or "", Depth.C16)

    def _handle_exception(self, error: Exception) -> None:
        """An error of the program itself: noted in a file, told in one sentence, no traceback on the screen."""
        if not self.failure:
            self.failure = "tagger stopped on an error of its own. All tags are saved."
            if self._report is not None:
                try:
                    self._report.parent.mkdir(parents=True, exist_ok=True)
                    self._report.write_text(
                        "".join(traceback.format_exception(error)), encoding="utf-8", errors="replace"
                    )
                    self.failure += f" Please send {self._report} to its makers."
                except OSError:
                    pass
        self.exit(return_code=3)


def _driver() -> type[Driver] | None:
    return TerminalDriver if sys.platform != "win32" else None


def check_terminal() -> None:
    """Raises UsageError where there is no terminal that the desk can be drawn in."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise UsageError("This needs a terminal; for scripts there are tagger status, match and export.")
    if os.environ.get("TERM", "") in ("", "dumb", "unknown"):
        raise UsageError("This terminal cannot place text (TERM is dumb or unset); set TERM to xterm-256color, say.")


def run(app: TaggerApp) -> None:
    """Show the desk until it is left. Raises TaggerError for an error of the program itself."""
    sys.setswitchinterval(0.001)  # seconds: a key waits no longer than that for a thread that draws ahead
    app.run(mouse=False)
    if app.failure:
        raise TaggerError(app.failure)
