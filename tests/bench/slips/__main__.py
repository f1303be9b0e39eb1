"""Counts the slips that are doubted in trays of many kinds, and the right numbers that are.

Each number of a tray but the first five is typed right, and once with a slip that makes another
number of the set of it: a digit left out, one typed twice, two neighbours changed places. Slips
that make no number of the set are refused by the desk and not counted. "At once": when the card is
in front; "with the next": at the latest when the next card is, typed right. "False": right numbers
that are doubted at once, with the next or, in the review, with the next three.

The oracle knows how often each step is in trays of this very kind, size and count (`LEARNED` other
trays), and doubts where a slip is likelier than the number by a ratio that doubts 1 right number in
200 of those: the test that finds most slips at that rate (Neyman and Pearson 1933). What it misses
no one can know from the numbers at once. It sees one step only, so that someone who sees the tray's
own steps may find more. Exit status 1 where an aim is missed."""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from bench.common.table import aligned
from bench.slips import trays
from tagger.core.session.doubts.anomaly_checks import AHEAD, BACK, Numbered, run_doubt
from tagger.core.session.doubts.tray_steps import meant_by

SIZES, COUNTS = (150, 400), (60, 150, 400, 800)
FIRST = 5  # cards of a tray from which it is learned
FOUND, FALSE = 0.90, 1 / 200
LEARNED, SAMPLED = 100, 4000  # trays of the oracle; numbers that its ratio is chosen by
FULL, QUICK = 2400, 400  # numbers typed in each cell


@dataclass
class Counted:
    """What was doubted of so many numbers."""

    right: int = 0
    alarms: int = 0
    slips: int = 0
    at_once: int = 0
    with_next: int = 0
    by_oracle: int = 0

    @property
    def found(self) -> float:
        """The share of slips that are doubted with the next card."""
        return self.with_next / max(1, self.slips)

    @property
    def false(self) -> float:
        """The share of right numbers that are doubted."""
        return self.alarms / max(1, self.right)


def slipped(number: int, size: int, source: random.Random) -> int | None:
    """Another number of the set that a slip makes of one; None where each is none of the set."""
    text = str(number)
    kinds: list[list[str]] = [
        [text[:at] + text[at + 1 :] for at in range(len(text))],
        [text[: at + 1] + text[at:] for at in range(len(text))],
        [text[:at] + text[at + 1] + text[at] + text[at + 2 :] for at in range(len(text) - 1)],
    ]
    valid = [[int(one) for one in kind if one.isdigit() and str(int(one)) == one] for kind in kinds]
    valid = [[n for n in kind if n != number and 1 <= n <= size] for kind in valid]
    valid = [kind for kind in valid if kind]
    return source.choice(source.choice(valid)) if valid else None


class Tray:
    """One tray at the desk."""

    def __init__(self, numbers: Sequence[int], parallels: Sequence[str]) -> None:
        self.numbers = numbers
        self._cards = [
            Numbered(at, str(number), parallel)
            for at, (number, parallel) in enumerate(zip(numbers, parallels, strict=True), 1)
        ]

    def doubted(self, at: int, typed: int, *behind: int) -> bool:
        """Whether the program doubts what is typed at a place, at once or with so many cards
        behind it."""
        here, before = (
            self._cards[at]._replace(number=str(typed)),
            self._cards[max(0, at - BACK) : at],
        )
        return any(
            run_doubt(here, before, self._cards[at + 1 : at + 1 + many]) for many in (0, *behind)
        )


class Oracle:
    """Knows how often each step is in trays of one kind."""

    def __init__(self, kind: trays.Kind, size: int, count: int) -> None:
        source = random.Random(f"oracle {size} {count}")
        self._steps: Counter[int] = Counter()
        known = [kind(size, count, source) for _ in range(LEARNED)]
        for tray in known:
            self._steps.update(b - a for a, b in pairwise(tray))
        pairs = [two for tray in known for two in pairwise(tray)]
        some = source.sample(pairs, min(len(pairs), SAMPLED))
        ratios = sorted((self.ratio(a, b) for a, b in some), reverse=True)
        self.least = max(1e-9, ratios[int(len(ratios) * FALSE)])

    def _chance(self, step: int) -> float:
        return (self._steps[step] + 1e-3) / self._steps.total()

    def ratio(self, last: int, typed: int) -> float:
        """How many times likelier a slip is than what was typed."""
        slips = sum(self._chance(meant - last) * share for meant, share in meant_by(str(typed)))
        return slips / self._chance(typed - last)


def counted(name: str, kind: trays.Kind, size: int, count: int, numbers: int) -> Counted:
    """So many numbers of one kind of tray."""
    found, oracle = Counted(), Oracle(kind, size, count)
    source = random.Random(f"slips {name} {size} {count}")
    while found.right < numbers:
        tray = Tray(kind(size, count, source), trays.parallels(kind, count))
        for at in range(FIRST, count - 1):
            meant, last = tray.numbers[at], tray.numbers[at - 1]
            found.right += 1
            found.alarms += tray.doubted(at, meant, 1, AHEAD)
            typed = slipped(meant, size, source)
            if typed is None:
                continue
            found.slips += 1
            found.at_once += tray.doubted(at, typed)
            found.with_next += tray.doubted(at, typed, 1)
            found.by_oracle += oracle.ratio(last, typed) > oracle.least
    return found


HEAD = ("tray", "set", "cards", "slips", "at once", "with the next", "oracle, at once", "false", "")


def lines(kinds: dict[str, trays.Kind], numbers: int) -> Iterator[tuple[bool, tuple[str, ...]]]:
    """(met, line) of each kind, size and count."""
    for name, kind in kinds.items():
        for size in SIZES:
            for count in COUNTS:
                found = counted(name, kind, size, count, numbers)
                aimed = name in trays.REGULAR
                met = found.false <= FALSE and (not aimed or found.found >= FOUND)
                yield (
                    met,
                    (
                        name,
                        str(size),
                        str(count),
                        str(found.slips),
                        *(
                            f"{part / max(1, found.slips):.1%}"
                            for part in (found.at_once, found.with_next, found.by_oracle)
                        ),
                        f"{found.alarms} of {found.right}",
                        ("met" if met else "missed") if aimed or not met else "",
                    ),
                )


def main() -> int:
    """Returns the exit status."""
    parser = argparse.ArgumentParser(prog="tests/bench/run slips", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="the short form: fewer numbers")
    parser.add_argument("--tune", action="store_true", help="the kinds to work with alone")
    given = parser.parse_args()
    numbers = QUICK if given.quick else FULL
    kinds = trays.TUNING if given.tune else trays.TUNING | trays.HELD_OUT
    found = list(lines(kinds, numbers))
    print(aligned([HEAD, *(line for _, line in found)]))
    print(f"aims: found with the next at least {FOUND:.0%}, false at most 1 in {1 / FALSE:.0f}")
    return 0 if all(met for met, _ in found) else 1


if __name__ == "__main__":
    sys.exit(main())
