"""How far a long work is, on a terminal: one line, drawn afresh a few times a second."""

from __future__ import annotations

import contextlib
import sys
from time import monotonic

OFTEN = 0.25  # seconds


class Progress:
    """Tells of `of` things that are `what`, with the rate and the time left. Silent where stderr is
    no terminal."""

    def __init__(self, what: str, of: int) -> None:
        self._what, self._of = what, of
        self._start = self._said = monotonic()
        self._shown = of > 0 and sys.stderr.isatty()
        self._open = False  # whether the cursor stands in the line

    def at(self, count: int) -> None:
        """So many are done."""
        now = monotonic()
        if not self._shown or (count < self._of and now - self._said < OFTEN):
            return
        self._said = now
        rate = count / max(now - self._start, 1e-6)
        left = f", {_time((self._of - count) / rate)} left" if count < self._of else ""
        end = "\n" if count >= self._of else ""
        self._open = not end
        with contextlib.suppress(OSError):
            print(
                f"\r{count} of {self._of} {self._what}, {rate:.0f} a second{left}\x1b[K",
                end=end,
                file=sys.stderr,
            )
            sys.stderr.flush()

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, *_: object) -> None:
        """What is told next gets a line of its own, also when the work was stopped."""
        if self._open:
            with contextlib.suppress(OSError):
                print(file=sys.stderr)


def _time(seconds: float) -> str:
    return f"{seconds / 60:.0f} min" if seconds > 99 else f"{seconds:.0f} s"
