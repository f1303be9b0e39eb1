"""An edited table held against the lots that it is of, and what it comes to entered: all lots or
none."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.fields import further_columns
from tagger.core.model.counted import counted
from tagger.core.model.text import fold, printable
from tagger.errors import LotError, Refused, UsageError
from tagger.exchange.column_mapping import map_columns
from tagger.exchange.import_diff import Based, ImportPlan, plan_import
from tagger.exchange.import_values import ValueRules
from tagger.exchange.lot_shares import LotShare, lot_shares
from tagger.services.export_base import note_imported
from tagger.services.lists.lot_checklists import ListPrices, listed_row, priced_lot
from tagger.services.lot_changes import LotChange, enter_held
from tagger.services.opening import change, look
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import data_folder

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.core.lot.lot import LotState
    from tagger.core.lot.view import LotView
    from tagger.core.session.session import Session
    from tagger.exchange.export_base import ExportBase
    from tagger.exchange.layout.layout import Layout
    from tagger.exchange.table_reader import ImportedTable
    from tagger.store.machine.paths import LotPlace


@dataclass(frozen=True)
class EditedTable:
    """An edited table, the layout that made it, and what it was exported from. `file` is its name,
    printable."""

    file: str
    table: ImportedTable
    layout: Layout | None
    bases: tuple[ExportBase, ...]

    def plan(self, share: LotShare, lot: LotView, rules: ValueRules) -> ImportPlan:
        """The rows of a lot held against it."""
        shown = priced_lot(lot, rules.priced)
        columns, unknown = map_columns(
            self.table.headings, further_columns(shown), self.layout, self.file, share.several
        )
        based = self._based(share, lot)
        plan = plan_import(lot, self.file, columns, share.rows, rules, based)
        if based is None and plan.differences:
            plan.notes.append(self._without_base())
        if unknown:
            names = ", ".join(f"'{printable(name, 60)}'" for name in unknown)
            plan.notes.insert(0, f"Not imported, because no field has these names: {names}.")
        return plan

    def _based(self, share: LotShare, lot: LotView) -> Based | None:
        if share.base is None or share.base.part not in ("", lot.part):
            return None
        return Based(share.base, self.table.headings)

    def _without_base(self) -> str:
        why = "it is not known what the file was exported from"
        if self.bases:
            why = "the file was exported from another lot, or before its stock numbers changed"
        return (
            f"Compared with the lot as it is now, because {why}; tags that are newer than the "
            "export count as edits."
        )


class LotPlan(NamedTuple):
    """What the rows of one lot come to."""

    place: LotPlace
    share: LotShare
    rules: ValueRules
    plan: ImportPlan


class TableImport:
    """What an edited table comes to in each of its lots; `problems` and `notes` are of the table
    itself."""

    def __init__(self, source: EditedTable, settings: Settings, only: LotPlace | None) -> None:
        """`only` is the one lot that is meant, None for all that the table has rows of. Raises
        LotError, UsageError."""
        self._source, self._settings, self._prices = source, settings, ListPrices()
        self.notes: list[str] = []
        shares, unknown = lot_shares(source.table, source.bases, source.layout)
        self.problems = [
            f"{source.file}, {where}: neither the stock number nor the lot is one of the export; "
            "delete the row."
            for where in unknown
        ]
        self.plans = self._of_all(shares) if only is None else self._of_one(only, shares)

    def _of_one(self, place: LotPlace, shares: Sequence[LotShare]) -> list[LotPlan]:
        lot, _ = look(place)
        name = place.called(lot.name).name
        own = [one for one in shares if one.is_of(name, lot.part)]
        if not own:
            raise LotError(f"{self._source.file} has no rows of {name}.")
        left = sum(len(one.rows) for one in shares) - sum(len(one.rows) for one in own)
        if left:
            rows = counted(left, "row of another lot was", "rows of other lots were")
            self.notes.append(f"{rows} not imported; name the file alone to import all.")
        return [self._planned(place, lot, one) for one in own]

    def _of_all(self, shares: Sequence[LotShare]) -> list[LotPlan]:
        known = LotList(data_folder()).known()
        parts = {one.part: one.place for one in known if one.part}
        names = {fold(one.place.name): one.place for one in known}
        places = [(_known_place(one, parts, names), one) for one in shares]
        return [self._planned(place, look(place).lot, one) for place, one in places]

    def _planned(self, place: LotPlace, lot: LotState, share: LotShare) -> LotPlan:
        checklists = lot.checklists
        rules = ValueRules(
            self._settings.scale,
            listed_row(checklists),
            lambda mark: self._prices.mark(checklists, mark),
        )
        plan = self._source.plan(share, lot, rules)
        return LotPlan(place.called(lot.name), share, rules, plan)

    @property
    def several(self) -> bool:
        """Whether it is of several lots."""
        return len(self.plans) > 1

    def all_problems(self) -> list[str]:
        """A sentence for each row that cannot be imported."""
        return [*self.problems, *(text for one in self.plans for text in one.plan.problems)]

    def all_notes(self) -> list[str]:
        """What was left alone, a sentence each."""
        of_lots = (note for one in self.plans for note in one.plan.notes)
        return [*dict.fromkeys((*self.notes, *of_lots))]

    def differences(self) -> int:
        """How many fields differ."""
        return sum(len(one.plan.differences) for one in self.plans)

    def conflicts(self) -> int:
        """How many conflicts there are."""
        return sum(len(one.plan.conflicts) for one in self.plans)

    def cards(self) -> int:
        """How many cards are changed."""
        return sum(len(one.plan.markings) for one in self.plans)

    def enter(self, base: Path) -> None:
        """Do what was shown, as one change a lot, in all lots or in none, and note in the base of
        the table what was imported. Raises Refused where a lot is another by now."""
        with ExitStack() as held:
            changes = [
                (one, held.enter_context(change(one.place, self._settings))) for one in self.plans
            ]
            enter_held([self._change(one, session) for one, session in changes])
        bases = self._source.bases
        texts = [self._imported(one) for one in bases]
        if any(texts):
            note_imported(base, bases, texts)

    def _change(self, one: LotPlan, session: Session) -> tuple[LotChange, Session]:
        # A lot whose files are damaged opens to look only, and a change would be lost.
        if session.looking:
            raise LotError(f"Nothing was imported: {session.looking}.")
        # Planned again under the lock: the lot may have been changed since it was looked at.
        plan = self._source.plan(one.share, session.view, one.rules)
        if plan.markings != one.plan.markings:
            raise Refused("The lot was changed in the meantime; nothing was imported. Try again.")
        # One entry, so that one undo takes all of it back.
        cards = counted(len(plan.markings), "card")
        label = f"imported from {self._source.file}: {cards}"
        return LotChange(one.place, label, plan.markings), session

    def _imported(self, base: ExportBase) -> Mapping[int, Mapping[str, str]]:
        found = (one.plan.imported for one in self.plans if one.share.base is base)
        return next(found, {})


def _known_place(
    share: LotShare, parts: Mapping[str, LotPlace], names: Mapping[str, LotPlace]
) -> LotPlace:
    """The lot on this machine that rows are of. Raises LotError, UsageError."""
    if not share.part and not share.name:
        raise UsageError(
            "It is not known which lot the file is of; name its folder: tagger import FOLDER FILE."
        )
    place = parts.get(share.part) or names.get(fold(share.name))
    if place is None:
        shown = printable(share.name or share.part, 60)
        raise LotError(
            f"No lot opened on this machine is {shown}; open it first, or import the rows of one "
            "lot: tagger import FOLDER FILE."
        )
    return place
