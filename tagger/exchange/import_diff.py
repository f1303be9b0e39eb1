"""An export that was edited elsewhere, held against the lot: what differs, and what cannot be
imported.

A row belongs to the card at its position, and only if the card still has the scans that the row
names; where it is known what the table was exported from, to the card that it was exported of."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.cells import plain
from tagger.core.lot.fields import TAGS, CardInLot, Field, reader
from tagger.core.model.tags import Marking
from tagger.core.model.text import printable
from tagger.exchange.edited_cells import EditedCells, same, says, typed
from tagger.exchange.export_base import heading_key
from tagger.exchange.import_values import ValueRules, changed_mark
from tagger.exchange.three_way import BaseCards, Cell, Conflict, parted

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.exchange.export_base import BaseRow, ExportBase

KEYS = ("position", "front", "back")
STOCK = "stock number"
CHANGEABLE = (*TAGS, "note", "state")
_STATE = Field("state")


class ImportedRow(NamedTuple):
    """A row of the edited table. `where` says which one (`line 7`); a cell is None where the row
    does not have it."""

    where: str
    cells: tuple[str | None, ...]


class FieldChange(NamedTuple):
    """What the table says otherwise than the lot."""

    position: int
    field: str
    before: str
    after: str

    def __str__(self) -> str:
        return f'card {self.position}: {self.field} "{self.before}" → "{self.after}"'


@dataclass
class ImportPlan:
    """What a table comes to. Where there are `problems` (a sentence each) there are no markings:
    nothing is half imported. `notes` say what was left alone; `conflicts` are what was changed in
    the table and in the lot, and is not in the markings;
    `imported` are the edits that are, by the exported card's identity and heading. `newer`: the
    lot says something else than a row that was not edited."""

    markings: tuple[Marking, ...] = ()
    differences: list[FieldChange] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    conflicts: list[Conflict] = field(default_factory=list)
    imported: dict[int, dict[str, str]] = field(default_factory=dict)
    newer: bool = False


def plan_import(
    lot: LotView,
    file: str,
    columns: Sequence[Field | None],
    rows: Iterable[ImportedRow],
    rules: ValueRules,
    based: Based | None = None,
) -> ImportPlan:
    """Hold the rows of a table against a lot. `columns` says what each cell of a row is, None for a
    column that is not read; `file` names the table in sentences, printable; `based` is what it was
    exported from, where that is known."""
    return _ImportReader(lot, file, columns, rules, based).plan(rows)


class Based(NamedTuple):
    """What a table was exported from, and its headings as they are now."""

    base: ExportBase
    headings: Sequence[str]


class _ImportReader:
    """One table being held against a lot."""

    def __init__(
        self,
        lot: LotView,
        file: str,
        columns: Sequence[Field | None],
        rules: ValueRules,
        based: Based | None,
    ) -> None:
        self._lot, self._file, self._rules = lot, file, rules
        self._base = None if based is None else BaseCards(lot, based.base)
        headings = () if based is None else based.headings
        self._headings = [*map(heading_key, headings)]
        own = [*map(Field, KEYS), Field(STOCK)]
        self._keys = {one.name: at for at, one in enumerate(columns) if one in own}
        self._fields = [(at, one) for at, one in enumerate(columns) if one and one not in own]
        self._readers = [reader(one) for _, one in self._fields]
        self._plan = ImportPlan()
        self._rows: dict[int, str] = {}
        self._cells = EditedCells()

    def plan(self, rows: Iterable[ImportedRow]) -> ImportPlan:
        plan, markings = self._plan, list[Marking]()
        for row in rows:
            try:
                marking = self._marking(row)
            except ValueError as error:
                # All that is wrong is told at once, so that the file is put right in one go.
                plan.problems.append(f"{self._file}, {row.where}: {error}.")
                continue
            if marking is not None:
                markings.append(marking)
        plan.notes.extend(self._cells.notes())
        if not plan.problems:
            plan.markings = tuple(markings)
        return plan

    def _marking(self, row: ImportedRow) -> Marking | None:
        """The change of the row's card, None where it is the same. Raises ValueError with what is
        wrong."""
        exported = None if self._base is None else self._exported(self._base, row)
        card = self._card(row) if exported is None else self._card_now(exported, row)
        if card is None:
            return None
        if exported is None:
            given = list(self._given(card, row))
        else:
            given = self._given_since(card, row, exported)
        after = changed_mark(card.mark, given, self._rules)
        if after == card.mark:
            return None
        changed = self._shown(card._replace(mark=after))
        self._plan.differences.extend(self._changes(self._shown(card), changed))
        return Marking(card.pair.id, card.mark, after)

    def _card(self, row: ImportedRow) -> CardInLot:
        position = self._position(row)
        self._check_once(position, f"card {position}", row)
        pair = self._lot.arrangement.pairs[position - 1]
        card = CardInLot(position, pair, self._lot.mark(pair.id))
        self._check_scans(card, row)
        return card

    def _exported(self, base: BaseCards, row: ImportedRow) -> BaseRow:
        """What a row was exported as. Raises ValueError where it is not one of that export."""
        stock = self._key(row, STOCK).strip()
        position = self._key(row, "position").strip()
        found = base.row("" if stock else str(_parsed_position(position)), stock)
        self._check_once(found.id, f"card {position}", row)
        for side in ("front", "back"):
            at = self._keys[side]
            text = found.texts.get(self._headings[at], "")
            if not same(text, row.cells[at] or ""):
                raise ValueError(
                    f"this row was exported with the {side} '{printable(text, 80)}' and has "
                    f"'{printable(row.cells[at] or '', 80)}' now; sort whole rows only, or export "
                    "the lot again"
                )
        return found

    def _card_now(self, exported: BaseRow, row: ImportedRow) -> CardInLot | None:
        """The card that a row was exported of, None where the row says nothing new of one that
        cannot be told any longer. Raises ValueError where it does."""
        card = self._base.card(exported) if self._base else None
        untold = card is None or (not exported.running and not self._has_scans(card, row))
        if untold and not any(self._edits(row, exported)):
            return None
        if card is None:
            raise ValueError("the lot does not have this card any longer; delete the row")
        if untold:
            self._check_scans(card, row)
        return card

    def _has_scans(self, card: CardInLot, row: ImportedRow) -> bool:
        try:
            self._check_scans(card, row)
        except ValueError:
            return False
        return True

    def _given_since(
        self, card: CardInLot, row: ImportedRow, exported: BaseRow
    ) -> list[tuple[Field, str]]:
        """The values that were edited in the row and not changed in the lot since it was exported;
        what was changed in both is noted as a conflict."""
        edits = []
        for one, text, cell in self._edits(row, exported):
            own = str(reader(one)(self._shown(card)))
            if not says(one, own, cell):
                edits.append(Cell(one, text, cell, own, not says(one, own, text)))
        if not edits and not self._plan.newer:
            self._plan.newer = self._is_newer(card, exported)
        wanted, conflicts = parted(edits, bool(edits) and _is_another(card, exported))
        self._plan.conflicts.extend(
            Conflict(card.position, c.field.name, *(printable(text, 200) for text in c[1:4]))
            for c in conflicts
        )
        headings = {one: self._headings[at] for at, one in self._fields}
        self._plan.imported[exported.id] = {headings[c.field]: c.given for c in wanted}
        return [(cell.field, cell.given) for cell in wanted]

    def _is_newer(self, card: CardInLot, exported: BaseRow) -> bool:
        fields, shown = zip(self._fields, self._readers, strict=True), self._shown(card)
        return any(
            not says(one, str(read(shown)), exported.texts.get(self._headings[at], ""))
            for (at, one), read in fields
        )

    def _edits(self, row: ImportedRow, exported: BaseRow) -> Iterator[tuple[Field, str, str]]:
        """(field, what was exported, what the row says now) of each cell that was edited."""
        for at, one in self._fields:
            # A column that was added since was empty before.
            text = exported.texts.get(self._headings[at], "")
            cell = row.cells[at]
            if cell is not None and self._cells.differs(one, text, cell, row.where):
                yield one, text, typed(cell)

    def _given(self, card: CardInLot, row: ImportedRow) -> Iterator[tuple[Field, str]]:
        """The values that the row has otherwise than the card."""
        shown = self._shown(card)
        for (at, one), read in zip(self._fields, self._readers, strict=True):
            cell = row.cells[at]
            text = str(read(shown))
            if cell is not None and self._cells.differs(one, text, cell, row.where):
                yield one, typed(cell)

    def _shown(self, card: CardInLot) -> CardInLot:
        """A card as an export shows it."""
        return card._replace(mark=self._rules.priced(card.mark))

    def _key(self, row: ImportedRow, name: str) -> str:
        at = self._keys.get(name)
        return "" if at is None else row.cells[at] or ""

    def _position(self, row: ImportedRow) -> int:
        position = _parsed_position((row.cells[self._keys["position"]] or "").strip())
        if not 1 <= position <= self._lot.cards:
            raise ValueError(
                f"there is no card {position}, the lot has {self._lot.cards}; delete the row"
            )
        return position

    def _check_once(self, key: int, shown: str, row: ImportedRow) -> None:
        if key in self._rows:
            raise ValueError(f"{shown} is already in {self._rows[key]}; delete one of the two rows")
        self._rows[key] = row.where

    def _check_scans(self, card: CardInLot, row: ImportedRow) -> None:
        # Cards that were put in or taken out since the export have moved all others behind them.
        for side in ("front", "back"):
            at = self._keys.get(side)
            given = None if at is None else row.cells[at]
            # A name that cannot be shown stands in the table as it was written there.
            own = plain(getattr(card.pair, side) or "")
            if given is not None and not same(own, given):
                raise ValueError(
                    f"card {card.position} has the {side} '{printable(own, 80)}' in the lot and "
                    f"'{printable(given, 80)}' here; export the lot again and make your changes "
                    "there"
                )

    def _changes(self, before: CardInLot, after: CardInLot) -> Iterator[FieldChange]:
        # A card becomes tagged by its number alone, so the state is shown without its column, too.
        for one in dict.fromkeys((*(own for _, own in self._fields), _STATE)):
            read = reader(one)
            was, now = str(read(before)), str(read(after))
            if was != now:
                yield FieldChange(before.position, one.name, was, now)
        was, now = _listing(before), _listing(after)
        if was != now:
            yield FieldChange(before.position, "checklist", was, now)


def _is_another(card: CardInLot, exported: BaseRow) -> bool:
    """Whether the lot says now that a card is another one than was exported."""
    said = exported.identity.items()
    return any(not same(text, str(reader(Field(name))(card))) for name, text in said)


def _listing(card: CardInLot) -> str:
    return "listed" if card.mark.tags.listed else "unlisted"


def _parsed_position(text: str) -> int:
    digits = text.removesuffix(".0")  # a spreadsheet may have made a number of it
    # Of thousands of digits int() would raise an error with words of its own.
    if not (digits.isascii() and digits.isdigit() and len(digits) < 10):
        raise ValueError(
            f"'{printable(text, 40)}' is not a card's position; use the number from the export"
        )
    return int(digits)
