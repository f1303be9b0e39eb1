"""An export that was edited elsewhere, held against the lot: what differs, and what cannot be
imported.

A row belongs to the card at its position, and only if the card still has the scans that the row
names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.cells import plain, unguarded
from tagger.core.lot.fields import TAGS, CardInLot, Field, is_price, reader
from tagger.core.model.counted import counted
from tagger.core.model.tags import Marking
from tagger.core.model.text import printable
from tagger.exchange.import_values import ValueRules, changed_mark
from tagger.exchange.price_cells import same_price
from tagger.exchange.spreadsheet_coercion import detect_coercion

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView

KEYS = ("position", "front", "back")
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
    nothing is half imported. `notes` say what was left alone."""

    markings: tuple[Marking, ...] = ()
    differences: list[FieldChange] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def plan_import(
    lot: LotView,
    file: str,
    columns: Sequence[Field | None],
    rows: Iterable[ImportedRow],
    rules: ValueRules,
) -> ImportPlan:
    """Hold the rows of a table against a lot. `columns` says what each cell of a row is, None for a
    column that is not read; `file` names the table in sentences, printable."""
    return _ImportReader(lot, file, columns, rules).plan(rows)


class _ImportReader:
    """One table being held against a lot."""

    def __init__(
        self, lot: LotView, file: str, columns: Sequence[Field | None], rules: ValueRules
    ) -> None:
        self._lot, self._file, self._rules = lot, file, rules
        own = [*map(Field, KEYS)]
        self._keys = {one.name: at for at, one in enumerate(columns) if one in own}
        self._fields = [(at, one) for at, one in enumerate(columns) if one and one not in own]
        self._readers = [reader(one) for _, one in self._fields]
        self._plan = ImportPlan()
        self._rows: dict[int, str] = {}
        self._coerced: dict[tuple[str, str], list[str]] = {}

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
        plan.notes.extend(self._coercion_notes())
        if not plan.problems:
            plan.markings = tuple(markings)
        return plan

    def _coercion_notes(self) -> Iterator[str]:
        for (name, what), examples in self._coerced.items():
            cells = counted(len(examples), "cell")
            yield (
                f"A spreadsheet turned {cells} of {name} into {what} ({examples[0]}); the lot "
                "keeps its own value."
            )

    def _marking(self, row: ImportedRow) -> Marking | None:
        """The change of the row's card, None where it is the same. Raises ValueError with what is
        wrong."""
        position = self._position(row)
        pair = self._lot.arrangement.pairs[position - 1]
        card = CardInLot(position, pair, self._lot.mark(pair.id))
        self._check_scans(card, row)
        after = changed_mark(card.mark, list(self._given(card, row)), self._rules)
        if after == card.mark:
            return None
        self._plan.differences.extend(self._changes(card, CardInLot(position, pair, after)))
        return Marking(pair.id, card.mark, after)

    def _given(self, card: CardInLot, row: ImportedRow) -> Iterator[tuple[Field, str]]:
        """The values that the row has otherwise than the card."""
        for (at, one), read in zip(self._fields, self._readers, strict=True):
            cell, own = row.cells[at], str(read(card))
            if cell is None or _same(own, cell) or (is_price(one) and same_price(own, cell)):
                continue
            # Nobody typed that: a spreadsheet does it to a whole column when it opens the file.
            if what := detect_coercion(own, cell.strip()):
                example = f'{row.where}: "{printable(cell, 40)}" for "{printable(own, 40)}"'
                self._coerced.setdefault((one.name, what), []).append(example)
                continue
            yield one, " ".join(unguarded(cell).split())

    def _position(self, row: ImportedRow) -> int:
        position = _parsed_position((row.cells[self._keys["position"]] or "").strip())
        if not 1 <= position <= self._lot.cards:
            raise ValueError(
                f"there is no card {position}, the lot has {self._lot.cards}; delete the row"
            )
        if position in self._rows:
            raise ValueError(
                f"card {position} is already in {self._rows[position]}; delete one of the two rows"
            )
        self._rows[position] = row.where
        return position

    def _check_scans(self, card: CardInLot, row: ImportedRow) -> None:
        # Cards that were put in or taken out since the export have moved all others behind them.
        for side in ("front", "back"):
            at = self._keys.get(side)
            given = None if at is None else row.cells[at]
            # A name that cannot be shown stands in the table as it was written there.
            own = plain(getattr(card.pair, side) or "")
            if given is not None and not _same(own, given):
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


def _same(own: str, cell: str) -> bool:
    """Whether a cell still says what the export wrote for `own`."""
    text = unguarded(cell)
    return own in (cell, text) or " ".join(own.split()) in (
        " ".join(cell.split()),
        " ".join(text.split()),
    )
