"""Lots that several tests look at, drawn once in a run whatever processes its tests are in."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Callable
from pathlib import Path

import pytest


def drawn_once(factory: pytest.TempPathFactory, name: str, draw: Callable[[Path], object]) -> Path:
    """The folder that `draw` fills, for reading only: by the first process of the run that asks for
    this name; the others wait for it."""
    root = factory.getbasetemp()
    if os.environ.get("PYTEST_XDIST_WORKER"):
        root = root.parent  # of the run, in which each process has a folder
    folder, begun = root / name, root / f"{name}, begun"
    with (root / f"{name}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not folder.exists():
            begun.mkdir()
            draw(begun)
            begun.rename(folder)
    return folder
