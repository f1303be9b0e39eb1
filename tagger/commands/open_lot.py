"""`tagger open`: the lot in the terminal."""

from __future__ import annotations

import argparse
import gc
import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.commands.common import DONE, Command, find_lot, lot_arguments, tell
from tagger.commands.drawing import chosen_drawing
from tagger.config import load_settings
from tagger.core.session import Session
from tagger.core.text import printable
from tagger.errors import ConfigError, LotError
from tagger.imaging.folder import Folder, list_scans
from tagger.imaging.scans import Scans
from tagger.store.first_time import FirstTime
from tagger.store.lot_file import LotFile
from tagger.store.lots import LotList
from tagger.store.loupes import LoupeFile
from tagger.store.places import cache_folder, config_file, data_folder, index_folder, make_home, state_folder
from tagger.store.small_files import SmallFiles
from tagger.ui.keys import Keymap

if TYPE_CHECKING:
    from tagger.core.index import Indexed


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
    parser.add_argument("--look", action="store_true", help="look only, also while another program has the lot open")


def _run(given: argparse.Namespace) -> int:
    gc.disable()  # to look for garbage among what is loaded is a tenth of the start; the desk enables it again
    try:
        return _open(given)
    finally:
        gc.enable()


def _open(given: argparse.Namespace) -> int:
    from tagger.commands.behind import Behind
    from tagger.commands.looks import Looks
    from tagger.ui.app import TaggerApp, check_terminal, run
    from tagger.ui.previews import FolderSource
    from tagger.ui.stands import Stands

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
        if not path.exists():
            raise LotError(f"There is no checklist {printable(str(path))}.")
    if not given.look:
        make_home(place)
    elif not place.kept:
        raise LotError(f"{place.name} was never opened, so there is nothing to look at yet.")
    store = LotFile(place.home, place.name, only_looking=given.look)
    session = Session(store, settings.scale)
    try:
        session.reasons, session.review.closer_look = settings.reasons, settings.closer_look
        if joined := session.arrangement.mending.joined:
            folder = list_scans(place.folder, joined)
        if not store.looking:
            session.take_in(folder.scans, [os.path.abspath(path) for path in given.checklist])
            LotList(data_folder()).opened(place)

        def read(partly: Callable[[Indexed], None]) -> Indexed:
            from tagger.store.checklists import read_indexed

            return read_indexed([Path(path) for path in session.checklists], index_folder(), partly)

        drawing, said = chosen_drawing(settings.drawing)
        notice = _notice(session, store, folder, keys, said)
        copies = SmallFiles(cache_folder() / "pictures")
        source = FolderSource(Scans(place.folder, copies), lambda folder: Scans(Path(folder), copies))
        loupes = (LoupeFile(data_folder()), LoupeFile(data_folder(), "name_loupes"))
        report = state_folder() / "error.txt"
        behind = (Behind(place), Stands(settings.crop, settings.margin))
        drawn = (drawing, settings.colours)
        first = FirstTime(data_folder())
        welcome = first.over if first.now else None
        known = (Looks() if settings.look_alikes else None, str(place.folder))
        run(TaggerApp(session, place.name, source, read, keys, loupes, *behind, *drawn, notice, report, welcome, known))
    finally:
        session.close()
    counts, sitting = session.counts(), session.sitting()
    if sitting.worth_telling:
        tell(f"This sitting: {sitting.told()}.")
    tell(
        f"{place.name}: {counts.tagged} of {counts.cards} cards tagged, {counts.set_aside} set aside. "
        f"{'Nothing was changed.' if store.looking else 'Everything is saved.'}"
    )
    return DONE


def _notice(session: Session, store: LotFile, folder: Folder, keys: Keymap, drawing: str) -> str:
    """What the dealer should know when the desk opens, the gravest first."""
    said = list(store.notes)
    if store.looking:
        said.insert(0, f"{store.looking[0].upper()}{store.looking[1:]}.")
    said.append(f"Sides: {session.sides} ({keys.shown('sides')} changes).")
    if folder.ignored:
        one = folder.ignored == 1
        said.append("One other file is left alone." if one else f"{folder.ignored} other files are left alone.")
    if drawing:
        said.append(drawing)
    said.append(f"{keys.shown('help')} shows all keys.")
    return " ".join(said)


COMMAND = Command(
    "open",
    "open a lot in the terminal, new or half done",
    (
        "tagger open scans/box12 --checklist harbor-1987.csv",
        "tagger open scans/box12",
        "tagger open scans/box12 --look",
    ),
    _arguments,
    _run,
)
