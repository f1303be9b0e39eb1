"""Measures how many keys it takes until the loupe shows the card number of a design that was never
seen, and prints one table. Exit status 1 where an aim is missed.

The backs are drawn by `support/backs` and by the demo, the fronts that bear the number by
`support/fronts`, and fed onto some scanner's bed. Designs of the makers in TUNED and FRONTS_TUNED
with the seed `tune` are those that the weights were fitted on (`--fit` prints them); measured are
other designs of theirs, and the makers in HELD and FRONTS_HELD, of which nothing was tuned."""

from __future__ import annotations

import argparse
import statistics
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from bench.common.aims import Measure, at_least, below, table_text
from bench.loupe.keys import SIZES, keys_needed, pane_of
from bench.loupe.scanned_designs import (
    FRONTS_HELD,
    FRONTS_TUNED,
    HELD,
    TUNED,
    SeenSide,
    designs,
)
from tagger.core.audit.number_place import NumberSpot
from tagger.core.session.loupes.loupe import Pane
from tagger.imaging.survey.number_places import number_spots
from tagger.imaging.survey.sides import Side

FULL, QUICK = 24, 6  # designs of each maker
FIT, FIT_FRONTS = 40, 8
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
        count = QUICK if options.quick else FULL
        lines = _lines("back", HELD, TUNED, count, Path(name))
        lines += _lines("front", FRONTS_HELD, FRONTS_TUNED, count, Path(name))
    print(table_text(lines))
    return 1 if any(line.met is False for line in lines) else 0


def _fit(folder: Path) -> None:
    from bench.loupe.fit import fitted
    from tagger.imaging.survey.number_places import ON_FRONTS, ONE_CARD

    seen = [backs for maker in TUNED for backs in designs(maker, "tune", FIT, folder)]
    for name, cards in (("ONE_CARD", 1), ("COMPARED", 3)):
        print(f"{name} = {fitted(seen, ONE_CARD, cards)}")
    fronts = [side for maker in FRONTS_TUNED for side in designs(maker, "tune", FIT_FRONTS, folder)]
    print(f"ON_FRONTS = {fitted(fronts, ON_FRONTS)}")


@dataclass(frozen=True)
class _Design:
    """Cards of one design, and the places found after the first and after three."""

    cards: list[SeenSide]
    found: tuple[Sequence[NumberSpot], Sequence[NumberSpot]]

    def keys(self, at: int, pane: Pane) -> int:
        """Those needed, after one card (0) at that card, after three (1) at the next one."""
        return keys_needed(self.found[at], self.cards[3 * at].number, pane)

    def keys_by_hand(self, pane: Pane) -> int:
        """Those needed from where the loupe is at first: it is turned over by one."""
        return 1 + keys_needed((), self.cards[3].number, pane)


def _lines(
    side: str, held: Sequence[str], tuned: Sequence[str], count: int, folder: Path
) -> list[Measure]:
    found: dict[str, list[_Design]] = {}
    for maker in (*held, *tuned):
        found[maker] = [_looked_at(cards, side) for cards in designs(maker, "held", count, folder)]
        print(f"  {maker}: {count} designs", file=sys.stderr)
    lines: list[Measure] = []
    for size in SIZES:
        pane, screen = pane_of(*size), f"{side}s, {size[0]}x{size[1]}"
        if side == "front":
            by_hand = [one.keys_by_hand(pane) for maker in held for one in found[maker]]
            lines.append(_line(f"{screen}, by hand, makers held out", by_hand))
        for at, told in enumerate(("after the first card", "after three cards")):
            keys = {maker: [one.keys(at, pane) for one in seen] for maker, seen in found.items()}
            lines += [_line(f"{screen}, {told}, {maker}", own) for maker, own in keys.items()]
            own = [key for maker in held for key in keys[maker]]
            head = f"{screen}, {told}, makers held out"
            lines.append(
                below(f"{head}: median", statistics.median(own), 0 if at else None, "keys")
            )
            good = sum(key <= MOST for key in own)
            lines.append(at_least(f"{head}: at most {MOST} keys", good, len(own), 0.9))
    return lines


def _looked_at(cards: list[SeenSide], side: str) -> _Design:
    sides = [Side.of(card.picture) for card in cards[:3]]
    return _Design(cards, (number_spots(sides[:1], side), number_spots(sides, side)))


def _line(what: str, keys: Sequence[int]) -> Measure:
    none, few = (sum(key <= most for key in keys) for most in (0, MOST))
    told = f"median {statistics.median(keys):g}, none {none}, at most {MOST}: {few} of {len(keys)}"
    return Measure(f"  {what}", told)


if __name__ == "__main__":
    sys.exit(main())
