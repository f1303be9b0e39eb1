"""What is wrong with the lots that this process has read. Each reading notes it here, and the
command line tells it at the end of every command, so that no command can leave it out."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.store.lot.messages import changed_outside

if TYPE_CHECKING:
    from tagger.store.lot.recovery import Recovered

_found: dict[Path, str] = {}
_replaced: dict[Path, str] = {}
_back: dict[Path, str] = {}


def note_trouble(home: Path, trouble: str) -> None:
    """What a reading of the lot kept in `home` found: a clause that can end a sentence, empty
    where nothing is wrong with it any more."""
    _found.pop(home, None)
    if trouble:
        _found[home] = trouble


def note_replaced(home: Path, trouble: str) -> None:
    """That scans of the lot kept in `home` are other pictures than when their cards were tagged; as
    `note_trouble`."""
    _replaced.pop(home, None)
    if trouble:
        _replaced[home] = trouble


def note_back(home: Path, trouble: str) -> None:
    """That the lot kept in `home` is older than it was, or another one; as `note_trouble`."""
    if trouble:
        _back[home] = trouble


def told_troubles() -> list[tuple[str, str]]:
    """(folder, printable; what is wrong) of each such lot; each is given once."""
    found = (*_found.items(), *_back.items(), *_replaced.items())
    _found.clear()
    _back.clear()
    _replaced.clear()
    return [(printable(str(home)), trouble) for home, trouble in found]


def trouble_of(found: Recovered) -> str:
    """What somebody who only reads the lot must know, as a clause; empty where all is well."""
    if found.edited:
        return changed_outside(found.edited).removesuffix(".")
    return found.trouble or found.lost
