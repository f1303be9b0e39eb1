"""`tagger demo`: draws a lot to try the program on."""

from __future__ import annotations

import argparse
import shlex
from pathlib import Path

from tagger.commands.arguments import options
from tagger.commands.common import Command
from tagger.errors import DONE
from tagger.services.console import out
from tagger.services.progress import Progress

DIR = Path("tagger-demo")
SEED = 7


def _arguments(parser: argparse.ArgumentParser) -> None:
    said = f"where to draw it (default {DIR})"
    options.path(parser, "dir", "DIR", said, nargs="?", default=DIR)
    said = f"draw other serial numbers, wear and skew (default {SEED})"
    options.number(parser, "--seed", "N", said, default=SEED)


def _run(given: argparse.Namespace) -> int:
    # The studio is large, and only this command draws.
    from tagger.demo import draw_demo

    with Progress("cards drawn") as progress:
        place = draw_demo(given.dir, seed=given.seed, progress=progress.at)
    out(f"{place.cards} invented cards drawn. Open them with:")
    # The line is there to be copied into a shell, and DIR may have blanks.
    lists = shlex.quote(str(place.checklists[0].parent))
    out(f"  tagger open {shlex.quote(str(place.lot))} --checklist {lists}")
    return DONE


HELP = "draw a lot of invented cards to try tagger on"
EXAMPLES = ("tagger demo", "tagger demo /tmp/cards")
COMMAND = Command("demo", HELP, EXAMPLES, _arguments, _run)
