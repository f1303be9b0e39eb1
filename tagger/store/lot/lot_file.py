"""A lot on disk: `lot.json`, a TinyDB document that any JSON reader can read, and beside it the
journal that makes each change durable at the cost of the change.

A change is appended to the journal and synced before it is acknowledged or takes effect in memory.
`lot.json` follows when the keys are quiet, every few hundred changes, and at the end."""

from __future__ import annotations

import contextlib
import errno
import json
import threading
import time
import uuid
import zlib
from pathlib import Path

from tagger.core.lot.carried import Cursor
from tagger.core.lot.change import Change, Effect
from tagger.core.lot.history import Past
from tagger.core.lot.lot import LotState
from tagger.core.lot.sitting import Sitting, with_sitting
from tagger.core.model.arrangement import Arrangement
from tagger.core.model.text import printable
from tagger.errors import LotError, NotSaved
from tagger.store.files import SYSTEM, Files, keep_aside, replace_durably
from tagger.store.lot.documents import arrangement_document, desk_document, sitting_document
from tagger.store.lot.history_reader import read_past
from tagger.store.lot.journal import FULL, Broken, Draft, Journal, Record, lines_of, read_journal
from tagger.store.lot.lock import Lock
from tagger.store.lot.memory_tables import Tables
from tagger.store.lot.migration import convert
from tagger.store.lot.records import again_record, change_of, do_record, links
from tagger.store.lot.recovery import JOURNAL, MAIN, Recovered, read_main, recover

LOCK = ".lot.lock"
AFTER = 200  # changes after which lot.json follows even while the keys are busy
APART = 15.0  # seconds of a sitting after which it is noted again
LARGE = 1500  # cards from which lot.json is written by a thread


def read_lot(home: Path) -> LotState:
    """The lot kept in a folder, without a lock: for looking only. An empty state where none is
    kept.

    Raises LotError where the files cannot be read or were made by a newer program.
    """
    return look(home).kept.lot


def look(home: Path, files: Files = SYSTEM) -> Recovered:
    """What a lot is, with what there is to say about it. Nothing is written. Raises LotError."""
    try:
        return recover(files, home)
    except OSError as error:
        raise LotError(f"{printable(str(home / MAIN))} cannot be read: {error.strerror}.") from None


