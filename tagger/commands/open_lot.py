"""`tagger open`: the lot in the terminal."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from tagger.commands.common import DONE, Command, find_lot, lot_arguments, tell
from tagger.config import load_settings
from tagger.core.checklist import Checklist
from tagger.core.session import Session
from tagger.core.text import printable
from tagger.errors import ConfigError, LotError
from tagger.imaging.folder import list_scans
from tagger.store.checklists import read_checklists
from tagger.store.lot_file import LotFile
from tagger.store.lots import LotList
from tagger.store.places import config_file, data_folder, make_home, state_folder


def _arguments(parser: argparse.ArgumentParser) -> None:
    lot_arguments(parser)
    parser.add_argument(
        "--checklist",
        metavar="FILE",
        type=Path,
        action="append",
        default=[],
        help="a checklist; remembered with the lot",
    )


def _run(given: argparse.Namespace) -> int:
    from tagger.ui.app import TaggerApp, check_terminal, run
    from tagger.ui.desk import picture_loader
    from tagger.ui.keys import Keymap

    check_terminal()
    settings = load_settings(config_file())
    try:
        keys = Keymap(settings.keys)
    except ConfigError as error:
        raise ConfigError(f"{printable(str(config_file()))}: {error.message}") from None
    place = find_lot(given)
    folder = list_scans(place.folder)
    if not folder.scans and not place.kept:
        raise LotError(f"{printable(str(place.folder))} holds no scans (JPEG, PNG, TIFF, WebP or BMP).")
    for path in given.checklist:
        if not path.is_file():
            raise LotError(f"There is no checklist {printable(str(path))}.")
    make_home(place)
    store = LotFile(place.home, place.name)
    try:
        session = Session(store, settings.scale)
        session.take_in(folder.scans, [os.path.abspath(path) for path in given.checklist])
    except BaseException:
        store.close()
        raise
    try:
        LotList(data_folder()).opened(place)

        def read() -> Checklist:
            return read_checklists([Path(path) for path in session.checklists])

        notice = f"Sides: {session.sides} ({keys.shown('sides')} changes)."
        if folder.ignored:
            notice += f" {folder.ignored} other files are left alone."
        notice += f" {keys.shown('help')} shows all keys."
        run(
            TaggerApp(
                session, place.name, picture_loader(place.folder), read, keys, notice, state_folder() / "error.txt"
            )
        )
    finally:
        session.close()
    counts = session.counts()
    tell(
        f"{place.name}: {counts.tagged} of {counts.cards} cards tagged, {counts.set_aside} set aside. "
        "Everything is saved."
    )
    return DONE


OPEN = Command(
    "open",
    "open a lot in the terminal, new or half done",
    ("tagger open scans/box12 --checklist harbor-1987.csv", "tagger open scans/box12"),
    _arguments,
    _run,
)
