"""What several commands share: their shape, the lot's folder, exit statuses."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tagger.commands.arguments.schema import ShowSchema
from tagger.services.lot_places import place_of_folder
from tagger.store.machine.paths import LotPlace

# Scripts read them, so `tagger --help` names them. 2 is what argparse itself ends with.
DONE, ATTENTION, USAGE, FAILED = 0, 1, 2, 3  # exit statuses


def attention_if(needed: object) -> int:
    """The exit status of what is done: whether something needs the user's attention."""
    return ATTENTION if needed else DONE


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
        help="store lot.json in DIR (for a scan folder that you cannot write to)",
    )


def json_argument(parser: argparse.ArgumentParser) -> None:
    """--json and --schema."""
    parser.add_argument("--json", action="store_true", help="print one JSON document")
    parser.add_argument(
        "--schema", action=ShowSchema, help="print the JSON Schema of that document"
    )


def folders_argument(parser: argparse.ArgumentParser) -> None:
    """FOLDER, any number of them."""
    parser.add_argument(
        "folders",
        metavar="FOLDER",
        type=Path,
        nargs="*",
        help="folders of scans (default: all lots opened on this machine)",
    )


def find_lot(given: argparse.Namespace) -> LotPlace:
    """The lot that the command names; see `place_of_folder`."""
    return place_of_folder(given.folder, given.state)
