"""What the user should know of a list: said once for all lines that it holds for."""

from __future__ import annotations

from array import array
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

_MOST_RANGES = 8  # that are written out


class Problem(NamedTuple):
    """Something in a checklist that the user should know. `line` counts from 1 and is the first of
    `lines` lines; 0 for the whole file."""

    file: str
    line: int
    problem: str
    lines: int = 1

    def sentence(self) -> str:
        """`cards.csv, line 14: the row has no number`; of several lines, `cards.csv: 41 rows have
        no number: lines 12–52`."""
        if self.lines > 1 or not self.line:
            return f"{self.file}: {self.problem}"
        return f"{self.file}, line {self.line}: {self.problem}"


class Oddity(NamedTuple):
    """What is odd about rows: of one of them, and of several behind their number. Those of which
    the same is said of several are one kind."""

    one: str
    many: str


NO_NUMBER = Oddity(
    "the row has no number; found by subject only", "rows have no number (found by subject only)"
)
NO_SUBJECT = Oddity(
    "the row has no subject; found by number only", "rows have no subject (found by number only)"
)
NEITHER = Oddity(
    "the row has neither a number nor a subject; it is skipped",
    "rows have neither a number nor a subject and are skipped",
)
NO_SET = Oddity(
    "the row has no set; it counts to the set {}", "rows have no set and count to the set {}"
)
NO_HEADING = Oddity(
    "a cell stands in a column without a heading; it is not kept",
    "rows have a cell in a column without a heading, which is not kept",
)


class Oddities:
    """What was found, by file and kind, with the lines."""

    def __init__(self) -> None:
        self._found: dict[tuple[str, str], tuple[str, array[int]]] = {}

    def add(self, file: str, line: int, kind: Oddity) -> None:
        """Note what is odd about a line."""
        self._found.setdefault((file, kind.many), (kind.one, array("I")))[1].append(line)

    def one(self, file: str, line: int, text: str) -> None:
        """Note something in words that are the same for one line and for several."""
        self.add(file, line, Oddity(text, f"lines: {text}"))

    def problems(self) -> Iterator[Problem]:
        """Each kind once, in the order in which they were met."""
        for (file, many), (one, lines) in self._found.items():
            first = min(lines)
            if len(lines) == 1:
                yield Problem(file, first, one)
                continue
            said = f"{len(lines):,} {many}: {lines_told(lines)}"
            yield Problem(file, first, said, len(lines))


def lines_told(lines: Sequence[int]) -> str:
    """`lines 12–52, 60`: lines that follow one another as a range."""
    some = sorted(set(lines))
    ends = [at for at, (one, two) in enumerate(pairwise(some)) if two != one + 1]
    starts = [0, *(at + 1 for at in ends)]
    ranges = [(some[a], some[b]) for a, b in zip(starts, [*ends, len(some) - 1], strict=True)]
    told = [f"{a}–{b}" if a != b else f"{a}" for a, b in ranges[:_MOST_RANGES]]
    more = f" and {len(ranges) - _MOST_RANGES} more places" if len(ranges) > _MOST_RANGES else ""
    return f"{'lines' if len(some) > 1 else 'line'} {', '.join(told)}{more}"
