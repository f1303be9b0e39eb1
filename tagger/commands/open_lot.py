"""`tagger open`: the lot in the terminal."""

from __future__ import annotations

import argparse
from pathlib import Path

from tagger.commands.common import DONE, Command, find_lot, lot_arguments
from tagger.services.console import tell
from tagger.services.drawing import chosen_drawing
from tagger.services.garbage import collected_later
from tagger.store.machine.paths import state_folder


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    parser.add_argument(
        "--checklist",
        metavar="FILE",
        type=Path,
        action="append",
        default=[],
        help="a checklist, or a folder of them; remembered with the lot",
    )
    parser.add_argument(
        "--read-only",
        action="store_true",
        help="only look, also while another program has the lot open",
    )


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
    lot = LotDesk(find_lot(given), settings, keys, given.checklist, given.read_only)
    try:
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


COMMAND = Command(
    "open",
    "open a lot, new or half done, and tag it",
    (
        "tagger open scans/box12 --checklist harbor-1987.csv",
        "tagger open scans/box12",
        "tagger open scans/box12 --read-only",
    ),
    _arguments,
    _run,
)
