"""Two folders as one lot: the cards of the other folder, with their tags, under names from this
one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tagger.core.fixes.scans import Join
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.text import printable
from tagger.errors import Refused
from tagger.services.opening import look
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder, lot_place


def joined_lot(place: LotPlace, other: str) -> Join:
    """The cards of another folder, to be joined to a lot. It must lie beside the lot's own: names
    lead nowhere else.

    Raises Refused, or LotError where it cannot be read.
    """
    own = place.folder.resolve()
    there = _beside(place.folder, other)
    lot, _ = look(_place_of(there))
    if not lot.cards:
        raise Refused(f"{printable(there.name)} has no scans.")
    # Two lots that have each other would both have every card.
    if f"../{own.name}" in lot.arrangement.mending.joined:
        raise Refused(f"{printable(there.name)} has this lot joined to it already.")
    prefix = f"../{there.name}"
    return Join(
        prefix,
        _named_from(lot.arrangement, prefix),
        {pair.id: lot.mark(pair.id) for pair in lot.arrangement.pairs},
    )


def _beside(folder: Path, other: str) -> Path:
    """The folder that is meant, with links followed. Raises Refused where it is not beside the
    lot's own."""
    # By its path from where the command is given, or by its name alone.
    named = Path(other) if Path(other).is_dir() else folder / other
    own, there = folder.resolve(), named.resolve()
    if there == own:
        raise Refused("That is this lot itself.")
    if there.parent != own.parent or not there.is_dir():
        raise Refused(
            f"{printable(other)} is not a folder beside {printable(own.name)}; move it there, "
            "then join it."
        )
    return there


def _place_of(folder: Path) -> LotPlace:
    """The lot of a folder, with its document where this machine knows it to be."""
    # Its document may lie elsewhere, where the folder of the scans could not be written to.
    home = LotList(data_folder()).home_of(folder)
    return LotPlace(folder, home) if home is not None else lot_place(folder, None)


def _named_from(lot: Arrangement, prefix: str) -> Arrangement:
    """The same cards, with scan names as they are from beside."""

    def name(scan: str) -> str:
        # What was joined to the other folder lies beside this one, too.
        return scan if scan.startswith("../") else f"{prefix}/{scan}"

    pairs = tuple(
        Pair(pair.id, *(scan and name(scan) for scan in pair.sides)) for pair in lot.pairs
    )
    mending = replace(
        lot.mending,
        joined=lot.mending.joined,
        left_out=tuple(name(scan) for scan in lot.mending.left_out),
        turns=tuple((name(scan), turn) for scan, turn in lot.mending.turns),
        stretches=tuple((name(scan), sides) for scan, sides in lot.mending.stretches),
    )
    return Arrangement(lot.sides, pairs, mending)
