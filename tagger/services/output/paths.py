"""Where a command may write: never over a lot's scans, its document, its checklists, and over
nothing else that the program did not write itself unless the user says so."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.feeding.order import split_scan
from tagger.core.model.text import printable
from tagger.errors import LotError, UsageError
from tagger.services.console import out_bytes, tell
from tagger.store.checklists import checklist_files
from tagger.store.files import SYSTEM, replacing
from tagger.store.machine.paths import LotPlace, data_folder
from tagger.store.machine.written import WrittenFiles
from tagger.store.standard_streams import STDIO

if TYPE_CHECKING:
    from tagger.core.lot.lot import LotState


def check_target(
    target: Path,
    place: LotPlace,
    lot: LotState,
    endings: Sequence[str] = (),
    what: str = "",
    force: bool = False,
) -> None:
    """Raises UsageError or LotError where a file must not or cannot be written. `what` is what it
    is called: `an export`; `endings` are those that it may have, any where there are none. With
    `force` it may be a file that the program did not write."""
    if target == STDIO:
        return
    shown = printable(str(target))
    if endings and target.suffix.lower() not in endings:
        raise UsageError(_other_ending(shown, what, endings))
    # lot.json, lot.journal, and whatever a repair has put aside of them.
    if target.parent.resolve() in (place.folder, place.home) and target.name.startswith("lot."):
        raise UsageError(f"{shown} belongs to the lot itself; choose another name.")
    check_scans(target, place, lot)
    if _is_checklist(target, lot.checklists):
        raise UsageError(f"{shown} is a checklist of this lot; choose another name.")
    _check_is_file(target, force)


def check_list(target: Path, checklists: Iterable[str], force: bool = False) -> None:
    """Raises UsageError or LotError where a list (CSV) must not or cannot be written; `force` as
    for `check_target`."""
    check_new(target, (".csv",), "the list", checklists, force)


def check_new(
    target: Path, endings: Sequence[str], what: str, checklists: Iterable[str], force: bool = False
) -> None:
    """The same for a file over several lots with one of these endings; `what` as for
    `check_target`."""
    if target == STDIO:
        return
    shown = printable(str(target))
    if target.suffix.lower() not in endings:
        raise UsageError(_other_ending(shown, what, endings))
    if _is_checklist(target, checklists):
        raise UsageError(f"{shown} is a checklist; choose another name.")
    _check_is_file(target, force)


def check_scans(target: Path, place: LotPlace, lot: LotState) -> None:
    """Raises UsageError where a file would be written over a scan of the lot, or of a folder joined
    to it."""
    names = (*lot.arrangement.scans, *lot.arrangement.mending.left_out)
    scans = {split_scan(name)[0] for name in names}
    real = target.resolve()
    # A link that lies among the scans, and what it leads to: writing replaces the one or the other.
    paths = {real, target.parent.resolve() / target.name, real.parent / target.name}
    if any(os.path.relpath(path, place.folder) in scans for path in paths):
        raise UsageError(
            f"{printable(str(target))} belongs to the lot itself; choose another name."
        )


def check_folder(folder: Path, place: LotPlace, lot: LotState) -> None:
    """Raises UsageError or LotError where pictures must not or cannot be written into a folder:
    that of the scans or of the lot's document, one that was joined, or one of these lies in it."""
    shown = printable(str(folder))
    there = Path(os.path.realpath(folder))  # a circle of links is no error there
    # Pictures are written and removed there, and no scan may lie among them.
    joined = ((place.folder / one).resolve() for one in lot.arrangement.mending.joined)
    if any(one.is_relative_to(there) for one in (place.folder, place.home, *joined)):
        raise UsageError(
            f"{shown} has scans of the lot in it; name another folder for the pictures."
        )
    if os.path.exists(folder) and not os.path.isdir(folder):
        raise UsageError(f"{shown} is a file; name a folder for the pictures.")
    _check_parent(folder)


def make_folder(folder: Path) -> None:
    """Make a folder that may be there. Raises LotError."""
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise LotError(f"{printable(str(folder))} cannot be made: {error.strerror}.") from None


def shown_target(target: Path) -> str:
    """What a sentence calls a file that is written, printable."""
    return "standard output" if target == STDIO else printable(str(target))


def _other_ending(shown: str, what: str, endings: Sequence[str]) -> str:
    *first, last = endings
    if not first:
        return f"{shown}: {what} is a {last} file; use this extension."
    return f"{shown}: {what} is a {', '.join(first)} or {last} file; use one of these extensions."


def _is_checklist(target: Path, checklists: Iterable[str]) -> bool:
    """Whether the file is one of these checklists, or lies in a folder that was given as one."""
    files = checklist_files([Path(file) for file in checklists])
    return os.path.realpath(target) in set(map(os.path.realpath, files))


def _check_is_file(target: Path, force: bool) -> None:
    if os.path.isdir(target):
        raise UsageError(f"{printable(str(target))} is a folder; name a file in it.")
    _check_parent(target)
    _check_ours(target, force)


def _check_ours(target: Path, force: bool) -> None:
    """Raises UsageError where something is there that the program did not write, or that was
    changed since."""
    shown = printable(str(target))
    if not os.path.lexists(target):
        return
    if os.path.exists(target) and not os.path.isfile(target):
        raise UsageError(f"{shown} is not a file that can be replaced; choose another name.")
    if not force and not is_ours(target):
        raise UsageError(
            f"{shown} already exists, and tagger did not write it or it was changed since; choose "
            "another name, or replace it with --force."
        )


def is_ours(target: Path) -> bool:
    """Whether the program wrote a file that is there, and nobody changed it since."""
    try:
        return WrittenFiles(data_folder()).knows(target)
    except OSError:
        return False


def _check_parent(path: Path) -> None:
    if not os.path.isdir(path.parent):
        raise LotError(f"There is no folder {printable(str(path.parent))}; make it first.")


@contextmanager
def new_file(
    target: Path, named: Path | None = None, force: bool = False
) -> Iterator[Callable[[bytes], object]]:
    """Gives what writes the bytes of a file; it is there when all is well, and not at all
    otherwise. `named` is what a sentence calls it; `-` is standard output. It is noted as written
    by the program, and what is not is replaced with `force` only. Raises LotError where it cannot
    be written, UsageError where it must not."""
    if target == STDIO:
        yield out_bytes
        return
    # whoever writes is held to it, also where nothing was checked before
    _check_ours(target, force)
    digest = hashlib.sha256()
    try:
        with replacing(SYSTEM, target) as write:

            def written(data: bytes) -> None:
                write(data)
                digest.update(data)

            yield written
    except OSError as error:
        shown = printable(str(named or target))
        raise LotError(f"{shown} cannot be written: {error.strerror}.") from None
    if not WrittenFiles(data_folder()).note(target, digest.hexdigest()):
        tell(
            f"{printable(str(data_folder()))} cannot be written to, so tagger will not know that "
            f"it wrote {printable(str(target))}; replace that file later with --force."
        )
