"""How many of something, in words."""

from __future__ import annotations


def counted(count: int, one: str, several: str = "") -> str:
    """`1 card`, `1,204 cards`; `several` is the word for more than one, where it is not just an s
    more."""
    if count == 1:
        return f"1 {one}"
    return f"{count:,} {several or one + 's'}"
