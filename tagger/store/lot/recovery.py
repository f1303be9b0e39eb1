"""Finding out what a lot is, from `lot.json` and the journal, whatever state the last program left
them in.

The journal is the truth; `lot.json` is what it came to at an earlier place in it (`covers`), so
that only the lines behind need be replayed. A `kept` line holds the checksum of the `lot.json` that
was written for a place; one that does not match was changed by another hand, and the journal is
replayed from its beginning instead."""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.store.files import Files, read_whole
from tagger.store.lot.journal import FORMAT, JournalLine, Record, lines_of, read_journal
from tagger.store.lot.lot_tables import LotTables
from tagger.store.lot.memory_tables import Tables
from tagger.store.lot.records import HISTORY, links

MAIN, JOURNAL = "lot.json", "lot.journal"
# bytes of a journal that are all checked at opening; of a larger one only the lines needed
VERIFIED_AT_ONCE = 2 << 20

_LABEL = re.compile(rb'"label":"((?:[^"\\]|\\.)*)')
_TABLE_ERRORS = (ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError)


@dataclass
class Recovered:
    """What a lot is, and what was found on the way.

    `id` is empty where there is no journal yet; `end` and `number` are where the journal goes on;
    `undo` and `redo` are the records that those go on with; `covers` is the place that `lot.json`
    stands for, -1 where it must be written again. `trouble` says why the lot may only be looked at;
    `edited` says what another hand changed in `lot.json`; `notes` are sentences for the dealer; the
    first `unchecked` bytes of the journal were not looked at; `cut` is the place and the bytes of
    an unfinished last line."""

    kept: LotTables
    id: str = ""
    end: int = 0
    number: int = 0
    undo: int = 0
    redo: int = 0
    covers: int = -1
    notes: list[str] = field(default_factory=list)
    trouble: str = ""
    edited: tuple[str, ...] = ()
    edits: Tables | None = None
    old: Tables | None = None
    unchecked: int = 0
    cut: tuple[int, bytes] = (0, b"")


@dataclass(frozen=True)
class Main:
    """`lot.json` as it was found: its bytes, and its tables or why there are none."""

    data: bytes | None
    tables: Tables | None
    why: str = ""

    @property
    def format(self) -> int:
        """The format that the file says it has, 0 where it says none."""
        tables = self.tables or {}
        meta = tables.get("state", {}).get("1") or tables.get("lot", {}).get("1") or {}
        said = meta.get("format", 0)
        return said if isinstance(said, int) else 0

    @property
    def place(self) -> Mapping[str, Any]:
        """Which journal it belongs to, and which place of it it covers."""
        found = (self.tables or {}).get("state", {}).get("1", {}).get("journal", {})
        return found if isinstance(found, dict) else {}

    @property
    def crc(self) -> str:
        """The checksum of its bytes."""
        return f"{zlib.crc32(self.data or b''):08x}"


def read_main(files: Files, home: Path) -> Main:
    """`lot.json`, as far as it can be read. Raises OSError."""
    path = home / MAIN
    if not files.exists(path):
        return Main(None, None)
    data = read_whole(files, path)
    try:
        tables = json.loads(data)
        if not isinstance(tables, dict) or not all(
            isinstance(table, dict) for table in tables.values()
        ):
            return Main(data, None, "it holds no tables")
        if not all(
            isinstance(tables.get(name, {}).get("1", {}), dict) for name in ("state", "lot")
        ):
            return Main(data, None, "it is no lot")
    except (ValueError, RecursionError) as error:
        return Main(data, None, printable(str(error), 100))
    return Main(data, tables)


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
    if header.record is not None and int(header.record.get("format", 0)) > FORMAT:
        raise LotError(f"{shown} was made by a newer tagger; update this one to open it.")
    return _RecoveryReader(main, data, header, shown).read()


def _without_journal(main: Main, shown: str) -> Recovered:
    if main.data is None:
        return Recovered(LotTables({}))
    if main.tables is None or main.format == 0:
        why = main.why or "it is no lot"
        raise LotError(
            f"{shown} is damaged ({why}); it was left as it is. Put back a copy to go on."
        )
    try:
        if main.format == 1:
            return _old(main)
        found = Recovered(LotTables(main.tables))
        for id in found.kept.lot.marks:
            found.kept.lot.mark(id)  # no checksum vouches for them
    except _TABLE_ERRORS as error:
        raise LotError(
            f"{shown} is damaged ({printable(str(error), 100)}); it was left as it is. Put back a "
            "copy to go on."
        ) from None
    found.notes.append("lot.journal is gone: all tags are here, but there is nothing to undo.")
    return found


