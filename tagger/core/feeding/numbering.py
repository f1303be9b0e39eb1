"""Gaps in the numbers that a scanner gave its files."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from typing import NamedTuple

from tagger.core.feeding.order import run_number, split_scan
from tagger.core.model.text import named

FEWEST = 4  # scans of a run, below which its steps say nothing
STEADY = 0.6  # of the steps from number to number must be alike before another one is a gap


class _Numbered(NamedTuple):
    """A scan with the run of the scanner and the number that its name tells."""

    name: str
    run: str
    number: int


def gaps(names: Sequence[str]) -> list[tuple[str, str, int]]:
    """(scan before, scan after, how many numbers are missing) for scans in feeding order.

    Each run of the scanner counts by itself. Names with a date and time, and runs of fewer than
    four scans, have no gaps."""
    runs = groupby(_numbered(names), key=lambda one: one.run)
    return [gap for _, members in runs for gap in _gaps_of_run(list(members))]


def _numbered(names: Sequence[str]) -> Iterator[_Numbered]:
    for name in names:
        known = run_number(name)
        if known is not None:
            yield _Numbered(name, *known)


def _gaps_of_run(run: Sequence[_Numbered]) -> list[tuple[str, str, int]]:
    if len(run) < FEWEST:
        return []
    steps = [after.number - before.number for before, after in pairwise(run)]
    usual = _usual_step(steps)
    if usual is None:
        return []
    return [
        (before.name, after.name, step // usual - 1)
        for (before, after), step in zip(pairwise(run), steps, strict=True)
        # A step that is no multiple is no hole of whole scans: the scanner counted otherwise there.
        if step > usual and step % usual == 0
    ]


def _usual_step(steps: Sequence[int]) -> int | None:
    """The step that most numbers of a run make; None where they make no rule."""
    # A scanner that makes two files a sheet may count by twos: the usual step is no gap.
    rising = [step for step in steps if step > 0]
    common = Counter(rising).most_common(1)
    if not common or common[0][1] < STEADY * len(rising):
        return None
    return common[0][0]


def name_after(name: str, following: str = "") -> str:
    """A file name that sorts right behind a scan's and belongs to the same run: the number that is
    missing before the `following` scan, else one with a letter more, `scan_0079x.jpg` for
    `scan_0079.jpg`."""
    here, there = run_number(name), run_number(following)
    # A page or a part of a file is no file that could be scanned: the new one comes behind it all.
    file, _ = split_scan(name)
    counted = _COUNTED.fullmatch(name)
    if counted and file == name and here and there and _leaves_room(here, there):
        return _with_number(counted, here[1] + 1)
    # A letter behind the number sorts right behind it and is no side: `a`, `b` and `f` would be.
    return re.sub(r"(\.[^.]+)?$", lambda ending: f"x{ending[0]}", file, count=1)


def _with_number(counted: re.Match[str], number: int) -> str:
    """A file name with another number, in as many digits."""
    digits = f"{number:0{len(counted['digits'])}d}"
    return f"{counted['head']}{digits}{counted['tail']}{counted['ending'] or ''}"


def _leaves_room(here: tuple[str, int], there: tuple[str, int]) -> bool:
    """Whether a number is missing between two of the same run of the scanner."""
    return here[0] == there[0] and there[1] - here[1] > 1


# What stands before a name's last number, the number, what stands behind it, and the ending.
_COUNTED = re.compile(
    r"(?P<head>.*?)(?P<digits>[0-9]+)(?P<tail>\D*?)(?P<ending>\.[^.]+)?", re.DOTALL
)


def name_beside(scans: Sequence[str], scan: str, behind: bool) -> str:
    """How to name a scan so that it sorts right behind another one, or right before it: `as
    scan_0080.jpg`."""
    at = scans.index(scan) if scan in scans else 0
    if not behind:
        at -= 1
    if at < 0:
        return f"so that it sorts before {named(scan)}"
    following = scans[at + 1] if at + 1 < len(scans) else ""
    return f"as {named(name_after(scans[at], following))}"
