"""Checklist files on disk."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from tagger.core.checklist import Checklist, Problem, merge
from tagger.core.checklist_file import parse_checklist
from tagger.core.text import printable
from tagger.errors import LotError

LARGEST = 512 * 1024 * 1024  # bytes


def read_checklist(path: Path) -> Checklist:
    """One checklist file. Raises LotError where it cannot be read at all."""
    shown = printable(str(path))
    try:
        if path.is_dir():
            raise LotError(f"{shown} is a folder; name a checklist file.")
        if not path.exists():
            raise LotError(f"There is no checklist {shown}.")
        if path.stat().st_size > LARGEST:
            raise LotError(f"The checklist {shown} is larger than {LARGEST // 1024**2} MB; split it.")
        data = path.read_bytes()
    except OSError as error:
        raise LotError(f"The checklist {shown} cannot be read: {error.strerror}.") from None
    return parse_checklist(data, printable(path.name), printable(path.stem))


def read_checklists(paths: Sequence[Path]) -> Checklist:
    """Several files as one checklist; a file that cannot be read becomes a problem, and the others count."""
    found: list[Checklist] = []
    for path in paths:
        try:
            found.append(read_checklist(path))
        except LotError as error:
            found.append(Checklist((), (Problem(printable(path.name), 0, error.message),)))
    return merge(found) if found else Checklist()
