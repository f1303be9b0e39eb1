"""Measured values, and the table that they are printed as."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

HEAD = ("what", "median / p95", "peer", "ratio", "aim")


@dataclass(frozen=True)
class Row:
    """One line of the table. `ratio` is the measured median over the peer's, where both are in one
    unit."""

    what: str
    measured: str
    peer: str = ""
    ratio: str = ""
    aim: str = ""


def share(values: Sequence[float], part: float) -> float:
    """The value that `part` (0 to 1) of the values do not exceed: the nearest rank. Not a number
    where there are none."""
    ordered = sorted(values)
    if not ordered:
        return math.nan
    return ordered[max(0, math.ceil(part * len(ordered)) - 1)]


def time_text(seconds: float) -> str:
    """Three digits with a unit that suits them."""
    for unit, factor in (("s", 1.0), ("ms", 1e3)):
        if seconds * factor >= 1:
            return f"{_three(seconds * factor)} {unit}"
    return f"{_three(seconds * 1e6)} µs"


def bytes_text(count: float) -> str:
    """Bytes or thousands of bytes."""
    return f"{count:.0f} B" if count < 1000 else f"{_three(count / 1000)} kB"


def _three(value: float) -> str:
    return f"{value:.0f}" if value >= 100 else f"{value:.1f}" if value >= 10 else f"{value:.2f}"


def times(
    what: str,
    values: Sequence[float],
    peer: str = "",
    peer_values: Sequence[float] = (),
    *,
    aim: float | None = None,
    high: float = 0.95,
) -> Row:
    """A line for times in seconds. Where `high` is not 0.95 it is named; an aim in seconds is held
    against the median."""
    mark = "" if high == 0.95 else f" (p{high * 100:.0f})"
    median = statistics.median(values)
    measured = f"{time_text(median)} / {time_text(share(values, high))}{mark}"
    told = "" if aim is None else f"{time_text(aim)}: {'met' if median <= aim else 'missed'}"
    if not peer_values:
        return Row(what, measured, aim=told)
    other = statistics.median(peer_values)
    return Row(what, measured, f"{time_text(other)}  {peer}", ratio_text(median, other), told)


def ratio_text(value: float, peer: float) -> str:
    """How many times the peer's value."""
    if peer <= 0:
        return ""
    ratio = value / peer
    return f"{ratio:.2f}" if ratio >= 0.1 else f"1/{1 / ratio:.0f}" if ratio > 0 else "0"


def table_text(rows: Sequence[Row]) -> str:
    """The rows under a line of headings."""
    return aligned([HEAD, *((r.what, r.measured, r.peer, r.ratio, r.aim) for r in rows)])


def aligned(rows: Sequence[Sequence[str]]) -> str:
    """Rows of as many cells each, columns aligned, the first underlined as the heading."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    lines = [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]
    return "\n".join([lines[0], "  ".join("-" * width for width in widths), *lines[1:]])
