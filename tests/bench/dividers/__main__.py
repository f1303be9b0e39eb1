"""Measures how dividers are read, and prints one table.

What the reading was tuned on and what is held out are printed by different printers, on other
scanners, and the cards have other artwork. Each divider is turned by quarters at random and up to 5
degrees askew, at 150 to 300 dots per inch. The second reader is OpenCV's, in all pixels. CPU is
beside decoding, of a scan that has no divider. Keys: a tray of 300 cards in 12 groups, tagged by
number alone; without dividers the dealer types shortly what is carried at each border. Exit status
1 where an aim is missed."""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from pathlib import Path

from bench.common.aims import Measure, at_least, at_most, below, table_text
from bench.dividers import keys, scans

FULL, QUICK = (400, 2000, 5), (40, 100, 1)  # dividers of each kind, cards, trays
CLEAN, WORN, CPU, SAVED = 0.99, 0.97, 1.5, 0.25


def reading(folder: Path, many: int) -> list[Measure]:
    """How many were read."""
    out: list[Measure] = []
    for held in (False, True):
        for name, (how, machines) in scans.printers(held).items():
            done = scans.read(folder, name, how, machines, many)
            aim = CLEAN if name.startswith("clean") else WORN
            out.append(at_least(f"read: {name}", done.read, done.of, aim))
            out.append(at_most("  wrongly", done.wrong, done.of, 0))
            second = f"{done.second} of {done.of}, {1000 * done.second_cpu / done.of:.1f} ms"
            out.append(Measure("  by the second reader", second))
            out.append(Measure("  CPU", f"{1000 * done.cpu / done.of:.2f} ms"))
    return out


def cards(folder: Path, many: int) -> list[Measure]:
    """Cards, on which nothing is to be found."""
    out: list[Measure] = []
    for name, held in (("tuning", False), ("held out", True)):
        done = scans.looked_at(folder, many // 2, held)
        own = 1000 * (done.cpu - done.decoding) / done.scans
        out.append(at_most(f"false on cards, {name}", done.false, done.scans, 0))
        out.append(below("  CPU a scan beside decoding", own, CPU, "ms"))
        out.append(Measure("  decoding", f"{1000 * done.decoding / done.scans:.2f} ms"))
    return out


def saved(folder: Path, many: int) -> list[Measure]:
    """Keys of some trays."""
    with_them = without = wrong = wrong_without = 0
    for at in range(many):
        groups = keys.tray(random.Random(f"tray {at}"))
        for dividers in (True, False):
            home = folder / f"tray {at} {dividers}"
            home.mkdir()
            pressed, off = keys.tagged(home, groups, dividers)
            if dividers:
                with_them, wrong = with_them + pressed, wrong + off
            else:
                without, wrong_without = without + pressed, wrong_without + off
    of = many * keys.CARDS
    fewer = (without - with_them) / of
    told = f"{with_them / of:.2f} and {without / of:.2f}"
    return [
        Measure("keys a card, with and without", told),
        Measure("  fewer", f"{fewer:.2f}", f"at least {SAVED}", fewer >= SAVED),
        at_most("  wrong tags", wrong, of, 0),
        at_most("  wrong tags without", wrong_without, of, 0),
    ]


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a tenth of it")
    dividers, looked, trays = QUICK if parser.parse_args().quick else FULL
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        lines = [*saved(folder, trays), *reading(folder, dividers), *cards(folder, looked)]
    print(table_text(lines))
    return int(any(line.met is False for line in lines))


if __name__ == "__main__":
    sys.exit(main())
