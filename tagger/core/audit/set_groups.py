"""Which cards of a lot belong to one set, as far as their backs tell it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

ALIKE = 1.5  # likeness above which two backs are of one set
_VOICES = 3  # so many look-alikes, where there are so many, must say so on average


def group_sets(band: Sequence[Sequence[float]]) -> list[int]:
    """A number for the set of each back in feeding order, from 0 on in the order in which the sets
    come.

    `band` has for each back its likeness to those that follow it. A back joins the set of the
    look-alikes before it; one without any begins a set, which later ones may join."""
    sets: list[int] = []
    count = 0
    for earlier in _looking_before(band):
        voices: dict[int, list[float]] = {}
        for value, at in earlier:
            voices.setdefault(sets[at], []).append(value)
        best = _most_alike(voices)
        if best is None:
            best = count
            count += 1
        sets.append(best)
    return sets


def _looking_before(band: Sequence[Sequence[float]]) -> list[list[tuple[float, int]]]:
    """For each back those before it, with its likeness to them."""
    before: list[list[tuple[float, int]]] = [[] for _ in band]
    for at, row in enumerate(band):
        for step, value in enumerate(row, start=1):
            before[at + step].append((value, at))
    return before


def _most_alike(voices: Mapping[int, Sequence[float]]) -> int | None:
    """The set whose backs are most alike, by likeness; None where none is alike enough."""
    best, likeness = None, ALIKE
    for name, values in voices.items():
        # Not the loudest alone: one that looks alike by chance must not make it a set's.
        loudest = sorted(values, reverse=True)[:_VOICES]
        mean = sum(loudest) / len(loudest)
        if mean > likeness:
            best, likeness = name, mean
    return best
