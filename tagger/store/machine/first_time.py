"""Whether the program was opened on this machine before."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path


class FirstTime:
    """Remembered by an empty file of a folder. Silent where that cannot be read or written."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / "opened-before"

    @property
    def now(self) -> bool:
        """Whether this is the first time."""
        return not os.path.exists(self._path)

    def over(self) -> None:
        """It is no longer the first time, from now on."""
        # Where nothing can be kept it is the first time again, and the program works all the same.
        with contextlib.suppress(OSError):
            self._path.parent.mkdir(parents=True, exist_ok=True)
            self._path.touch()
