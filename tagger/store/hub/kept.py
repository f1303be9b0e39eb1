"""A lot as it is kept, for whoever sends it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.store.files import SYSTEM
from tagger.store.lot.recovery import recover
from tagger.store.lot.troubles import note_trouble, trouble_of

if TYPE_CHECKING:
    from tagger.store.lot.recovery import Recovered


def kept_lot(home: Path) -> Recovered:
    """What a lot is, with how far its journal goes. What is wrong with it is told at the end of the
    command. Nothing is written. Raises LotError."""
    try:
        found = recover(SYSTEM, home)
    except OSError as error:
        shown = printable(str(error.filename or home))
        raise LotError(f"{shown} cannot be read: {error.strerror}.") from None
    note_trouble(home, trouble_of(found))
    return found
