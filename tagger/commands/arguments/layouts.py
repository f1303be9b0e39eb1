"""The arguments of tables: `--layout`, `--layouts`, which shows the built-in ones, `--format`, and
how a CSV file is written: `--csv`, `--no-guard`."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from tagger.core.model.suggestions import meant
from tagger.core.model.text import printable
from tagger.errors import UsageError
from tagger.exchange.csv_form import HELP as CSV_HELP
from tagger.exchange.csv_form import PLAIN, CsvForm, read_csv_form
from tagger.exchange.layout.examples import about, examples
from tagger.exchange.table_writer import FORMS
from tagger.services.console import out, out_lines, tell
from tagger.store.standard_streams import STDIO


def layout_argument(parser: argparse.ArgumentParser) -> None:
    """--layout."""
    parser.add_argument(
        "--layout",
        metavar="FILE.toml",
        help="a layout file, or the name of a built-in layout",
    )


def format_argument(parser: argparse.ArgumentParser) -> None:
    """--format."""
    names = [ending.removeprefix(".") for ending in FORMS]
    parser.add_argument(
        "--format",
        metavar="FORM",
        choices=names,
        help=f"{', '.join(names)} (default: by the file's extension; csv for -)",
    )


def csv_arguments(parser: argparse.ArgumentParser) -> None:
    """--csv and --no-guard."""
    parser.add_argument("--csv", metavar="SIGNS", help=CSV_HELP)
    parser.add_argument(
        "--no-guard",
        action="store_true",
        help="no apostrophe in front of formulas in a .csv; only for programs that do not run them",
    )


def csv_form(given: argparse.Namespace, ending: str) -> CsvForm:
    """How a CSV file is to be written. Raises UsageError."""
    if given.csv is None and not given.no_guard:
        return PLAIN
    if ending != ".csv":
        raise UsageError("--csv and --no-guard go with a .csv file.")
    if given.csv is None:
        return CsvForm(guard=False)
    return read_csv_form(given.csv, guard=not given.no_guard)


def ending_of(file: Path, form: str | None) -> str:
    """What kind of file it is, as an extension in small letters: `.csv`."""
    if form is not None:
        return f".{form}"
    return ".csv" if file == STDIO else file.suffix.lower()


class ShowLayouts(argparse.Action):
    """--layouts [NAME]: lists the built-in layouts, or prints one to copy, and ends the program."""

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
            tell("tagger export --layouts NAME prints one to copy into your own file.")
        elif str(values) in known:
            out_lines(known[str(values)].decode("utf-8").splitlines())
        else:
            parser.error(
                f"unknown layout '{printable(str(values))}'{meant(str(values), list(known))}"
            )
        parser.exit()
