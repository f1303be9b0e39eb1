"""The command line: which commands there are, and what their errors come to."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence

from tagger import __version__
from tagger.commands.checklist import CHECKLIST
from tagger.commands.common import COULD_NOT, WRONG_USE, tell
from tagger.commands.demo import DEMO
from tagger.commands.export import EXPORT
from tagger.commands.glyphs import GLYPHS
from tagger.commands.lots import LOTS
from tagger.commands.match import MATCH
from tagger.commands.open_lot import OPEN
from tagger.commands.repair import REPAIR
from tagger.commands.show import SHOW
from tagger.commands.status import STATUS
from tagger.errors import TaggerError

COMMANDS = (OPEN, STATUS, EXPORT, MATCH, CHECKLIST, LOTS, REPAIR, SHOW, GLYPHS, DEMO)


def parser() -> argparse.ArgumentParser:
    """The command line's grammar."""
    top = argparse.ArgumentParser(
        prog="tagger",
        description="Tag scanned trading cards by keyboard: step through the pairs, type short hints, export a table.",
        epilog="Exit status: 0 done; 1 done, and something needs your eye; 2 wrong use; 3 could not.",
    )
    top.add_argument("--version", action="version", version=f"tagger {__version__}")
    verbs = top.add_subparsers(metavar="COMMAND", required=True)
    for command in COMMANDS:
        sub = verbs.add_parser(
            command.name,
            help=command.help,
            description=f"{command.help[0].upper()}{command.help[1:]}.",
            epilog="examples:\n" + "\n".join(f"  {example}" for example in command.examples),
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        command.arguments(sub)
        sub.set_defaults(run=command.run)
    return top


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    given = parser().parse_args(argv)
    try:
        return int(given.run(given))
    except TaggerError as error:
        tell(f"tagger: {error.message}")
        return error.exit_status
    except KeyboardInterrupt:
        tell("tagger: stopped.")
        return COULD_NOT
    except BrokenPipeError:  # the reader of our output went away, as `head` does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return WRONG_USE
