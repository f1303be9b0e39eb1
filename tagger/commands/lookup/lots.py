"""`tagger lots`: the lots opened on this machine."""

from __future__ import annotations

import argparse

from tagger.commands.arguments import options
from tagger.commands.common import Command, json_argument
from tagger.commands.renderers import lots
from tagger.core.model.text import printable
from tagger.errors import DONE, UsageError
from tagger.services.console import out_lines, print_json, tell
from tagger.services.lot_places import place_of_folder
from tagger.services.lot_selection import NO_LOTS
from tagger.store.machine.lots import LotList
from tagger.store.machine.lots_now import lots_now
from tagger.store.machine.paths import data_folder


def _arguments(parser: argparse.ArgumentParser) -> None:
    said = "take a lot off the list, by its name or its folder; nothing else is touched"
    options.text(parser, "--forget", "LOT", said)
    said = "make a copied lot one of its own, for the hub and its stock numbers"
    options.path(parser, "--new-identity", "FOLDER", said)
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    if given.new_identity is not None:
        return _renew(given)
    if given.forget is not None:
        if given.json:
            raise UsageError("Say --forget or --json, not both.")
        place = LotList(data_folder()).forget(given.forget)
        tell(f"{place.name} in {printable(str(place.folder))} is off the list; its tags stay.")
        return DONE
    known = lots_now(LotList(data_folder()))
    if given.json:
        print_json(lots.as_json(known))
        return DONE
    out_lines(lots.as_text(known))
    # On stderr: to a script no lot is an empty answer.
    if not known:
        tell(NO_LOTS)
    return DONE


def _renew(given: argparse.Namespace) -> int:
    if given.json or given.forget is not None:
        raise UsageError("--new-identity goes with no other option.")
    from tagger.services.hub.new_identity import renew

    place = place_of_folder(given.new_identity)
    part = renew(place)
    numbers = f" Its stock numbers begin with {part}- from now on." if part else ""
    tell(f"{place.name} is a lot of its own now; its tags and its history stay.{numbers}")
    return DONE


HELP = "list the lots opened on this machine"
EXAMPLES = ("tagger lots", "tagger lots --json", "tagger lots --forget scans/box12")
COMMAND = Command("lots", HELP, EXAMPLES, _arguments, _run)
