"""The table of what was measured beside what was aimed at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bench.common.table import aligned

HEAD = ("what", "measured", "aim", "")


@dataclass(frozen=True)
class Measure:
    """One measure. `met` is None where nothing was aimed at."""

    what: str
    measured: str
    aim: str = ""
    met: bool | None = None


def at_least(what: str, good: int, of: int, aim: float) -> Measure:
    """A share that is to be at least `aim` (0 to 1)."""
    share = good / max(1, of)
    return Measure(
        what, f"{_percent(share)} ({good} of {of})", f"at least {_percent(aim)}", share >= aim
    )


def at_most(what: str, bad: int, of: int, aim: float) -> Measure:
    """A share that is to be at most `aim` (0 to 1)."""
    share = bad / max(1, of)
    return Measure(
        what, f"{_percent(share)} ({bad} of {of})", f"at most {_percent(aim)}", share <= aim
    )


def below(what: str, value: float, aim: float | None, unit: str) -> Measure:
    """A value that is to be at most `aim`; None: it is only told."""
    told = f"{value:.3g} {unit}"
    return (
        Measure(what, told)
        if aim is None
        else Measure(what, told, f"at most {aim:g} {unit}", value <= aim)
    )


def _percent(value: float) -> str:
    return f"{100 * value:.1f}%"


def table_text(lines: Sequence[Measure]) -> str:
    """The lines under their headings."""
    mark = {None: "", True: "met", False: "missed"}
    return aligned(
        [HEAD, *((line.what, line.measured, line.aim, mark[line.met]) for line in lines)]
    )
