"""The table of what was measured beside what was aimed at."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

HEAD = ("what", "measured", "aim", "")


@dataclass(frozen=True)
class Line:
    """One measure. `met` is None where nothing was aimed at."""

    what: str
    measured: str
    aim: str = ""
    met: bool | None = None


def at_least(what: str, good: int, of: int, aim: float) -> Line:
    """A share that is to be at least `aim` (0 to 1)."""
    share = good / max(1, of)
    return Line(
        what, f"{_percent(share)} ({good} of {of})", f"at least {_percent(aim)}", share >= aim
    )


def at_most(what: str, bad: int, of: int, aim: float) -> Line:
    """A share that is to be at most `aim` (0 to 1)."""
    share = bad / max(1, of)
    return Line(
        what, f"{_percent(share)} ({bad} of {of})", f"at most {_percent(aim)}", share <= aim
    )


def below(what: str, value: float, aim: float | None, unit: str) -> Line:
    """A value that is to be at most `aim`; None: it is only told."""
    told = f"{value:.3g} {unit}"
    return (
        Line(what, told)
        if aim is None
        else Line(what, told, f"at most {aim:g} {unit}", value <= aim)
    )


def share(values: Sequence[float], part: float) -> float:
    """The value that `part` (0 to 1) of the values do not exceed; not a number where there are
    none."""
    ordered = sorted(values)
    return ordered[max(0, math.ceil(part * len(ordered)) - 1)] if ordered else math.nan


def _percent(value: float) -> str:
    return f"{100 * value:.1f}%"


def table_text(lines: Sequence[Line]) -> str:
    """The lines under their headings, columns aligned."""
    mark = {None: "", True: "met", False: "missed"}
    cells = [HEAD, *((line.what, line.measured, line.aim, mark[line.met]) for line in lines)]
    widths = [max(len(row[column]) for row in cells) for column in range(len(HEAD))]
    rows = [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in cells
    ]
    return "\n".join([rows[0], "  ".join("-" * width for width in widths).rstrip(), *rows[1:]])
