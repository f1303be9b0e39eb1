"""What the user says that the columns of lists are: for all lists, and for one."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tagger.core.checklist.headings.meaning import heading_key
from tagger.store.machine.paths import data_folder
from tagger.store.machine.state_file import StateFile

Columns = Mapping[str, str]  # from a heading's key to a meaning


@dataclass(frozen=True)
class ListNames:
    """`columns` hold for all lists, `lists` for those of a file name, `corrected` for one file by
    its whole path; the later go first."""

    columns: Columns = field(default_factory=dict)
    lists: Mapping[str, Columns] = field(default_factory=dict)
    corrected: Mapping[str, Columns] = field(default_factory=dict)

    def of(self, path: Path) -> Columns:
        """What is said of one list."""
        own = self.lists.get(path.name, {})
        return {**self.columns, **own, **self.corrected.get(os.path.abspath(path), {})}

    def mixed(self, path: Path, digest: bytes) -> bytes:
        """The digest of a file's content with what is said of its columns, so that an index made
        otherwise is not used."""
        said = self.of(path)
        if not said:
            return digest
        return hashlib.sha256(digest + repr(sorted(said.items())).encode()).digest()


USUAL = ListNames()


def keyed(columns: Mapping[str, str]) -> Columns:
    """Columns by their headings as these are compared."""
    return {heading_key(heading): meaning for heading, meaning in columns.items()}


class ListCorrections:
    """What was corrected with `tagger checklist --columns`, remembered on this machine."""

    def __init__(self, folder: Path | None = None) -> None:
        self._file: StateFile[tuple[str, Columns]] = StateFile(
            folder or data_folder(), "lists", "path", _read, lambda value: {"columns": value[1]}
        )

    def all(self) -> Mapping[str, Columns]:
        """The corrections of each list, by its whole path."""
        return dict(self._file.values())

    def keep(self, path: Path, columns: Mapping[str, str]) -> None:
        """Remember what the columns of a list are, beside what was said before."""
        whole = os.path.abspath(path)
        before = self.all().get(whole, {})
        self._file.put(whole, (whole, {**before, **keyed(columns)}))


def _read(entry: Mapping[str, Any]) -> tuple[str, Columns]:
    columns = entry["columns"]
    if not all(isinstance(one, str) for pair in columns.items() for one in pair):
        raise ValueError("not columns")
    return str(entry["path"]), dict(columns)
