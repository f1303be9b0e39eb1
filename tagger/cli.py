"""The command line: which commands there are, and what their errors come to."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable, Sequence
from importlib import import_module

from tagger import __version__
from tagger.commands.common import COULD_NOT, WRONG_USE, Command
from tagger.errors import TaggerError
from tagger.services.console import out, tell

# By verb: the module in tagger.commands that has the command under the name COMMAND.
VERBS = {
    "open": "open_lot",
    "status": "status",
    "audit": "audit",
    "mend": "mend",
    "measure": "measure",
    "export": "export",
    "sheet": "sheet",
    "page": "page",
    "take-back": "take_back",
    "match": "match",
    "checklist": "checklist",
    "find": "find",
    "sold": "sold",
    "sets": "sets",
    "value": "value",
    "lots": "lots",
    "repair": "repair",
    "show": "preview.show",
    "glyphs": "preview.glyphs",
    "demo": "demo",
    "help": "help",
}


def command(verb: str) -> Command:
    """The command of a verb; only its own module is loaded."""
    found: Command = import_module(f"tagger.commands.{VERBS[verb]}").COMMAND
    return found


def parser(verbs: Iterable[str] = VERBS) -> argparse.ArgumentParser:
    """The command line's grammar, of some verbs or of all."""
    top = argparse.ArgumentParser(
        prog="tagger",
        description="Tag scanned trading cards by keyboard: step through the pairs, type short "
        "hints, export a table.",
        epilog="Exit status: 0 done; 1 done, and something needs your eye; 2 wrong use; 3 could "
        "not.",
    )
    top.add_argument("--version", action="version", version=f"tagger {__version__}")
    parsers = top.add_subparsers(metavar="COMMAND", required=True)
    for one in map(command, verbs):
        sub = parsers.add_parser(
            one.name,
            help=one.help,
            description=f"{one.help[0].upper()}{one.help[1:]}.",
            epilog="examples:\n" + "\n".join(f"  {example}" for example in one.examples),
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        one.arguments(sub)
        sub.set_defaults(run=one.run, grammar=parser)
    return top


FIRST_WORDS = """Tag scanned trading cards by keyboard.

  tagger open FOLDER --checklist FILE   begin with a folder of scans; FILE may be a folder, too
  tagger open FOLDER                    go on with it later
  tagger export FOLDER --to FILE.csv    write the inventory
  tagger demo                           draw a lot of invented cards to try it on
  tagger lots                           the lots opened on this machine
  tagger --help                         all commands; tagger COMMAND --help tells more of one
"""


def _first_words() -> int:
    out(FIRST_WORDS.rstrip("\n"))
    return WRONG_USE


def _no_command(word: str) -> int:
    # Loaded here: the start of every command would pay for it.
    from tagger.core.model.suggestions import nearest
    from tagger.core.model.text import printable

    more = "tagger --help lists them all."
    if os.path.isdir(word):
        more = f"to open that folder: tagger open {printable(word, 200)}"
    elif near := nearest(word, tuple(VERBS)):
        more = f"did you mean {near}?"
    tell(f"tagger: {printable(word, 60)} is no command; {more}")
    return WRONG_USE


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    if argv is None:
        argv = sys.argv[1:]
    if not argv:
        return _first_words()
    first = argv[0]
    if first in VERBS:
        # Only its own module is loaded: with all of them each command would start later.
        return _run(parser([first]).parse_args(argv))
    if first.startswith("-"):
        return _run(parser().parse_args(argv))
    return _no_command(first)


def _run(given: argparse.Namespace) -> int:
    """Run what was asked for; whatever stops it becomes one sentence and an exit status."""
    try:
        return int(given.run(given))
    except TaggerError as error:
        tell(f"tagger: {error.message}")
        return error.exit_status
    except KeyboardInterrupt:
        tell("tagger: stopped.")
        return COULD_NOT
    except BrokenPipeError:  # the reader of our output went away, as `head` does
        # Python writes what is left when it ends, and would complain then.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return WRONG_USE
