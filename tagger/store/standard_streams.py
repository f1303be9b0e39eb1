"""`-` in place of a file's name: standard input or standard output, as POSIX has it (Utility Syntax
Guidelines, 13)."""

from __future__ import annotations

import sys
from pathlib import Path

STDIO = Path("-")


def read_stdin(limit: int) -> bytes:
    """What comes in on standard input, at most so many bytes of it. Raises OSError."""
    if sys.stdin is None:  # closed before the program was started
        return b""
    return sys.stdin.buffer.read(limit)
