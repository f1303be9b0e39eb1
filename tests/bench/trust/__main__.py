"""Prints one table of what the program bears. `--quick` takes some hundred cases of each in place
of ten thousand; `--only` names one row. Exit status 1 where something did not hold."""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from pathlib import Path

from support.folders import own_folders

from bench.common.aims import HEAD, Measure
from bench.common.report import machine
from bench.common.table import aligned
from bench.trust.rows import ROWS, timed


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(prog="tests/bench/run trust", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a few cases of each")
    names = {row.__name__: row for row in ROWS}
    parser.add_argument("--only", choices=names, help="one row")
    options = parser.parse_args()
    measures: list[Measure] = []
    with tempfile.TemporaryDirectory() as home:
        os.environ |= own_folders(Path(home))
        for name, row in names.items():
            if options.only in (None, name):
                found, took = timed(row, options.quick)
                print(f"  {name}: {took:.0f} s", file=sys.stderr, flush=True)
                measures += found
    print(machine())
    cells = [
        (one.what, one.measured, one.aim, ("missed", "met")[bool(one.met)]) for one in measures
    ]
    print(aligned([HEAD, *cells]))
    return int(not all(one.met for one in measures))


if __name__ == "__main__":
    sys.exit(main())
