"""Finding out what a lot is, from `lot.json` and the journal, whatever state the last program left
them in.

The journal is the truth; `lot.json` is what it came to at an earlier place in it (`covers`), so
that only the lines behind need be replayed. A `kept` line holds the checksum of the `lot.json` that
was written for a place; one that does not match was changed by another hand, and the journal is
replayed from its beginning instead."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from enum import Enum, auto
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.errors import MALFORMED, LotError
from tagger.store.lot.differences import differences
from tagger.store.lot.journal import FORMAT, JOURNAL, JournalLine, Record, lines_of, read_journal
from tagger.store.lot.lot_tables import LotTables, old_tables
from tagger.store.lot.main_file import MAIN, Main, read_main
from tagger.store.lot.records import HISTORY, event_of, links

if TYPE_CHECKING:
    from tagger.store.files import Files
    from tagger.store.lot.memory_tables import Tables

# bytes of a journal that are all checked at opening; of a larger one only the lines needed
VERIFIED_AT_ONCE = 2 << 20

# read out of the bytes: the line it stands in may be no JSON
_LABEL = re.compile(rb'"label":"((?:[^"\\]|\\.)*)')


@dataclass
class Recovered:
    """What a lot is, and what was found on the way.

    `id` is empty where there is no journal yet; `end` and `number` are where the journal goes on;
    `undo` and `redo` are the records that those go on with; `covers` is the place that `lot.json`
    stands for, -1 where it must be written again. `trouble` says why the lot may only be looked at;
    `edited` says what another hand changed in `lot.json`; `lost` says, as a clause, what may be
    lost of a lot that can be worked on; `notes` are sentences for the dealer; the
    first `unchecked` bytes of the journal were not looked at; `cut` is the place and the bytes of
    an unfinished last line; `senseless` are lines that are whole and say nothing of a lot."""

    kept: LotTables
    id: str = ""
    end: int = 0
    number: int = 0
    undo: int = 0
    redo: int = 0
    covers: int = -1
    notes: list[str] = field(default_factory=list)
    trouble: str = ""
    lost: str = ""
    edited: tuple[str, ...] = ()
    edits: Tables | None = None
    old: Tables | None = None
    unchecked: int = 0
    cut: tuple[int, bytes] = (0, b"")
    senseless: list[JournalLine] = field(default_factory=list)


def recover(files: Files, home: Path) -> Recovered:
    """What the lot kept in `home` is. Nothing is written.

    Raises OSError, and LotError where the files cannot be made sense of.
    """
    shown = printable(str(home / MAIN))
    main = read_main(files, home)
    data = read_journal(files, home / JOURNAL)
    if main.format > FORMAT:
        raise LotError(
            f"{shown} was made by a newer tagger (format {main.format}); update this one to open "
            "it."
        )
    if not data:
        return _without_journal(main, shown)
    header = next(lines_of(data[: data.find(b"\n") + 1] or data))
    said = (header.record or {}).get("format")
    if isinstance(said, int) and said > FORMAT:
        raise LotError(f"{shown} was made by a newer tagger; update this one to open it.")
    return _RecoveryReader(main, data, header, shown).read()


def recovered_from(data: bytes) -> Recovered:
    """What a lot is by the bytes of a journal alone, which must not be empty."""
    return _RecoveryReader(Main(None, None), data, next(lines_of(data)), "").read()


def _without_journal(main: Main, shown: str) -> Recovered:
    if main.data is None:
        return Recovered(LotTables({}))
    if main.tables is None or main.format == 0:
        why = main.why or "it is not a lot"
        raise LotError(
            f"{shown} is damaged ({why}); it was not changed. Restore a copy to continue."
        )
    try:
        if main.format == 1:
            return _old(main)
        found = Recovered(LotTables(main.tables))
        # no checksum vouches for them, so each is read before the lot is said to be whole
        found.kept.read_each_mark()
    except MALFORMED as error:
        raise LotError(
            f"{shown} is damaged ({printable(str(error), 100)}); it was not changed. Restore a "
            "copy to continue."
        ) from None
    # what came behind the last lot.json was in the journal alone, and nothing tells whether any did
    found.notes.append(
        "lot.journal is missing: the tags are as lot.json has them; changes made after it was "
        "written are not here, and there is nothing to undo."
    )
    found.lost = "lot.journal is missing, so changes made after lot.json was written are not here"
    return found


def _old(main: Main) -> Recovered:
    from tagger.store.lot.migration import convert

    assert main.tables is not None
    draft = convert(main.tables, old_tables(main.tables), "old", main.crc)
    found = recovered_from(bytes(draft.data))
    # the journal was made in memory only; the one that is written at opening has an identity
    found.id, found.old, found.covers, found.notes = "", main.tables, -1, []
    return found


class _Case(Enum):
    """How `lot.json` and the journal stand to each other; see `_RecoveryReader._case`."""

    SEALED = auto()
    DAMAGED = auto()
    SHORTER = auto()
    EDITED = auto()
    NEW = auto()


class _RecoveryReader:
    """Puts main file and journal together."""

    def __init__(self, main: Main, data: bytes, header: JournalLine, shown: str) -> None:
        self.main, self.data, self.header, self.shown = main, data, header, shown
        first = header.record or {}
        self.id = _identity(first)
        # the file that this journal was begun from: it stands for no place in it
        self.source = main.data is not None and main.crc == str(first.get("was", ""))
        self.covers = self._covered()
        self.ours = self.covers >= 0
        if self.ours and self.id and main.place.get("id") != self.id:
            raise LotError(
                f"{shown} and lot.journal beside it belong to different lots; restore the "
                "right one."
            )
        self.unchecked = 0
        self.both = False  # the journal is damaged, and lot.json, too
        # a large journal takes long to check: what lot.json stands for is left for a quiet moment
        if self.ours and len(data) > VERIFIED_AT_ONCE:
            self.unchecked = self.covers
        self._read_lines()

    def _covered(self) -> int:
        """The place in the journal that `lot.json` stands for, -1 where it says none."""
        said = self.main.place.get("covers")
        if isinstance(said, int) and self.main.format == FORMAT and not self.source:
            return said
        return -1

    def _read_lines(self) -> None:
        self.lines, self.torn = self._lines(self.unchecked, self.covers)
        self.sealed = self.ours and self._seal() == self.main.crc
        if self.ours and not self.sealed:
            # lot.json vouches for nothing now, so every line counts
            self.lines, self.torn = self._lines(0)
        self.bad = [line for line in self.lines if line.record is None]

    def _case(self) -> _Case:
        """What was found, and what the lot is then; the first that fits.

        | case | `lot.json` | journal | the lot is |
        | --- | --- | --- | --- |
        | SEALED | names a place, and a line vouches for its bytes | goes on from there | `lot.json`
          and the lines behind its place |
        | DAMAGED | whatever it is | a line, or the header, is not whole | `lot.json` with the lines
          behind its place that are whole, without one all such lines; for looking only |
        | SHORTER | names a place behind the journal's end, by size and by count | whole |
          `lot.json`; for looking only |
        | EDITED | names a place, but no line vouches for its bytes | whole | the journal; what
          `lot.json` says otherwise at its place is told |
        | NEW | none, the one that the journal was begun from, or one that names no place | whole |
          the journal, from its beginning |
        """
        if self.sealed:
            return _Case.SEALED
        if self.bad or not self.id:
            return _Case.DAMAGED
        if self.ours and self._shorter():
            return _Case.SHORTER
        if self.ours and self._is_place():
            return _Case.EDITED
        return _Case.NEW

    def read(self) -> Recovered:
        case = self._case()
        found = self._found(case)
        if case is _Case.SHORTER:
            return found
        # a journal may be damaged beside a lot.json that is sealed: its history cannot be trusted
        bad = sorted((*self.bad, *found.senseless), key=lambda line: line.offset)
        if bad or not self.id:
            found.trouble = self._damage(bad or [self.header])
        elif self.torn is not None:
            # a line that was being written has no end yet; one that has an end was whole once
            if self.torn.data.endswith(b"\n"):
                found.lost = "the last change in lot.journal is damaged and does not count"
                found.notes.append(_damaged_end(self.torn.data))
            elif case is _Case.NEW and (amiss := self._main_amiss()):
                # nothing says where the journal ended: a file cut short looks just like this
                found.lost = f"{amiss} and lot.journal ends amid a change, so tags may be missing"
                found.notes.append(f"{found.lost}; look at the last cards.")
            else:
                found.notes.append(_unfinished(self.torn.data))
            found.cut = (self.torn.offset, self.torn.data)
        found.id, found.unchecked = self.id, self.unchecked
        return found

    def _found(self, case: _Case) -> Recovered:
        match case:
            case _Case.SEALED:
                return self._from_main(vouched=True)
            case _Case.DAMAGED:
                return self._of_both()
            case _Case.SHORTER:
                found = self._from_main()
                # what lies behind was lost with the rest of the journal, and undo leads nowhere
                found.trouble = "lot.journal is shorter than lot.json says"
                return found
            case _Case.EDITED:
                return self._compared()
            case _Case.NEW:
                found = self._replayed(self.lines)
                if (amiss := self._main_amiss()) and self.torn is None:
                    rebuilt = "has been rebuilt from lot.journal; nothing is lost"
                    found.notes.append(f"{amiss} and {rebuilt}.")
                return found

    def _lines(
        self, start: int, read_from: int = 0
    ) -> tuple[list[JournalLine], JournalLine | None]:
        """The lines from `start` on, and the unfinished one at the end."""
        lines = list(lines_of(self.data, start, read_from))
        # only the last line can be one that was being written when the program was stopped; one
        # that is not whole farther in front is damage
        if lines and lines[-1].record is None:
            return lines[:-1], lines[-1]
        return lines, None

    def _shorter(self) -> bool:
        """Whether `lot.json` knows more than the journal: by its size and by its count of lines,
        since one of the two may be damaged."""
        number = self.main.place.get("n")
        have = max((_number(line) + 1 for line in self.lines[-1:]), default=0)
        return self.covers > len(self.data) and (not isinstance(number, int) or number > have)

    def _is_place(self) -> bool:
        """Whether `covers` is where a line starts, or the end, and the number of lines is right
        too."""
        place = self.covers, self.main.place.get("n")
        return any(
            place in ((line.offset, _number(line)), (line.end, _number(line) + 1))
            for line in self.lines
        )

    def _seal(self) -> str:
        """The checksum that `lot.json` must have for its place, empty where no whole line says
        so."""
        behind = (line.record for line in self.lines if line.offset >= self.covers)
        for record in behind:
            if record and record.get("k") == "kept" and record.get("covers") == self.covers:
                return str(record.get("crc", ""))
        return ""

    def _of_both(self) -> Recovered:
        """What is left where the journal is damaged: lot.json if it is of this journal and can be
        read, else the lines that are whole."""
        if self.ours:
            try:
                return self._from_main()
            except LotError:
                self.both = True
        return self._replayed(self.lines)

    def _from_main(self, vouched: bool = False) -> Recovered:
        """The lot of `lot.json`; `vouched` where the journal has its checksum."""
        tables, place = self.main.tables, self.main.place
        assert tables is not None
        try:
            found = Recovered(LotTables(tables), covers=int(place["covers"]))
            if not vouched:
                found.kept.read_each_mark()
            found.number = int(place["n"])
            found.undo, found.redo = int(place["undo"]), int(place["redo"])
        except MALFORMED as error:
            raise LotError(
                f"{self.shown} is damaged ({printable(str(error), 100)}); run tagger repair FOLDER."
            ) from None
        found.end = found.covers
        _replay(found, [line for line in self.lines if line.offset >= found.covers])
        return found

    def _replayed(self, lines: list[JournalLine]) -> Recovered:
        found = Recovered(LotTables({}))
        _replay(found, lines)
        return found

    def _compared(self) -> Recovered:
        """The journal's lot, with what `lot.json` says otherwise at its own place."""
        assert self.main.tables is not None
        # held against each other at the same place: what was done since is in the journal only
        found = self._replayed([line for line in self.lines if line.offset < self.covers])
        found.edited = differences(found.kept.whole(""), self.main.tables)
        found.edits = self.main.tables if found.edited else None
        _replay(found, [line for line in self.lines if line.offset >= self.covers])
        return found

    def _main_amiss(self) -> str:
        """What is wrong with the `lot.json` that there should be, empty where nothing is."""
        if self.main.data is not None and not self.source:
            return "lot.json was damaged"
        if self.main.data is None and any(_kind(line) == "kept" for line in self.lines):
            return "lot.json was missing"
        return ""

    def _damage(self, bad: list[JournalLine]) -> str:
        numbers = ", ".join(str(self.data.count(b"\n", 0, line.offset) + 1) for line in bad[:5])
        said = f"lot.journal is damaged in line {numbers}"
        if len(bad) > 5:
            said += f" and {len(bad) - 5} more"
        if named := ", ".join(filter(None, (_label(line.data) for line in bad[:5]))):
            said += f" ({named})"
        if self.both:
            said += ", and so is lot.json"
        return f"{said}; tagger repair FOLDER says what it can do"