class LotFile:
    """Keeps one lot in `home`; the only writer there while it lives. `name` is the lot's, for
    messages.

    With `only_looking` no lock is taken and nothing is written. `notes` says what was found and
    mended at opening. Raises LockedError where another program holds the lot, LotError where folder
    or files are no use."""

    def __init__(
        self, home: Path, name: str, files: Files = SYSTEM, only_looking: bool = False
    ) -> None:
        self._home, self._name, self._files = home, name, files
        self._mutex = threading.RLock()
        self._writer: threading.Thread | None = None
        self._late: OSError | None = None
        self._journal: Journal | None = None
        self._lock = None if only_looking else self._locked()
        try:
            self._open(only_looking)
        except BaseException:
            self._let_go()
            raise

    def _locked(self) -> Lock:
        try:
            return Lock(self._home / LOCK, f"The lot {self._name}")
        except OSError as error:
            raise LotError(self._unwritable(error)) from None

    def _unwritable(self, error: OSError) -> str:
        return (
            f"The folder {printable(str(self._home))} cannot be written to ({error.strerror}); "
            "name another place for the tags with --state DIR."
        )

    def _open(self, only_looking: bool) -> None:
        found = look(self._home, self._files)
        self._kept = found.kept
        self.notes = tuple(found.notes)
        if self._lock is not None and not self._lock.works:
            self.notes += (
                "This file system has no locks: open the lot in one place only. A write from "
                "elsewhere is noticed.",
            )
        self.looking = found.trouble
        if only_looking:
            self.looking = found.trouble or "opened for looking only"
        elif found.edited:
            raise LotError(
                f"lot.json was changed outside tagger ({len(found.edited)} differences: "
                f"{found.edited[0]} …); "
                "tagger repair FOLDER shows them, and takes or leaves them."
            )
        self._undo, self._redo, self._covers = found.undo, found.redo, found.covers
        self._unchecked, self._id = found.unchecked, found.id
        self._changes = 0 if found.covers >= 0 else 1
        self._moved = False
        self._sitting: Sitting | None = None
        if not self.looking:
            try:
                if not found.id:
                    self._begin(found)
                if found.cut[1]:
                    keep_aside(self._files, self._home / f"{JOURNAL}.cut", found.cut[1])
                self._journal = Journal(self._files, self._home / JOURNAL, found.end, found.number)
            except OSError as error:
                raise LotError(self._unwritable(error)) from None
        self._label = self._label_at(self._undo)

    def _begin(self, found: Recovered) -> None:
        """Make the journal of a lot that has none: a new one, one of an older format, one whose
        journal was lost."""
        self._id = uuid.uuid4().hex
        main = read_main(self._files, self._home)
        if found.old is not None:
            replace_durably(self._files, self._home / "lot.json.format-1", main.data or b"")
            draft = convert(found.old, self._id, main.crc)
        else:
            draft = Draft()
            was = "" if main.data is None else main.crc
            draft.begin(self._id, self._name, found.kept.whole(self._name), was)
        replace_durably(self._files, self._home / JOURNAL, bytes(draft.data))
        lines = list(lines_of(bytes(draft.data)))
        found.end, found.number = lines[-1].end, draft.number
        self._undo, self._redo = _tops([(line.record or {}, line.offset) for line in lines])
        self._changes = 1

    @property
    def lot(self) -> LotState:
        """The lot as it stands."""
        return self._kept.lot

    def enter(self, change: Change) -> None:
        """Do a change; see LotStore."""
        record = do_record(change, self._undo)
        self._apply(record, change.forward(), change.label)

    def undo(self) -> Change | None:
        """Take the last change back; see LotStore."""
        if not self._undo:
            return None
        top = self._read(self._undo)
        of = self._undo if top["k"] == "do" else int(top["of"])
        change = change_of(top if top["k"] == "do" else self._read(of), now=self.lot)
        effect = change.backward()
        self._apply(
            again_record("undo", change.label, of, effect, int(top["u"]), self._redo), effect, None
        )
        return change

    def redo(self) -> Change | None:
        """Do the last change that was taken back again; see LotStore."""
        if not self._redo:
            return None
        top = self._read(self._redo)
        of = int(top["of"])
        change = change_of(self._read(of))
        effect = change.forward()
        self._apply(
            again_record("redo", change.label, of, effect, self._undo, int(top["r"])),
            effect,
            change.label,
        )
        return change

    def last(self) -> str:
        """The label of the change that undo would take back."""
        return self._label

    def history(self, limit: int, undone: bool = False, onward: int | None = None) -> list[Past]:
        """Changes that stand, or those that redo would do; see LotStore."""
        start = onward if onward is not None else self._redo if undone else self._undo
        return read_past(self._read, start, limit, undone)

    def intake(self, arrangement: Arrangement, next_id: int) -> None:
        """Keep an arrangement that follows from the folder; see LotStore."""
        self._append(
            {"k": "intake", "arrangement": arrangement_document(arrangement), "next_id": next_id}
        )
        self._kept.intake(arrangement, next_id)

    def remember(self, checklists: tuple[str, ...]) -> None:
        """Keep which checklist files belong to the lot; see LotStore."""
        self._append({"k": "lists", "checklists": list(checklists)})
        self.lot.checklists = checklists

    def stand(self, desk: Cursor) -> None:
        """Note where the dealer stands; see LotStore."""
        self.lot.desk = desk
        self._moved = True

    def sat(self, sitting: Sitting) -> None:
        """Note what is known of this sitting; see LotStore."""
        self._sitting = sitting

    def settle(self) -> None:
        """Bring `lot.json` up to date, in the background where the lot is large, and check what was
        not checked yet."""
        if self.looking or self._journal is None:
            return
        self._raise_late()
        self._keep_place()
        self._keep_sitting(APART)
        if self._changes and self._writer is None:
            self._checkpoint(wait=self.lot.cards < LARGE)
        self._check_rest()

    def close(self) -> None:
        """Keep the position, bring `lot.json` up to date, let go of the lot, whatever happens.
        Raises NotSaved."""
        try:
            if not self.looking and self._journal is not None and self._journal.broken is None:
                self._keep_place()
                self._keep_sitting()
                self._join()
                if self._changes:
                    self._checkpoint(wait=True)
        finally:
            self._let_go()

    def copy_to(self, folder: Path) -> Path:
        """Write the lot as it stands into another folder, as `lot.json` there; returns the file.
        Raises LotError."""
        target = folder / MAIN
        try:
            if folder.resolve() == self._home.resolve() or target.exists():
                raise LotError(
                    f"{printable(str(target))} is there already; name another folder for the copy."
                )
            with self._mutex:
                data = _text(self._kept.whole(self._name))
            replace_durably(self._files, target, data)
        except OSError as error:
            raise LotError(
                f"No copy could be written to {printable(str(folder))}: {error.strerror}."
            ) from None
        return target

    # Inside

    def _apply(self, record: Record, effect: Effect, label: str | None) -> None:
        offset = self._append(record)
        self._undo, self._redo = links(record, offset)
        self.lot.apply(effect)
        if effect.arrangement is not None:
            self._kept.lay_out()
        self._label = self._label_at(self._undo) if label is None else label
        if self._changes >= AFTER and self._writer is None:
            try:
                self._checkpoint(wait=self.lot.cards < LARGE)
            except NotSaved:
                self._changes = (
                    1  # the change itself is safe; lot.json is tried again when the keys are quiet
                )

    def _append(self, record: Record) -> int:
        if self.looking or self._journal is None:
            raise NotSaved(f"Not saved: {self.looking or 'the lot is closed'}.")
        with self._mutex:
            try:
                offset = self._journal.append(record)
            except OSError as error:
                raise NotSaved(_why_not(error, self._home)) from None
        self._changes += 1
        self._moved = False if "desk" in record else self._moved
        return offset

    def _read(self, offset: int) -> Record:
        try:
            if self._journal is not None:
                return self._journal.read(offset)
            data = read_journal(self._files, self._home / JOURNAL)
            line = next(lines_of(data[: data.find(b"\n", offset) + 1], offset), None)
            if line is None or line.record is None:
                raise ValueError(f"the record at byte {offset} is damaged")
            return line.record
        except (ValueError, KeyError) as error:
            raise NotSaved(
                f"Not undone: {error} in lot.journal; what came after it is safe."
            ) from None
        except OSError as error:
            raise NotSaved(_why_not(error, self._home)) from None

    def _label_at(self, offset: int) -> str:
        if not offset:
            return ""
        try:
            return str(self._read(offset)["label"])
        except (NotSaved, KeyError):
            return "a change that cannot be read"

    def _keep_place(self) -> None:
        if self._moved:
            self._append({"k": "stand", "desk": [desk_document(self.lot.desk)]})

    def _keep_sitting(self, apart: float = 0.0) -> None:
        """Note the sitting in the journal where a card was done since it was noted, at least so
        many seconds ago."""
        now = self._sitting
        last = next(
            (other for other in reversed(self.lot.sittings) if now and other.at == now.at), None
        )
        if now is None or now == last or (last is None and not now.worth_telling):
            return
        if last is not None and apart:
            same = (now.cards, now.aside) == (last.cards, last.aside)
            if same or now.seconds + now.away - last.seconds - last.away < apart:
                return
        # the tags are what counts; what is wrong is told with the next one
        with contextlib.suppress(NotSaved):
            self._append({"k": "sitting", "sitting": sitting_document(now)})
            self.lot.sittings = with_sitting(self.lot.sittings, now)

    def _checkpoint(self, wait: bool) -> None:
        assert self._journal is not None
        with self._mutex:
            place = {
                "id": self._id,
                "covers": self._journal.end,
                "n": self._journal.number,
                "undo": self._undo,
                "redo": self._redo,
            }
            self._kept.write_state(self._name, place, int(time.time()))
            tables = self._kept.snapshot()
            self._changes = 0
        if wait:
            try:
                self._write_main(tables, self._journal.end)
            except OSError as error:
                self._changes = 1
                raise NotSaved(_behind(error, self._home)) from None
        else:
            self._writer = threading.Thread(
                target=self._write_later, args=(tables, place["covers"]), name="lot.json"
            )
            self._writer.start()

    def _write_main(self, tables: Tables, covers: int) -> None:
        assert self._journal is not None
        data = _text(tables)
        with self._mutex:
            seal = {
                "k": "kept",
                "covers": covers,
                "size": len(data),
                "crc": f"{zlib.crc32(data):08x}",
            }
            self._journal.append(seal)
        replace_durably(self._files, self._home / MAIN, data)
        self._covers = covers

    def _write_later(self, tables: Tables, covers: int) -> None:
        try:
            self._write_main(tables, covers)
        except OSError as error:
            self._late, self._changes = error, 1
        self._writer = None

    def _raise_late(self) -> None:
        if self._late is not None:
            error, self._late = self._late, None
            raise NotSaved(_behind(error, self._home))

    def _join(self) -> None:
        writer = self._writer
        if writer is not None:
            writer.join()
        self._late = None

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
        bad = next((line for line in lines_of(data) if line.record is None), None)
        if bad is not None:
            number = data.count(b"\n", 0, bad.offset) + 1
            said = (
                f"lot.journal is damaged in line {number}: the tags are safe, but undo stops "
                "there; see tagger repair."
            )
            self.notes = (*self.notes, said)

    def _let_go(self) -> None:
        self._join()
        if self._journal is not None:
            with contextlib.suppress(OSError):
                self._journal.close()
            self._journal = None
        if self._lock is not None:
            self._lock.release()
            self._lock = None


