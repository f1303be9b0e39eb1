"""Tables and pictures of one lot or several, in one go: all is checked before anything is
written."""

from __future__ import annotations

import os
from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.fields import PRINT_RUN, cards, run_of_serial
from tagger.core.model.text import printable
from tagger.core.overview.doubles import copies_in
from tagger.core.reports.lot_words import is_called
from tagger.errors import ATTENTION, DONE, UsageError
from tagger.exchange.export_base import base_path
from tagger.exchange.shown.picture_names import lot_folders
from tagger.exchange.shown.pictures import picture_columns
from tagger.exchange.table_lots import TableLot, pictured
from tagger.exchange.table_writer import FORMS
from tagger.exchange.workbook_pictures import PIXELS
from tagger.services.console import complain, complain_first, tell
from tagger.services.lists.lot_checklists import print_runs
from tagger.services.output.front_pictures import front_pictures
from tagger.services.output.paths import check_folder, check_target, make_folder
from tagger.services.output.pictures import TOLD, Written, WrittenAs, write_pictures
from tagger.services.output.tables import Shown, TablePlan, WrittenTable, write_tables
from tagger.services.scans.replaced_told import replaced_cards
from tagger.store.standard_streams import STDIO

if TYPE_CHECKING:
    from tagger.core.lot.lot import LotState
    from tagger.core.overview.selection import Filter
    from tagger.core.session.session import Session
    from tagger.exchange.layout.layout import Layout
    from tagger.store.machine.paths import LotPlace


class ExportedLot(NamedTuple):
    """A lot that is exported, with today's prices, and the session that marks its cards, where they
    are to be marked."""

    place: LotPlace
    state: LotState
    session: Session | None = None


class HowExported(NamedTuple):
    """`images` is the folder of pictures, None for none, and `pictures` how they are wanted;
    `force` as for `check_target`; `every` has the cards that were sold or pulled as well;
    `any_ending`: a table's file may be called as the user likes; `small`: workbooks show small
    fronts."""

    images: Path | None
    pictures: WrittenAs
    force: bool = False
    every: bool = False
    any_ending: bool = False
    small: bool = False


