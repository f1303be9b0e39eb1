"""`tagger open`: the lot in the terminal."""

from __future__ import annotations

import argparse
import sys

from tagger.commands.arguments import options
from tagger.commands.common import Command, find_lot, lot_arguments
from tagger.core.model.text import printable
from tagger.errors import DONE, Refused, UsageError
from tagger.services.console import tell
from tagger.services.drawing import chosen_drawing
from tagger.services.garbage import collected_later
from tagger.store.machine.paths import LotPlace, state_folder


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    said = "a checklist, or a folder of them; remembered with the lot"
    options.checklists(parser, said, default=[])
    said = "the lot's own name from now on, where its folder's does not tell it from others"
    options.text(parser, "--name", "NAME", said)
    said = "letters of your own that this lot's stock numbers begin with, said before its first tag"
    options.text(parser, "--numbers", "PART", said)
    options.flag(parser, "--read-only", "only look, also while another program has the lot open")


def _run(given: argparse.Namespace) -> int:
    # To look for garbage in what is being loaded is a tenth of the start.
    with collected_later():
        return _open(given)


def _open(given: argparse.Namespace) -> int:
    from tagger.ui.terminal.app import check_terminal, run

    # Before the lot is opened and locked.
    check_terminal()
    from tagger.commands.composition.lot_desk import LotDesk, settings_and_keys
    from tagger.ui.desk.app import DeskApp

    settings, keys = settings_and_keys()
    place = find_lot(given)
    name, part = _name(given, place), _part(given)
    lot = LotDesk(place, settings, keys, given.checklist, given.read_only, name)
    try:
        if part:
            lot.number_with(part)
        drawing, said = chosen_drawing(settings.drawing)
        run(
            DeskApp(
                lambda manner: lot.desk(manner, said),
                drawing,
                settings.colours,
                state_folder() / "error.txt",
            )
        )
    finally:
        # Whatever ended the screen, no other program can work on the lot until then.
        lot.close()
    # After the screen, which leaves nothing in the terminal.
    for sentence in lot.closing_words():
        tell(sentence)
    counts = lot.session.view.counts()
    if counts.cards and not counts.untagged:
        tell(f"Next: {lot.export_command()}")
    return DONE


def _name(given: argparse.Namespace, place: LotPlace) -> str:
    """The name to be given to the lot, empty where it keeps the one that it has. Raises Refused,
    UsageError."""
    if given.name is not None and given.read_only:
        raise UsageError("--name changes the lot, and does not go with --read-only.")
    from tagger.services.lot_places import free_name, proposed_name

    if given.name is not None:
        return free_name(place, given.name)
    if place.kept or given.read_only or not (end := proposed_name(place)):
        return ""
    return _asked(place, end)


def _part(given: argparse.Namespace) -> str:
    """What the stock numbers are to begin with, empty where nothing was said. Raises
    UsageError."""
    if given.numbers is None:
        return ""
    if given.read_only:
        raise UsageError("--numbers changes the lot, and does not go with --read-only.")
    from tagger.services.stock_part import part_typed

    return part_typed(given.numbers)


def _asked(place: LotPlace, end: str) -> str:
    """The name of a new lot whose folder is called like another lot, as the dealer types it; `end`
    where nothing is typed."""
    from tagger.services.lot_places import called_like, free_name

    other = printable(str(called_like(place, place.name)))
    tell(f"A lot called {place.name} is already in {other}.")
    while True:
        tell(f"Type a name for this one, or press Enter for {end}:")
        typed = sys.stdin.readline().strip()
        try:
            return free_name(place, typed) if typed else end
        except Refused as refused:
            tell(refused.message)


HELP = "open a lot, new or half done, and tag it"
EXAMPLES = (
    "tagger open scans/box12 --checklist harbor-1987.csv",
    "tagger open scans/box12",
    "tagger open scans/box12 --name spring --numbers SPR",
    "tagger open scans/box12 --read-only",
)
COMMAND = Command("open", HELP, EXAMPLES, _arguments, _run)
