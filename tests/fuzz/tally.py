"""What a fuzz run counts."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

TOP = Path(__file__).parents[2]


@dataclass
class Tally:
    """Cases tried, and what was wrong, each with what makes it again."""

    what: str
    tried: int = 0
    traces: list[str] = field(default_factory=list)
    slow: list[str] = field(default_factory=list)
    silent: list[str] = field(default_factory=list)
    printed: int = 0  # bytes that came to the screen
    words: str = ""  # the first of them
    memory: int = 0  # bytes, the most that any process had
    slowest: float = 0.0  # seconds of CPU

    def add(self, found: Mapping[str, Any]) -> None:
        """One thing that was wrong, or what was measured."""
        for name, where in (
            ("trace", self.traces), ("slow", self.slow), ("silent", self.silent),
        ):  # fmt: skip
            if name in found:
                where.append(f"{self.what} {found['case']}: {found[name]}")
        self.slowest = max(self.slowest, found.get("slowest", 0.0))
        self.memory = max(self.memory, found.get("memory", 0))

    def join(self, other: Tally) -> None:
        """What another part of the same cases came to."""
        self.tried += other.tried
        self.traces += other.traces
        self.slow += other.slow
        self.silent += other.silent
        self.printed += other.printed
        self.words = self.words or other.words
        self.slowest = max(self.slowest, other.slowest)
        self.memory = max(self.memory, other.memory)

    @property
    def good(self) -> bool:
        """Whether nothing was wrong."""
        return not (self.traces or self.slow or self.silent or self.printed)

    def __str__(self) -> str:
        wrong = "\n".join((self.traces + self.slow + self.silent)[:20])
        return (
            f"{self.what}: {self.tried} tried, {len(self.traces)} traces, {len(self.slow)} slow "
            f"(slowest {self.slowest:.1f} s), {len(self.silent)} silent, {self.printed} bytes "
            f"printed, {self.memory / 1e6:.0f} MB\n{wrong}{self.words}"
        )


def searched() -> dict[str, str]:
    """The environment in which a process finds the program, the tests and what they stand on."""
    found = (TOP, TOP / "tests", TOP / "demo")
    return {**os.environ, "PYTHONPATH": os.pathsep.join(map(str, found))}
