"""Runs a screen in a terminal, and leaves the terminal as it was, whatever ends the program."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
import traceback
from pathlib import Path

from textual.driver import Driver

from tagger.errors import Crashed, UsageError
from tagger.preview.render_settings import RenderSettings, render_settings
from tagger.preview.terminal_capabilities import Depth
from tagger.ui.terminal.textual_private import ErrorCatchingApp

if sys.platform != "win32":
    from tagger.ui.terminal.driver import TerminalDriver


# Ctrl+C is a key on a screen; as a signal it comes from another program.
_STOPS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)

# What is told of a terminal, by Rich's names; any other one has sixteen colours at least.
_DEPTHS = {"truecolor": Depth.TRUE, "256": Depth.C256}


class TerminalApp(ErrorCatchingApp, inherit_bindings=False):
    """What each of our screens in a terminal needs: its driver, its colours, an end in order."""

    ENABLE_COMMAND_PALETTE = False
    CSS = "App { background: #11161a; }"

    def __init__(self, drawing: str, colours: Depth | None, report: Path | None) -> None:
        """`report`: the file that an error of the program itself is noted in."""
        super().__init__(driver_class=_driver())
        self._drawing, self._colours, self._report = drawing, colours, report
        self.failure = ""
        self._stopped = False

    @property
    def manner(self) -> RenderSettings:
        """How previews are drawn in this terminal."""
        return render_settings(self._drawing, self._depth())

    def on_mount(self) -> None:
        """Leave in order when the line drops or the system says so."""
        loop = asyncio.get_running_loop()
        for number in _STOPS:
            loop.add_signal_handler(number, self.exit)
        if self._stopped:
            self.exit()

    def stop_soon(self, *_: object) -> None:
        """Leave as soon as the screen stands: to break off while it is made would leave the
        terminal half set."""
        self._stopped = True

    def _depth(self) -> Depth:
        if self.no_color:
            return Depth.GREY
        return self._colours or _DEPTHS.get(self.console.color_system or "", Depth.C16)

    def failed(self, error: Exception) -> None:
        """An error of the program itself: noted in a file, told in one sentence, no traceback on
        the screen."""
        # The first one is the cause; those that follow come of it.
        if not self.failure:
            self.failure = "tagger crashed; all tags are saved."
            if self._report is not None and _noted(error, self._report):
                self.failure += f" Please report it and attach {self._report}."
        self.exit(return_code=3)


def _noted(error: Exception, report: Path) -> bool:
    """Whether the error could be written into the file."""
    told = "".join(traceback.format_exception(error))
    try:
        report.parent.mkdir(parents=True, exist_ok=True)
        report.write_text(told, encoding="utf-8", errors="replace")
    except OSError:
        return False
    return True


def _driver() -> type[Driver] | None:
    return TerminalDriver if sys.platform != "win32" else None


def check_terminal() -> None:
    """Raises UsageError where there is no terminal that a screen can be drawn in."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise UsageError(
            "tagger needs a terminal here; in scripts, use tagger status, match or export."
        )
    if os.environ.get("TERM", "") in ("", "dumb", "unknown"):
        raise UsageError(
            "This terminal is not supported (TERM is dumb or unset); try TERM=xterm-256color."
        )


def run(app: TerminalApp) -> None:
    """Show the screen until it is left. Raises Crashed for an error of the program itself."""
    # seconds: a key waits no longer than that for a thread that draws ahead
    sys.setswitchinterval(0.001)
    # Without the mouse the terminal's own selection works: text is copied from the screen.
    before = {number: signal.getsignal(number) for number in _STOPS}
    try:
        for number in _STOPS:
            signal.signal(number, app.stop_soon)
        app.run(mouse=False)
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
    if app.failure:
        raise Crashed(app.failure)
