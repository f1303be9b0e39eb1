"""Steps through a lot, over a line of any speed."""

from __future__ import annotations

import os
import statistics
import time
from collections.abc import Mapping

from bench.common.place import bare_app
from bench.common.timed_terminal import NotMeasured, Piece, TimedTerminal

NEXT = "\x1b[6~"


class SlowLine(TimedTerminal):
    """Takes so many bytes a second from the program, in pieces as a packet has them; all that comes
    at first."""

    bytes_per_second = 0
    _PACKET = 1400

    def _read(self) -> bool:
        if not self.bytes_per_second:
            return super()._read()
        try:
            data = os.read(self._fd, self._PACKET)
        except OSError:
            data = b""
        if not data:
            return False
        self.bytes_out += len(data)
        self.raw += data
        time.sleep(len(data) / self.bytes_per_second)
        self.waiting.append(Piece(time.perf_counter(), 0.0, data))
        return True


def steps(line: TimedTerminal, count: int) -> list[tuple[float, int]]:
    """Go to the next card so many times, each when all is quiet: seconds to the last byte, and
    bytes."""
    taken = []
    for _ in range(count):
        line.settle(0.25)
        line.text()
        before, start = line.bytes_out, time.perf_counter()
        line.send(NEXT)
        line.burst()
        if not line.waiting:
            raise NotMeasured("a step sent nothing")
        taken.append((line.waiting[-1].at - start, line.bytes_out - before))
    return taken


def bare_wait(env: Mapping[str, str], count: int) -> float:
    """Seconds in which a bare Textual app at 240 frames a second changes its one line, median."""
    walls = []
    with bare_app({**env, "TEXTUAL_FPS": "240"}) as line:
        line.reached(lambda: "READY" in line.screen.display[0])
        for _ in range(count):
            line.settle(0.1)
            line.text()
            start = time.perf_counter()
            line.send("x")
            line.burst()
            walls.append(line.waiting[-1].at - start)
    return statistics.median(walls)