def _tops(records: list[tuple[Record, int]]) -> tuple[int, int]:
    """(undo, redo) after these records."""
    tops = (0, 0)
    for record, offset in records:
        if record.get("k") in ("do", "undo", "redo"):
            tops = links(record, offset)
    return tops


def _text(tables: Tables) -> bytes:
    return json.dumps(tables, separators=(",", ":")).encode("ascii")


def _why_not(error: OSError, home: Path) -> str:
    """Why a change was not saved, and what to do."""
    if isinstance(error, Broken) and error.errno == errno.EBUSY:
        return "Not saved: another program has written to this lot. Leave it and open it again."
    if error.errno in FULL:
        return (
            "Not saved: the disk is full. The card is unchanged; free some space and press "
            "Enter again."
        )
    if not home.is_dir():
        shown = printable(str(home))
        return (
            f"Not saved: the folder {shown} is gone. The card is unchanged; bring it back and "
            "press Enter again."
        )
    return (
        f"Not saved: the disk reports an error ({error.strerror or 'unknown'}). Nothing more is "
        "accepted; "
        "type another folder and press Ctrl+S for a copy of the lot there."
    )


def _behind(error: OSError, home: Path) -> str:
    gone = (
        "its folder is gone" if not home.is_dir() else error.strerror or "the disk reports an error"
    )
    return f"All tags are in lot.journal, but lot.json could not be brought up to date: {gone}."
