"""How an option is declared: a flag, a file, a whole number."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

Parser = argparse.ArgumentParser | argparse._ArgumentGroup


def flag(parser: Parser, name: str, help: str) -> None:
    """An option without a value: there or not."""
    parser.add_argument(name, action="store_true", help=help)


def path(parser: Parser, name: str, metavar: str, help: str, **more: Any) -> None:
    """A file or folder; `more` goes to argparse: `nargs`, `required`, `default`."""
    parser.add_argument(name, metavar=metavar, type=Path, help=help, **more)


def number(parser: Parser, name: str, metavar: str, help: str, **more: Any) -> None:
    """A whole number; `more` as for `path`."""
    parser.add_argument(name, metavar=metavar, type=int, help=help, **more)


def text(parser: Parser, name: str, metavar: str, help: str, **more: Any) -> None:
    """A word, or words; `more` as for `path`."""
    parser.add_argument(name, metavar=metavar, help=help, **more)


def force(parser: Parser) -> None:
    """--force, of a command that writes a file."""
    flag(parser, "--force", "replace a file that tagger did not write, or that was changed since")


def target(parser: Parser, metavar: str, help: str, **more: Any) -> None:
    """--to, the file to write, and --force; `more` as for `path`."""
    path(parser, "--to", metavar, help, **more)
    force(parser)


def every_card(parser: Parser) -> None:
    """--all, of a command that leaves out what was sold or pulled."""
    flag(parser, "--all", "include the cards that were sold or pulled")


def checklists(parser: Parser, help: str, **more: Any) -> None:
    """--checklist, as often as there are lists."""
    path(parser, "--checklist", "FILE", help, action="append", **more)
