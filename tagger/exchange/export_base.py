"""What an export was made from: a small file beside it, so that an import can tell what was edited
outside from what was changed in the lot since.

A gzip file (RFC 1952) of JSON lines: first the lot and the columns, then a line a row with the
card's identity, its running number, and the texts of the row as they were exported. Of several lots
the first line has all of them, and a row begins with which of them it is of."""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from tagger.core.lot.fields import CardInLot, Value

FORMAT, OF_LOTS = 1, 2
IDENTITY = frozenset(("set", "number", "subject", "team", "parallel"))
"""The fields that say what a card is."""
ENDING = ".base"
LARGEST = 16 << 20  # bytes, as packed as it lies there
_UNPACKED = 64 << 20  # bytes; an export of a lot is far smaller
_LEVEL = 3  # of 9: a row after the other is much alike
_GZIP = 16 + zlib.MAX_WBITS


def base_path(table: Path) -> Path:
    """Where the base of a table lies."""
    return table.with_name(table.name + ENDING)


class BaseRow(NamedTuple):
    """A row as it was exported: the card's identity, its running number (0 before its first tag),
    its texts by heading in small letters, and by field what it said of what the card is."""

    id: int
    running: int
    texts: Mapping[str, str]
    identity: Mapping[str, str]


@dataclass(frozen=True)
class ExportBase:
    """All rows of one lot in an export: by position, and by running number. `part` is the lot's
    part of stock numbers; `lot` its name where the export is of several."""

    part: str
    columns: Sequence[str]
    fields: Sequence[str]
    rows: Sequence[BaseRow]
    by_position: Mapping[str, BaseRow]
    by_running: Mapping[int, BaseRow]
    lot: str = ""


class BaseWriter:
    """The base of an export, packed while its rows are written. `part` is the lot's part of stock
    numbers, or there are `lots`, each with its part and name."""

    def __init__(
        self,
        part: str,
        columns: Sequence[str],
        fields: Sequence[str],
        lots: Sequence[tuple[str, str]] = (),
    ) -> None:
        self._several = bool(lots)
        head = {"format": OF_LOTS, "lots": lots} if lots else {"format": FORMAT, "part": part}
        self._packer = zlib.compressobj(_LEVEL, zlib.DEFLATED, _GZIP)
        self._encode = json.JSONEncoder(ensure_ascii=False).encode
        self._parts: list[bytes] = []
        self._line({**head, "columns": list(columns), "fields": list(fields)})

    def row(self, card: CardInLot, row: Sequence[Value], at: int = 0) -> None:
        """Add a row of the table, and the card that it is, of the lot with this number."""
        self.add(card.pair.id, card.mark.running, map(str, row), at)

    def add(self, id: int, running: int, texts: Iterable[str], at: int = 0) -> None:
        """Add a row by what it is known by."""
        self._line([*([at] if self._several else []), id, running, *texts])

    def _line(self, value: object) -> None:
        text = self._encode(value) + "\n"
        if packed := self._packer.compress(text.encode("utf-8", "surrogatepass")):
            self._parts.append(packed)

    def finished(self) -> Iterator[bytes]:
        """The bytes of the file, once all rows were added."""
        yield from self._parts
        yield self._packer.flush()


def read_base(data: bytes) -> tuple[ExportBase, ...]:
    """The base in a file's bytes, for each lot of the export. Raises ValueError where it is none,
    or damaged."""
    try:
        lines = _unpacked(data).decode("utf-8", "surrogatepass").splitlines()
        head, *rows = map(json.loads, lines)
        return _bases(head, rows)
    except (
        zlib.error,
        LookupError,
        TypeError,
        AttributeError,
        OverflowError,
        RecursionError,
    ) as error:
        raise ValueError(str(error)) from None


Imported = Mapping[int, Mapping[str, str]]
"""By the identity of a card and by heading the texts that were imported."""


def imported_base(bases: Sequence[ExportBase], texts: Sequence[Imported]) -> Iterator[bytes]:
    """The base once these texts of each lot were imported: they are the lots' now as well, and the
    same file may be edited further."""
    first = bases[0]
    lots = [(base.part, base.lot) for base in bases] if first.lot else ()
    writer = BaseWriter(first.part, first.columns, first.fields, lots)
    for at, (base, imported) in enumerate(zip(bases, texts, strict=True)):
        for row in base.rows:
            now = {**row.texts, **imported.get(row.id, {})}
            own = (now[heading_key(name)] for name in base.columns)
            writer.add(row.id, row.running, own, at)
    return writer.finished()


def heading_key(heading: str) -> str:
    """What a heading is known by, whatever its case."""
    return heading.strip().casefold()


def _unpacked(data: bytes) -> bytes:
    unpacker = zlib.decompressobj(_GZIP)
    unpacked = unpacker.decompress(data, _UNPACKED)
    # The check sum at its end says that all of it is there.
    if not unpacker.eof:
        raise ValueError("it is cut off, or too large")
    return unpacked


def _bases(head: Any, lines: Sequence[Any]) -> tuple[ExportBase, ...]:
    if head["format"] == FORMAT:
        return (_base(head, str(head["part"]), "", lines),)
    if head["format"] != OF_LOTS:
        raise ValueError("it is of another version")
    of_lot: list[list[Any]] = [[] for _ in head["lots"]]
    for at, *line in lines:
        of_lot[at].append(line)
    return tuple(
        _base(head, str(part), str(name), rows)
        for (part, name), rows in zip(head["lots"], of_lot, strict=True)
    )


def _base(head: Any, part: str, lot: str, lines: Sequence[Any]) -> ExportBase:
    names = [heading_key(str(name)) for name in head["columns"]]
    fields = [str(name) for name in head["fields"]]
    at = names[fields.index("position")]
    rows = [_row(names, fields, *line) for line in lines]
    return ExportBase(
        part,
        head["columns"],
        fields,
        rows,
        {row.texts[at]: row for row in rows},
        {row.running: row for row in rows if row.running},
        lot,
    )


def _row(
    names: Sequence[str], fields: Sequence[str], id: Any, running: Any, *texts: Any
) -> BaseRow:
    cells = [str(text) for text in texts]
    identity = {name: text for name, text in zip(fields, cells, strict=True) if name in IDENTITY}
    return BaseRow(int(id), int(running), dict(zip(names, cells, strict=True)), identity)
