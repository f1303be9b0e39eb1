"""Two folders as one lot: the cards of the other folder, with their tags, under names from this
one."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

from tagger.core.fixes.scans import Join
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.text import fold, printable
from tagger.errors import Refused
from tagger.services.lot_places import place_of_folder
from tagger.services.opening import look
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder


def joined_lot(place: LotPlace, other: str) -> Join:
    """The cards of another folder, to be joined to a lot. It must lie beside the lot's own: names
    lead nowhere else.

    Raises Refused, or LotError where it cannot be read.
    """
    own = place.folder.resolve()
    there = _beside(place.folder, other)
    lot, _ = look(place_of_folder(there))
    if not lot.cards:
        raise Refused(f"{printable(there.name)} has no scans.")
    # Two lots that have each other would both have every card.
    if f"../{own.name}" in lot.arrangement.mending.joined:
        raise Refused(f"This lot is already joined to {printable(there.name)}.")
    prefix = f"../{there.name}"
    return Join(
        prefix,
        _named_from(lot.arrangement, prefix),
        {pair.id: lot.mark(pair.id) for pair in lot.arrangement.pairs},
        {_named_beside(prefix, scan): stamp for scan, stamp in lot.stamps.items()},
    )


def _beside(folder: Path, other: str) -> Path:
    """The folder that is meant, with links followed. Raises Refused where it is not beside the
    lot's own."""
    own, there = folder.resolve(), _folder_meant(folder, other).resolve()
    if there == own:
        raise Refused("This is the lot itself; name another folder.")
    if there.parent != own.parent or not os.path.isdir(there):
        raise Refused(
            f"{printable(other)} is not a folder beside {printable(own.name)}; move it there, "
            "then join it."
        )
    return there


def _folder_meant(folder: Path, other: str) -> Path:
    """The folder by its path from where the command is given, by its name alone, or by the own name
    of its lot."""
    for named in (Path(other), folder / other):
        if os.path.isdir(named):
            return named
    known = LotList(data_folder()).places()
    called = (lot.folder for lot in known if fold(lot.name) == fold(other))
    return next(called, folder / other)


def _named_from(lot: Arrangement, prefix: str) -> Arrangement:
    """The same cards, with scan names as they are from beside."""

    def name(scan: str) -> str:
        return _named_beside(prefix, scan)

    pairs = tuple(
        Pair(pair.id, *(scan and name(scan) for scan in pair.sides)) for pair in lot.pairs
    )
    mending = replace(
        lot.mending,
        left_out=tuple(name(scan) for scan in lot.mending.left_out),
        turns=tuple((name(scan), turn) for scan, turn in lot.mending.turns),
        stretches=tuple((name(scan), sides) for scan, sides in lot.mending.stretches),
        dividers=tuple(one.renamed(name) for one in lot.mending.dividers),
        restored=tuple(name(scan) for scan in lot.mending.restored),
    )
    return Arrangement(lot.sides, pairs, mending)


def _named_beside(prefix: str, scan: str) -> str:
    # What was joined to the other folder lies beside this one, too.
    return scan if scan.startswith("../") else f"{prefix}/{scan}"
