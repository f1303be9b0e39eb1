"""Measures how many keys it takes until the loupe shows the card number of a design that was never
seen, and prints one table. Exit status 1 where an aim is missed.

The backs are drawn by `support/backs` and by the demo, and fed onto some scanner's bed. Designs of
the makers in TUNED with the seed `tune` are those that the weights were fitted on (`--fit` prints
them); measured are other designs of theirs, and the makers in HELD, of which nothing was tuned."""

from __future__ import annotations

import argparse
import statistics
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

from bench.common.aims import Measure, at_least, below, table_text
from bench.loupe.keys import SIZES, keys_needed, pane_of
from bench.loupe.scanned_designs import HELD, TUNED, SeenBack, designs

FULL, QUICK = 24, 6  # designs of each maker
FIT = 40
MOST = 6  # keys, in nine of ten


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(prog="tests/bench/run loupe", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a quarter of the designs")
    parser.add_argument("--fit", action="store_true", help="print the weights, fitted anew")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="bench-") as name:
        if options.fit:
            _fit(Path(name))
            return 0
        lines = _lines(QUICK if options.quick else FULL, Path(name))
    print(table_text(lines))
    return 1 if any(line.met is False for line in lines) else 0


def _fit(folder: Path) -> None:
    from bench.loupe.fit import fitted

    seen = [backs for maker in TUNED for backs in designs(maker, "tune", FIT, folder)]
    for name, compared in (("ONE_CARD", False), ("COMPARED", True)):
        print(f"{name} = {fitted(seen, compared)}")


def _lines(count: int, folder: Path) -> list[Measure]:
    from tagger.imaging.survey.number_places import number_spots

    lines: list[Measure] = []
    found: dict[str, list[tuple[list[SeenBack], list[Sequence]]]] = {}  # type: ignore[type-arg]
    for maker in (*HELD, *TUNED):
        found[maker] = [
            (backs, [number_spots([back.picture for back in backs[:cards]]) for cards in (1, 3)])
            for backs in designs(maker, "held", count, folder)
        ]
        print(f"  {maker}: {count} designs", file=sys.stderr)
    for size in SIZES:
        pane = pane_of(*size)
        for at, told in enumerate(("after the first card", "after three cards")):
            own: list[int] = []
            for maker, seen in found.items():
                # After one card that card is looked at, after three the next one.
                shown = 0 if at == 0 else 3
                keys = [keys_needed(spots[at], backs[shown].number, pane) for backs, spots in seen]
                own += keys if maker in HELD else []
                lines.append(_line(f"{size[0]}x{size[1]}, {told}, {maker}", keys))
            aimed = at == 1
            head = f"{size[0]}x{size[1]}, {told}, makers held out"
            lines.append(
                below(f"{head}: median", statistics.median(own), 0 if aimed else None, "keys")
            )
            good = sum(key <= MOST for key in own)
            lines.append(at_least(f"{head}: at most {MOST} keys", good, len(own), 0.9))
    return lines


def _line(what: str, keys: Sequence[int]) -> Measure:
    none, few = (sum(key <= most for key in keys) for most in (0, MOST))
    told = f"median {statistics.median(keys):g}, none {none}, at most {MOST}: {few} of {len(keys)}"
    return Measure(f"  {what}", told)


if __name__ == "__main__":
    sys.exit(main())
