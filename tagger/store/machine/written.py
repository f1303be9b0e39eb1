"""Which files this program wrote itself, by their paths, so that no other one is written over: a
list that can be lost, since then `--force` is asked for."""

from __future__ import annotations

import os
import stat
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from tagger.store.files import digest_bounded
from tagger.store.machine.state_file import StateFile

MOST = 1 << 34  # bytes of a file that is looked at: a lot's page with all its pictures has fewer


class WrittenFiles:
    """The list in its file `written.json`."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def note(self, path: Path, digest: str) -> bool:
        """Note that a file was written, with the SHA-256 of its bytes; whether that could be
        kept."""
        return self._file().put(_key(path), digest)

    def knows(self, path: Path) -> bool:
        """Whether the file that is there was written here and is as it was then; a link never is.
        Raises OSError."""
        known = self._file().get(_key(path))
        if known is None or not stat.S_ISREG(os.lstat(path).st_mode):
            return False
        return digest_bounded(path, MOST) == known

    def _file(self) -> StateFile[str]:
        return StateFile(
            self._folder, "written", "path", _digest, lambda digest: {"sha256": digest}
        )


def _key(path: Path) -> str:
    # where its folder really is, and the name in it: what is replaced is the name
    return os.fspath(path.parent.resolve() / path.name)


def _digest(entry: Mapping[str, Any]) -> str:
    return str(entry["sha256"])
