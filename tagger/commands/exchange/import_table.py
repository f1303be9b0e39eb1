"""`tagger import`: brings an export that was edited elsewhere back into the lot."""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.arguments.layouts import ending_of, format_argument, layout_argument
from tagger.commands.common import Command, attention_if, find_lot, json_argument, lot_arguments
from tagger.config import Settings, load_settings
from tagger.core.lot.fields import further_columns
from tagger.core.model.counted import counted
from tagger.core.model.text import printable
from tagger.errors import ATTENTION, DONE, FAILED, LotError, Refused
from tagger.exchange.column_mapping import map_columns
from tagger.exchange.export_base import ENDING
from tagger.exchange.import_diff import Based, ImportPlan, plan_import
from tagger.exchange.import_values import ValueRules
from tagger.exchange.table_reader import ENDINGS, ImportedTable
from tagger.services.console import asked, complain, complain_first, out_lines, print_json, tell
from tagger.services.export_base import base_of, note_imported, path_of
from tagger.services.lists.lot_checklists import listed_row
from tagger.services.opening import change, look
from tagger.services.output.layouts import named_layout
from tagger.services.tables_in import read_named_table, shown_source
from tagger.store.machine.paths import LotPlace, config_file

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.exchange.export_base import ExportBase
    from tagger.exchange.layout.layout import Layout

SHOWN = 20  # rows that cannot be imported, told one by one


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    endings = ", ".join(ENDINGS)
    options.path(parser, "file", "FILE", f"the edited export: {endings}; - for standard input")
    layout_argument(parser)
    format_argument(parser)
    options.path(
        parser,
        "--base",
        "FILE",
        f"what the export was made from (default: FILE{ENDING} beside the edited file)",
    )
    options.flag(parser, "--yes", "import without asking")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    place = find_lot(given)
    if not place.kept:
        raise LotError(f"{place.name} was never opened, so nothing can be imported; open it first.")
    source = _Import(
        shown_source(given.file),
        read_named_table(given.file, ending_of(given.file, given.format)),
        named_layout(given.layout) if given.layout else None,
        base_of(given.file, given.base),
    )
    lot, _ = look(place)
    place = place.called(lot.name)
    settings = load_settings(config_file())
    rules = ValueRules(settings.scale, listed_row(lot.checklists))
    plan = source.plan(lot, rules)
    _show(plan, differences=not given.json and not plan.problems)
    done = bool(plan.markings) and _wanted(given, plan)
    if done:
        _import(place, settings, plan, source, rules)
        if source.base is not None and plan.imported:
            note_imported(path_of(given.file, given.base), source.base, plan.imported)
    if given.json:
        print_json(_document(plan, done))
    return _tell_outcome(plan, done, place.name)


def _show(plan: ImportPlan, differences: bool) -> None:
    for note in plan.notes:
        tell(note)
    if differences:
        out_lines(map(str, (*plan.differences, *plan.conflicts)))


@dataclass(frozen=True)
class _Import:
    """An edited table, and the layout that made it. `file` is its name, printable."""

    file: str
    table: ImportedTable
    layout: Layout | None
    base: ExportBase | None

    def plan(self, lot: LotView, rules: ValueRules) -> ImportPlan:
        """The table held against a lot."""
        columns, unknown = map_columns(
            self.table.headings, further_columns(lot), self.layout, self.file
        )
        based = self._based(lot)
        plan = plan_import(lot, self.file, columns, self.table.rows, rules, based)
        if based is None and plan.differences:
            plan.notes.append(self._without_base())
        if unknown:
            names = ", ".join(f"'{printable(name, 60)}'" for name in unknown)
            plan.notes.insert(0, f"Not imported, because no field has these names: {names}.")
        return plan

    def _based(self, lot: LotView) -> Based | None:
        if self.base is None or self.base.part not in ("", lot.part):
            return None
        return Based(self.base, self.table.headings)

    def _without_base(self) -> str:
        why = "it is not known what the file was exported from"
        if self.base is not None:
            why = "the file was exported from another lot, or before its stock numbers changed"
        return (
            f"Compared with the lot as it is now, because {why}; tags that are newer than the "
            "export count as edits."
        )


def _wanted(given: argparse.Namespace, plan: ImportPlan) -> bool:
    # With --json a script reads stdout, and nobody is there to ask.
    return bool(given.yes) or (not given.json and asked(f"{_amount(plan)}. Import?"))


def _amount(plan: ImportPlan) -> str:
    return f"{counted(len(plan.differences), 'change')} in {_cards(plan)}"


def _cards(plan: ImportPlan) -> str:
    return counted(len(plan.markings), "card")


def _import(
    place: LotPlace, settings: Settings, shown: ImportPlan, source: _Import, rules: ValueRules
) -> None:
    """Do what was shown, as one change. Raises Refused where the lot is another by now."""
    with change(place, settings) as session:
        # A lot whose files are damaged opens to look only, and a change would be lost.
        if session.looking:
            raise LotError(f"Nothing was imported: {session.looking}.")
        # Planned again under the lock: the lot may have been changed since it was looked at.
        plan = source.plan(session.view, rules)
        if plan.markings != shown.markings:
            raise Refused("The lot was changed in the meantime; nothing was imported. Try again.")
        # One entry, so that one undo takes all of it back.
        session.enter(f"imported from {source.file}: {_cards(plan)}", plan.markings)


def _document(plan: ImportPlan, done: bool) -> dict[str, object]:
    return {
        "imported": done,
        "cards": len(plan.markings),
        "differences": [one._asdict() for one in plan.differences],
        "problems": plan.problems,
        "notes": plan.notes,
        "conflicts": [one._asdict() for one in plan.conflicts],
    }


def _tell_outcome(plan: ImportPlan, done: bool, name: str) -> int:
    """Say what came of it; the exit status."""
    if plan.problems:
        complain_first(plan.problems, SHOWN, "more row has a problem", "more rows have problems")
        complain("Nothing was imported. Correct these rows, or delete them from the file.")
        return FAILED
    return max(_tell_done(plan, done, name), _tell_conflicts(plan))


def _tell_conflicts(plan: ImportPlan) -> int:
    if plan.conflicts:
        complain(
            f"{counted(len(plan.conflicts), 'conflict')}: changed in the file and in the lot since "
            "the export. The lot keeps its values; correct them in tagger, or export again and "
            "edit that file."
        )
    return attention_if(plan.conflicts)


def _tell_done(plan: ImportPlan, done: bool, name: str) -> int:
    if not plan.markings and plan.conflicts:
        tell("Nothing else in the file was edited.")
        return DONE
    if not plan.markings and plan.newer:
        tell(
            "Nothing was edited in the file since it was exported or imported; the lot has newer "
            "tags and keeps them."
        )
        return DONE
    if not plan.markings:
        tell(f"The file matches {name}; there is nothing to import.")
        return DONE
    if done:
        tell(
            f"{counted(len(plan.differences), 'change')} imported into {_cards(plan)}. Undo in the "
            "lot reverts them all."
        )
        return DONE
    tell(f"{_amount(plan)}; nothing was imported. Say --yes to import.")
    return ATTENTION


HELP = "import an edited export into the lot"
EXAMPLES = (
    "tagger import scans/box12 box12.csv",
    "tagger import scans/box12 prices.xlsx --layout pricing --yes",
)
COMMAND = Command("import", HELP, EXAMPLES, _arguments, _run)
