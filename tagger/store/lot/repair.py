"""Repairing a lot that cannot just be opened: first what would be done, then, if wanted, the
doing of it.

Nothing is thrown away: whatever is taken out of use is kept beside the lot under a name of its own.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.lot.change import Change
from tagger.core.model.counted import counted
from tagger.core.model.tags import Mark, Marking
from tagger.core.model.text import printable
from tagger.errors import MALFORMED, LotError
from tagger.store.files import SYSTEM, Files, keep_aside, replace_durably
from tagger.store.lot.documents import read_mark
from tagger.store.lot.journal import JOURNAL, RESCUED, Journal, lines_of, read_journal
from tagger.store.lot.lock import Lock
from tagger.store.lot.lot_file import LOCK, LotFile, look
from tagger.store.lot.main_file import MAIN, read_main
from tagger.store.lot.new_journal import new_draft
from tagger.store.lot.records import do_record
from tagger.store.lot.rescue import (
    SET_ASIDE,
    look_rescued,
    rescued_files,
    restore_rescued,
    set_rescued_aside,
)

if TYPE_CHECKING:
    from tagger.store.lot.recovery import Recovered


@dataclass(frozen=True)
class RepairPlan:
    """What was found, what would be done, and how to do it. `choice` is true where the user must
    say keep or discard."""

    found: tuple[str, ...]
    steps: tuple[str, ...]
    choice: bool = False


def plan(home: Path, files: Files = SYSTEM) -> RepairPlan:
    """What a repair would do; nothing is written. Raises LotError where there is nothing that could
    be repaired."""
    if rescued := _kept_beside(files, home):
        return _rescued_plan(files, home, rescued[-1])
    state = look(home, files)
    if state.edited:
        # Which of the two is right nobody but the user knows, so nothing is proposed.
        return RepairPlan(
            ("lot.json was edited outside tagger:", *(f"  {line}" for line in state.edited)),
            (
                "--keep-edits keeps these changes of cards, as one change that undo reverts",
                "--discard-edits rebuilds lot.json from lot.journal and keeps the edited one as "
                "lot.json.changed-1",
            ),
            choice=True,
        )
    if state.trouble:
        lost = _lost(files, home)
        return RepairPlan(
            (f"{state.trouble[0].upper()}{state.trouble[1:].partition(';')[0]}.",),
            (
                f"keep the damaged lot.journal as lot.journal.damaged-1 ({lost} of its bytes "
                "cannot be read)",
                "start a new journal with every tag that can be read; earlier changes can no "
                "longer be undone",
                "rebuild lot.json",
            ),
        )
    return RepairPlan(tuple(state.notes), tuple(_steps_at_opening(state)))


def _kept_beside(files: Files, home: Path) -> list[Path]:
    """The journals that were rescued, the oldest first. Raises LotError."""
    try:
        return list(rescued_files(files, home))
    except OSError as error:
        raise LotError(f"{printable(str(home))} cannot be read: {error.strerror}.") from None


def _rescued_plan(files: Files, home: Path, newest: Path) -> RepairPlan:
    discard = (
        f"--discard-rescued keeps the lot as it is now, and renames {newest.name} to {SET_ASIDE}-1"
    )
    try:
        rescued = counted(_tagged(look_rescued(files, newest)), "card")
    except LotError as error:
        return RepairPlan((error.message,), (discard,), choice=True)
    # the lot as it lies there now may be anything, or none
    try:
        now = f"the lot now has {counted(_tagged(look(home, files)), 'card')} tagged"
    except LotError as error:
        now = f"the lot now cannot be read: {error.message.removesuffix('.')}"
    return RepairPlan(
        (
            f"{newest.name} has the lot as it was when another program replaced {JOURNAL}: "
            f"{rescued} tagged; {now}.",
        ),
        (
            f"--keep-rescued restores it, and keeps the {JOURNAL} of now as {JOURNAL}.replaced-1",
            discard,
        ),
        choice=True,
    )


def _tagged(state: Recovered) -> int:
    lot = state.kept.lot
    return sum(lot.mark(id).state == "tagged" for id in lot.marks)


def _steps_at_opening(state: Recovered) -> Iterator[str]:
    """What any opening for work does by itself."""
    if state.cut[1]:
        yield (
            f"keep the last {len(state.cut[1])} bytes of lot.journal, {_cut_words(state)}, as "
            "lot.journal.cut-1"
        )
    if state.covers < 0 and state.kept.lot.cards:
        yield "rebuild lot.json from lot.journal"


def _cut_words(state: Recovered) -> str:
    return "a damaged change" if state.lost else "an unfinished change"


def repair(
    home: Path,
    name: str,
    take: bool | None = None,
    files: Files = SYSTEM,
    rescued: bool | None = None,
) -> RepairPlan:
    """Do what `plan` says, and return it. `take` says what becomes of changes by another hand,
    `rescued` what becomes of a lot that was kept beside its journal.

    Raises LotError, LockedError where the lot is open, and NotSaved.
    """
    what = plan(home, files)
    if _kept_beside(files, home):
        if rescued is None:
            raise LotError("Say --keep-rescued or --discard-rescued; tagger repair compares them.")
    elif rescued is not None:
        raise LotError(f"There is no {RESCUED}-1, so there is nothing to restore.")
    elif what.choice and take is None:
        raise LotError("lot.json was edited outside tagger: say --keep-edits or --discard-edits.")
    try:
        lock = Lock(home / LOCK, f"The lot {name}")
    except OSError as error:
        raise LotError(
            f"The folder {printable(str(home))} cannot be written to ({error.strerror})."
        ) from None
    try:
        try:
            if rescued is not None:
                _settle_rescued(rescued, home, files)
            else:
                # looked at again under the lock: another program may have gone on meanwhile
                _do(look(home, files), home, name, bool(take), files)
        except OSError as error:
            raise LotError(
                f"The repair could not be written: {error.strerror}. Nothing was removed."
            ) from None
    finally:
        lock.release()
    # opened and closed once, so that lot.json is there for other readers at once
    LotFile(home, name, files).close()
    return what


def _settle_rescued(restore: bool, home: Path, files: Files) -> None:
    if restore:
        restore_rescued(files, home)
    else:
        set_rescued_aside(files, home)


def _do(state: Recovered, home: Path, name: str, take: bool, files: Files) -> None:
    if state.edited:
        main = read_main(files, home)
        # entered before the changed file is put aside: a stop between the two loses neither
        if take:
            _take(state, home, files)
        keep_aside(files, home / f"{MAIN}.changed", main.data or b"")
        files.unlink(home / MAIN)
    elif state.trouble:
        main = read_main(files, home)
        keep_aside(files, home / f"{JOURNAL}.damaged", read_journal(files, home / JOURNAL))
        if main.data is not None:
            keep_aside(files, home / f"{MAIN}.damaged", main.data)
        draft = new_draft(state.kept, name, main)
        replace_durably(files, home / JOURNAL, bytes(draft.data))


def _take(state: Recovered, home: Path, files: Files) -> None:
    """Enter what another hand changed on cards as one change."""
    theirs = (state.edits or {}).get("cards", {})
    lot = state.kept.lot
    marks: list[Marking] = []
    for pair in lot.arrangement.pairs:
        document = theirs.get(str(pair.id))
        if document is None:
            continue
        try:
            mark: Mark = read_mark(document)
        except MALFORMED:
            raise LotError(
                f"Card {pair.id} in lot.json has fields that are not text; correct them, or use "
                "--discard-edits."
            ) from None
        # one that is as it was is not a change that undo could revert
        if mark != lot.mark(pair.id):
            marks.append(Marking(pair.id, lot.mark(pair.id), mark))
    label = f"{counted(len(marks), 'card')} kept as edited in lot.json"
    change = Change(label, time.time(), lot.cursor, lot.cursor, tuple(marks))
    journal = Journal(files, home / JOURNAL, state.end, state.number)
    try:
        journal.append(do_record(change, state.undo))
    finally:
        journal.close()


def _lost(files: Files, home: Path) -> int:
    try:
        data = read_journal(files, home / JOURNAL)
    except OSError as error:
        raise LotError(f"lot.journal cannot be read: {error.strerror}.") from None
    return sum(len(line.data) for line in lines_of(data) if line.record is None)
