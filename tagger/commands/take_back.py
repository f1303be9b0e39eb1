"""`tagger take-back`: an export that was edited elsewhere, taken back into the lot."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path

from tagger.commands.common import (
    COULD_NOT,
    DONE,
    EYE,
    Command,
    find_lot,
    json_argument,
    lot_arguments,
)
from tagger.commands.layouts import layout_argument, read_lists, read_named
from tagger.config import Settings, load_settings
from tagger.core.lot.fields import further_columns
from tagger.core.lot.view import LotView
from tagger.core.model.tags import Tags
from tagger.core.model.text import fold, printable
from tagger.errors import LotError, Refused, UsageError
from tagger.exchange.column_mapping import columns_back
from tagger.exchange.import_diff import Checks, ImportPlan, take_back
from tagger.exchange.table_reader import ENDINGS, LARGEST, ImportedTable, read_given
from tagger.services.console import out, print_json, tell
from tagger.services.opening import change, look
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
    file = printable(given.file.name)
    table = _read(given.file)
    layout = read_named(given.layout) if given.layout else None
    lot, _ = look(place)
    settings = load_settings(config_file())
    checks = Checks(settings.scale, _listed(lot))

    def held_against(lot: LotView) -> ImportPlan:
        columns, unknown = columns_back(table.headings, further_columns(lot), layout, file)
        taken = take_back(lot, file, columns, table.rows, checks)
        if unknown:
            names = ", ".join(f"'{printable(name, 60)}'" for name in unknown)
            taken.notes.insert(0, f"No field of a card, so not taken back: {names}.")
        return taken

    taken = held_against(lot)
    for note in taken.notes:
        tell(note)
    done = False
    if not given.json:
        for difference in taken.differences if not taken.problems else ():
            out(str(difference))
    if taken.markings and (given.yes or (not given.json and _asked(_amount(taken)))):
        _take(place, settings, taken, held_against, file)
        done = True
    if given.json:
        _print(taken, done)
    return _told(taken, done, place)


def _read(path: Path) -> ImportedTable:
    shown = printable(path.name)
    ending = path.suffix.lower()
    if ending not in ENDINGS:
        *first, last = ENDINGS
        raise UsageError(f"{shown}: what can be taken back is a {', '.join(first)} or {last} file.")
    try:
        if path.stat().st_size > LARGEST:
            raise LotError(
                f"{shown} is larger than {LARGEST >> 20} MB; that is no export of a lot."
            )
        return read_given(path.read_bytes(), ending, shown)
    except FileNotFoundError:
        raise LotError(f"There is no file {printable(str(path))}.") from None
    except OSError as error:
        raise LotError(f"{shown} cannot be read: {error.strerror}.") from None


def _listed(lot: LotView) -> Callable[[Tags], bool]:
    """Whether a card is in the lot's checklists; they are read when that is asked first."""
    lists = cache(lambda: read_lists(lot.checklists))

    def listed(tags: Tags) -> bool:
        if not lot.checklists:
            return False
        step = lists().find(tags.set, tags.number, tags.subject)
        if step is None:
            return False
        row = lists().row(step)
        parallels = {fold(parallel.name) for parallel in row.parallels} | {""}
        return fold(row.subject) == fold(tags.subject) and fold(tags.parallel) in parallels

    return listed


def _amount(taken: ImportPlan) -> str:
    differences, cards = len(taken.differences), len(taken.markings)
    what = "One difference" if differences == 1 else f"{differences} differences"
    return f"{what} in {'one card' if cards == 1 else f'{cards} cards'}"


def _asked(amount: str) -> bool:
    if not (sys.stdin.isatty() and sys.stderr.isatty()):
        return False
    print(f"{amount}. Take back? y or n: ", end="", file=sys.stderr, flush=True)
    return sys.stdin.readline().strip().lower() in ("y", "yes")


def _take(
    place: LotPlace,
    settings: Settings,
    shown: ImportPlan,
    held_against: Callable[[LotView], ImportPlan],
    file: str,
) -> None:
    """Do what was shown, as one change. Raises Refused where the lot is another by now."""
    with change(place, settings) as session:
        if session.looking:
            raise LotError(f"Nothing was taken back: {session.looking}.")
        taken = held_against(session.view)
        if taken.markings != shown.markings:
            raise Refused("The lot was changed in the meantime; nothing was taken back. Try again.")
        cards = "one card" if len(taken.markings) == 1 else f"{len(taken.markings)} cards"
        session.enter(f"taken back from {file}: {cards}", taken.markings)


def _print(taken: ImportPlan, done: bool) -> None:
    print_json(
        {
            "taken_back": done,
            "cards": len(taken.markings),
            "differences": [one._asdict() for one in taken.differences],
            "problems": taken.problems,
            "notes": taken.notes,
        }
    )


def _told(taken: ImportPlan, done: bool, place: LotPlace) -> int:
    if taken.problems:
        for problem in taken.problems[:SHOWN]:
            tell(problem)
        if len(taken.problems) > SHOWN:
            tell(f"And {len(taken.problems) - SHOWN} more rows.")
        tell("Nothing was taken back: put these rows right, or take them out of the file.")
        return COULD_NOT
    if not taken.markings:
        tell(f"The file says what {place.name} says; there is nothing to take back.")
        return DONE
    if done:
        tell(f"{_amount(taken)} taken back. Undo in the lot takes all of it back again.")
        return DONE
    tell(f"{_amount(taken)}; nothing was changed. --yes takes it back.")
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
