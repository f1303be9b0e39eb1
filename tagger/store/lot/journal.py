"""A write-ahead log: an append-only file of checksummed lines. What was said to be done is in here,
or it was not done.

A line is a JSON array (RFC 8259) of the record's checksum and the record::

    ["cbf43926",{"n":17,...}]

The checksum is CRC-32 (ISO-HDLC, as in zlib and PNG) of the record's own bytes, in eight
hexadecimal digits. `n` counts up by one from line to line. A record is known by its offset in
bytes."""

from __future__ import annotations

import errno
import json
import os
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from tagger.store.files import Files, read_span, read_whole, write_all
from tagger.store.lot.watch.journal_watch import Broken, JournalWatch

Record = dict[str, Any]

JOURNAL = "lot.journal"
RESCUED = f"{JOURNAL}.rescued"  # what was accepted while another hand was at the journal
# Raised where an older program would read a lot wrongly: that one then refuses to open it.
FORMAT = 2
_NUMBER = b'{"n":'
_HEAD, _FOOT = 12, 2  # ["cbf43926", before the record, ] and the newline behind it
# the user can make room, and it can go on
FULL = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})


def encode(record: Record) -> bytes:
    """A record as its line."""
    # ASCII alone: any terminal shows a line as it is, and no byte within it is a newline
    body = json.dumps(record, separators=(",", ":")).encode("ascii")
    return b'["%08x",%b]\n' % (zlib.crc32(body), body)


def decode(line: bytes) -> Record | None:
    """The record of a line with its newline, or None where the line is not whole."""
    if not _is_shaped(line):
        return None
    body = line[_HEAD:-_FOOT]
    # the checksum first: what is damaged need not be JSON, and may be of any depth
    if line[2:10] != b"%08x" % zlib.crc32(body):
        return None
    try:
        record = json.loads(body)
    except (ValueError, RecursionError):
        return None
    return record if isinstance(record, dict) else None


def _is_shaped(line: bytes) -> bool:
    """Whether a line has all that stands around a record, and room for one."""
    shaped = line[:2] == b'["' and line[10:12] == b'",' and line[-_FOOT:] == b"]\n"
    return shaped and len(line) >= _HEAD + _FOOT


def checked(line: bytes) -> Record | None:
    """Only the number of a line's record, not the rest: a tenth of the work. None where the line is
    not whole."""
    body = line[_HEAD:-_FOOT]
    # `n` is the first that a record has, so it is found without reading the JSON.
    comma = body.find(b",", len(_NUMBER))
    number = body[len(_NUMBER) : comma]
    if not (
        body.startswith(_NUMBER)
        and number.isdigit()
        and line[10:12] == b'",'
        and line[-_FOOT:] == b"]\n"
    ):
        return decode(line)
    if line[:10] != b'["%08x' % zlib.crc32(body):
        return None
    return {"n": int(number)}


class JournalLine(NamedTuple):
    """One line of a journal: where it starts, its bytes with the newline (if it has one), its
    record if it is whole."""

    offset: int
    data: bytes
    record: Record | None

    @property
    def end(self) -> int:
        """Where the next line starts."""
        return self.offset + len(self.data)


def lines_of(data: bytes, start: int = 0, read_from: int = 0) -> Iterator[JournalLine]:
    """The lines of a journal from `start` on. One whose number does not follow the one before is
    not whole; after damage, which may have split a line or joined two, any later number will do. Of
    lines before `read_from` the records are checked, but only their number is read."""
    before: int | None = None
    damaged = False
    while start < len(data):
        # behind the last newline is a line that was being written
        end = data.find(b"\n", start) + 1 or len(data)
        line = data[start:end]
        record = decode(line) if start >= read_from else checked(line)
        # a whole line in the wrong place was copied or lost by another hand, or by the medium
        if record is not None and not _follows(record.get("n"), before, damaged):
            record = None
        if record is not None:
            before = int(record["n"])
        damaged = record is None
        yield JournalLine(start, line, record)
        start = end


def _follows(number: object, before: int | None, damaged: bool) -> bool:
    """Whether a line of this number may stand behind one of the number `before`."""
    if not isinstance(number, int):
        return False
    return before is None or number == before + 1 or (damaged and number > before)


