"""How many of something, and which of several, in words."""

from __future__ import annotations

from collections.abc import Sequence


def counted(count: int, one: str, several: str = "") -> str:
    """`1 card`, `1,204 cards`; `several` is the word for more than one, where it is not just an s
    more."""
    if count == 1:
        return f"1 {one}"
    return f"{count:,} {several or one + 's'}"


def any_of(words: Sequence[str]) -> str:
    """`set`, `set or serial`, `number, name or note`: one word or more."""
    *first, last = words
    if not first:
        return last
    return f"{', '.join(first)} or {last}"
