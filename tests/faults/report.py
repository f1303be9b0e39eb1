"""Does what the tests of the store do and prints the counts in one table; ends with 1 where
anything went wrong."""

from __future__ import annotations

import argparse
import multiprocessing
import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from crash.kills import kills
from faults.edits import Tally
from faults.failing import faults, full_disk
from faults.flips import any_bits, every_bit, large_lot
from faults.power import power
from faults.readers import reads

Job = tuple[str, Callable[..., Tally], tuple[object, ...]]
HEAD = ("what", "tried", "lost", "silent", "otherwise wrong")


def flip_some(folder: Path, count: int, seed: int) -> Tally:
    """Random flips in a large lot."""
    return any_bits(folder, large_lot(folder), count, seed)


def jobs(full: bool) -> list[Job]:
    """All that is done, in pieces that take some seconds each."""
    found: list[Job] = []
    found += [("kills", kills, (100, 10 + seed)) for seed in range(100 if full else 3)]
    found += [("power states", power, (1000, 10 + seed)) for seed in range(100 if full else 3)]
    found += [("faults", faults, (12 if full else 1, start)) for start in range(4)]
    found += [
        ("faults on a full disk", full_disk, (300 if full else 30, 3000, 97 if full else 331))
    ]
    found += [
        ("flips, each bit of a small lot", every_bit, (tail, part, 4))
        for tail in (False, True)
        for part in range(4)
    ]
    found += [
        ("flips in a large lot", flip_some, (500, 10 + seed)) for seed in range(40 if full else 1)
    ]
    found += [("reads during changes", reads, (10_000 if full else 1000,))]
    return found


def run(job: Job) -> Tally:
    """One piece of the work, in a folder of its own."""
    what, work, given = job
    with tempfile.TemporaryDirectory() as folder:
        tally = work(Path(folder), *given)
    tally.what = what
    return tally


def main() -> int:
    """Print the table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument(
        "--full", action="store_true", help="the numbers of tests/nightly; about an hour"
    )
    full = options.parse_args().full
    start = time.monotonic()
    whole: dict[str, Tally] = {}
    with multiprocessing.get_context("spawn").Pool(os.cpu_count()) as pool:
        for tally in pool.imap_unordered(run, jobs(full)):
            whole.setdefault(tally.what, Tally(tally.what)).add(tally)
    rows = [HEAD]
    for what in dict.fromkeys(job[0] for job in jobs(full)):
        tally = whole[what]
        counts = (tally.tried, len(tally.lost), len(tally.silent), len(tally.wrong))
        rows.append((what, *(f"{count:,}" for count in counts)))
    widths = [max(len(row[column]) for row in rows) for column in range(len(HEAD))]
    for what, *counts in rows:
        print(
            what.ljust(widths[0]),
            *(text.rjust(width) for text, width in zip(counts, widths[1:], strict=True)),
        )
    for tally in whole.values():
        for line in [*tally.lost, *tally.silent, *tally.wrong][:20]:
            print(f"{tally.what}: {line}")
    lost, silent, wrong = (
        sum(len(getattr(t, kind)) for t in whole.values()) for kind in ("lost", "silent", "wrong")
    )
    print(f"{time.monotonic() - start:.0f} s")
    if wrong:
        print(f"otherwise wrong: {wrong}")
    print(f"lost: {lost}, silent: {silent}")
    return 1 if lost or silent or wrong else 0


if __name__ == "__main__":
    sys.exit(main())
