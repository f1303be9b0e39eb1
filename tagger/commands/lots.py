"""`tagger lots`: the lots opened on this machine."""

from __future__ import annotations

import argparse
import os
import time

from tagger.commands.common import DONE, Command, json_argument
from tagger.services.console import out, print_json, tell
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import data_folder


def _run(given: argparse.Namespace) -> int:
    lots = LotList(data_folder()).lots()
    if given.json:
        print_json(
            [
                {
                    "lot": lot.place.name,
                    "folder": os.fspath(lot.place.folder)
                    .encode("utf-8", "backslashreplace")
                    .decode(),
                    "opened": time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(lot.opened)),
                    "cards": lot.counts.cards if lot.counts else None,
                    "tagged": lot.counts.tagged if lot.counts else None,
                    "set_aside": lot.counts.set_aside if lot.counts else None,
                }
                for lot in lots
            ]
        )
        return DONE
    for lot in lots:
        far = (
            f"{lot.counts.tagged} of {lot.counts.cards} tagged"
            if lot.counts
            else "cannot be read now"
        )
        opened = time.strftime("%d %b %Y %H:%M", time.localtime(lot.opened))
        out(f"{lot.place.name}  {far}  opened {opened}  {lot.place.folder}")
    if not lots:
        tell("No lot was opened on this machine yet: tagger open FOLDER.")
    return DONE


COMMAND = Command(
    "lots",
    "list the lots opened on this machine",
    ("tagger lots", "tagger lots --json"),
    json_argument,
    _run,
)
