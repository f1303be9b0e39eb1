"""Measures what is found on pixels against known truth and prints one table. Exit status 1 where an
aim is missed.

The scans are drawn by `card_art.py`, `scanned.py`, `card_sets.py` and `fed_lots.py` in `tests/`,
which share nothing with the measuring. It was tuned on the pictures and seeds called `tuning`; the
table is of those called `held`."""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass

from bench.common.aims import Measure, table_text
from bench.measure import behind, cards, edges, lots


@dataclass(frozen=True)
class Effort:
    """How many scans, sheets and lots each measurement takes; and rounds of keys that are pressed
    beside an audit."""

    edges: int
    fine: int
    faults: int
    sheets: int
    centering: int
    lots: int
    turned: int
    behind: int
    rounds: int
    keys: int


FULL = Effort(250, 60, 240, 24, 240, 60, 24, 1000, 4, 50)
QUICK = Effort(24, 6, 30, 3, 30, 5, 3, 400, 1, 20)


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(prog="tests/bench/run measure", description=__doc__)
    parser.add_argument(
        "--quick", action="store_true", help="the short form: a tenth of the scans, a minute or so"
    )
    parser.add_argument(
        "--tuning", action="store_true", help="the scans that the measuring was tuned on"
    )
    parser.add_argument(
        "--only", metavar="PART", help="one part of the table, by its name: edges, slips, faults"
    )
    options = parser.parse_args()
    effort, kept = (QUICK if options.quick else FULL), ("tuning" if options.tuning else "held")
    parts: list[tuple[str, Callable[[], list[Measure]]]] = [
        ("edges", lambda: edges.lines(kept, effort.edges, effort.fine)),
        ("slips", lambda: lots.slip_lines(kept, effort.lots)),
        ("upside down", lambda: lots.turned_lines(kept, effort.turned)),
        ("faults", lambda: cards.fault_lines(kept, effort.faults)),
        ("sheets", lambda: cards.sheet_lines(kept, effort.sheets)),
        ("centering", lambda: cards.centering_lines(kept, effort.centering)),
        (
            "behind the desk",
            lambda: behind.behind_lines(kept, effort.behind, effort.rounds, effort.keys),
        ),
    ]
    lines: list[Measure] = []
    for name, measure in parts:
        if options.only not in (None, name):
            continue
        start = time.perf_counter()
        lines += measure()
        print(f"  {name}: {time.perf_counter() - start:.0f} s", file=sys.stderr)
    load = " ".join(f"{value:.1f}" for value in os.getloadavg())
    print(
        f"{'quick' if options.quick else 'full'}, {kept} scans · {os.cpu_count()} cores · load "
        f"{load}"
    )
    print(table_text(lines))
    return 1 if any(line.met is False for line in lines) else 0


if __name__ == "__main__":
    sys.exit(main())
