"""What the checklists know of the names on dividers."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.dividers.request import Listed
from tagger.errors import LotError
from tagger.services.lists.lot_checklists import index_of
from tagger.services.lists.naming import list_names
from tagger.services.lot_selection import ChosenLots
from tagger.store.checklists import read_indexed
from tagger.store.machine.paths import index_folder

if TYPE_CHECKING:
    from tagger.core.index.index import Index


def listed_by(index: Index) -> Listed:
    """The sets of some checklists, and the parallels of each."""

    def parallels(name: str) -> list[str]:
        set_id = index.set_id(name)
        if set_id is None:
            return []
        # thousands of cards share few kinds
        kinds = {index.parallels_of[step] for step in index.steps(set_id)}
        return list(
            dict.fromkeys(one.name for kind in sorted(kinds) for one in index.parallels(kind))
        )

    return Listed(index.sets, parallels)


def lists_for_printing(given: Sequence[Path]) -> tuple[Listed, Sequence[str]]:
    """What the given checklists have, or those of all lots on this machine where none is given; a
    sentence for each lot that cannot be read. Raises LotError where a given one cannot be read."""
    if given:
        read = read_indexed(given, index_folder(), strict=True, names=list_names())
        return listed_by(read.index), ()
    lots = ChosenLots(())
    try:
        paths = dict.fromkeys(path for _, lot in lots.read() for path in lot.checklists)
    except LotError:
        return Listed((), lambda name: ()), lots.skipped
    return listed_by(index_of(paths).index), lots.skipped
