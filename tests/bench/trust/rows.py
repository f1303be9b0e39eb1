"""The rows of the table: each is measured by the harness that it belongs to. A further row is a
function that is given whether it is to be quick, in `ROWS`."""

from __future__ import annotations

import os
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from crash.kills import kills
from faults.stops import table
from fuzz import keys
from fuzz.kinds import KINDS
from fuzz.large import large_pictures
from fuzz.pictures import fuzz_pictures
from fuzz.process import fuzz_at_length
from fuzz.replaced import cases
from fuzz.tally import Tally

from bench.common.aims import Measure
from tagger.imaging.scan.decode_limit import TOTAL
from tagger.imaging.survey.measure_lot import survey
from tagger.imaging.survey.workers import Workers

TOGETHER = os.cpu_count() or 1  # processes
PAGE = os.sysconf("SC_PAGE_SIZE")


def random_keys(quick: bool) -> Iterator[Measure]:
    """Both screens, in turn, until so many were sent."""
    batches, size = (3, keys.BATCH) if quick else (1000, keys.LONG_BATCH)
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        opened = home / "data" / "tagger" / "opened-before"
        opened.parent.mkdir(parents=True)
        opened.touch()
        for sitting, desk in ((keys.desk(home), True), (keys.find(home, home / "box 12"), False)):
            for number in range(batches):
                sitting.batch(number, desk, size)
            sitting.close()
            yield told(sitting.tally, "0 ends, 0 differences")


def pictures(quick: bool) -> Iterator[Measure]:
    """Mutated files, and what large ones take."""
    tally = fuzz_pictures(range(300 if quick else 10_000))
    yield told(tally, "0 traces, 0 over 5 s, 0 bytes printed")
    yield _memory(quick)


def _memory(quick: bool) -> Measure:
    """What two workers have together while they measure pictures that claim much."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        names = large_pictures(folder, quick)
        workers = Workers()
        with _watched() as most:
            measured = list(survey(folder, names, workers))
        workers.close()
    read = sum(found.state == "whole" for _, found in measured)
    return Measure(
        f"two workers measure {len(names)} large pictures, {read} of them readable",
        f"{most[0] / (1 << 20):.0f} MB",
        f"{TOTAL >> 20} MB",
        most[0] <= TOTAL,
    )


@contextmanager
def _watched() -> Iterator[list[int]]:
    """The most bytes that the processes begun by this one have together."""
    most, over = [0], threading.Event()

    def watch() -> None:
        while not over.wait(0.005):
            most[0] = max(most[0], sum(map(_resident, _workers())))

    thread = threading.Thread(target=watch)
    thread.start()
    try:
        yield most
    finally:
        over.set()
        thread.join()


def _workers() -> Sequence[int]:
    found = []
    for status in Path("/proc").glob("[0-9]*/stat"):
        try:
            number, _, rest = status.read_text().partition(" (")
            if int(rest.rpartition(") ")[2].split()[1]) == os.getpid():
                words = status.with_name("cmdline").read_bytes()
                found += [int(number)] if b"spawn_main" in words else []
        except (OSError, ValueError, IndexError):
            continue
    return found


def _resident(process: int) -> int:
    try:
        return int(Path(f"/proc/{process}/statm").read_text().split()[1]) * PAGE
    except (OSError, IndexError):
        return 0


def documents(quick: bool) -> Iterator[Measure]:
    """Each kind of document changed in its structure."""
    for tally in fuzz_at_length(KINDS, 15 if quick else 10_000, TOGETHER):
        yield told(tally, "0 traces, 0 over 3 s, 0 silent")


def damaged(quick: bool) -> Iterator[Measure]:
    """Damaged lots through every command."""
    for tally in fuzz_at_length(["damaged"], 15 if quick else 10_000, TOGETHER):
        yield told(tally, "0 silent")


def killed(quick: bool) -> Iterator[Measure]:
    """kill -9 of what works at a lot."""
    with tempfile.TemporaryDirectory() as name:
        tally = kills(Path(name), 30 if quick else 1000, seed=17)
    wrong = len(tally.lost) + len(tally.silent) + len(tally.wrong)
    yield Measure(f"kills ({tally.tried})", f"{wrong} lost or half", "0", tally.good)


def stopped(quick: bool) -> Iterator[Measure]:
    """Each long command stopped beside two busy processes, and with outputs that are lost."""
    (_, *rows), wrong = table(1 if quick else 200, load=2)
    print(*wrong[:20], sep="\n", file=sys.stderr)
    tried = sum(int(row[1]) for row in rows)
    yield Measure(
        f"stops of {len(rows) - 1} long commands ({tried})",
        f"{len(wrong)} hangs, traces, half files; {max(int(row[-1]) for row in rows)} ms at most",
        "0 hangs, 0 traces",
        not wrong,
    )


def replaced(quick: bool) -> Iterator[Measure]:
    """Scans replaced, renamed, removed and added between sittings."""
    count = 40 if quick else 500
    with tempfile.TemporaryDirectory() as name:
        wrong = cases(Path(name) / "lots", range(count))
    print(*wrong[:20], sep="\n", file=sys.stderr)
    said = f"{len(wrong)} tags on another card, unasked"
    yield Measure(f"scans replaced between sittings ({count})", said, "0", not wrong)


def told(tally: Tally, aim: str) -> Measure:
    """A tally as a line of the table; beside it what was wrong, with what makes it again."""
    if not tally.good:
        print(tally, file=sys.stderr, flush=True)
    found = (
        f"{len(tally.traces)} traces, {len(tally.slow)} slow, {len(tally.silent)} silent, "
        f"{tally.printed} printed; {tally.slowest:.1f} s and {tally.memory >> 20} MB at most"
    )
    return Measure(f"{tally.what} ({tally.tried})", found, aim, tally.good)


ROWS: tuple[Callable[[bool], Iterator[Measure]], ...] = (
    random_keys,
    pictures,
    documents,
    damaged,
    killed,
    stopped,
    replaced,
)


def timed(row: Callable[[bool], Iterator[Measure]], quick: bool) -> tuple[list[Measure], float]:
    """What a row measures, and the seconds that it took."""
    start = time.perf_counter()
    return list(row(quick)), time.perf_counter() - start
