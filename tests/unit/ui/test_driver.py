"""What reads the keys holds up who sends more of them than the screen can do."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable

from textual.message import Message

from tagger.ui.terminal.driver import AHEAD, READ, TerminalDriver
from tagger.ui.terminal.paste_guard import PasteGuard

SENT = 20_000  # keys, fewer than a pipe holds


class _Line(TerminalDriver):
    """The driver at the end of a pipe. Its screen does nothing until it is let."""

    def __init__(self, fileno: int) -> None:
        self.fileno, self.exit_event = fileno, threading.Event()
        self._guard = PasteGuard()
        self.asked: list[int] = []  # keys passed on, each time the screen was waited for
        self.all_passed = threading.Event()

    def process_message(self, message: Message) -> None:
        self.passed += 1
        if self.passed == SENT:
            self.all_passed.set()

    def after_keys(self, call: Callable[[], None]) -> None:
        self.asked.append(self.passed)
        call()

    def _terminal_gone(self) -> None:
        self.exit_event.set()


def test_keys_wait_in_the_line_while_the_screen_is_far_behind() -> None:
    out, into = os.pipe()
    driver = _Line(out)
    reader = threading.Thread(target=driver.run_input_thread)
    reader.start()
    os.write(into, b"x" * SENT)
    assert driver.all_passed.wait(60)  # none is lost
    os.close(into)
    reader.join(60)
    os.close(out)
    steps = [
        after - before for before, after in zip([0, *driver.asked], driver.asked, strict=False)
    ]
    assert steps
    assert min(steps) >= AHEAD
    assert max(steps) <= AHEAD + READ
