"""Each long command stopped at random moments, and with an output that cannot be written: it ends
soon, with one sentence, and leaves no traceback, no process and no half file behind.

`python stops.py COUNT` prints the table; with `--load` beside two busy processes."""

from __future__ import annotations

import argparse
import contextlib
import os
import random
import re
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from faults.stop_place import Place

SOON = 0.3  # seconds from a stop to the end
LONGEST = 20.0  # seconds after which a command counts as hanging
STOPPED = 3  # the exit status
# What Python, its processes and its tracker of semaphores say when they are ended amid their work.
TRACES = re.compile(rb"Traceback|Exception ignored|resource_tracker|leaked|Fatal Python|Error:")

HEAD = ("command", "stops", "hangs", "traces", "processes left", "half files", "other", "late",
        "median ms", "slowest ms")  # fmt: skip


@dataclass
class Stopped:
    """What became of the stops of one command: what went wrong, and the seconds of each."""

    what: str
    tried: int = 0
    hangs: list[str] = field(default_factory=list)
    traces: list[str] = field(default_factory=list)
    left: list[str] = field(default_factory=list)
    half: list[str] = field(default_factory=list)
    other: list[str] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)

    @property
    def wrong(self) -> list[str]:
        """All that must not be. Late ones are counted only: a busy machine has them."""
        return [*self.hangs, *self.traces, *self.left, *self.half, *self.other]

    def row(self) -> tuple[str, ...]:
        """A line of the table."""
        times = sorted(self.seconds) or [0.0]
        late = sum(one > SOON for one in times)
        counts = (self.tried, *map(len, (self.hangs, self.traces, self.left, self.half)))
        return (
            self.what,
            *map(str, (*counts, len(self.other), late)),
            f"{times[len(times) // 2] * 1000:.0f}",
            f"{times[-1] * 1000:.0f}",
        )


def stops(place: Place, what: str, count: int, seed: int = 0) -> Stopped:
    """So many stops of a command, at moments spread over all of its work."""
    words, tally, source = place.commands()[what], Stopped(what), random.Random(f"{seed} {what}")
    start = time.monotonic()
    place.start(words).communicate(timeout=900)
    long = time.monotonic() - start
    for _ in range(count):
        tally.tried += 1
        # the demo and the pictures go on where they were stopped
        way = source.choice(WAYS)
        _stop_once(place, words, tally, way, source.random() * long * 0.9)
    return tally


Way = Callable[[int], None]


def _to_group(pid: int) -> None:
    os.killpg(pid, signal.SIGINT)


def _twice(pid: int) -> None:
    os.killpg(pid, signal.SIGINT)
    time.sleep(0.03)
    os.killpg(pid, signal.SIGINT)


def _three_kinds(pid: int) -> None:
    for number in (signal.SIGHUP, signal.SIGTERM, signal.SIGINT):
        os.kill(pid, number)


# Ctrl+C comes to all that the terminal runs in front; SIGTERM to one or to all of a session.
WAYS: tuple[Way, ...] = (
    _to_group,
    _twice,
    lambda pid: os.kill(pid, signal.SIGTERM),
    lambda pid: os.killpg(pid, signal.SIGTERM),
    lambda pid: os.killpg(pid, signal.SIGHUP),
    _three_kinds,
)


def _stop_once(place: Place, words: Sequence[str], tally: Stopped, way: Way, wait: float) -> None:
    with place.start(words) as run:
        _wait_until_heeded(run.pid)
        time.sleep(wait)
        sent = time.monotonic()
        with contextlib.suppress(ProcessLookupError):
            way(run.pid)
        told = f"{words[0]} after {wait:.3f} s, way {WAYS.index(way)}"
        try:
            out, err = run.communicate(timeout=LONGEST)
        except subprocess.TimeoutExpired:
            tally.hangs.append(told)
            with contextlib.suppress(ProcessLookupError):
                os.killpg(run.pid, signal.SIGKILL)
            return
    tally.seconds.append(time.monotonic() - sent)
    _judge(place, tally, run, told, out + err)


def _judge(
    place: Place, tally: Stopped, run: subprocess.Popen[bytes], told: str, said: bytes
) -> None:
    if TRACES.search(said):
        tally.traces.append(f"{told}: {said[-2000:].decode(errors='replace')}")
    if run.returncode not in (0, 1, STOPPED):
        tally.other.append(f"{told}: exit status {run.returncode}")
    if run.returncode == STOPPED and not said.rstrip().endswith(b"tagger: stopped."):
        tally.other.append(f"{told}: {said[-300:].decode(errors='replace')}")
    if left := _left_of(run.pid):
        tally.left.append(f"{told}: {left}")
    if half := place.half_files():
        tally.half.append(f"{told}: {half}")
        for path in half:
            Path(path).unlink(missing_ok=True)


