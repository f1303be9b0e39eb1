"""The most memory that this process has held, in bytes."""

from __future__ import annotations

import resource
import sys
from pathlib import Path


def peak_memory() -> int:
    """The process's own peak. `ru_maxrss` counts what the one that started it held at that moment
    as well (Linux keeps it over exec), so it is asked only where there is no /proc."""
    status = Path("/proc/self/status")
    if status.exists():
        for line in status.read_text().splitlines():
            if line.startswith("VmHWM:"):
                return int(line.split()[1]) * 1024
    unit = 1 if sys.platform == "darwin" else 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit
