"""A lot on disk: `lot.json`, a TinyDB document that any JSON reader can read, and beside it the
journal that makes each change durable at the cost of the change (a write-ahead log).

A change is appended to the journal and synced before it is acknowledged or takes effect in memory.
`lot.json` follows when the keys are quiet, every few hundred changes, and at the end."""

from __future__ import annotations

import contextlib
import os
import threading
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.errors import LotError, NotSaved
from tagger.store.files import SYSTEM, Files, keep_aside, leftovers, replace_durably
from tagger.store.lot.checkpoint import Checkpoint, main_bytes
from tagger.store.lot.history_reader import HistoryReader, Step
from tagger.store.lot.journal import (
    JOURNAL,
    Journal,
    Record,
    first_damage,
    read_journal,
    read_record,
)
from tagger.store.lot.lock import Lock
from tagger.store.lot.main_file import MAIN
from tagger.store.lot.messages import (
    ADDED_TO,
    NO_LOCKS,
    changed_outside,
    damaged_line,
    not_saved,
    unwritable,
)
from tagger.store.lot.new_journal import begin_journal
from tagger.store.lot.records import do_record, noted_record
from tagger.store.lot.recovery import Recovered, recover
from tagger.store.lot.rescue import Rescue, mention_rescued
from tagger.store.lot.troubles import note_back, note_trouble, trouble_of
from tagger.store.lot.watch.journal_watch import Replaced, WrittenElsewhere
from tagger.store.lot.watch.standing import NOWHERE, Standing

if TYPE_CHECKING:
    from tagger.core.lot.carried import Cursor
    from tagger.core.lot.change import (
        Change,
        Noted,
    )
    from tagger.core.lot.history import PastChange
    from tagger.core.lot.lot import LotState
    from tagger.core.lot.sitting import Sitting

LOCK = ".lot.lock"
APART = 15.0  # seconds of a sitting after which it is noted again


def read_lot(home: Path) -> LotState:
    """The lot kept in a folder, without a lock: to be read only. An empty state where none is
    kept. What is wrong with it is noted, and told at the end of the command.

    Raises LotError where the files cannot be read or were made by a newer program.
    """
    found = look(home)
    note_trouble(home, trouble_of(found))
    return found.kept.lot


def look(home: Path, files: Files = SYSTEM) -> Recovered:
    """What a lot is, with what there is to say about it. Nothing is written. Raises LotError."""
    try:
        found = recover(files, home)
        mention_rescued(files, home, found)
        return found
    except OSError as error:
        shown = printable(str(error.filename or home / MAIN))
        raise LotError(f"{shown} cannot be read: {error.strerror}.") from None


