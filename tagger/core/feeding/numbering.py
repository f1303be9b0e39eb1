"""Gaps in the numbers that a scanner gave its files."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from itertools import groupby, pairwise

from tagger.core.feeding.order import run_number
from tagger.core.model.text import named

STEADY = 0.6  # of the steps from number to number must be alike before another one is a gap


def gaps(names: Sequence[str]) -> list[tuple[str, str, int]]:
    """(scan before, scan after, how many numbers are missing) for scans in feeding order.

    Each run of the scanner counts by itself. Names with a date and time, and runs of fewer than
    four scans, have no gaps."""
    found: list[tuple[str, str, int]] = []
    numbered = [(name, *said) for name in names if (said := run_number(name)) is not None]
    for _, members in groupby(numbered, key=lambda one: one[1]):
        run = list(members)
        steps = [after[2] - before[2] for before, after in pairwise(run)]
        usual = Counter(step for step in steps if step > 0).most_common(1)
        if len(run) < 4 or not usual or usual[0][1] < STEADY * sum(step > 0 for step in steps):
            continue
        step = usual[0][0]
        for (before, after), way in zip(pairwise(run), steps, strict=True):
            if way > step and way % step == 0:
                found.append((before[0], after[0], way // step - 1))
    return found


def name_after(name: str, following: str = "") -> str:
    """A file name that sorts right behind a scan's and belongs to the same run: the number that is
    missing before the `following` scan, else one with a letter more, `scan_0079x.jpg` for
    `scan_0079.jpg`."""
    here, there = run_number(name), run_number(following)
    if here and there and here[0] == there[0] and there[1] - here[1] > 1:
        stem, ending = re.fullmatch(r"(.*?)(\.[^.]+)?", name, re.DOTALL).groups("")  # type: ignore[union-attr]
        head, digits, tail = re.fullmatch(r"(.*?)([0-9]+)(\D*)", stem, re.DOTALL).groups()  # type: ignore[union-attr]
        return f"{head}{here[1] + 1:0{len(digits)}d}{tail}{ending}"
    return re.sub(r"(\.[^.]+)?$", lambda ending: f"x{ending[0]}", name, count=1)


def name_beside(scans: Sequence[str], scan: str, behind: bool) -> str:
    """How to name a scan so that it sorts right behind another one, or right before it: `as
    scan_0080.jpg`."""
    at = (scans.index(scan) if scan in scans else 0) - (not behind)
    following = scans[at + 1] if at + 1 < len(scans) else ""
    return (
        f"as {named(name_after(scans[at], following))}"
        if at >= 0
        else f"so that it sorts before {named(scan)}"
    )
