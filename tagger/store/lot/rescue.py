"""What was accepted, kept beside a journal that another program replaced or deleted while the lot
was open: written, found again, and put in its place by a repair."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.store.files import Files, keep_aside, read_whole, replace_durably
from tagger.store.lot.journal import JOURNAL, RESCUED, Journal, first_damage, read_journal
from tagger.store.lot.main_file import MAIN, Main
from tagger.store.lot.new_journal import new_draft
from tagger.store.lot.recovery import recovered_from

if TYPE_CHECKING:
    from tagger.store.lot.lot_tables import LotTables
    from tagger.store.lot.recovery import Recovered
SET_ASIDE = f"{JOURNAL}.set-aside"


def rescued_files(files: Files, home: Path) -> Iterator[Path]:
    """The journals that were kept beside a lot's own, the oldest first. Raises OSError."""
    number = 1
    while files.exists(path := home / f"{RESCUED}-{number}"):
        yield path
        number += 1


def mention_rescued(files: Files, home: Path, found: Recovered) -> None:
    """Say of a lot that was looked at that more of it is kept beside it. Raises OSError."""
    if not files.exists(home / f"{RESCUED}-1"):
        return
    found.lost = (
        f"{RESCUED}-1 has the tags of a sitting in which another program replaced {JOURNAL}; "
        "tagger repair FOLDER restores them"
    )
    found.notes.insert(0, f"{found.lost}.")


class Rescue:
    """Keeps what was accepted into a lot whose journal is not there any more, once: beside it, else
    in the folder `refuge`."""

    def __init__(self, files: Files, home: Path, refuge: Path | None) -> None:
        self._files, self._home, self._refuge = files, home, refuge
        self._said, self._end = "", -1

    def kept(self, journal: Journal, tables: LotTables, name: str) -> str:
        """Keep it, and say where it is and what to do, or why it could not be kept."""
        # a folder that came back has more in it by now
        if self._said and self._end == journal.end:
            return self._said
        data = _accepted(journal, tables, name)
        try:
            self._said, self._end = self._write(data), journal.end
        except OSError as error:
            return (
                f"{_gone(self._home)}, and a copy could not be written ({error.strerror}). Type "
                "another folder and press Ctrl+S to copy the lot there."
            )
        return self._said

    def _write(self, data: bytes) -> str:
        try:
            path = keep_aside(self._files, self._home / RESCUED, data)
        except OSError:
            if self._refuge is None:
                raise
            self._refuge.mkdir(parents=True, exist_ok=True)
            path = keep_aside(self._files, self._refuge / RESCUED, data)
            return (
                f"{_gone(self._home)}. All tags are in {printable(str(path))}; put that file into "
                f"the lot's folder as {JOURNAL}."
            )
        return (
            f"{_gone(self._home)}. All tags are in {path.name}; tagger repair FOLDER restores them."
        )


def _accepted(journal: Journal, tables: LotTables, name: str) -> bytes:
    """A journal of all that was accepted, with what can be undone where the open file has it."""
    # the file that was replaced is still there for whoever has it open
    with suppress(OSError):
        if data := journal.acknowledged():
            return data
    return bytes(new_draft(tables, name, Main(None, None)).data)


def _gone(home: Path) -> str:
    if not os.path.isdir(home):
        return f"The folder {printable(str(home))} is gone"
    return f"Another program replaced or deleted {JOURNAL}"


def look_rescued(files: Files, path: Path) -> Recovered:
    """The lot in a file that was rescued. Raises LotError where it cannot be used."""
    try:
        data = read_journal(files, path)
    except OSError as error:
        raise LotError(f"{path.name} cannot be read: {error.strerror}.") from None
    if not data or first_damage(data) is not None:
        raise LotError(
            f"{path.name} is damaged and cannot be restored; set it aside with --discard-rescued."
        )
    return recovered_from(data)


def restore_rescued(files: Files, home: Path) -> None:
    """Make the newest of them the lot's journal again, and keep what is there now under other
    names. Raises OSError; LotError where it cannot be used."""
    *_, newest = rescued_files(files, home)
    look_rescued(files, newest)
    for name in (JOURNAL, MAIN):
        if files.exists(home / name):
            keep_aside(files, home / f"{name}.replaced", read_whole(files, home / name))
    replace_durably(files, home / JOURNAL, read_journal(files, newest))
    # it belongs to the other journal; the next opening makes it from this one
    files.unlink(home / MAIN)
    set_rescued_aside(files, home)


def set_rescued_aside(files: Files, home: Path) -> None:
    """Nobody asks for them any more; they are kept under other names. Raises OSError."""
    for path in list(rescued_files(files, home)):
        keep_aside(files, home / SET_ASIDE, read_journal(files, path))
        files.unlink(path)
