"""Textual's Linux driver, made to live with whatever bytes come: neither a bad paste nor a sequence
that no terminal should send may end an afternoon's work. And it tells whether all keys that came
were passed on, so that the desk is drawn once for those that came at once."""

from __future__ import annotations

import asyncio
import codecs
import contextlib
import os
import select
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from typing import Any

from textual import events
from textual.drivers.linux_driver import LinuxDriver
from textual.message import Message
from textual.messages import InBandWindowResize

from tagger.ui.terminal.paste_guard import PasteGuard
from tagger.ui.terminal.textual_private import (
    KeyParser,
    app_of,
    key_parser,
    output_of,
    writes_waiting,
)

READ = 4096  # bytes at once
# seconds after which it is looked whether the program has ended, and whether an Escape stands alone
WATCH = 0.1
# Keys that may be on their way to the screen; no hand types so far ahead. More wait in the line,
# which holds up who sends them: thousands of events would take memory, and a stop its turn.
AHEAD = 256
PATIENCE = 20  # times WATCH: a screen that was left meanwhile does not answer


class TerminalDriver(LinuxDriver):
    """Reads keys as UTF-8 and passes over bytes that are none."""

    passed = 0  # keys and other events that were passed on to the app, or are about to be
    _followed = 0  # of them, after which the screen was waited for
    _parser: KeyParser | None = None
    _at_work = False  # the terminal is ours
    _beginning_anew = False  # it is asked for already
    _passing = False  # something is being read, or what was read is being passed on

    def __init__(self, *given: Any, **named: Any) -> None:
        with _own_output():
            super().__init__(*given, **named)
        self._guard = PasteGuard()

    def start_application_mode(self) -> None:
        """Take the terminal, and begin to read keys."""
        self._at_work = True
        super().start_application_mode()  # type: ignore[no-untyped-call]

    def stop_application_mode(self) -> None:
        """Give the terminal back as it was, for a while or for good."""
        self._at_work = False
        super().stop_application_mode()

    def resume_application_mode(self) -> None:
        """Take the terminal again. SIGCONT asks for it, also where nothing was suspended: after
        SIGSTOP, which nobody is told of, or sent by a session's manager."""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:  # the program ends
            return
        if not self._at_work:
            super().resume_application_mode()
        elif not self._beginning_anew:
            # Not amid whatever the signal interrupted, which may hold a lock that is needed.
            self._beginning_anew = True
            loop.call_soon_threadsafe(self._begin_anew)

    def _begin_anew(self) -> None:
        """As after a stop: whoever had the terminal meanwhile may have set it otherwise. The
        threads of before end first; two of them would share the keys, and the one that nobody knows
        of would keep the program from ending."""
        self._beginning_anew = False
        if not self._at_work:  # it was left meanwhile
            return
        self.suspend_application_mode()
        super().resume_application_mode()
        if (app := app_of(self)) is not None:
            app.refresh(layout=True)

    def run_input_thread(self) -> None:
        """Read keys until the program ends; end it where the terminal is gone, also where no signal
        told so."""
        self._parser = key_parser(self)
        if self._parser is None:
            super().run_input_thread()
            return
        decode = codecs.getincrementaldecoder("utf-8")(errors="ignore").decode
        while not self.exit_event.is_set():
            if select.select([self.fileno], [], [], WATCH)[0]:
                self._passing = True  # from now on nobody else sees that bytes wait
                data = self._read()
                if not data:
                    self._terminal_gone()
                    return
                self._pass_on(decode(data))
                self._let_screen_follow()
            if not self._guard.pasting:
                self._parse(lambda parser: parser.tick())
            self._passing = False

    def _let_screen_follow(self) -> None:
        """Wait for the screen where it is many keys behind."""
        if self.passed - self._followed < AHEAD:
            return
        done = threading.Event()
        self.after_keys(lambda: self._behind_screen(done.set))
        for _ in range(PATIENCE):
            if done.wait(WATCH) or self.exit_event.is_set():
                break
        self._followed = self.passed

    def _behind_screen(self, call: Callable[[], None]) -> None:
        """Call when the screen has done what was handed to it."""
        app = app_of(self)
        if app is None or not app.screen_stack:
            call()
        else:
            app.screen.call_later(call)

    def _pass_on(self, text: str) -> None:
        for part in self._guard.parts(text):
            if part.pasted:
                # the old one may have seen the beginning of the paste's marker
                self._parser = key_parser(self)
                self.process_message(events.Paste(part.text))
                continue
            # one by one: what one sequence raises costs no key that came with it
            for char in part.text:
                self._parse(lambda parser, char=char: parser.feed(char))  # type: ignore[misc]

    def _parse(self, ask: Callable[[KeyParser], Iterable[Message]]) -> None:
        """Pass on what the parser makes of it. A sequence that it cannot read is passed over, with
        a new parser: the old one has ended."""
        if self._parser is None:
            return
        try:
            found = list(ask(self._parser))
        except Exception:
            self._parser = key_parser(self)
            return
        for event in found:
            if _is_possible(event):
                self.process_message(event)

    def _terminal_gone(self) -> None:
        if (app := app_of(self)) is not None:
            app.call_later(app.exit)

    def _read(self) -> bytes:
        """What has come; nothing where the terminal is gone."""
        try:
            return os.read(self.fileno, READ)
        except OSError:
            return b""

    def send_message(self, message: Message) -> None:
        """Pass an event on; called from the thread that reads."""
        self.passed += 1
        super().send_message(message)

    def after_keys(self, call: Callable[[], None]) -> None:
        """Call when the app has done, or handed to its screen, what was passed on so far. It takes
        the way of a key: one that is on it is not in the app's queue yet."""
        super().send_message(events.Callback(callback=call))

    @property
    def behind(self) -> bool:
        """Whether the line has not yet taken all that was drawn; what is drawn meanwhile would only
        be late."""
        output = output_of(self)
        if output is None:
            return False
        return writes_waiting(self) > 0 or not select.select([], [output.fileno()], [], 0)[1]

    @property
    def keys_wait(self) -> bool:
        """Whether bytes have come that were not read yet, or keys that were not passed on yet."""
        if self._passing:
            time.sleep(0)  # the thread that reads goes on
        return self._passing or bool(select.select([self.fileno], [], [], 0)[0])


@contextlib.contextmanager
def _own_output() -> Iterator[None]:
    """The driver draws to standard error as it is now. By a descriptor of its own: what libraries
    print to descriptor 2 is turned aside while they are at work."""
    kept = sys.__stderr__
    try:
        own = os.fdopen(os.dup(2), "w", encoding="utf-8", errors="surrogateescape")
    except OSError:  # it is closed
        yield
        return
    sys.__stderr__ = own  # type: ignore[misc]
    try:
        yield
    finally:
        sys.__stderr__ = kept  # type: ignore[misc]


def _is_possible(event: Message) -> bool:
    """Whether a terminal can have meant this: a key that is text. No size, which the system tells
    by a signal."""
    # once a terminal has said that it tells sizes itself, signals would not be heeded any more
    if isinstance(event, (events.Resize, InBandWindowResize)):
        return False
    if isinstance(event, events.Key):
        return not any("\ud800" <= char <= "\udfff" for char in event.character or "")
    return True
