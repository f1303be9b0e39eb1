"""What hangs together, by pairs that do."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def roots(count: int, pairs: Iterable[Sequence[int]]) -> list[int]:
    """For each of so many things one of those that it hangs together with, the same one for all of
    them (union-find)."""
    root = list(range(count))

    def first(at: int) -> int:
        while root[at] != at:
            root[at] = root[root[at]]
            at = root[at]
        return at

    for one, other in pairs:
        root[first(other)] = first(one)
    return [first(at) for at in range(count)]