def _old(main: Main) -> Recovered:
    from tagger.store.lot.migration import convert

    assert main.tables is not None
    draft = convert(main.tables, "old", main.crc)
    data = bytes(draft.data)
    found = _RecoveryReader(Main(None, None), data, next(lines_of(data)), "").read()
    found.id, found.old, found.covers, found.notes = "", main.tables, -1, []
    return found


class _RecoveryReader:
    """Puts main file and journal together."""

    def __init__(self, main: Main, data: bytes, header: JournalLine, shown: str) -> None:
        self.main, self.data, self.header, self.shown = main, data, header, shown
        self.id = (
            str(header.record["id"]) if header.record and header.record.get("k") == "lot" else ""
        )
        was = str((header.record or {}).get("was", ""))
        # the file that this journal was begun from
        self.source = main.data is not None and main.crc == was

    def read(self) -> Recovered:
        main = self.main
        said = main.place.get("covers")
        covers = said if isinstance(said, int) and main.format == FORMAT and not self.source else -1
        ours = covers >= 0
        if ours and self.id and main.place.get("id") != self.id:
            raise LotError(
                f"{self.shown} and lot.journal beside it belong to different lots; put the right "
                "one back."
            )
        whole = len(self.data) <= VERIFIED_AT_ONCE
        lines, torn = self._lines(0 if whole or not ours else covers, covers)
        sealed = ours and self._seal(lines, covers) == main.crc
        if not sealed and ours:
            lines, torn = self._lines(0)
        bad = [line for line in lines if line.record is None]
        if sealed:
            found = self._from_main("", lines)
        elif bad or not self.id:
            found = self._from_main("", lines) if ours else self._replayed(lines)
        elif ours and self._shorter(lines, covers):
            return self._from_main("lot.journal is shorter than lot.json says", lines)
        else:
            found = self._rebuilt(lines, covers if self._is_place(lines, covers) else -1)
        if bad or not self.id:
            found.trouble = self._damage(bad or [self.header])
        elif torn is not None:
            found.notes.append(_unfinished(torn.data))
            found.cut = (torn.offset, torn.data)
        found.id = self.id
        found.unchecked = 0 if whole or not ours else covers
        return found

    def _lines(
        self, start: int, read_from: int = 0
    ) -> tuple[list[JournalLine], JournalLine | None]:
        """The lines from `start` on, and the unfinished one at the end."""
        lines = list(lines_of(self.data, start, read_from))
        torn = lines.pop() if lines and lines[-1].record is None else None
        return lines, torn

    def _shorter(self, lines: list[JournalLine], covers: int) -> bool:
        """Whether `lot.json` knows more than the journal: by its size and by its count of lines,
        since one of the two may be damaged."""
        number = self.main.place.get("n")
        have = int((lines[-1].record or {}).get("n", -1)) + 1 if lines else 0
        return covers > len(self.data) and (not isinstance(number, int) or number > have)

    def _is_place(self, lines: list[JournalLine], covers: int) -> bool:
        """Whether `covers` is where a line starts, or the end, and the number of lines is right
        too."""
        number = self.main.place.get("n")
        return any(
            (line.offset == covers and (line.record or {}).get("n") == number)
            or (line.end == covers and (line.record or {}).get("n", -2) + 1 == number)
            for line in lines
        )

    def _seal(self, lines: list[JournalLine], covers: int) -> str:
        """The checksum that `lot.json` must have for a place, empty where no whole line says so."""
        records = [
            line.record for line in lines if line.record is not None and line.offset >= covers
        ]
        return next(
            (str(r["crc"]) for r in records if r["k"] == "kept" and r.get("covers") == covers), ""
        )

    def _from_main(self, trouble: str, lines: list[JournalLine]) -> Recovered:
        assert self.main.tables is not None
        place = self.main.place
        try:
            kept = LotTables(self.main.tables)
            found = Recovered(
                kept, covers=int(place["covers"]), number=int(place["n"]), trouble=trouble
            )
            found.undo, found.redo = int(place["undo"]), int(place["redo"])
        except _TABLE_ERRORS as error:
            raise LotError(
                f"{self.shown} is damaged ({printable(str(error), 100)}); see tagger repair."
            ) from None
        found.end = found.covers
        _replay(found, [line for line in lines if line.offset >= found.covers])
        return found

    def _replayed(self, lines: list[JournalLine]) -> Recovered:
        found = Recovered(LotTables({}))
        _replay(found, lines)
        return found

    def _rebuilt(self, lines: list[JournalLine], covers: int) -> Recovered:
        """From the journal's beginning. What `lot.json` says otherwise at its own place is told, or
        that it is gone."""
        found = Recovered(LotTables({}))
        _replay(found, [line for line in lines if covers < 0 or line.offset < covers])
        main = self.main
        if main.tables is not None and covers >= 0:
            found.edited = differences(found.kept.whole(""), main.tables)
            found.edits = main.tables if found.edited else None
        elif main.data is not None and not self.source:
            found.notes.append(
                "lot.json was damaged and is made again from lot.journal; nothing is lost."
            )
        elif main.data is None and any((line.record or {}).get("k") == "kept" for line in lines):
            found.notes.append(
                "lot.json was gone and is made again from lot.journal; nothing is lost."
            )
        _replay(found, [line for line in lines if 0 <= covers <= line.offset])
        return found

    def _damage(self, bad: list[JournalLine]) -> str:
        numbers = ", ".join(str(self.data.count(b"\n", 0, line.offset) + 1) for line in bad[:5])
        named = ", ".join(filter(None, (_label(line.data) for line in bad[:5])))
        more = f" and {len(bad) - 5} more" if len(bad) > 5 else ""
        return (
            f"lot.journal is damaged in line {numbers}{more}"
            + (f" ({named})" if named else "")
            + "; "
            "tagger repair FOLDER shows what can be done"
        )


