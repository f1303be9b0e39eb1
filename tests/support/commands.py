"""Commands that a test runs beside the program on the screen, in its own process: a start takes a
third of a second, and what they say is the same."""

from __future__ import annotations

import contextlib
import io
from pathlib import Path

from tagger.cli import main


def told_by(*words: str | Path, status: int | None = 0) -> str:
    """What `tagger WORDS` prints. `status`: what it must return, None for any."""
    told = io.TextIOWrapper(io.BytesIO(), encoding="utf-8", newline="", write_through=True)
    with contextlib.redirect_stdout(told):
        returned = main([str(word) for word in words])
    assert status is None or returned == status, f"{words}: {returned}"
    told.seek(0)
    return told.read()
