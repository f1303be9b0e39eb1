"""What several commands share: their shape, and the lot's folder."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

from tagger.commands.arguments import options
from tagger.commands.arguments.schema import ShowSchema
from tagger.errors import ATTENTION, DONE
from tagger.services.lot_places import place_of_folder

if TYPE_CHECKING:
    from tagger.store.machine.paths import LotPlace


def attention_if(needed: object) -> int:
    """The exit status of what is done: whether something needs the user's attention."""
    return ATTENTION if needed else DONE


class Command(NamedTuple):
    """One verb of the command line. `run` returns the exit status and may raise TaggerError."""

    name: str
    help: str
    examples: tuple[str, ...]
    arguments: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace], int]


def lot_arguments(parser: argparse.ArgumentParser) -> None:
    """FOLDER and --state."""
    options.path(parser, "folder", "FOLDER", "the folder of scans")
    said = "store lot.json in DIR (for a scan folder that you cannot write to)"
    options.path(parser, "--state", "DIR", said)


def json_argument(parser: argparse.ArgumentParser) -> None:
    """--json and --schema."""
    options.flag(parser, "--json", "print one JSON document")
    parser.add_argument(
        "--schema", action=ShowSchema, help="print the JSON Schema of that document"
    )


def folders_argument(parser: argparse.ArgumentParser) -> None:
    """FOLDER, any number of them."""
    said = "folders of scans (default: all lots opened on this machine)"
    options.path(parser, "folders", "FOLDER", said, nargs="*")


def find_lot(given: argparse.Namespace) -> LotPlace:
    """The lot that the command names; see `place_of_folder`."""
    return place_of_folder(given.folder, given.state)