def _replay(found: Recovered, lines: list[JournalLine]) -> None:
    for line in lines:
        record: Record | None = line.record
        if record is not None:
            found.kept.replay(record)
            if record["k"] in HISTORY:
                found.undo, found.redo = links(record, line.offset)
            found.number = int(record["n"]) + 1
        else:
            found.number += 1
        found.end = line.end


def _label(data: bytes) -> str:
    match = _LABEL.search(data)
    return printable(match[1].decode("ascii", "replace"), 60) if match else ""


def _unfinished(data: bytes) -> str:
    label = _label(data)
    return "The last change was not finished when the program was stopped, and is not there" + (
        f": {label}." if label else "."
    )


def differences(kept: Tables, other: Tables) -> tuple[str, ...]:
    """What another hand changed in the tables, a sentence each; what the program itself notes there
    is passed over."""
    found: list[str] = []
    order = [int(id) for id in kept.get("state", {}).get("1", {}).get("order", [])]
    places = {str(id): position for position, id in enumerate(order, start=1)}
    for name in sorted({*kept, *other}):
        ours, theirs = kept.get(name, {}), other.get(name, {})
        for id in sorted({*ours, *theirs}, key=lambda id: (len(id), id)):
            if name == "state" and id == "1":
                continue
            what = (
                f"card {places[id]}"
                if name == "cards" and id in places
                else f"{printable(name, 40)} {printable(id, 20)}"
            )
            if id not in theirs:
                found.append(f"{what} is missing")
            elif id not in ours:
                found.append(f"{what} is new")
            else:
                found.extend(f"{what}: {text}" for text in _fields(ours[id], theirs[id]))
    ours, theirs = (dict(tables.get("state", {}).get("1", {})) for tables in (kept, other))
    for tables in (ours, theirs):
        for field_name in ("journal", "saved", "format", "lot"):
            tables.pop(field_name, None)
    return (*found, *(f"lot: {text}" for text in _fields(ours, theirs)))


def _fields(ours: object, theirs: object) -> list[str]:
    if not isinstance(ours, dict) or not isinstance(theirs, dict):
        return [] if ours == theirs else ["is no document"]
    names = [name for name in {**ours, **theirs} if ours.get(name) != theirs.get(name)]
    return [
        f"{printable(name, 40)} is {_short(theirs.get(name))}, was {_short(ours.get(name))}"
        for name in names
    ]


def _short(value: object) -> str:
    return "nothing" if value is None else printable(json.dumps(value, ensure_ascii=False), 60)
