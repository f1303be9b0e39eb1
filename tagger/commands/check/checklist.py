"""`tagger checklist`: checks checklist files and sums them up."""

from __future__ import annotations

import argparse

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, json_argument
from tagger.commands.renderers import checklists
from tagger.core.checklist.checklist import merge
from tagger.services.console import out_lines, print_json
from tagger.store.checklists import checklist_files, read_checklist


def _arguments(parser: argparse.ArgumentParser) -> None:
    said = "a checklist, or a folder of them; - for standard input"
    options.path(parser, "files", "FILE", said, nargs="+")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    # As one list: a card that two files have gets the parallels of both.
    whole = merge([read_checklist(path) for path in checklist_files(given.files)])
    if given.json:
        print_json(checklists.as_json(whole))
    else:
        out_lines(checklists.as_text(whole))
    return attention_if(whole.problems)


HELP = "check checklists and count their cards"
EXAMPLES = ("tagger checklist harbor-1987.csv", "tagger checklist lists/*.csv --json")
COMMAND = Command("checklist", HELP, EXAMPLES, _arguments, _run)
