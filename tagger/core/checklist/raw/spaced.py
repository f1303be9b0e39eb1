"""Columns that are parted by spaces, as pages and old programs print them: parted by tabs."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

_GAP = re.compile(r"(?<=\S) {2,}(?=\S)")
_LEADERS = re.compile(r" *(?:\.{4,}|…{2,}|_{4,}|(?:\. ){3,}\.?) *")
_LOOKED_AT = 400  # lines
_WIDEST = 400  # characters of a line in columns


def has_columns_of_spaces(lines: Sequence[str]) -> bool:
    """Whether most lines have gaps of several spaces, or dots, between words and no tabs."""
    some = [line for line in lines if line.strip()][:_LOOKED_AT]
    if len(some) < 2 or any("\t" in line for line in some):
        return False
    gaps = sum(_GAP.search(_without_leaders(line.strip(), "   ")) is not None for line in some)
    return gaps * 10 >= len(some) * 6


def tabbed(text: str) -> str:
    """The text with tabs for the gaps between columns; lines stay the lines they are."""
    lines = [_without_leaders(line, _spaces) for line in text.split("\n")]
    apart = [line for line in lines if _GAP.search(line) and len(line) <= _WIDEST]
    gutters = _gutters(apart[:_LOOKED_AT])
    return "\n".join(_line(line, gutters) for line in lines)


def _without_leaders(line: str, spaces: str | Callable[[re.Match[str]], str]) -> str:
    # in a line of nothing but gaps these could be looked for from each of its places
    return line if len(line) > 2 * _WIDEST else _LEADERS.sub(spaces, line)


def _spaces(match: re.Match[str]) -> str:
    return " " * len(match[0])


def _gutters(lines: Sequence[str]) -> list[tuple[int, int]]:
    """Where all of some lines are blank for two places or more: from, to."""
    width = max(map(len, lines), default=0)
    blank = bytearray(b"1" * (width + 1))
    for line in lines:
        for match in re.finditer(r"\S+", line):
            blank[match.start() : match.end()] = b"0" * (match.end() - match.start())
    runs = [match.span() for match in re.finditer(b"1{2,}", bytes(blank))]
    return [(a, b) for a, b in runs if a > 0 and b <= width]


def _line(line: str, gutters: Sequence[tuple[int, int]]) -> str:
    if not _GAP.search(line) and not _begins_late(line, gutters):
        return line
    if any(line[a:b].strip() for a, b in gutters) or not gutters:
        return _GAP.sub("\t", line.strip())
    starts = [0, *(b for _, b in gutters)]
    ends = [*(a for a, _ in gutters), len(line)]
    return "\t".join(line[a:b].strip() for a, b in zip(starts, ends, strict=True)).rstrip("\t")


def _begins_late(line: str, gutters: Sequence[tuple[int, int]]) -> bool:
    """Whether a line has nothing in the first column."""
    return bool(gutters) and bool(line.strip()) and not line[: gutters[0][1]].strip()
