"""`tagger demo`: draws a lot to try the program on."""

from __future__ import annotations

import argparse
import shlex
from pathlib import Path

from tagger.commands.common import DONE, Command
from tagger.services.console import out
from tagger.services.progress import Progress


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "dir",
        metavar="DIR",
        type=Path,
        nargs="?",
        default=Path("tagger-demo"),
        help="where to draw it (default tagger-demo)",
    )
    parser.add_argument(
        "--seed",
        metavar="N",
        type=int,
        default=7,
        help="draw other serial numbers, wear and skew (default 7)",
    )


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


COMMAND = Command(
    "demo",
    "draw a lot of invented cards to try tagger on",
    ("tagger demo", "tagger demo /tmp/cards"),
    _arguments,
    _run,
)
