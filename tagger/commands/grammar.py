"""The command line's grammar: which commands there are, by what they are for."""

from __future__ import annotations

import argparse
import sys
import textwrap
from collections.abc import Iterable, Iterator
from importlib import import_module
from typing import TYPE_CHECKING, Any

from tagger import __version__
from tagger.services.console import out_text

if TYPE_CHECKING:
    from tagger.commands.common import Command

# By what the user is about, then by verb: the module in tagger.commands that has the command under
# the name COMMAND.
GROUPS = {
    "Tag": {
        "open": "tag.open_lot",
        "status": "tag.status",
        "match": "tag.match",
        "read": "tag.read",
        "demo": "tag.demo",
    },
    "Check and fix": {
        "audit": "check.audit",
        "fix": "check.fix",
        "measure": "check.measure",
        "checklist": "check.checklist",
    },
    "Export and import": {
        "export": "exchange.export",
        "import": "exchange.import_table",
        "sheet": "exchange.sheet",
        "page": "exchange.page",
        "labels": "exchange.labels",
        "dividers": "exchange.dividers",
    },
    "Look up": {
        "find": "lookup.find",
        "stock": "lookup.stock",
        "sets": "lookup.sets",
        "value": "lookup.value",
        "lots": "lookup.lots",
    },
    "Sell": {
        "sold": "sell.sold",
        "pick": "sell.pick",
        "move": "sell.move",
        "cost": "sell.cost",
        "sales": "sell.sales",
    },
    "Shop": {
        "hub": "shop.hub",
    },
    "Maintain": {
        "repair": "maintain.repair",
        "show": "maintain.show",
        "preview-test": "maintain.preview_test",
        "completion": "maintain.completion",
        "help": "maintain.help",
    },
}
VERBS = {verb: module for verbs in GROUPS.values() for verb, module in verbs.items()}
_VERB_WIDTH = 14  # columns of a verb in the list, with the space behind it


def command(verb: str) -> Command:
    """The command of a verb; only its own module is loaded."""
    found: Command = import_module(f"tagger.commands.{VERBS[verb]}").COMMAND
    return found


def parser(verbs: Iterable[str] = VERBS) -> argparse.ArgumentParser:
    """The command line's grammar, of some verbs or of all."""
    top = _Parser(
        prog="tagger",
        description="Tag scanned trading cards by keyboard: step through the pairs, type short "
        "hints, export a table.",
        epilog="Exit status: 0 done; 1 done, but something needs your attention; 2 usage error; "
        "3 failed. tagger help has the help pages.",
        formatter_class=_Grouped,
    )
    top.add_argument(
        "--version", action="version", version=f"tagger {__version__}", help="print the version"
    )
    parsers = top.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for one in map(command, verbs):
        sub = parsers.add_parser(
            one.name,
            help=one.help,
            description=f"{one.help[0].upper()}{one.help[1:]}.",
            epilog="examples:\n" + "\n".join(f"  {example}" for example in one.examples),
            # The usual one would fill the examples into one paragraph.
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        one.arguments(sub)
        sub.add_argument("--quiet", action="store_true", help="print no messages except errors")
        sub.set_defaults(run=one.run, command=one.name)
    return top


class _Parser(argparse.ArgumentParser):
    """argparse drops help that cannot be written, as into a full disk, without a word."""

    def _print_message(self, message: str, file: Any = None) -> None:
        if file is sys.stdout and message:
            out_text(message)
        else:
            super()._print_message(message, file)


class _Grouped(argparse.HelpFormatter):
    """Lists the commands by what they are for; argparse itself knows one flat list."""

    def _format_action(self, action: argparse.Action) -> str:
        if not isinstance(action, argparse._SubParsersAction):
            return super()._format_action(action)
        helps = {one.dest: one.help or "" for one in action._choices_actions}
        return "\n".join(self._groups(helps)).lstrip("\n") + "\n"

    def _groups(self, helps: dict[str, str]) -> Iterator[str]:
        for group, verbs in GROUPS.items():
            yield f"\n  {group}"
            for verb in (verb for verb in verbs if verb in helps):
                yield textwrap.fill(
                    helps[verb],
                    self._width,
                    initial_indent=f"    {verb:{_VERB_WIDTH}}",
                    subsequent_indent=" " * (4 + _VERB_WIDTH),
                )
