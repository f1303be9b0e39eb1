"""What a topic prints: rows as they come, the machine they were measured on, and what could not be
measured."""

from __future__ import annotations

import os
import platform
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path

from bench.common.table import Row, table_text

CHECKOUT = Path(__file__).parents[3]


@dataclass
class Report:
    """Rows as they come, and what could not be measured."""

    rows: list[Row] = field(default_factory=list)
    failures: list[str] = field(default_factory=list)

    def add(self, what: str, measure: Callable[[], Iterable[Row]]) -> bool:
        """Measure and keep the rows; whether it could be done."""
        start = time.perf_counter()
        try:
            self.rows.extend(measure())
        except Exception as error:  # whatever it is, the other measurements are still wanted
            self.failures.append(f"{what}: {type(error).__name__}: {error}")
            self.rows.append(Row(what, "not measured"))
            return False
        finally:
            print(f"  {what}: {time.perf_counter() - start:.0f} s", file=sys.stderr)
        return True

    def printed(self, head: str) -> int:
        """Print the table under a line that says what was measured and where; returns the exit
        status, 1 where something could not be measured."""
        print(f"{head} · {machine()}")
        print(table_text(self.rows))
        for failure in self.failures:
            print(f"Not measured: {failure}", file=sys.stderr)
        return 1 if self.failures else 0


def machine() -> str:
    """What times depend on: the Python, the cores and how busy they are (load of 1, 5 and 15
    minutes)."""
    load = " ".join(f"{value:.1f}" for value in os.getloadavg())
    return f"Python {platform.python_version()} · {os.cpu_count()} cores · load {load}"


def start_as_users_do() -> None:
    """Take out of the environment what the runner put there for this process, and what keeps
    modules from being compiled, so that programs are started as a user starts them: those of the
    checkout that is measured, whichever one the interpreter has installed."""
    for name in ("PYTHONDONTWRITEBYTECODE", "PYTHONUNBUFFERED"):
        os.environ.pop(name, None)
    os.environ["PYTHONPATH"] = str(CHECKOUT)
