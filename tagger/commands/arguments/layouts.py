"""The arguments of tables: `--layout`, and `--layouts`, which shows the examples."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any

from tagger.core.model.suggestions import meant
from tagger.core.model.text import printable
from tagger.exchange.layout.examples import about, examples
from tagger.services.console import out, out_lines, tell


def layout_argument(parser: argparse.ArgumentParser) -> None:
    """--layout."""
    parser.add_argument(
        "--layout",
        metavar="FILE.toml",
        help="what the table looks like: a layout's file, or the name of an example",
    )


class ShowLayouts(argparse.Action):
    """--layouts [NAME]: lists the examples, or prints one to copy, and ends the program."""

    def __init__(self, option_strings: Sequence[str], dest: str, **more: Any) -> None:
        super().__init__(
            # No attribute of the namespace: the action ends the program, so no command could read
            # it.
            option_strings,
            dest,
            nargs="?",
            metavar="NAME",
            default=argparse.SUPPRESS,
            **more,
        )

    def __call__(
        self, parser: argparse.ArgumentParser, given: object, values: object, option: object = None
    ) -> None:
        """Print and leave."""
        # An action, so that no FOLDER is asked for beside it.
        known = examples()
        if values is None:
            for name, data in known.items():
                out(f"{name:10} {about(data)}")
            # On stderr, so that the names alone go through a pipe.
            tell("tagger export --layouts NAME prints one, to copy into a file of your own.")
        elif str(values) in known:
            out_lines(known[str(values)].decode("utf-8").splitlines())
        else:
            parser.error(
                f"'{printable(str(values))}' is no example{meant(str(values), list(known))}"
            )
        parser.exit()