def _wait_until_heeded(pid: int) -> None:
    """Until the program is past Python's own start: SIGTERM is caught then (proc(5), SigCgt)."""
    end = time.monotonic() + LONGEST
    while time.monotonic() < end:
        try:
            status = Path(f"/proc/{pid}/status").read_text()
        except OSError:
            return
        caught = re.search(r"SigCgt:\s*([0-9a-f]+)", status)
        if caught is None or int(caught[1], 16) & 1 << (signal.SIGTERM - 1):
            return
        time.sleep(0.002)


def _left_of(session: int) -> list[str]:
    """Processes of a session that still run: proc(5), the sixth field of `stat`. Those that are
    just ending get a moment."""
    end = time.monotonic() + 1.0
    while left := list(_running(session)):
        if time.monotonic() > end:
            return left
        time.sleep(0.01)
    return []


def _running(session: int) -> Iterator[str]:
    for entry in os.scandir("/proc"):
        if entry.name.isdigit():
            with contextlib.suppress(OSError, IndexError):
                state, _, _, of = (
                    Path(entry.path, "stat").read_text().rpartition(")")[2].split()[:4]
                )
                if int(of) == session and state not in "ZX":
                    yield Path(entry.path, "cmdline").read_text().replace("\0", " ")[:80]


# Outputs that cannot be written


def _no_reader() -> dict[str, object]:
    reading, writing = os.pipe()
    os.close(reading)
    return {"stdout": writing}


OUTPUTS: dict[str, Callable[[], dict[str, object]]] = {
    "full": lambda: {"stdout": os.open("/dev/full", os.O_WRONLY)},
    "without a reader": _no_reader,
    "closed": lambda: {"stdout": None, "preexec_fn": lambda: os.close(1)},
    "all closed": lambda: {
        "stdout": None, "stderr": None, "preexec_fn": lambda: os.closerange(0, 3)
    },
}  # fmt: skip


def lost_outputs(place: Place, commands: Sequence[str]) -> Stopped:
    """Each command with each output that cannot be written."""
    tally = Stopped("output lost")
    for what in commands:
        for output, given in OUTPUTS.items():
            tally.tried += 1
            told = f"{what}, output {output}"
            with place.start(place.commands()[what], **given()) as run:
                try:
                    _, err = run.communicate(timeout=900)
                except subprocess.TimeoutExpired:
                    run.kill()
                    tally.hangs.append(told)
                    continue
            if TRACES.search(err or b""):
                tally.traces.append(f"{told}: {(err or b'').decode(errors='replace')}")
            if run.returncode not in (0, 1, STOPPED):
                tally.other.append(f"{told}: exit status {run.returncode}")
            if left := _left_of(run.pid):
                tally.left.append(f"{told}: {left}")
    return tally


@contextlib.contextmanager
def busy(count: int) -> Iterator[None]:
    """So many busy processes beside what is done within."""
    loads = [subprocess.Popen([sys.executable, "-c", "while True: pass"]) for _ in range(count)]
    try:
        yield
    finally:
        for load in loads:
            load.kill()
            load.wait()


def table(
    count: int, load: int, only: Sequence[str] = ()
) -> tuple[list[tuple[str, ...]], list[str]]:
    """The rows of the table, the heading first, and what went wrong; beside `load` busy
    processes. `only` some commands where any are named."""
    rows: list[tuple[str, ...]] = [HEAD]
    wrong: list[str] = []
    with tempfile.TemporaryDirectory() as folder, busy(load):
        place = Place(Path(folder))
        place.join_hub()
        for what in only or place.commands():
            tally = stops(place, what, count)
            rows.append(tally.row())
            wrong += tally.wrong
        lost = lost_outputs(place, list(only or place.commands()))
        rows.append(lost.row())
        wrong += lost.wrong
    return rows, wrong


def main() -> int:
    """Print the table; 1 where anything went wrong."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("count", type=int, nargs="?", default=10)
    options.add_argument("--load", action="store_true", help="beside two busy processes")
    options.add_argument("--only", action="append", help="one command, by its name in the table")
    given = options.parse_args()
    rows, wrong = table(given.count, 2 * given.load, given.only or ())
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for what, *counts in rows:
        print(
            what.ljust(widths[0]),
            *(text.rjust(width) for text, width in zip(counts, widths[1:], strict=True)),
        )
    print(*wrong[:40], sep="\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
