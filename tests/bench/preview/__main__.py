"""Measures the previews: steps, bytes, slow lines, memory, and what a machine can read in the
loupe. Prints one table.

Times vary with what else the machine does. Nothing here fails for being slow; the exit status is 1
where a measurement could not be made. chafa and tesseract are measured where they are installed.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import statistics
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from PIL import Image
from support.folders import own_folders

from bench.common import lots
from bench.common.place import PROGRAM, draw
from bench.common.report import Report, start_as_users_do
from bench.common.sitting import Sitting
from bench.common.starting import start_rows
from bench.common.table import Row, bytes_text, share, time_text
from bench.common.timed_terminal import LEAVE, TimedTerminal, cpu_seconds
from bench.preview import parts
from bench.preview.slow_line import NEXT, SlowLine, bare_wait, steps

SIZES = {(120, 40): (0.010, 26_000), (200, 60): (0.020, 68_000)}  # aims: seconds a step, bytes
# aims: seconds by Mbit/s
SLOW = {
    (120, 40): {1: 0.220, 10: 0.060},
    (200, 60): {1: 0.600, 10: 0.110},
}
MEMORY = 150_000_000  # bytes


def met(value: float, aim: float, text: str) -> str:
    return f"{text}: {'met' if value <= aim else 'missed'}"


def opened(
    lot: Path, env: dict[str, str], size: tuple[int, int], kind: type[TimedTerminal] = TimedTerminal
) -> TimedTerminal:
    line = kind([*PROGRAM, "open", str(lot)], env, *size)
    try:
        line.reached(
            lambda: re.search(r"card \d+ of", line.screen.display[0]) and line.front_drawn(),
            quiet=0.5,
        )
    except BaseException:
        line.close()
        raise
    return line


def step_rows(lot: Path, env: dict[str, str], count: int) -> Iterator[Row]:
    """From the key until the last byte of the burst, each pair prepared; `above the frame` is what
    is left of it when the time in which a bare Textual app at the same frame rate changes its one
    line is taken off."""
    wait = bare_wait(env, max(5, count // 2))
    for size, (seconds, most) in SIZES.items():
        with opened(lot, env, size) as line:
            taken = steps(line, count)
            line.send(LEAVE)
            line.wait_exit()
        name = f"{size[0]}x{size[1]}"
        walls, sizes = [wall for wall, _ in taken], [bytes_ for _, bytes_ in taken]
        median = statistics.median(walls)
        yield Row(
            f"step to next pair, {name}",
            f"{time_text(median)} / {time_text(share(walls, 0.95))}",
            f"{time_text(wait)}  bare Textual app, one line",
        )
        above = max(0.0, median - wait)
        yield Row(
            f"step, above the frame, {name}",
            time_text(above),
            aim=met(above, seconds, time_text(seconds)),
        )
        middle = statistics.median(sizes)
        yield Row(
            f"bytes a step, 256 colours, {name}",
            f"{bytes_text(middle)} / {bytes_text(share(sizes, 0.95))}",
            aim=met(middle, most, bytes_text(most)),
        )


def slow_rows(lot: Path, env: dict[str, str], count: int) -> Iterator[Row]:
    """The same through a line that takes so many bits a second."""
    for size, aims in SLOW.items():
        for mbits, aim in aims.items():
            with opened(lot, env, size, SlowLine) as line:
                assert isinstance(line, SlowLine)
                line.bytes_per_second = mbits * 125_000
                walls = [wall for wall, _ in steps(line, count)]
                line.bytes_per_second = 0
                line.send(LEAVE)
                line.wait_exit()
            median = statistics.median(walls)
            yield Row(
                f"step painted at {mbits} Mbit/s, {size[0]}x{size[1]}",
                f"{time_text(median)} / {time_text(share(walls, 0.95))}",
                aim=met(median, aim, time_text(aim)),
            )


def key_rows(folder: Path, keys: int) -> Iterator[Row]:
    """A key of a hint until the panel has changed, with two previews and the loupe on the screen;
    see `sitting.py`."""
    place, _ = draw(folder)
    sitting = Sitting(place)
    try:
        list(sitting.begin())
        yield from sitting.key_rows(keys)
        list(sitting.leave())
    finally:
        sitting.close()


def first_rows(folder: Path, runs: int) -> Iterator[Row]:
    """From the start of the program to its first card, beside a bare app's first paint."""
    folder.mkdir()
    place, _ = draw(folder)
    yield from start_rows(place, runs)


