"""`tagger demo`: draws a lot to try the program on."""

from __future__ import annotations

import argparse
import shlex
import sys
from pathlib import Path

from tagger.commands.common import DONE, Command
from tagger.services.console import out


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "dir",
        metavar="DIR",
        type=Path,
        nargs="?",
        default=Path("tagger-demo"),
        help="where to (tagger-demo)",
    )
    parser.add_argument(
        "--seed",
        metavar="N",
        type=int,
        default=7,
        help="another seed gives other serial numbers, wear and skew (7)",
    )


def _run(given: argparse.Namespace) -> int:
    from tagger.demo import draw_demo

    def progress(done: int, total: int) -> None:
        if sys.stderr.isatty():
            print(
                f"\rdrawing card {done} of {total} ",
                end="\n" if done == total else "",
                file=sys.stderr,
                flush=True,
            )

    place = draw_demo(given.dir, seed=given.seed, progress=progress)
    out(f"{place.cards} invented cards are drawn. Open them with:")
    lists = shlex.quote(str(place.checklists[0].parent))
    out(f"  tagger open {shlex.quote(str(place.lot))} --checklist {lists}")
    return DONE


COMMAND = Command(
    "demo",
    "draw a lot of invented cards to try the program on",
    ("tagger demo", "tagger demo /tmp/cards"),
    _arguments,
    _run,
)
