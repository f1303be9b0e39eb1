"""`tagger completion`: what makes a shell complete commands, options and file names."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

from tagger.commands.common import Command
from tagger.errors import DONE
from tagger.services.console import out_text
from tagger.services.guide.help_pages import TOPICS

SHELLS = ("bash", "zsh", "fish")
_FOLDERS = ("FOLDER", "DIR")  # what the grammar calls an argument that is a folder


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("shell", metavar="SHELL", choices=SHELLS, help=", ".join(SHELLS))


def _run(given: argparse.Namespace) -> int:
    # Only this command needs it.
    import shtab

    from tagger.commands.grammar import parser

    grammar = parser()
    for action in _actions(grammar):
        if action.metavar == "TOPIC":
            action.choices = TOPICS
        elif action.type is Path or str(action.metavar).startswith("FILE"):
            wanted = shtab.DIRECTORY if action.metavar in _FOLDERS else shtab.FILE
            action.complete = wanted  # type: ignore[attr-defined]
    out_text(shtab.complete(grammar, given.shell))
    return DONE


def _actions(grammar: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    """All arguments of a command line and of its commands."""
    for action in grammar._actions:
        yield action
        if isinstance(action, argparse._SubParsersAction):
            for sub in action.choices.values():
                yield from _actions(sub)


HELP = "print completions for your shell"
EXAMPLES = (
    "tagger completion bash > ~/.local/share/bash-completion/completions/tagger",
    'tagger completion zsh > "${fpath[1]}/_tagger"',
    "tagger completion fish > ~/.config/fish/completions/tagger.fish",
)
COMMAND = Command("completion", HELP, EXAMPLES, _arguments, _run)
