"""An export that was edited elsewhere, held against the lot: what differs, and what cannot be taken
back.

A row belongs to the card at its position, and only if the card still has the scans that the row
names."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from tagger.core.lot.cells import plain, unguarded
from tagger.core.lot.fields import TAGS, CardInLot, Field, reader
from tagger.core.lot.lot import LotState
from tagger.core.model.condition import Scale
from tagger.core.model.numbers import parse_serial
from tagger.core.model.suggestions import meant
from tagger.core.model.tags import Mark, Marking, State, Tags, is_base
from tagger.core.model.text import fold, printable
from tagger.exchange.spreadsheet_coercion import is_date, made_of

LONGEST = 4000  # characters of a value
KEYS = ("position", "front", "back")
CHANGEABLE = (*TAGS, "note", "state")
_KIND = ("set", "number", "subject", "parallel")
_STATE = Field("state")


class ImportedRow(NamedTuple):
    """A row of the edited table. `where` says which one (`line 7`); a cell is None where the row
    does not have it."""

    where: str
    cells: tuple[str | None, ...]


class Difference(NamedTuple):
    """What the table says otherwise than the lot."""

    position: int
    field: str
    before: str
    after: str

    def __str__(self) -> str:
        return f'card {self.position}: {self.field} "{self.before}" → "{self.after}"'


@dataclass(frozen=True)
class Checks:
    """What values are held against: the scale of conditions, and whether a checklist has a card."""

    scale: Scale
    listed: Callable[[Tags], bool]


@dataclass
class ImportPlan:
    """What a table comes to. Where there are `problems` (a sentence each) there are no markings:
    nothing is half taken. `notes` say what was left alone."""

    markings: tuple[Marking, ...] = ()
    differences: list[Difference] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def take_back(
    lot: LotState,
    file: str,
    columns: Sequence[Field | None],
    rows: Iterable[ImportedRow],
    checks: Checks,
) -> ImportPlan:
    """Hold the rows of a table against a lot. `columns` says what each cell of a row is, None for a
    column that is not read; `file` names the table in sentences, printable."""
    return _ImportReader(lot, file, columns, checks).all(rows)


class _ImportReader:
    """One table being held against a lot."""

    def __init__(
        self, lot: LotState, file: str, columns: Sequence[Field | None], checks: Checks
    ) -> None:
        self._lot, self._file, self._checks = lot, file, checks
        self._keys = {
            one.name: at
            for at, one in enumerate(columns)
            if one and not one.source and one.name in KEYS
        }
        self._fields = [
            (at, one)
            for at, one in enumerate(columns)
            if one and (one.source or one.name in CHANGEABLE)
        ]
        self._readers = [reader(one) for _, one in self._fields]
        self._found = ImportPlan()
        self._seen: dict[int, str] = {}
        self._left: dict[tuple[str, str], list[str]] = {}

    def all(self, rows: Iterable[ImportedRow]) -> ImportPlan:
        found, markings = self._found, list[Marking]()
        for row in rows:
            try:
                marking = self._row(row)
            except ValueError as error:
                found.problems.append(f"{self._file}, {row.where}: {error}.")
                continue
            if marking is not None:
                markings.append(marking)
        for (name, what), examples in self._left.items():
            count = "one cell" if len(examples) == 1 else f"{len(examples)} cells"
            found.notes.append(
                f"A spreadsheet made {what} of {count} of {name} ({examples[0]}); the lot keeps "
                "its own value."
            )
        if not found.problems:
            found.markings = tuple(markings)
        return found

    def _row(self, row: ImportedRow) -> Marking | None:
        """The change of the row's card, None where it is the same. Raises ValueError with what is
        wrong."""
        position = self._position(row)
        pair = self._lot.arrangement.pairs[position - 1]
        mark = self._lot.mark(pair.id)
        seen = CardInLot(position, pair, mark)
        self._check_scans(seen, row)
        given: list[tuple[Field, str]] = []
        for (at, one), read in zip(self._fields, self._readers, strict=True):
            cell, own = row.cells[at], str(read(seen))
            if cell is None or _same(own, cell):
                continue
            if what := made_of(own, cell.strip()):
                example = f'{row.where}: "{printable(cell, 40)}" for "{printable(own, 40)}"'
                self._left.setdefault((one.name, what), []).append(example)
                continue
            given.append((one, " ".join(unguarded(cell).split())))
        after = self._marked(mark, given)
        if after == mark:
            return None
        self._tell(seen, CardInLot(position, pair, after))
        return Marking(pair.id, mark, after)

    def _position(self, row: ImportedRow) -> int:
        said = (row.cells[self._keys["position"]] or "").strip()
        digits = said.removesuffix(".0")
        if not (digits.isascii() and digits.isdigit() and len(digits) < 10):
            raise ValueError(
                f"'{printable(said, 40)}' is no position of a card; put back the number of the "
                "export"
            )
        position = int(digits)
        if not 1 <= position <= self._lot.cards:
            raise ValueError(
                f"there is no card {position}, the lot has {self._lot.cards}; take the row out"
            )
        if position in self._seen:
            raise ValueError(
                f"card {position} stands in {self._seen[position]} already; take one of the two out"
            )
        self._seen[position] = row.where
        return position

    def _check_scans(self, card: CardInLot, row: ImportedRow) -> None:
        for side in ("front", "back"):
            at = self._keys.get(side)
            given = None if at is None else row.cells[at]
            own = plain(getattr(card.pair, side) or "")
            if given is not None and not _same(own, given):
                raise ValueError(
                    f"card {card.position} has the {side} '{printable(own, 80)}' in the lot and "
                    f"'{printable(given, 80)}' here; export the lot again and put the changes "
                    "into that"
                )

    def _tell(self, before: CardInLot, after: CardInLot) -> None:
        told = self._found.differences
        fields = [one for _, one in self._fields]
        for one in fields if _STATE in fields else [*fields, _STATE]:
            read = reader(one)
            was, now = str(read(before)), str(read(after))
            if was != now:
                told.append(Difference(before.position, one.name, was, now))
        was, now = (("listed" if card.mark.tags.listed else "unlisted") for card in (before, after))
        if was != now:
            told.append(Difference(before.position, "checklist", was, now))

    def _marked(self, mark: Mark, given: Sequence[tuple[Field, str]]) -> Mark:
        """The mark with the values that were given. Raises ValueError with what is wrong."""
        if not given:
            return mark
        texts: dict[str, str] = {}
        extra, further = dict(mark.tags.extra), list[tuple[Field, str]]()
        for one, value in given:
            if len(value) > LONGEST or not value.isprintable():
                raise ValueError(
                    f"{one.name} is too long, or has a sign that cannot be shown; type it again"
                )
            if one.source:
                further.append((one, value))
            else:
                texts[one.name] = self._checked(one.name, value)
        # A price is that of the parallel which the row says now.
        copy = replace(mark.tags, parallel=texts.get("parallel", mark.tags.parallel))
        extra |= {one.column(copy): value for one, value in further}
        state, reason = mark.state, mark.reason
        wanted = texts.pop("state", "")
        if "note" in texts and state is State.SET_ASIDE:
            reason, texts["note"] = _split_note(reason, texts["note"])
        tags = replace(mark.tags, **texts, extra=tuple(pair for pair in extra.items() if pair[1]))  # type: ignore[arg-type]
        if wanted:
            state, reason = State(wanted), reason if wanted == State.SET_ASIDE else ""
        elif state is State.UNTAGGED and (tags.number or tags.subject):
            state = State.TAGGED
        if state is State.UNTAGGED and mark.state is not State.UNTAGGED:
            raise ValueError(
                "a table takes no tags off a card; do it in tagger, or put the state back"
            )
        if state is State.UNTAGGED:
            raise ValueError(
                "the card is untagged; give it a number or a subject, or leave the row as it was"
            )
        if state is State.TAGGED and not (tags.number or tags.subject):
            raise ValueError("a tagged card needs a number or a subject; put one back")
        if any(name in texts for name in _KIND):
            tags = replace(tags, listed=self._checks.listed(tags))
        return replace(mark, state=state, tags=tags, reason=reason)

    def _checked(self, name: str, value: str) -> str:
        """A value as the lot keeps it. Raises ValueError where it can be none."""
        shown = printable(value, 60)
        if name == "parallel" and is_base(value):
            return ""
        if name == "number" and is_date(value):
            raise ValueError(
                f"the number '{shown}' is a date; make the column text in the spreadsheet and "
                "type it again"
            )
        if name == "condition" and value:
            read = self._checks.scale.read(fold(value))
            if read is None:
                names = [step.name for step in self._checks.scale.steps]
                raise ValueError(
                    f"'{shown}' is no condition{meant(value, [*names, 'no other']).rstrip('.?')}"
                )
            return read[0]
        if name == "serial" and value:
            said = parse_serial(value)
            if said is None or said[0] is None or said[1] is None:
                raise ValueError(
                    f"'{shown}' is no serial number; write it as on the card, such as 12/99"
                )
            if not 0 < said[0] <= said[1]:
                raise ValueError(
                    f"the serial number '{shown}' is not within its print run; look at the card"
                )
        if name == "state":
            if fold(value) not in tuple(State):
                raise ValueError(f"'{shown}' is no state{meant(value, tuple(State)).rstrip('.?')}")
            return fold(value)
        return value


def _same(own: str, cell: str) -> bool:
    """Whether a cell still says what the export wrote for `own`."""
    text = unguarded(cell)
    return own in (cell, text) or " ".join(own.split()) in (
        " ".join(cell.split()),
        " ".join(text.split()),
    )


def _split_note(reason: str, told: str) -> tuple[str, str]:
    """(reason, note) of what a table has as the note of a card that was set aside: the reason comes
    first."""
    if told == reason or told.startswith(f"{reason}; "):
        return reason, told[len(reason) + 2 :]
    parts = told.split("; ")
    count = reason.count("; ") + 1 if reason else 0
    return "; ".join(parts[:count]), "; ".join(parts[count:])