class LotFile:
    """Keeps one lot in `home`; the only writer there while it lives. `name` is the lot's, for
    messages.

    With `only_looking` no lock is taken and nothing is written. `notes` says what was found and
    mended at opening. `refuge` is where the lot is kept when its folder is gone at the end. Raises
    LockedError where another program holds the lot, LotError where folder or files are no use."""

    def __init__(
        self,
        home: Path,
        name: str,
        files: Files = SYSTEM,
        only_looking: bool = False,
        refuge: Path | None = None,
    ) -> None:
        self._home, self._name, self._files = home, name, files
        self._rescue = Rescue(files, home, refuge)
        self._mutex = threading.RLock()
        self._journal: Journal | None = None
        self.identity, self._moved = "", False
        self._sitting: Sitting | None = None
        self._lock = None if only_looking else _locked(home, name)
        try:
            if self._lock is not None:
                _tidy(files, home)
            self._open(look(home, files))
        except BaseException:
            self._release()
            raise

    @property
    def stands(self) -> Standing:
        """The journal and how far it goes, also once it is closed."""
        if self._journal is not None:
            self._stands = Standing(self.identity, self._journal.number)
        return self._stands

    def _open(self, found: Recovered) -> None:
        self._stands = Standing(found.id, found.number)
        # where a line was cut off that is told already; a journal that is begun just now has no id
        self.stood = NOWHERE if found.cut[1] else self._stands
        note_trouble(self._home, found.trouble)
        # told though the files are whole again after this
        note_back(self._home, found.lost)
        self.notes = tuple(found.notes)
        self.looking = found.trouble
        if self._lock is None:
            # damage says more than how it was opened
            self.looking = found.trouble or "opened read-only"
        elif not self._lock.works:
            self.notes += (NO_LOCKS,)
        # to work on would overwrite what another hand did; to look at it does no harm
        if self._lock is not None and found.edited:
            raise LotError(changed_outside(found.edited))
        if not self.looking:
            self._journal = _opened_journal(found, self._files, self._home, self._name)
        self._kept, self._unchecked = found.kept, found.unchecked
        # what tells this lot from all others, empty where nothing is kept of it yet
        self.identity = found.id
        self._history = HistoryReader(self._read, found.undo, found.redo)
        self._checkpoint = Checkpoint(
            self._files, self._home, self._name, found.kept, self._mutex, found.covers
        )

    @property
    def lot(self) -> LotState:
        """The lot as it stands; the same object as long as the store is open."""
        return self._kept.lot

    def enter(self, change: Change) -> None:
        """Do a change; see LotStore."""
        record = do_record(change, self._history.undo)
        self._do(Step(change, record, change.forward()))

    def undo(self) -> Change | None:
        """Take the last change back; see LotStore."""
        return self._do(self._history.step_back(self.lot))

    def redo(self) -> Change | None:
        """Do the last change that was taken back again; see LotStore."""
        return self._do(self._history.step_on())

    def last(self) -> str:
        """The label of the change that undo would take back."""
        return self._history.label

    def history(
        self, limit: int, undone: bool = False, onward: int | None = None
    ) -> list[PastChange]:
        """Changes that stand, or those that redo would do; see LotStore."""
        return self._history.past(limit, undone, onward)

    def note(self, event: Noted) -> None:
        """Keep what cannot be undone; see LotStore."""
        self._append(noted_record(event))
        self._kept.apply(event)

    def move_to(self, cursor: Cursor) -> None:
        """Note where the dealer stands; see LotStore."""
        # not worth a sync of its own: each change says where the dealer stands after it
        self._kept.apply(cursor)
        self._moved = True

    def sat(self, sitting: Sitting) -> None:
        """Note what is known of this sitting; see LotStore."""
        self._sitting = sitting

    def settle(self) -> None:
        """Bring `lot.json` up to date, in the background where the lot is large, and check what was
        not checked yet."""
        if self.looking or self._journal is None:
            return
        self._check_journal()
        self._checkpoint.raise_late()
        if self._moved:
            self._append(noted_record(self.lot.cursor))
        self._keep_sitting(APART)
        if self._checkpoint.wanted:
            self._bring_up(at_once=False)
        self._check_rest()

    def close(self) -> None:
        """Keep the position, bring `lot.json` up to date, let go of the lot, whatever happens.
        Raises NotSaved."""
        try:
            if not self.looking and self._journal is not None:
                self._keep_all(self._journal)
        finally:
            self._checkpoint.join()
            self._release()

    def _keep_all(self, journal: Journal) -> None:
        self._check_journal()
        if not os.path.isdir(self._home):
            raise NotSaved(self._rescued())
        if journal.broken is not None:
            return
        if self._moved:
            self._append(noted_record(self.lot.cursor))
        self._keep_sitting()
        # a thread may be writing an earlier state, or have failed at it
        self._checkpoint.join()
        if self._checkpoint.pending:
            self._bring_up(at_once=True)

    def copy_to(self, folder: Path) -> Path:
        """Write the lot as it stands into another folder, as `lot.json` there; returns the file.
        Raises LotError."""
        target = folder / MAIN
        try:
            if folder.resolve() == self._home.resolve() or os.path.exists(target):
                raise LotError(
                    f"{printable(str(target))} already exists; name another folder for the copy."
                )
            # from memory, and not from the disk: it may be the disk that fails
            with self._mutex:
                data = main_bytes(self._kept.whole(self._name))
            replace_durably(self._files, target, data)
        except OSError as error:
            raise LotError(
                f"No copy could be written to {printable(str(folder))}: {error.strerror}."
            ) from None
        return target

    # Inside

    def _do(self, step: Step | None) -> Change | None:
        if step is None:
            return None
        offset = self._append(step.record)
        self._kept.apply(step.effect)
        self._history.went_on(step.record, offset)
        if self._checkpoint.overdue:
            try:
                self._bring_up(at_once=False)
            except NotSaved:
                # the change itself is safe; lot.json is tried again when the keys are quiet
                self._checkpoint.pending = 1
        return step.change

    def _append(self, record: Record) -> int:
        # the one place that writes what happens: looking is refused here, whatever was asked for
        if self.looking or self._journal is None:
            raise NotSaved(f"Not saved: {self.looking or 'the lot is closed'}.")
        with self._mutex:
            try:
                offset = self._journal.append(record)
            except Replaced:
                raise NotSaved(f"Not saved. {self._rescued()}") from None
            except OSError as error:
                raise NotSaved(not_saved(error, self._home)) from None
        self._checkpoint.pending += 1
        # every change says where the dealer stands
        if "desk" in record:
            self._moved = False
        return offset

    def _rescued(self) -> str:
        assert self._journal is not None
        with self._mutex:
            return self._rescue.kept(self._journal, self._kept, self._name)

    def _check_journal(self) -> None:
        """Raises NotSaved where another hand was at the journal since it was left."""
        assert self._journal is not None
        try:
            with self._mutex:
                self._journal.check()
        except WrittenElsewhere:
            raise NotSaved(ADDED_TO) from None
        except Replaced:
            raise NotSaved(self._rescued()) from None
        # a failed disk and a folder that is gone are told by whatever writes next
        except OSError:
            return

    def _read(self, offset: int) -> Record:
        try:
            if self._journal is not None:
                return self._journal.read(offset)
            return read_record(read_journal(self._files, self._home / JOURNAL), offset)
        except (ValueError, KeyError) as error:
            raise NotSaved(
                f"Not undone: {error} in lot.journal; what came after it is safe."
            ) from None
        except OSError as error:
            raise NotSaved(not_saved(error, self._home)) from None

    def _keep_sitting(self, apart: float = 0.0) -> None:
        now = self._sitting
        if now is None or not now.is_news(self.lot.sittings, apart):
            return
        # the tags are what counts; what is wrong is told with the next one
        with contextlib.suppress(NotSaved):
            self.note(now)

    def _bring_up(self, at_once: bool) -> None:
        assert self._journal is not None
        self._checkpoint.write(self._journal, self.identity, self._history, at_once)

    def _check_rest(self) -> None:
        """Check the lines of a large journal that opening did not need, once."""
        if not self._unchecked:
            return
        try:
            data = read_journal(self._files, self._home / JOURNAL)[: self._unchecked]
        except OSError as error:
            raise NotSaved(
                f"lot.journal could not be checked: {error.strerror or 'unknown'}."
            ) from None
        self._unchecked = 0
        number = first_damage(data)
        if number is not None:
            self.notes = (*self.notes, damaged_line(number))

    def _release(self) -> None:
        if self._journal is not None:
            self._stands = self.stands
            with contextlib.suppress(OSError):
                self._journal.close()
            self._journal = None
        if self._lock is not None:
            self._lock.release()
            self._lock = None


def _locked(home: Path, name: str) -> Lock:
    try:
        return Lock(home / LOCK, f"The lot {name}")
    except OSError as error:
        raise LotError(unwritable(error, home)) from None


def _tidy(files: Files, home: Path) -> None:
    """Remove what a killed program left half written; it vouches for nothing."""
    with contextlib.suppress(OSError):
        for name in (MAIN, JOURNAL):
            for left in leftovers(home / name):
                files.unlink(left)


def _opened_journal(found: Recovered, files: Files, home: Path, name: str) -> Journal:
    path = home / JOURNAL
    try:
        if not found.id:
            begin_journal(found, files, home, name)
        # nothing is thrown away, not even what was never acknowledged
        if found.cut[1]:
            keep_aside(files, home / f"{JOURNAL}.cut", found.cut[1])
        return Journal(files, path, found.end, found.number)
    except OSError as error:
        raise LotError(unwritable(error, home)) from None
