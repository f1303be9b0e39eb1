"""Trays of one set for the benchmark of slip warnings; nothing is taken from the program.

Each kind gives `count` numbers of a set of `size`, in feeding order. Those of TUNING were looked at
while the weights were chosen, those of HELD_OUT never."""

from __future__ import annotations

import random
from collections.abc import Callable

from bench.hints import trays

Kind = Callable[[int, int, random.Random], list[int]]


def regular(size: int, count: int, source: random.Random) -> list[int]:
    """Each so-many-th number, or each number so many times."""
    phase = source.random()
    return [int((at + phase) * size / count) + 1 for at in range(count)]


def at_random(size: int, count: int, source: random.Random) -> list[int]:
    """Any cards of the set, each once as far as there are as many, ascending."""
    numbers = list(range(1, size + 1)) * (count // size)
    return sorted(numbers + source.sample(range(1, size + 1), count - len(numbers)))


def doubled(size: int, count: int, source: random.Random) -> list[int]:
    """A regular tray with 22 doubles in 100."""
    once = regular(size, max(1, round(count * 0.78)), source)
    again = source.choices(once, k=count - len(once))
    return sorted(once + again)


def mixed(size: int, count: int, source: random.Random) -> list[int]:
    """As the lots for the matcher: doubles, next numbers, gaps, a few back, jumps."""
    return [place + 1 for place in trays.presorted(size, count, source)]


def descending(size: int, count: int, source: random.Random) -> list[int]:
    """A regular tray that was turned over."""
    return regular(size, count, source)[::-1]


def with_gaps(size: int, count: int, source: random.Random) -> list[int]:
    """A regular tray that three stretches of the set were sold from."""
    sold = [source.randrange(1, size) for _ in range(3)]
    length = size // 12
    left = [n for n in range(1, size + 1) if not any(0 <= n - start < length for start in sold)]
    return [left[place - 1] for place in regular(len(left), count, source)]


def with_parallel(size: int, count: int, source: random.Random) -> list[int]:
    """Base cards, then, from the beginning of the set, a third as many of a parallel; all over
    again for the back half of the tray."""
    return [number for _, length in _stretches(count) for number in regular(size, length, source)]


def parallels(kind: Kind, count: int) -> list[str]:
    """The parallel of each card of a tray, empty for base cards."""
    if kind is not with_parallel:
        return [""] * count
    return [name for name, length in _stretches(count) for _ in range(length)]


def _stretches(count: int) -> list[tuple[str, int]]:
    halves = (count // 2, count - count // 2)
    return [stretch for half in halves for stretch in (("", half - half // 4), ("Gold", half // 4))]


def unsteady(size: int, count: int, source: random.Random) -> list[int]:
    """Each so-many-th number, give or take a few: the place of each in a regular tray is off by up
    to a quarter of the step."""
    step = size / count
    return sorted(
        max(1, min(size, round((at + 0.5 + source.uniform(-0.25, 0.25)) * step)))
        for at in range(count)
    )


def copies(size: int, count: int, source: random.Random) -> list[int]:
    """One to four copies of each number, of so many numbers that it comes out, evenly spread."""
    tray: list[int] = []
    while len(tray) < count:
        part = regular(size, max(2, min(size, round(count / 2.5))), source)
        tray += [number for number in part for _ in range(source.randint(1, 4))]
    return tray[:count]


TUNING: dict[str, Kind] = {
    "regular": regular,
    "with doubles": doubled,
    "at random": at_random,
    "as at the desk": mixed,
    "a parallel's run": with_parallel,
}
HELD_OUT: dict[str, Kind] = {
    "descending": descending,
    "gaps": with_gaps,
    "unsteady": unsteady,
    "copies": copies,
}
# where the step says which number is next, give or take one; the aim holds for these
REGULAR = ("regular", "with doubles", "descending", "gaps", "a parallel's run", "copies")
