"""Runs a screen in a terminal, and leaves the terminal as it was, whatever ends the program."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import traceback
from collections.abc import Callable
from pathlib import Path

# read once, when textual is imported: half the time from key to screen
os.environ.setdefault("TEXTUAL_FPS", "240")
os.environ.setdefault("TEXTUAL_ANIMATIONS", "none")

from textual.app import App
from textual.driver import Driver

from tagger.errors import TaggerError, UsageError
from tagger.preview.render_settings import RenderSettings, render_settings
from tagger.preview.terminal_capabilities import Depth
from tagger.ui.desk.screen import DeskScreen

if sys.platform != "win32":
    from tagger.ui.terminal.driver import TerminalDriver


class TerminalApp(App[None], inherit_bindings=False):
    """What each of our screens in a terminal needs: its driver, its colours, an end in order."""

    ENABLE_COMMAND_PALETTE = False
    CSS = "App { background: #11161a; }"

    def __init__(self, drawing: str, colours: Depth | None, report: Path | None) -> None:
        """`report`: the file that an error of the program itself is noted in."""
        super().__init__(driver_class=_driver())
        self._drawing, self._colours, self._report = drawing, colours, report
        self.failure = ""

    @property
    def manner(self) -> RenderSettings:
        """How previews are drawn in this terminal."""
        return render_settings(self._drawing, self._depth())

    def on_mount(self) -> None:
        """Leave in order when the line drops or the system says so."""
        loop = asyncio.get_running_loop()
        for name in (signal.SIGHUP, signal.SIGTERM):
            loop.add_signal_handler(name, self.exit)

    def _depth(self) -> Depth:
        if self.no_color:
            return Depth.GREY
        system = self.console.color_system
        return self._colours or {"truecolor": Depth.TRUE, "256": Depth.C256}.get(
            system or "", Depth.C16
        )

    def _handle_exception(self, error: Exception) -> None:
        """An error of the program itself: noted in a file, told in one sentence, no traceback on
        the screen."""
        if not self.failure:
            self.failure = "tagger stopped on an error of its own. All tags are saved."
            if self._report is not None:
                try:
                    self._report.parent.mkdir(parents=True, exist_ok=True)
                    self._report.write_text(
                        "".join(traceback.format_exception(error)),
                        encoding="utf-8",
                        errors="replace",
                    )
                    self.failure += f" Please send {self._report} to its makers."
                except OSError:
                    pass
        self.exit(return_code=3)


class TaggerApp(TerminalApp, inherit_bindings=False):
    """One lot in the terminal."""

    def __init__(
        self,
        desk: Callable[[RenderSettings], DeskScreen],
        drawing: str,
        colours: Depth | None = None,
        report: Path | None = None,
    ) -> None:
        """`desk` makes the screen, once it is known how previews are drawn."""
        super().__init__(drawing, colours, report)
        self._desk = desk

    def get_default_screen(self) -> DeskScreen:
        """The desk is all there is."""
        return self._desk(self.manner)


def _driver() -> type[Driver] | None:
    return TerminalDriver if sys.platform != "win32" else None


def check_terminal() -> None:
    """Raises UsageError where there is no terminal that a screen can be drawn in."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise UsageError(
            "This needs a terminal; for scripts there are tagger status, match and export."
        )
    if os.environ.get("TERM", "") in ("", "dumb", "unknown"):
        raise UsageError(
            "This terminal cannot place text (TERM is dumb or unset); set TERM to xterm-256color, "
            "say."
        )


def run(app: TerminalApp) -> None:
    """Show the screen until it is left. Raises TaggerError for an error of the program itself."""
    # seconds: a key waits no longer than that for a thread that draws ahead
    sys.setswitchinterval(0.001)
    app.run(mouse=False)
    if app.failure:
        raise TaggerError(app.failure)
