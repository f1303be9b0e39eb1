"""What several commands share: their shape, the lot's folder, exit statuses."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder, lot_place

DONE, EYE, WRONG_USE, COULD_NOT = 0, 1, 2, 3  # exit statuses


@dataclass(frozen=True)
class Command:
    """One verb of the command line. `run` returns the exit status and may raise TaggerError."""

    name: str
    help: str
    examples: tuple[str, ...]
    arguments: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]


def lot_arguments(parser: argparse.ArgumentParser) -> None:
    """FOLDER and --state."""
    parser.add_argument("folder", metavar="FOLDER", type=Path, help="the folder of scans")
    parser.add_argument(
        "--state",
        metavar="DIR",
        type=Path,
        help="keep the tags in DIR, for a folder that cannot be written to",
    )


def json_argument(parser: argparse.ArgumentParser) -> None:
    """--json."""
    parser.add_argument("--json", action="store_true", help="print one JSON document on stdout")


def find_lot(given: argparse.Namespace) -> LotPlace:
    """The lot that the command names. Without --state, tags that were kept elsewhere at the last
    opening are found."""
    place = lot_place(given.folder, given.state)
    if given.state is None and not place.kept:
        home = LotList(data_folder()).home_of(place.folder)
        if home is not None and LotPlace(place.folder, home).kept:
            return LotPlace(place.folder, home)
    return place