class Draft:
    """A journal put together in memory, to be written as a whole."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.number = 0

    def add(self, record: Record) -> int:
        """Add a record; returns its offset."""
        offset = len(self.data)
        self.data += encode({"n": self.number, **record})
        self.number += 1
        return offset

    def begin(self, id: str, name: str, tables: dict[str, Any], was: str = "") -> None:
        """The first two lines: whose journal this is, and the tables that it starts from.

        `was` is the checksum of the `lot.json` of an older format that it was made from.
        """
        self.add({"k": "lot", "format": FORMAT, "id": id, "lot": name, "was": was})
        self.add({"k": "base", "tables": tables})


class Journal:
    """An open journal. `end` is the offset behind the last acknowledged record."""

    def __init__(self, files: Files, path: Path, end: int, number: int) -> None:
        """Open for appending behind `end`; `number` is the next record's. What lies behind `end` is
        cut off.

        Raises OSError.
        """
        self._files, self._path = files, path
        self.end, self.number = end, number
        self._broken: Broken | None = None
        # a link in a folder that was received must not lead what is written into another file
        self._fd = files.open(path, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW)
        try:
            # a line that was not finished: behind it a new one could not be told from damage
            if files.size(self._fd) > end:
                files.truncate(self._fd, end)
                files.sync(self._fd)
            self._watch = JournalWatch(files, path, self._fd, end)
        except OSError:
            files.close(self._fd)
            raise

    @property
    def broken(self) -> Broken | None:
        """Why no more is accepted, None while all is well."""
        return self._broken

    def append(self, record: Record) -> int:
        """Add a record; on the medium when this returns. Returns its offset.

        Raises OSError: the record is then not in the file, and where even that cannot be made sure,
        Broken, now and at each further call. A failed sync is never tried again: after it the
        system may have dropped what it held."""
        self.check()
        offset = self.end
        line = encode({"n": self.number, **record})
        try:
            write_all(self._files, self._fd, line, offset)
            self._files.sync(self._fd)
        except OSError as error:
            self._take_back(error)
            raise
        # Not before: what a sync has not put on the medium was not done.
        self.end += len(line)
        self.number += 1
        self._watch.left(line)
        return offset

    def check(self) -> None:
        """Raises OSError where no more is accepted: Broken, and what kind of it where another hand
        was at the file. Where the file is not there, the next call looks again."""
        if self._broken is not None:
            raise self._broken
        try:
            self._fd = self._watch.check(self._fd, self.end)
        except Broken as error:
            self._broken = error
            raise

    def acknowledged(self) -> bytes:
        """All that was acknowledged; empty where the open file does not hold it any more. Raises
        OSError."""
        data = read_span(self._files, self._fd, self.end, 0)
        lines = list(lines_of(data))
        right = len(data) == self.end and len(lines) == self.number
        return data if right and all(line.record is not None for line in lines) else b""

    def read(self, offset: int) -> Record:
        """The record at an offset. Raises ValueError where it is not whole, OSError where it cannot
        be read."""
        if not 0 <= offset < self.end:
            raise ValueError(f"no line begins at {offset}")
        # a tag is some hundred bytes; a change of many cards may be a megabyte
        size = 4096
        while True:
            data = self._files.read_at(self._fd, min(size, self.end - offset), offset)
            if b"\n" in data or len(data) < size:
                break
            size *= 8
        return _record(data[: data.find(b"\n") + 1], offset)

    def close(self) -> None:
        """Let go of the file."""
        if self._fd >= 0:
            self._files.close(self._fd)
            self._fd = -1

    def _take_back(self, error: OSError) -> None:
        """Cut off what a failed write left. Where that fails too, or the medium itself does, the
        journal is broken."""
        # after any other error nobody knows what is on the medium
        if error.errno not in FULL:
            self._broken = Broken(error.errno, error.strerror)
        try:
            self._files.truncate(self._fd, self.end)
            self._files.sync(self._fd)
        except OSError as another:
            if another.errno not in FULL:
                self._broken = Broken(another.errno, another.strerror)


def read_record(data: bytes, offset: int) -> Record:
    """The record at an offset of a journal's bytes. Raises ValueError where it is not whole."""
    return _record(data[offset : data.find(b"\n", offset) + 1], offset)


def _record(line: bytes, offset: int) -> Record:
    record = decode(line)
    if record is None:
        raise ValueError(f"the record at byte {offset} is damaged")
    return record


def first_damage(data: bytes) -> int | None:
    """The number, from 1, of the first line that is not whole; None where all are."""
    bad = next((line for line in lines_of(data) if line.record is None), None)
    return None if bad is None else data.count(b"\n", 0, bad.offset) + 1


def read_journal(files: Files, path: Path) -> bytes:
    """A journal's bytes, empty where there is none."""
    if not files.exists(path):
        return b""
    return read_whole(files, path)
