"""The processes that a program has started, as Linux tells them; and what stops them."""

from __future__ import annotations

import contextlib
import signal
from pathlib import Path


def heed_stops() -> None:
    """Let Ctrl+C and a line that drops stop what this process starts. nohup, and a shell without
    job control, start what goes on in the background with these ignored, and all that it starts
    would inherit that: a stop would not be one, and nobody would see it."""
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    if signal.getsignal(signal.SIGHUP) is signal.SIG_IGN:
        signal.signal(signal.SIGHUP, signal.SIG_DFL)


def tells_children(pid: int) -> bool:
    """Whether this system tells which processes a process has started."""
    return Path(f"/proc/{pid}/task/{pid}/children").exists()


def children(pid: int | str) -> set[str]:
    """The processes that any thread of a process has started."""
    found: set[str] = set()
    for thread in Path(f"/proc/{pid}/task").glob("*/children"):
        with contextlib.suppress(OSError):  # a thread that has ended meanwhile
            found |= set(thread.read_text().split())
    return found


def alive(pid: str) -> bool:
    """Whether a process is there and has not ended."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def that_read(pid: int | str) -> set[str]:
    """Those among a program's processes, and theirs, that have loaded what reads print."""
    found: set[str] = set()
    for child in children(pid):
        with contextlib.suppress(OSError):
            if b"onnxruntime" in Path(f"/proc/{child}/maps").read_bytes():
                found.add(child)
        found |= that_read(child)
    return found
