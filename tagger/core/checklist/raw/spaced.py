"""Columns that are parted by spaces, as pages and old programs print them: parted by tabs."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from itertools import islice, pairwise

from tagger.core.checklist.raw.notes import is_page_foot

_GAP = re.compile(r"(?<=\S) {2,}(?=\S)")
_LEADERS = re.compile(r" *(?:\.{4,}|…{2,}|_{4,}|(?:\. ){3,}\.?) *")
_LOOKED_AT = 400  # lines
_WIDEST = 400  # characters of a line in columns
_MOST_OVER = 40  # lines that are looked at for text over the gaps


def has_columns_of_spaces(lines: Sequence[str]) -> bool:
    """Whether most lines have gaps of several spaces, or dots, between words and no tabs."""
    some = [line for line in lines if line.strip()][:_LOOKED_AT]
    if len(some) < 2 or any("\t" in line for line in some):
        return False
    gaps = sum(_GAP.search(_without_leaders(line.strip(), "   ")) is not None for line in some)
    return gaps * 10 >= len(some) * 6


def tabbed(text: str) -> str:
    """The text with tabs for the gaps between columns; lines stay the lines they are."""
    lines = ["" if is_page_foot(line) else line for line in text.split("\n")]
    lines = [_without_leaders(line, _spaces) for line in lines]
    gutters = _ruled_gutters(lines) or _seen_gutters(lines)
    return "\n".join(_line(line, gutters) for line in lines)


def _seen_gutters(lines: Sequence[str]) -> list[tuple[int, int]]:
    """Where all lines with gaps are blank; none where their parts do not stand below each other."""
    apart = [line for line in lines if _GAP.search(line) and len(line) <= _WIDEST]
    gutters = _gutters(_in_columns(apart[:_LOOKED_AT]))
    return [] if _are_parted_by_gaps(apart, len(gutters) + 1) else gutters


_RULES = re.compile(r"\s*(?:-{2,}|={2,}|_{2,})(?:\s+(?:-+|=+|_+))+\s*")


def _ruled_gutters(lines: Sequence[str]) -> list[tuple[int, int]]:
    """What is between the rules below the names of columns, `----- ---`, as programs print them;
    none where there are no such rules, or others on another page."""
    rules = {line.rstrip() for line in lines if len(line) <= _WIDEST and _RULES.fullmatch(line)}
    if len(rules) != 1:
        return []
    spans = [match.span() for match in re.finditer(r"\S+", rules.pop())]
    return [(one[1], two[0]) for one, two in pairwise(spans)]


def with_even_tabs(text: str) -> str:
    """The text with one tab for several, where all lines have as many cells filled, but not in the
    same places: tabs that were typed as it looked right."""
    head = (line.strip().split("\t") for line in text.split("\n", _LOOKED_AT)[:_LOOKED_AT])
    cells = [one for one in head if len(one) > 1]
    places = {tuple(at for at, cell in enumerate(one) if cell.strip()) for one in cells}
    if len(cells) < 3 or len(places) < 2 or len(set(map(len, places))) > 1:
        return text
    return re.sub(r"(?m)^\t+|(?<=\t)\t+", "", text)


def _without_leaders(line: str, spaces: str | Callable[[re.Match[str]], str]) -> str:
    # in a line of nothing but gaps these could be looked for from each of its places
    return line if len(line) > 2 * _WIDEST else _LEADERS.sub(spaces, line)


def _spaces(match: re.Match[str]) -> str:
    return " " * len(match[0])


def _are_parted_by_gaps(lines: Sequence[str], count: int) -> bool:
    """Whether nearly all lines have as many parts, and more than `count`, which need not stand
    below each other: `10  Marsh, Ada  HAR`."""
    parted = [_GAP.split(line.strip()) for line in lines]
    # `1    Ada Marsh   -   (Harbor Gulls)` has marks of its own between its parts
    plain = Counter(len(parts) for parts in parted if all(part[0].isalnum() for part in parts))
    most, times = plain.most_common(1)[0] if plain else (0, 0)
    return most > count and times * 10 >= len(lines) * 9


def _in_columns(lines: Sequence[str]) -> list[str]:
    """The lines without the few whose text runs over where all others are blank, such as the sum
    below a list."""
    taken = Counter(at for line in lines for at in _taken_by(line))
    alone = [(sum(taken[at] == 1 for at in _taken_by(line)), line) for line in lines]
    kept = list(lines)
    over = (line for count, line in sorted(alone, key=lambda one: -one[0]) if count)
    for line in islice(over, min(_MOST_OVER, len(lines) // 10)):
        kept = _without_over(kept, line)
    return kept


def _without_over(lines: list[str], line: str) -> list[str]:
    """Lines without one that stands over a gap of all others."""
    others = [one for one in lines if one is not line]
    return others if len(_gutters(others)) > len(_gutters(lines)) else lines


def _taken_by(line: str) -> Iterator[int]:
    """The places of a line that are not blank."""
    return (at for at, one in enumerate(line) if not one.isspace())


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
