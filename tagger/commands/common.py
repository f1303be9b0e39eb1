"""What several commands share: their shape, the lot's folder, JSON on stdout, messages on stderr."""

from __future__ import annotations

import argparse
import contextlib
import json
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tagger.core.model.text import printable
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
        "--state", metavar="DIR", type=Path, help="keep the tags in DIR, for a folder that cannot be written to"
    )


def json_argument(parser: argparse.ArgumentParser) -> None:
    """--json."""
    parser.add_argument("--json", action="store_true", help="print one JSON document on stdout")


def find_lot(given: argparse.Namespace) -> LotPlace:
    """The lot that the command names. Without --state, tags that were kept elsewhere at the last opening are found."""
    place = lot_place(given.folder, given.state)
    if given.state is None and not place.kept:
        home = LotList(data_folder()).home_of(place.folder)
        if home is not None and LotPlace(place.folder, home).kept:
            return LotPlace(place.folder, home)
    return place


def print_json(document: object) -> None:
    """One JSON document on stdout, ASCII only, so that no locale can spoil it."""
    print(json.dumps(document, indent=1))


def tell(message: str) -> None:
    """A message for the user, on stderr."""
    with contextlib.suppress(OSError):  # the line may be gone
        print(printable(message, 2000), file=sys.stderr)


def out(line: str) -> None:
    """A line of the answer, on stdout."""
    text = printable(line, 2000)
    print(text.encode(sys.stdout.encoding or "utf-8", "replace").decode(sys.stdout.encoding or "utf-8"))
