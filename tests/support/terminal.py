"""A program in a real pseudo-terminal: keys in, screen out, as a person at the other end of the
line has it."""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import re
import select
import signal
import struct
import termios
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import TracebackType

from support.emulator import ByteStream, Screen

# Synchronized output: a program asks for it by DECRQM with the private mode 2026, is told that it
# is there, and marks the beginning and the end of each frame
# (https://gist.github.com/christianparpart/d8a62cc1ab659194337d73e399004036).
ASKED, ANSWER, BEGIN, END = b"\x1b[?2026$p", b"\x1b[?2026;2$y", b"\x1b[?2026h", b"\x1b[?2026l"
STILL = ("NO_COLOR", "COLORTERM", "TMUX", "STY", "TEXTUAL", "TEXTUAL_FPS", "COLUMNS", "LINES")


class Terminal:
    """Runs `argv` in a pseudo-terminal of `columns` x `rows` cells. Times are in seconds.

    It takes whole frames, as terminals of today do: what is waited for is looked for between two of
    them."""

    def __init__(
        self,
        argv: Sequence[str],
        *,
        columns: int = 120,
        rows: int = 40,
        cwd: Path | None = None,
        env: Mapping[str, str] | None = None,
    ) -> None:
        self.screen = Screen(columns, rows)
        self._stream = ByteStream(self.screen)
        self.bytes_out = 0
        self.raw = bytearray()
        self.exit_status: int | None = None
        self.started = time.perf_counter()
        around = {name: value for name, value in os.environ.items() if name not in STILL}
        around |= {"TERM": "xterm-256color", "LC_ALL": "C.UTF-8", **(env or {})}
        self.pid, self._fd = pty.fork()
        if self.pid == 0:
            try:
                if cwd is not None:
                    os.chdir(cwd)
                # The size must be there before the program asks for it.
                fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
                os.execvpe(argv[0], list(argv), around)
            finally:
                os._exit(127)

    def __enter__(self) -> Terminal:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def send(self, keys: str | bytes) -> None:
        """Send keys in one packet."""
        data = keys.encode() if isinstance(keys, str) else keys
        while data:
            # A full line must be read from, or program and sender wait for each other.
            self.pump(0)
            ready = select.select([], [self._fd], [], 0.05)[1]
            if ready:
                data = data[os.write(self._fd, data[:512]) :]

    def pump(self, seconds: float, until: Callable[[], bool] | None = None) -> bool:
        """Read the program's output for so long, or until `until` holds. Returns whether it
        held."""
        end = time.perf_counter() + seconds
        while True:
            if until is not None and self._whole() and until():
                return True
            left = end - time.perf_counter()
            if left < 0 or (seconds == 0 and not select.select([self._fd], [], [], 0)[0]):
                return until is None
            if select.select([self._fd], [], [], min(left, 0.02))[0] and not self._read():
                return until is None or until()

    def _whole(self) -> bool:
        """Whether no frame is under way."""
        return self.raw.rfind(BEGIN) <= self.raw.rfind(END)

    def _received(self) -> bytes:
        """What has come; empty where the program is gone."""
        try:
            data = os.read(self._fd, 65536)
        except OSError:
            data = b""
        if not data:
            self._reap(wait=2.0)
        return data

    def _read(self) -> bool:
        data = self._received()
        if not data:
            return False
        before = max(0, len(self.raw) - len(ASKED) + 1)
        self.bytes_out += len(data)
        self.raw += data
        if ASKED in self.raw[before:]:
            os.write(self._fd, ANSWER)
        # a private sequence that pyte does not know; the rest of the screen stands
        with contextlib.suppress(Exception):
            self._stream.feed(data)
        return True

    def settle(self, quiet: float = 0.2, limit: float = 30.0) -> None:
        """Read until nothing has come for `quiet` seconds."""
        end = time.perf_counter() + limit
        while time.perf_counter() < end:
            before = self.bytes_out
            self.pump(quiet)
            if self.bytes_out == before:
                return

    def text(self) -> str:
        """The screen as lines of text."""
        return "\n".join(self.screen.display)

    def wait_for(self, pattern: str, seconds: float = 60.0) -> re.Match[str]:
        """Wait until the screen shows the pattern. Raises AssertionError with the screen where it
        does not."""
        found = self.pump(seconds, lambda: re.search(pattern, self.text()) is not None)
        match = re.search(pattern, self.text())
        if not found or match is None:
            raise AssertionError(f"not on the screen within {seconds} s: {pattern}\n{self.text()}")
        return match

    def wait_gone(self, text: str, seconds: float = 60.0) -> None:
        """Wait until the screen does not show the text any more. Raises AssertionError with the
        screen where it does.

        What came first may have been drawn a moment before what had to go.
        """
        if not self.pump(seconds, lambda: text not in self.text()):
            raise AssertionError(f"still on the screen after {seconds} s: {text}\n{self.text()}")

    def resize(self, columns: int, rows: int) -> None:
        """Change the size of the terminal."""
        self.screen.resize(rows, columns)
        fcntl.ioctl(self._fd, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def signal(self, number: int) -> None:
        """Send the program a signal."""
        with contextlib.suppress(ProcessLookupError):
            os.kill(self.pid, number)

    def drop_line(self) -> None:
        """What sshd does when the connection is lost: the other end of the line is closed, and with
        it comes SIGHUP."""
        os.close(self._fd)
        self._fd = -1
        self._reap(wait=5.0)

    def wait_exit(self, seconds: float = 60.0) -> int:
        """Wait for the program to end. Raises AssertionError where it does not."""
        end = time.perf_counter() + seconds
        while self.exit_status is None and time.perf_counter() < end:
            if self._fd >= 0:
                self.pump(0.05)
            self._reap()
        if self.exit_status is None:
            raise AssertionError(f"still running after {seconds} s:\n{self.text()}")
        # what it said last, however late this process has its turn; at its end this is over at once
        while self._fd >= 0 and select.select([self._fd], [], [], 0.2)[0] and self._read():
            pass
        return self.exit_status

    def close(self) -> None:
        """End the program, whatever it is at."""
        self._reap()
        if self.exit_status is None:
            self.signal(signal.SIGKILL)
            self._reap(wait=5.0)
        if self._fd >= 0:
            os.close(self._fd)
            self._fd = -1

    def _reap(self, wait: float = 0.0) -> None:
        end = time.perf_counter() + wait
        while self.exit_status is None:
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                self.exit_status = os.waitstatus_to_exitcode(status)
            elif time.perf_counter() >= end:
                return
            else:
                time.sleep(0.005)
