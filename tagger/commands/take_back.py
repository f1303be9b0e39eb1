"""`tagger take-back`: an export that was edited elsewhere, taken back into the lot."""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path

from tagger.commands.arguments.layouts import layout_argument
from tagger.commands.common import (
    COULD_NOT,
    DONE,
    EYE,
    Command,
    find_lot,
    json_argument,
    lot_arguments,
)
from tagger.config import Settings, load_settings
from tagger.core.lot.fields import further_columns
from tagger.core.lot.view import LotView
from tagger.core.model.text import printable
from tagger.errors import LotError, Refused, UsageError
from tagger.exchange.column_mapping import map_columns
from tagger.exchange.import_diff import ImportPlan, plan_import
from tagger.exchange.import_values import ValueRules
from tagger.exchange.layout.layout import Layout
from tagger.exchange.table_reader import ENDINGS, LARGEST, ImportedTable, read_table
from tagger.services.console import out_lines, print_json, tell, tell_first
from tagger.services.lot_checklists import is_listed
from tagger.services.opening import change, look
from tagger.services.output.layouts import named_layout
from tagger.store.machine.paths import LotPlace, config_file

SHOWN = 20  # rows that cannot be taken back, told one by one


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    parser.add_argument(
        "file", metavar="FILE", type=Path, help=f"the edited export: {', '.join(ENDINGS)}"
    )
    layout_argument(parser)
    parser.add_argument(
        "--yes", action="store_true", help="take it back without asking; undo takes all of it back"
    )
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    place = find_lot(given)
    if not place.kept:
        raise LotError(
            f"{place.name} was never opened, so nothing can be taken back into it; open it first."
        )
    source = _Import(
        printable(given.file.name),
        _read(given.file),
        named_layout(given.layout) if given.layout else None,
    )
    lot, _ = look(place)
    settings = load_settings(config_file())
    rules = ValueRules(settings.scale, is_listed(lot.checklists))
    plan = source.plan(lot, rules)
    _show(plan, differences=not given.json and not plan.problems)
    done = bool(plan.markings) and _wanted(given, plan)
    if done:
        _take(place, settings, plan, source, rules)
    if given.json:
        print_json(_document(plan, done))
    return _tell_outcome(plan, done, place.name)


def _show(plan: ImportPlan, differences: bool) -> None:
    for note in plan.notes:
        tell(note)
    if differences:
        out_lines(map(str, plan.differences))


@dataclass(frozen=True)
class _Import:
    """A table that came back from a file, and the layout that made it."""

    file: str
    table: ImportedTable
    layout: Layout | None

    def plan(self, lot: LotView, rules: ValueRules) -> ImportPlan:
        """The table held against a lot."""
        columns, unknown = map_columns(
            self.table.headings, further_columns(lot), self.layout, self.file
        )
        plan = plan_import(lot, self.file, columns, self.table.rows, rules)
        if unknown:
            names = ", ".join(f"'{printable(name, 60)}'" for name in unknown)
            plan.notes.insert(0, f"No field of a card, so not taken back: {names}.")
        return plan


def _wanted(given: argparse.Namespace, plan: ImportPlan) -> bool:
    # With --json a script reads stdout, and nobody is there to ask.
    return bool(given.yes) or (not given.json and _asked(_amount(plan)))


def _read(path: Path) -> ImportedTable:
    shown = printable(path.name)
    ending = path.suffix.lower()
    if ending not in ENDINGS:
        *first, last = ENDINGS
        raise UsageError(f"{shown}: what can be taken back is a {', '.join(first)} or {last} file.")
    try:
        # Before it is read: a file named by mistake may be larger than memory.
        if path.stat().st_size > LARGEST:
            raise LotError(
                f"{shown} is larger than {LARGEST >> 20} MB; that is no export of a lot."
            )
        return read_table(path.read_bytes(), ending, shown)
    except FileNotFoundError:
        raise LotError(f"There is no file {printable(str(path))}.") from None
    except OSError as error:
        raise LotError(f"{shown} cannot be read: {error.strerror}.") from None


def _amount(plan: ImportPlan) -> str:
    count = len(plan.differences)
    what = "One difference" if count == 1 else f"{count} differences"
    return f"{what} in {_cards(plan)}"


def _cards(plan: ImportPlan) -> str:
    count = len(plan.markings)
    return "one card" if count == 1 else f"{count} cards"


def _asked(amount: str) -> bool:
    # Where nobody sees the question, only --yes says yes.
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return False
    # On stderr: stdout may go into a file, with the differences.
    print(f"{amount}. Take back? y or n: ", end="", file=sys.stderr, flush=True)
    return sys.stdin.readline().strip().lower() in ("y", "yes")


def _take(
    place: LotPlace, settings: Settings, shown: ImportPlan, source: _Import, rules: ValueRules
) -> None:
    """Do what was shown, as one change. Raises Refused where the lot is another by now."""
    with change(place, settings) as session:
        # A lot whose files are damaged opens to look only, and a change would be lost.
        if session.looking:
            raise LotError(f"Nothing was taken back: {session.looking}.")
        # Planned again under the lock: the lot may have been changed since it was looked at.
        plan = source.plan(session.view, rules)
        if plan.markings != shown.markings:
            raise Refused("The lot was changed in the meantime; nothing was taken back. Try again.")
        # One entry, so that one undo takes all of it back.
        session.enter(f"taken back from {source.file}: {_cards(plan)}", plan.markings)


def _document(plan: ImportPlan, done: bool) -> dict[str, object]:
    return {
        "taken_back": done,
        "cards": len(plan.markings),
        "differences": [one._asdict() for one in plan.differences],
        "problems": plan.problems,
        "notes": plan.notes,
    }


def _tell_outcome(plan: ImportPlan, done: bool, name: str) -> int:
    """Say what came of it; the exit status."""
    if plan.problems:
        tell_first(plan.problems, SHOWN, "And {} more rows.")
        tell("Nothing was taken back: put these rows right, or take them out of the file.")
        return COULD_NOT
    if not plan.markings:
        tell(f"The file says what {name} says; there is nothing to take back.")
        return DONE
    if done:
        tell(f"{_amount(plan)} taken back. Undo in the lot takes all of it back again.")
        return DONE
    tell(f"{_amount(plan)}; nothing was changed. --yes takes it back.")
    return EYE


COMMAND = Command(
    "take-back",
    "take an export that was edited elsewhere back into the lot",
    (
        "tagger take-back scans/box12 box12.csv",
        "tagger take-back scans/box12 prices.xlsx --layout pricing --yes",
    ),
    _arguments,
    _run,
)