class LotsExport:
    """Tables and pictures of some lots. `layouts` are those that were named, with their names; of
    pictures without a table they say which cards are meant. `only` are filters that a card must
    pass."""

    def __init__(
        self,
        plans: Sequence[TablePlan],
        layouts: Mapping[str, Layout],
        lots: Sequence[ExportedLot],
        only: tuple[Filter, ...],
        how: HowExported,
    ) -> None:
        self._plans, self._layouts, self.lots = plans, layouts, lots
        self._only, self._how = only, how
        self._written: list[WrittenTable] = []

    def ids(self, at: int) -> Sequence[int]:
        """The identities of the cards of a lot that are in any of the tables."""
        every = (id for one in self._written for id in one.count.ids.get(at, ()))
        return [*dict.fromkeys(every)]

    def check(self) -> None:
        """Raises UsageError or LotError where something must not or cannot be written."""
        images = self._how.images
        for one in self.lots:
            for plan in self._plans:
                self._check_table(plan, one)
            if images is not None:
                check_folder(images, one.place, one.state)
        for plan in self._plans:
            if images is not None:
                _check_apart(plan.target, images)

    def _check_table(self, plan: TablePlan, one: ExportedLot) -> None:
        how, target = self._how, plan.target
        endings = () if how.any_ending else tuple(FORMS)
        check_target(target, one.place, one.state, endings, "an export", how.force)
        if target != STDIO:
            check_target(base_path(target), one.place, one.state, force=how.force)
        # Compared where links lead, so that no export replaces the file that it is made by.
        if os.path.realpath(target) in map(os.path.realpath, self._layouts):
            raise UsageError(f"{printable(str(target))} is the layout itself; choose another name.")

    def write(self) -> int:
        """Write pictures and tables; the exit status."""
        status = DONE
        lots = [*self._table_lots()]
        if self._how.images is not None:
            # Before the tables, which have columns of their names.
            status, lots = self._write_pictures(lots, self._how.images)
        # The graver of the two: a higher status says more of what went wrong.
        return max(status, self._write_tables(lots)) if self._plans else status

    def _table_lots(self) -> Iterator[TableLot]:
        only = self._only
        if not only:
            yield from (TableLot(one.place.name, one.state) for one in self.lots)
            return
        asked = [
            one.state
            for one in self.lots
            if all(is_called(one.place.name, words.lot) for words in only)
        ]
        # asked of all lots together, as the stock is: which box a word means hangs on those there
        over = copies_in(asked)
        places = {card.mark.tags.place for lot in asked for card in cards(lot)}
        is_asked = any(words.replaced for words in only)
        for one in self.lots:
            replaced = replaced_cards(one.place, one.state) if is_asked else ()
            yield TableLot(
                one.place.name,
                one.state,
                only=only,
                copies=over,
                places=places,
                replaced=replaced,
            )

    def _write_tables(self, lots: Sequence[TableLot]) -> int:
        how, missing = self._how, list[str]()
        shown = Shown(how.images, self._small(lots, missing) if how.small else None)
        self._written = write_tables(self._plans, lots, how.force, how.every, shown)
        complain_first(
            missing, TOLD, "more picture could not be made", "more pictures could not be made"
        )
        notes = dict.fromkeys(note for one in self._written for note in one.count.notes)
        for note in notes:
            complain(note)
        for one in self._written:
            tell(one.summary())
        return ATTENTION if notes or missing else DONE

    def _small(
        self, lots: Sequence[TableLot], missing: list[str]
    ) -> Mapping[tuple[int, int], bytes]:
        """Small fronts of the cards that a workbook has."""
        layouts = [plan.layout for plan in self._plans if plan.ending == ".xlsx"]
        wanted, at = [], {}
        for number, (one, lot) in enumerate(zip(self.lots, lots, strict=True)):
            at[one.place] = number
            meant = pictured(lot, layouts, self._how.every)
            every = (card.position for card in cards(one.state, self._how.every))
            wanted.append((one.place, one.state, set(every) if meant is None else meant))
        small: dict[tuple[int, int], bytes] = {}
        for place, position, made in front_pictures(wanted, PIXELS):
            if isinstance(made, str):
                missing.append(f"{place.name}, card {position}: {made}")
            else:
                small[at[place], position] = made
        return small

    def _write_pictures(self, lots: Sequence[TableLot], images: Path) -> tuple[int, list[TableLot]]:
        status, found = DONE, []
        # without a table a layout says which cards the pictures are of
        layouts = [plan.layout for plan in self._plans] or [*self._layouts.values()]
        for lot, one, folder in zip(lots, self.lots, self._folders(images), strict=True):
            meant = pictured(lot, layouts, self._how.every)
            done = self._write_of_lot(one, images / folder, meant)
            if done.missing or done.damaged:
                status = ATTENTION
            files = {key: folder + name for key, name in done.files.items()}
            found.append(replace(lot, ours=picture_columns(files)))
        return status, found

    def _folders(self, images: Path) -> Sequence[str]:
        """Where the pictures of each lot go: several lots have a folder each."""
        if len(self.lots) == 1:
            return ("",)
        make_folder(images)
        return [f"{name}/" for name in lot_folders(one.place.name for one in self.lots)]

    def _write_of_lot(self, one: ExportedLot, into: Path, only: Container[int] | None) -> Written:
        lot, how = one.state, self._how
        # Checklists are read only for names that have the print run in them.
        named = PRINT_RUN in how.pictures.name.casefold()
        runs = print_runs(lot.checklists) if named else run_of_serial
        done = write_pictures(one.place, lot, into, how.pictures, runs, how.every, only)
        complain_first(
            done.missing, TOLD, "more picture could not be made", "more pictures could not be made"
        )
        complain_first(done.damaged, TOLD, "more picture shows damage", "more pictures show damage")
        tell(done.summary(printable(str(into))))
        return done


def _check_apart(target: Path, images: Path) -> None:
    """Raises UsageError where the table would lie among the pictures, whose folder has nothing
    else."""
    folder = os.path.realpath(images)
    if target != STDIO and folder in map(os.path.realpath, (target, target.parent)):
        raise UsageError(
            "The table cannot be in the pictures' folder; choose another folder for one of them."
        )
