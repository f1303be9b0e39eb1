"""`tagger import`: brings an export that was edited elsewhere back into the lot."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.arguments.layouts import ending_of, format_argument, layout_argument
from tagger.commands.common import Command, attention_if, find_lot, json_argument, lot_arguments
from tagger.config import load_settings
from tagger.core.model.counted import counted
from tagger.errors import ATTENTION, DONE, FAILED, LotError, UsageError
from tagger.exchange.export_base import ENDING
from tagger.exchange.table_reader import ENDINGS
from tagger.services.console import asked, complain, complain_first, out_lines, print_json, tell
from tagger.services.export_base import bases_of, path_of
from tagger.services.output.layouts import named_layout
from tagger.services.table_import import EditedTable, TableImport
from tagger.services.tables_in import read_named_table, shown_source
from tagger.store.machine.paths import config_file

if TYPE_CHECKING:
    from tagger.exchange.import_diff import FieldChange, ImportPlan
    from tagger.exchange.three_way import Conflict
    from tagger.store.machine.paths import LotPlace

SHOWN = 20  # rows that cannot be imported, told one by one


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    endings = ", ".join(ENDINGS)
    said = f"the edited export: {endings}; - for standard input; alone for all lots in it"
    options.path(parser, "file", "FILE", said)
    # FILE alone is the first of the two; as an optional argument it would have to follow at once
    parser._actions[-1].required = False
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
    place, file = _place_and_file(given)
    source = EditedTable(
        shown_source(file),
        read_named_table(file, ending_of(file, given.format)),
        named_layout(given.layout) if given.layout else None,
        bases_of(file, given.base),
    )
    planned = TableImport(source, load_settings(config_file()), place)
    problems = planned.all_problems()
    _show(planned, differences=not given.json and not problems)
    done = not problems and planned.cards() > 0 and _wanted(given, planned)
    if done:
        planned.enter(path_of(file, given.base))
    if given.json:
        print_json(_document(planned, done))
    return _tell_outcome(planned, done)


def _place_and_file(given: argparse.Namespace) -> tuple[LotPlace | None, Path]:
    """The lot that is meant, None for those that the file is of, and the edited file."""
    if given.file is None:
        if os.path.isdir(given.folder) or given.state is not None:
            raise UsageError("Name the edited file, too: tagger import FOLDER FILE.")
        return None, given.folder
    place = find_lot(given)
    if not place.kept:
        raise LotError(f"{place.name} was never opened, so nothing can be imported; open it first.")
    return place, given.file


def _show(planned: TableImport, differences: bool) -> None:
    for note in planned.all_notes():
        tell(note)
    if not differences:
        return
    for one in planned.plans:
        lot = f"{one.place.name}, " if planned.several else ""
        out_lines(f"{lot}{each}" for each in (*one.plan.differences, *one.plan.conflicts))


def _wanted(given: argparse.Namespace, planned: TableImport) -> bool:
    # With --json a script reads stdout, and nobody is there to ask.
    return bool(given.yes) or (not given.json and asked(f"{_amount(planned)}. Import?"))


def _amount(planned: TableImport) -> str:
    return f"{counted(planned.differences(), 'change')} in {_cards(planned)}"


def _cards(planned: TableImport) -> str:
    cards = counted(planned.cards(), "card")
    return f"{cards} of {len(planned.plans)} lots" if planned.several else cards


def _document(planned: TableImport, done: bool) -> dict[str, object]:
    return {
        "imported": done,
        "cards": planned.cards(),
        "differences": [*_told(planned, lambda plan: plan.differences)],
        "problems": planned.all_problems(),
        "notes": planned.all_notes(),
        "conflicts": [*_told(planned, lambda plan: plan.conflicts)],
    }


def _told(
    planned: TableImport, what: Callable[[ImportPlan], Sequence[FieldChange | Conflict]]
) -> Iterator[dict[str, object]]:
    for one in planned.plans:
        lot = {"in_lot": one.place.name} if planned.several else {}
        for each in what(one.plan):
            yield {**each._asdict(), **lot}


def _tell_outcome(planned: TableImport, done: bool) -> int:
    """Say what came of it; the exit status."""
    if problems := planned.all_problems():
        complain_first(problems, SHOWN, "more row has a problem", "more rows have problems")
        complain("Nothing was imported. Correct these rows, or delete them from the file.")
        return FAILED
    return max(_tell_done(planned, done), _tell_conflicts(planned))


def _tell_conflicts(planned: TableImport) -> int:
    if count := planned.conflicts():
        complain(
            f"{counted(count, 'conflict')}: changed in the file and in the lot since "
            "the export. The lot keeps its values; correct them in tagger, or export again and "
            "edit that file."
        )
    return attention_if(planned.conflicts())


def _tell_done(planned: TableImport, done: bool) -> int:
    if done:
        tell(
            f"{counted(planned.differences(), 'change')} imported into {_cards(planned)}. Undo in "
            f"{'each' if planned.several else 'the'} lot reverts them all."
        )
        return DONE
    if planned.cards():
        tell(f"{_amount(planned)}; nothing was imported. Say --yes to import.")
        return ATTENTION
    tell(_nothing_new(planned))
    return DONE


def _nothing_new(planned: TableImport) -> str:
    if planned.conflicts():
        return "Nothing else in the file was edited."
    if any(one.plan.newer for one in planned.plans):
        return (
            "Nothing was edited in the file since it was exported or imported; the lot has newer "
            "tags and keeps them."
        )
    names = ", ".join(one.place.name for one in planned.plans)
    return f"The file matches {names}; there is nothing to import."


HELP = "import an edited export into the lot"
EXAMPLES = (
    "tagger import scans/box12 box12.csv",
    "tagger import scans/box12 prices.xlsx --layout pricing --yes",
    "tagger import all.csv",
)
COMMAND = Command("import", HELP, EXAMPLES, _arguments, _run)
