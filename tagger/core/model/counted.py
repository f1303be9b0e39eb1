"""How many of something, in words."""

from __future__ import annotations


def counted(count: int, one: str, several: str = "") -> str:
    """`1 card`, `2 cards`; `several` is what more than one are called, where it is no plain s."""
    if count == 1:
        return f"1 {one}"
    return f"{count} {several or one + 's'}"
