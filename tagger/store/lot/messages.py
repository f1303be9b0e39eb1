"""What the store tells the dealer when the disk does not do as asked: why, and what to do."""

from __future__ import annotations

import errno
import os
from pathlib import Path

from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.store.lot.journal import FULL, JOURNAL
from tagger.store.lot.main_file import MAIN
from tagger.store.lot.watch.journal_watch import WrittenElsewhere

NO_LOCKS = (
    "This file system has no locks: open the lot in one place only. tagger notices a write "
    "from elsewhere."
)

ADDED_TO = (
    "Another program has written to this lot. What was accepted here is saved; open the lot again "
    "to see both."
)


def unwritable(error: OSError, home: Path) -> str:
    """Why a lot cannot be opened for work."""
    if error.errno == errno.ELOOP:
        return (
            f"{printable(str(error.filename or home))} is a link; remove it, or store the lot "
            "elsewhere with --state DIR."
        )
    advice = "store the lot elsewhere with --state DIR"
    # elsewhere it would begin anew, without its tags
    if any(os.path.lexists(home / name) for name in (MAIN, JOURNAL)):
        advice = (
            "look at its tags with --read-only, or copy the folder to where it can be written to"
        )
    return f"The folder {printable(str(home))} cannot be written to ({error.strerror}); {advice}."


def changed_outside(differences: tuple[str, ...]) -> str:
    """Why a lot whose `lot.json` another hand changed is not opened."""
    return (
        f"lot.json was edited outside tagger ({counted(len(differences), 'difference')}: "
        f"{differences[0]} …); tagger repair FOLDER lists them, and keeps or discards them."
    )


def not_saved(error: OSError, home: Path) -> str:
    """Why a change was not saved."""
    if isinstance(error, WrittenElsewhere):
        return "Not saved: another program has written to this lot. Close it and open it again."
    # this and the next can be put right, and then the same key does it
    if error.errno in FULL:
        return (
            "Not saved: the disk is full. The card is unchanged; free some space and press "
            "Enter again."
        )
    if not os.path.isdir(home):
        shown = printable(str(home))
        return (
            f"Not saved: the folder {shown} is gone. The card is unchanged; restore it and "
            "press Enter again."
        )
    # What is on the medium is not known now, and the journal takes no more: see `Broken`.
    return (
        f"Not saved: the disk reports an error ({error.strerror or 'unknown'}). Nothing more can "
        "be saved; type another folder and press Ctrl+S to copy the lot there."
    )


def behind(error: OSError, home: Path) -> str:
    """What it means that `lot.json` could not be written."""
    why = error.strerror or "the disk reports an error"
    if error.errno in FULL:
        why = "the disk is full; free some space"
    if not os.path.isdir(home):
        why = "its folder is gone"
    return f"All tags are in lot.journal, but lot.json could not be updated: {why}."


def damaged_line(number: int) -> str:
    """What it means that a line of the journal cannot be read which opening did not need."""
    return (
        f"lot.journal is damaged in line {number}: the tags are safe, but undo stops there. Run "
        "tagger repair FOLDER."
    )
