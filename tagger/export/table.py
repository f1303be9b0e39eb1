"""The inventory as a table: a row a card, in feeding order."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import Any

from tagger.core.lot import LotState
from tagger.core.model import State
from tagger.core.text import printable

COLUMNS = (
    "position", "front", "back", "set", "number", "subject", "team", "parallel", "serial", "condition", "place", "note",
    "state",
)  # fmt: skip

# A spreadsheet takes a cell that starts with one of these for a formula or a command. OWASP, "CSV Injection":
# =, +, -, @, tab, carriage return, and the full-width forms of the signs.
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


@dataclass(frozen=True)
class Table:
    """Column names and rows; a position is a whole number, all else is text."""

    columns: tuple[str, ...]
    rows: tuple[tuple[int | str, ...], ...]

    def records(self) -> list[dict[str, int | str]]:
        """The rows by column name."""
        return [dict(zip(self.columns, row, strict=True)) for row in self.rows]


def inventory(lot: LotState) -> Table:
    """The table of a lot. The checklist's further columns follow, those that any card has, in order of appearance; one
    that is called like a column of ours is called `checklist …`."""
    marks = [lot.mark(pair.id) for pair in lot.arrangement.pairs]
    further = list(dict.fromkeys(name for mark in marks for name, _ in mark.tags.extra))
    titles = _titles(further)
    rows: list[tuple[int | str, ...]] = []
    for position, (pair, mark) in enumerate(zip(lot.arrangement.pairs, marks, strict=True), start=1):
        tags, extra = mark.tags, dict(mark.tags.extra)
        note = tags.note
        if mark.state is State.SET_ASIDE:
            note = "; ".join(part for part in (mark.reason, note) if part)
        cells = (
            pair.front or "", pair.back or "", tags.set, tags.number, tags.subject, tags.team, tags.parallel,
            tags.serial, tags.condition, tags.place, note, str(mark.state), *(extra.get(name, "") for name in further),
        )  # fmt: skip
        rows.append((position, *(_clean(cell) for cell in cells)))
    return Table((*COLUMNS, *titles), tuple(rows))


def _titles(further: Sequence[str]) -> list[str]:
    taken = set(COLUMNS)
    titles: list[str] = []
    for name in further:
        title = _clean(name)
        while title.casefold() in taken:
            title = f"checklist {title}"
        taken.add(title.casefold())
        titles.append(title)
    return titles


def _clean(text: str) -> str:
    """Text as UTF-8 can hold it: bytes of a file name that are no UTF-8 and control characters become escapes."""
    return text if text.isprintable() else printable(text, 4000)


def to_csv(table: Table) -> bytes:
    """UTF-8 by RFC 4180: CRLF, quotation marks doubled, a header line. A cell that a spreadsheet would run as a formula
    gets an apostrophe in front."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([_harmless(column) for column in table.columns])
    writer.writerows([[_harmless(cell) for cell in row] for row in table.rows])
    return out.getvalue().encode("utf-8")


def _harmless(cell: int | str) -> int | str:
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(_FORMULA) else cell


def to_json(table: Table, lot: str) -> bytes:
    """One JSON document (RFC 8259), valid by the schema that `schema()` gives."""
    document = {"lot": lot, "columns": list(table.columns), "cards": table.records()}
    return (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode("utf-8")


def schema() -> Any:
    """The published JSON Schema (draft 2020-12) of the JSON export."""
    return json.loads(resources.files("tagger.export").joinpath("inventory.schema.json").read_text(encoding="utf-8"))


def render(table: Table, lot: str, target: Path) -> bytes:
    """The table as the file's ending asks: .csv or .json. Raises ValueError for another."""
    ending = target.suffix.lower()
    if ending == ".csv":
        return to_csv(table)
    if ending == ".json":
        return to_json(table, lot)
    raise ValueError(ending)
