"""How far a lot's journal goes, told from its two ends; and what happened in it from a place on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tagger.store.files import open_bounded, read_bounded
from tagger.store.lot.journal import JOURNAL, decode, lines_of

if TYPE_CHECKING:
    from tagger.store.lot.journal import Record

_END = 1 << 16  # bytes in which the last line is looked for first
_MOST = 1 << 30
_HISTORY = ("do", "undo", "redo")
# after one of these the cards of a lot are others, or have other numbers
_WHOLE = ("base", "intake", "part")


class JournalPlace(NamedTuple):
    """The journal's identity, its size in bytes, and the checksum of its last line as it stands
    there; all empty where there is no journal that can be read."""

    id: str = ""
    size: int = 0
    tail: str = ""


class Happened(NamedTuple):
    """What happened in a lot between two places: the identities of the cards whose marks changed;
    `whole` where its cards may be others."""

    cards: frozenset[int] = frozenset()
    whole: bool = False
    named: bool = False


def journal_place(home: Path) -> JournalPlace:
    """How far a lot's journal goes now. Never raises."""
    try:
        with open_bounded(home / JOURNAL, _MOST) as file:
            head = decode(file.readline(_END)) or {}
            size = file.seek(0, 2)
            start = max(0, size - _END)
            file.seek(start)
            end = file.read(size - start)
            if end.count(b"\n") < 2 and start:
                file.seek(0)
                end = file.read(size)
    except OSError:
        return JournalPlace()
    if head.get("k") != "lot" or not end.endswith(b"\n"):
        return JournalPlace(str(head.get("id", "")) if head.get("k") == "lot" else "", -1)
    return JournalPlace(str(head["id"]), size, tail_of(end))


def tail_of(data: bytes) -> str:
    """The checksum of the last line of some bytes that end with one."""
    line = data[data.rfind(b"\n", 0, len(data) - 1) + 1 :]
    return line[2:10].decode("ascii", "replace")


def journal_bytes(home: Path, end: int) -> bytes:
    """The journal up to a place. Raises OSError."""
    return read_bounded(home / JOURNAL, _MOST)[:end]


def happened(data: bytes, start: int, tail: str) -> Happened:
    """What happened in a journal from `start` on, where the line before has the checksum `tail`;
    anything where the journal is not the one that had it there."""
    before = data[:start]
    if not before.endswith(b"\n") or tail_of(before) != tail:
        return Happened(whole=True)
    cards: set[int] = set()
    named = False
    for line in lines_of(data, start):
        record = line.record
        if record is None or record["k"] in _WHOLE or "arrangement" in record:
            return Happened(whole=True)
        named = named or record["k"] == "name"
        cards.update(_marked(record))
    return Happened(frozenset(cards), named=named)


def _marked(record: Record) -> set[int]:
    if record["k"] not in _HISTORY:
        return set()
    return {int(mark[0]) for mark in record["marks"]}
