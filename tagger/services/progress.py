"""How far a long work is, on a terminal: one line, drawn afresh a few times a second."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterable
from time import monotonic

from tagger.services.console import is_quiet

OFTEN = 0.25  # seconds


class Progress:
    """Shows how many of how many things are `what`, with the rate and the time left. Silent where
    stderr is not a terminal, or nothing is to be said."""

    def __init__(self, what: str) -> None:
        self._what = what
        self._start = self._drawn = monotonic()
        # None: it was closed before the program was started
        self._shown = sys.stderr is not None and sys.stderr.isatty() and not is_quiet()
        self._open = False  # whether the cursor stands in the line

    def at(self, count: int, of: int) -> None:
        """So many of so many are done."""
        now = monotonic()
        over = count >= of
        # The last state is drawn in any case, or the line would stay at 99 of 100.
        if not self._shown or (not over and now - self._drawn < OFTEN):
            return
        self._drawn = now
        # The clock may not have moved since the start.
        rate = count / max(now - self._start, 1e-6)
        line = f"{count} of {of} {self._what}, {_rate(rate)} a second"
        if not over:
            line += f", {_time((of - count) / rate)} left"
        self._draw(line, over)

    def _draw(self, line: str, over: bool) -> None:
        self._open = not over
        # The terminal may be gone; the work goes on without it.
        with contextlib.suppress(OSError):
            # Cleared to its end, since the line before may have been longer.
            print(f"\r{line}\x1b[K", end="\n" if over else "", file=sys.stderr)
            sys.stderr.flush()

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, *_: object) -> None:
        """What is told next gets a line of its own, also when the work was stopped."""
        if self._open:
            with contextlib.suppress(OSError):
                print(file=sys.stderr)


def follow(what: str, steps: Iterable[tuple[int, int]]) -> None:
    """Do a work to its end that says after each step how many of how many are done."""
    with Progress(what) as progress:
        for count, of in steps:
            progress.at(count, of)


def _rate(rate: float) -> str:
    return f"{rate:.0f}" if rate >= 3 else f"{rate:.1f}"


def _time(seconds: float) -> str:
    return f"{seconds / 60:.0f} min" if seconds > 99 else f"{seconds:.0f} s"
