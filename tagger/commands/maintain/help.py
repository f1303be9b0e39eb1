"""`tagger help`: the help pages in the terminal, and the manual page."""

from __future__ import annotations

import argparse
import os
import shlex
import shutil
import subprocess
import sys

from tagger.commands.arguments import options
from tagger.commands.common import Command
from tagger.core.model.suggestions import nearest
from tagger.core.model.text import printable
from tagger.errors import DONE, UsageError
from tagger.services.console import out, out_text
from tagger.services.guide.help_pages import (
    PAGE_OF,
    TOPICS,
    page_text,
    page_title,
    topic_of,
    without_links,
)

PLAIN, WIDEST = 80, 120  # columns: into a pipe; where lines grow too long to read


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "topic", metavar="TOPIC", nargs="?", help="a topic or a command (default: list all topics)"
    )
    options.flag(parser, "--man", "print the manual page, in roff")


def _run(given: argparse.Namespace) -> int:
    if given.man:
        if given.topic is not None:
            raise UsageError("--man prints all topics; do not name one.")
        from tagger.commands.grammar import parser
        from tagger.services.guide.man_page import man_page

        out_text(man_page(parser()))
    elif given.topic is None:
        _list()
    else:
        _show(given.topic)
    return DONE


def _list() -> None:
    for topic in TOPICS:
        out(f"{topic:12} {page_title(topic)}")
    out("tagger help TOPIC shows a page; tagger COMMAND --help lists a command's options.")


def _show(word: str) -> None:
    topic = topic_of(word)
    if not topic:
        raise UsageError(f"unknown help topic '{printable(word, 60)}'; {_instead_of(word)}")
    on_screen = sys.stdout.isatty()
    size = shutil.get_terminal_size()
    width = min(size.columns, WIDEST) if on_screen else PLAIN
    # What draws Markdown takes a while to load, and a list of topics needs none of it.
    from tagger.commands.maintain.help_view import drawn

    text = drawn(without_links(page_text(topic)), width, styled=on_screen)
    # A page that fits stays where it is: there is no pager to leave.
    if not (on_screen and text.count("\n") >= size.lines and _paged(text)):
        out_text(text)


def _instead_of(word: str) -> str:
    """What to type instead of a topic that is not known."""
    near = nearest(word, (*TOPICS, *PAGE_OF))
    return f"did you mean {near}?" if near else "tagger help lists all topics."


def _paged(text: str) -> bool:
    """Show the text in the user's pager; False where there is none that runs."""
    # POSIX has a command line in PAGER, which may have options: `less -S`.
    pager = shlex.split(os.environ.get("PAGER", ""))
    if not pager:
        return False
    # less shows colours only when told to; who has set LESS has decided otherwise
    around = {"LESS": "R", **os.environ}
    try:
        subprocess.run(pager, input=text.encode(), env=around, check=False)
    except OSError:
        return False
    return True


HELP = "show a help page"
EXAMPLES = ("tagger help", "tagger help hints", "tagger help --man > tagger.1")
COMMAND = Command("help", HELP, EXAMPLES, _arguments, _run)
