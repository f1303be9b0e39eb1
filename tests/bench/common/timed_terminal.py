"""A terminal that measures: what the program sends is stamped as it comes, and read only after the
burst has ended.

Reading a screen takes longer than drawing one, and would be measured with it; so while bytes come
they are only kept, each piece with its time and the CPU time that the program had used by then."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from support.terminal import Terminal

QUIET = 0.05  # seconds without a byte after which a burst has ended
BLOCKS = frozenset("▀▄█")
ENTER, CLEAR, LEAVE = "\r", "\x0b", "\x18"


@dataclass(frozen=True)
class Piece:
    """Bytes of one read, the time of it and the program's CPU time until then, in seconds."""

    at: float
    cpu: float
    data: bytes


@dataclass(frozen=True)
class Sides:
    """Where the previews and the panel stand on the screen: their first columns."""

    front: int
    back: int
    panel: int


class NotMeasured(Exception):
    """The program did not do what was to be measured."""


def cpu_seconds(pid: int) -> float:
    """CPU time of all threads of a process, by its clock: see clock_getcpuclockid(3) and the
    kernel's include/linux/posix-timers.h for the clock's number."""
    return time.clock_gettime((~pid << 3) | 2)


class TimedTerminal(Terminal):
    """A program in a terminal, its output stamped. Screen and text are brought up to date when they
    are looked at."""

    def __init__(
        self,
        argv: Sequence[str],
        env: Mapping[str, str],
        columns: int = 120,
        rows: int = 40,
        cwd: Path | None = None,
    ) -> None:
        self.waiting: list[Piece] = []
        super().__init__(argv, columns=columns, rows=rows, cwd=cwd, env=env)

    def _read(self) -> bool:
        data = self._received()
        if not data:
            return False
        at = time.perf_counter()
        try:
            cpu = cpu_seconds(self.pid)
        except OSError:  # it is gone
            cpu = 0.0
        self.bytes_out += len(data)
        self.raw += data
        self.waiting.append(Piece(at, cpu, data))
        return True

    def replay(self) -> Iterator[Piece]:
        """Bring the screen up to date piece by piece; after each the screen stands as the piece
        left it."""
        while self.waiting:
            piece = self.waiting.pop(0)
            self._stream.feed(piece.data)
            yield piece

    def text(self) -> str:
        for _ in self.replay():
            pass
        return super().text()

    def burst(self, quiet: float = QUIET, limit: float = 5.0) -> None:
        """Keep what comes until nothing came for `quiet` seconds after the first byte. Raises
        NotMeasured."""
        end = time.perf_counter() + limit
        start = self.bytes_out
        while time.perf_counter() < end:
            before = self.bytes_out
            # Sleep in select until bytes are there; `pump` with a condition that the next byte
            # fulfils does so.
            self.pump(quiet, lambda before=before: self.bytes_out > before)
            if self.bytes_out == before and self.bytes_out > start:
                return
        if self.bytes_out == start:
            raise NotMeasured(f"no byte came within {limit:.0f} s")

    def reached(self, done: Callable[[], bool], quiet: float = QUIET, limit: float = 20.0) -> Piece:
        """Keep bursts until the screen is as `done` wants it; returns the piece that first made it
        so.

        Raises NotMeasured where that does not come.
        """
        end = time.perf_counter() + limit
        while time.perf_counter() < end:
            with contextlib.suppress(NotMeasured):  # told below, with the screen
                self.burst(quiet, max(0.1, end - time.perf_counter()))
            first = None
            for piece in self.replay():
                if first is None and done():
                    first = piece
            if first is not None:
                return first
        raise NotMeasured(f"not shown within {limit:.0f} s:\n{self.text()}")

    def last_change(self, look: Callable[[], object]) -> Piece | None:
        """Bring the screen up to date; the last piece that changed what `look` sees, None where
        none did."""
        before, last = look(), None
        for piece in self.replay():
            after = look()
            if after != before:
                before, last = after, piece
        return last

    # The desk, as it stands on the screen

    def sides(self) -> Sides:
        """Find the previews and the panel by the titles of the previews. Raises NotMeasured."""
        title = self.screen.display[1]
        front, back = title.find(" front "), title.find(" back ")
        if front < 0 or back <= front:
            raise NotMeasured(f"no two previews on the screen:\n{self.text()}")
        return Sides(front, back, back + back - front)

    def cells(self, left: int, right: int) -> tuple[tuple[str, str, str], ...]:
        """Character and colours of each cell of the body between two columns, the title line left
        out."""
        found = []
        for y in range(2, self.screen.lines - 4):
            line = self.screen.buffer[y]
            found += [(line[x].data, line[x].fg, line[x].bg) for x in range(left, right)]
        return tuple(found)

    def panel(self, left: int) -> tuple[str, ...]:
        """The lines of the panel as text."""
        return tuple(line[left:] for line in self.screen.display[1:-4])

    def shows(self, position: int) -> bool:
        """Whether the top line names this card as the one in front."""
        return f"card {position} of " in self.screen.display[0]

    def front_drawn(self) -> bool:
        """Whether the front preview has block cells."""
        title = self.screen.display[1]
        right = title.find(" back ")
        return any(
            char in BLOCKS for line in self.screen.display[2:-4] for char in line[: max(0, right)]
        )

    def leave(self) -> None:
        """Leave the program in order. Raises NotMeasured where it ends with another status than
        0."""
        self.send(LEAVE)
        status = self.wait_exit()
        if status != 0:
            raise NotMeasured(f"the program ended with {status}:\n{self.text()}")