def memory_rows(folder: Path, env: dict[str, str], cards: int) -> Iterator[Row]:
    """A 600 dpi lot stepped through from end to end, each card painted: the memory that the process
    has in use, and how much more it is in the last quarter than in the second."""
    large = lots.pictures(folder / "small")
    for path in large:
        with Image.open(path) as picture:
            picture.resize((lots.SCAN[0] * 2, lots.SCAN[1] * 2), Image.Resampling.BICUBIC).save(
                path, quality=90
            )
    lot = lots.lot(folder / "600 dpi", cards, large)
    used: list[int] = []
    with opened(lot, env, (120, 40)) as line:
        for _ in range(cards - 1):
            line.send(NEXT)
            line.burst(quiet=0.03)
            for _ in line.replay() if len(used) % 50 == 0 else ():
                pass
            line.waiting.clear()
            line.raw.clear()
            used.append(_resident(line.pid))
        line.settle(0.5)
        start, sent = cpu_seconds(line.pid), line.bytes_out
        line.pump(5.0)
        idle = (cpu_seconds(line.pid) - start) / 5.0
        yield Row(
            "idle after it: bytes in 5 s",
            f"{line.bytes_out - sent} B",
            aim=met(line.bytes_out - sent, 0, "none"),
        )
        yield Row("idle after it: share of a core", f"{idle:.2%}", aim=met(idle, 0.005, "0.5%"))
    quarter = max(1, len(used) // 4)
    growth = statistics.mean(used[-quarter:]) - statistics.mean(used[quarter : 2 * quarter])
    yield Row(
        f"memory, 600 dpi, {cards} cards, at most",
        f"{max(used) / 1e6:.0f} MB",
        aim=met(max(used), MEMORY, "150 MB"),
    )
    yield Row("memory, last quarter over second", f"{growth / 1e6:+.1f} MB")


def _resident(pid: int) -> int:
    """Bytes in memory: statm's second field, in pages (proc(5))."""
    return int(Path(f"/proc/{pid}/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE")


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(
        prog="tests/bench/run preview", description="Measure the previews."
    )
    parser.add_argument("--quick", action="store_true", help="the short form")
    parser.add_argument(
        "--only",
        metavar="WORD",
        default="",
        help="only the measurements with this word in their name",
    )
    given = parser.parse_args()
    quick = given.quick
    start_as_users_do()
    report = Report()
    folder = Path(tempfile.mkdtemp(prefix="bench-"))
    env = own_folders(folder)
    try:
        pictures = lots.pictures(folder / "pictures")
        lot = lots.lot(folder / "lot", 400, pictures)  # all steps go on where the last ones ended
        for name, measure in {
            "first card": lambda: first_rows(folder / "first", 1 if quick else 7),
            "steps": lambda: step_rows(lot, env, 8 if quick else 60),
            "slow line": lambda: slow_rows(lot, env, 4 if quick else 15),
            "keys": lambda: key_rows(folder / "desk", 12 if quick else 220),
            "one picture": lambda: parts.picture_rows(pictures, 1 if quick else 4),
            "straight": lambda: parts.straight_rows(pictures, 1 if quick else 4),
            "legible": lambda: parts.legible_rows(folder / "read", 20 if quick else 200),
            "memory": lambda: memory_rows(folder / "large", env, 100 if quick else 2000),
        }.items():
            if given.only in name:
                report.add(name, measure)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    return report.printed("Previews")


if __name__ == "__main__":
    sys.exit(main())
