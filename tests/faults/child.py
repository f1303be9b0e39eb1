"""A process of its own for work that is limited, watched or killed."""

from __future__ import annotations

import os
from collections.abc import Callable


def child(work: Callable[[int], int]) -> tuple[int, int]:
    """Start a process that does some work and ends with the status it gives, 1 where it raises.

    The work is given the end of a pipe to tell through; returns the process and the other end."""
    end, told = os.pipe()
    process = os.fork()
    if process == 0:
        status = 1
        try:
            os.close(end)
            status = work(told)
        finally:
            # Not sys.exit: what the tests clean up at their end is not the child's to clean.
            os._exit(status)
    os.close(told)
    return process, end


def ended(process: int, end: int) -> tuple[int, bytes]:
    """What the process still tells until it ends, and its status, negative for a signal."""
    said = b""
    while more := os.read(end, 65536):
        said += more
    os.close(end)
    return os.waitstatus_to_exitcode(os.waitpid(process, 0)[1]), said