def _identity(first: Record) -> str:
    """Which journal it is, by its first record; empty where that is none of a journal."""
    return str(first.get("id", "")) if first.get("k") == "lot" else ""


def _kind(line: JournalLine) -> object:
    return (line.record or {}).get("k")


def _number(line: JournalLine) -> int:
    """The number of a line, -2 where it is not whole: neither it nor the next one is then a number
    of a line."""
    return int((line.record or {}).get("n", -2))


def _replay(found: Recovered, lines: list[JournalLine]) -> None:
    for line in lines:
        record = line.record
        found.end = line.end
        if record is None:
            # counted, so that the numbers of the lines behind it are right
            found.number += 1
            continue
        found.number = int(record["n"]) + 1
        try:
            _replay_record(found, record, line.offset)
        # its checksum is right, so it was written so, by another hand or another program
        except MALFORMED:
            found.senseless.append(line)


def _replay_record(found: Recovered, record: Record, offset: int) -> None:
    # what the journal starts from is no event: it is another lot
    if record["k"] == "base":
        kept = LotTables(record["tables"])
        kept.read_each_mark()
        found.kept = kept
    elif (event := event_of(record)) is not None:
        found.kept.apply(event)
    if record["k"] in HISTORY:
        int(record["u"])  # undo goes by it later
        found.undo, found.redo = links(record, offset)


def _label(data: bytes) -> str:
    match = _LABEL.search(data)
    if match is None:
        return ""
    return printable(match[1].decode("ascii", "replace"), 60)


def _damaged_end(data: bytes) -> str:
    label = _label(data)
    which = f" ({label})" if label else ""
    return f"The last change in lot.journal is damaged{which} and does not count; make it again."


def _unfinished(data: bytes) -> str:
    said = "The last change was not saved before the program stopped"
    label = _label(data)
    return f"{said}: {label}." if label else f"{said}."
