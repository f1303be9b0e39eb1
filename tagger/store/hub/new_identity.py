"""A copy of a lot made a lot of its own: its journal gets an identity that no other has."""

from __future__ import annotations

from pathlib import Path
from uuid import uuid4

from tagger.errors import LotError
from tagger.store.files import SYSTEM, Files, replace_durably
from tagger.store.lot.journal import JOURNAL, decode, encode, read_journal
from tagger.store.lot.lock import Lock
from tagger.store.lot.lot_file import LOCK, look
from tagger.store.lot.main_file import MAIN
from tagger.store.lot.messages import unwritable


def give_identity(home: Path, name: str, files: Files = SYSTEM) -> None:
    """Give the lot kept in `home` a new identity; its tags and its history stay. Raises LockedError
    where another program holds it, LotError where it is damaged or cannot be written."""
    try:
        lock = Lock(home / LOCK, f"The lot {name}")
    except OSError as error:
        raise LotError(unwritable(error, home)) from None
    try:
        found = look(home, files)
        if why := found.trouble or ("lot.json was edited outside tagger" if found.edited else ""):
            raise LotError(f"{name} keeps its identity: {why}.")
        if not found.id:
            raise LotError(f"{name} has no identity yet; open it once.")
        data = read_journal(files, home / JOURNAL)
        # The journal is all that counts: without lot.json the lot is whole at each step between.
        files.unlink(home / MAIN)
        replace_durably(files, home / JOURNAL, _renewed(data[: found.end]))
    except OSError as error:
        raise LotError(unwritable(error, home)) from None
    finally:
        lock.release()


def _renewed(data: bytes) -> bytes:
    """A journal with another identity, all its lines where they were: undo knows them by that."""
    first, newline, rest = data.partition(b"\n")
    record = decode(first + newline)
    assert record is not None
    head = encode({**record, "id": uuid4().hex})
    if len(head) != len(first) + 1:
        raise LotError("This lot's journal was made by another program; its identity stays.")
    return head + rest
