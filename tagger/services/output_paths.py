"""Where a lot may be written to: never over its scans, its document, its checklists."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from tagger.core.feeding.order import split_scan
from tagger.core.lot.lot import LotState
from tagger.core.model.text import printable
from tagger.errors import LotError, UsageError
from tagger.store.machine.paths import LotPlace


def check_target(
    target: Path, place: LotPlace, lot: LotState, endings: Sequence[str], what: str
) -> None:
    """Raises UsageError or LotError where a file must not or cannot be written. `what` is what it
    is called: `an export`; `endings` are those that it may have, two or more or just one."""
    shown = printable(str(target))
    if target.suffix.lower() not in endings:
        *first, last = endings
        these = f"{', '.join(first)} or {last}" if first else last
        raise UsageError(f"{shown}: {what} is a {these} file; end the name so.")
    if target.parent.resolve() in (place.folder, place.home) and target.name.startswith("lot."):
        raise UsageError(f"{shown} belongs to the lot itself; choose another name.")
    check_scans(target, place, lot)
    if os.path.abspath(target.resolve()) in {os.path.realpath(path) for path in lot.checklists}:
        raise UsageError(f"{shown} is a checklist of this lot; choose another name.")
    if target.is_dir():
        raise UsageError(f"{shown} is a folder; name a file in it.")
    if not target.parent.is_dir():
        raise LotError(f"There is no folder {printable(str(target.parent))}; make it first.")


def check_scans(target: Path, place: LotPlace, lot: LotState) -> None:
    """Raises UsageError where a file would be written over a scan of the lot, or of a folder joined
    to it."""
    names = {scan for pair in lot.arrangement.pairs for scan in pair[1:] if scan}
    scans = {split_scan(name)[0] for name in (*names, *lot.arrangement.mending.left_out)}
    for parent in {target.parent.resolve(), target.resolve().parent}:
        name = os.path.relpath(parent / target.name, place.folder)
        if name in scans or os.path.relpath(target.resolve(), place.folder) in scans:
            raise UsageError(
                f"{printable(str(target))} belongs to the lot itself; choose another name."
            )


def check_folder(folder: Path, place: LotPlace, lot: LotState) -> None:
    """Raises UsageError or LotError where pictures must not or cannot be written into a folder:
    that of the scans or of the lot's document, one that was joined, or one of these lies in it."""
    # a circle of links is no error there
    shown, there = (
        printable(str(folder)),
        Path(os.path.realpath(folder)),
    )
    kept = [
        place.folder,
        place.home,
        *((place.folder / one).resolve() for one in lot.arrangement.mending.joined),
    ]
    if any(one == there or there in one.parents for one in kept):
        raise UsageError(
            f"{shown} has scans of the lot in it; name a folder of its own for the pictures."
        )
    if folder.exists() and not folder.is_dir():
        raise UsageError(f"{shown} is a file; name a folder for the pictures.")
    if not folder.parent.is_dir():
        raise LotError(f"There is no folder {printable(str(folder.parent))}; make it first.")
