"""What a list comes to, set by set: its counts, its ranges of numbers, and where it disagrees with
itself or with another list."""

from __future__ import annotations

import itertools
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.checklist.parallels import unique
from tagger.core.model.numbers import canonical, split_total
from tagger.core.model.tags import series_of
from tagger.core.model.text import fold, printable

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Checklist
    from tagger.core.model.tags import Parallel, Row

_NUMBER = re.compile(r"^(?P<prefix>.*?)(?P<digits>[0-9]{1,9})(?P<rest>[A-Za-z]?)$")
_MOST_RANGES = 3
_MOST_MISSING = 5
_MOST_DIFFERENCES = 3


class SetFacts(NamedTuple):
    """One set: its rows, ranges such as `1–220, RC-1–RC-20`, numbers that are skipped or that
    several cards have, its parallels; `missing`: how many are skipped."""

    name: str
    cards: int
    ranges: tuple[str, ...]
    skipped: tuple[str, ...]
    repeated: tuple[str, ...]
    parallels: tuple[Parallel, ...]
    missing: int = 0


def set_facts(checklist: Checklist) -> list[SetFacts]:
    """The facts of each set, in the order of the list."""
    return [_facts(name, rows) for name, rows in checklist.sets.items()]


def _facts(name: str, rows: Sequence[Row]) -> SetFacts:
    runs, others = _runs(rows)
    ranges = [_range(prefix, numbers) for prefix, numbers in runs]
    skipped = [one for prefix, numbers in runs for one in _skipped(prefix, numbers)]
    parallels = unique(parallel for row in rows for parallel in row.parallels)
    missing = sum(_missing(numbers) for _, numbers in runs)
    ranged = (*ranges, *others)
    return SetFacts(name, len(rows), ranged, tuple(skipped), _repeated(rows), parallels, missing)


def _repeated(rows: Sequence[Row]) -> tuple[str, ...]:
    """The numbers that several cards of a series have."""
    times = Counter(
        (canonical(row.number), split_total(row.number)[1], series_of(row.extra))
        for row in rows
        if row.number
    )
    return tuple(dict.fromkeys(number for (number, *_), count in times.items() if count > 1))


def _missing(numbers: set[int]) -> int:
    return max(numbers) - min(numbers) + 1 - len(numbers)


def _runs(rows: Sequence[Row]) -> tuple[list[tuple[str, set[int]]], list[str]]:
    """The whole numbers of each prefix, and the numbers that have none."""
    runs: dict[str, tuple[str, set[int]]] = {}
    others: list[str] = []
    for row in rows:
        if match := _NUMBER.match(split_total(row.number)[0]):
            prefix = match["prefix"]
            runs.setdefault(fold(prefix), (prefix, set()))[1].add(int(match["digits"]))
        elif row.number:
            others.append(row.number)
    return list(runs.values()), others


def _range(prefix: str, numbers: set[int]) -> str:
    first, last = min(numbers), max(numbers)
    return f"{prefix}{first}" if first == last else f"{prefix}{first}–{prefix}{last}"


def _skipped(prefix: str, numbers: set[int]) -> Iterator[str]:
    """The numbers between the first and the last that no card has, as ranges."""
    some = sorted(numbers)
    for one, two in itertools.pairwise(some):
        if two == one + 2:
            yield f"{prefix}{one + 1}"
        elif two > one + 1:
            yield f"{prefix}{one + 1}–{prefix}{two - 1}"


def ranges_told(facts: SetFacts) -> str:
    """`1–220, RC-1–RC-20`, at most a few of them."""
    told = ", ".join(printable(one, 40) for one in facts.ranges[:_MOST_RANGES])
    more = len(facts.ranges) - _MOST_RANGES
    return f"{told} and {more} more" if more > 0 else told


def numbering_told(facts: SetFacts) -> Iterator[str]:
    """Sentences about numbers that skip or repeat."""
    name = printable(facts.name, 60)
    if facts.missing > facts.cards:  # of what is in stock, or is wanted, most numbers are missing
        cards = "1 card" if facts.cards == 1 else f"{facts.cards} cards"
        yield f"{name}: {cards}, and {facts.missing:,} numbers between theirs that none has"
    elif facts.skipped:
        yield f"{name}: no card has the number {_few(facts.skipped)}"
    if facts.repeated:
        yield f"{name}: several cards have the number {_few(facts.repeated)}"


def _few(some: Sequence[str]) -> str:
    told = ", ".join(printable(one, 30) for one in some[:_MOST_MISSING])
    more = len(some) - _MOST_MISSING
    return f"{told} and {more} more" if more > 0 else told


def disagreements(named: Sequence[tuple[str, Checklist]]) -> Iterator[str]:
    """Sentences about sets that two files have with different cards; `named` are the lists with
    their files."""
    held: dict[str, tuple[str, dict[tuple[str, str], str]]] = {}
    for file, checklist in named:
        for name, rows in checklist.sets.items():
            cards = _cards(rows)
            other = held.setdefault(fold(name), (file, cards))
            if other[0] != file and other[1] != cards:
                yield _disagreement(name, other, (file, cards))


def _cards(rows: Iterable[Row]) -> dict[tuple[str, str], str]:
    return {(canonical(row.number), series_of(row.extra)): row.subject for row in rows}


def _disagreement(
    name: str,
    one: tuple[str, dict[tuple[str, str], str]],
    two: tuple[str, dict[tuple[str, str], str]],
) -> str:
    (file, cards), (other, others) = one, two
    said = f"{printable(name, 60)} is in {file} ({len(cards)} cards) and {other} ({len(others)})"
    differ = [
        f"#{number} {printable(cards[number, part], 30)} / {printable(subject, 30)}"
        for (number, part), subject in others.items()
        if (number, part) in cards and fold(cards[number, part]) != fold(subject)
    ]
    if differ:
        more = len(differ) - _MOST_DIFFERENCES
        told = "; ".join(differ[:_MOST_DIFFERENCES]) + (f" and {more} more" if more > 0 else "")
        return f"{said}; {len(differ)} differ: {told}"
    only, only_other = len(cards.keys() - others.keys()), len(others.keys() - cards.keys())
    return f"{said}; {only} only in the first, {only_other} only in the second"
