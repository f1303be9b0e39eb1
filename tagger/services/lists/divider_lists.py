"""What the checklists know of the names on dividers."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from tagger.core.dividers.request import Listed
from tagger.core.index.divider_names import listed_by
from tagger.errors import LotError
from tagger.services.lists.lot_checklists import index_of, indexed
from tagger.services.lists.naming import list_names
from tagger.services.lot_selection import ChosenLots


def lists_for_printing(given: Sequence[Path]) -> tuple[Listed, Sequence[str]]:
    """What the given checklists have, or those of all lots on this machine where none is given; a
    sentence for each lot that cannot be read. Raises LotError where a given one cannot be read."""
    if given:
        read = indexed(given, list_names(), strict=True)
        return listed_by(read.index), ()
    lots = ChosenLots(())
    try:
        paths = dict.fromkeys(path for _, lot in lots.read() for path in lot.checklists)
    except LotError:
        return Listed((), lambda name: ()), lots.skipped
    return listed_by(index_of(paths).index), lots.skipped
