"""What the commands about tables share: the layout that is named, the print runs of the
checklists."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from tagger.core.index.index import Index
from tagger.core.lot.fields import run_of_serial
from tagger.core.model.suggestions import meant
from tagger.core.model.tags import Tags, parallel_key
from tagger.core.model.text import printable
from tagger.errors import LotError, UsageError
from tagger.exchange.layout.examples import about, examples
from tagger.exchange.layout.layout import LARGEST, Layout, read_layout
from tagger.services.console import out, tell
from tagger.store.checklists import read_indexed
from tagger.store.machine.paths import index_folder


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
            option_strings, dest, nargs="?", metavar="NAME", default=argparse.SUPPRESS, **more
        )

    def __call__(
        self, parser: argparse.ArgumentParser, given: object, values: object, option: object = None
    ) -> None:
        """Print and leave."""
        known = examples()
        if values is None:
            for name, data in known.items():
                out(f"{name:10} {about(data)}")
            tell("tagger export --layouts NAME prints one, to copy into a file of your own.")
        elif str(values) in known:
            for line in known[str(values)].decode("utf-8").splitlines():
                out(line)
        else:
            parser.error(
                f"'{printable(str(values))}' is no example{meant(str(values), list(known))}"
            )
        parser.exit()


def read_named(named: str) -> Layout:
    """The layout of a file, or the example with this name. Raises UsageError and LotError."""
    path, shown = Path(named), printable(named)
    known = examples()
    if not path.exists():
        if named in known:
            return read_layout(known[named], f"{named}.toml")
        hint = f" The examples are {', '.join(known)}." if not path.suffix else ""
        raise LotError(f"There is no layout {shown}.{hint}")
    try:
        if path.stat().st_size > LARGEST:
            raise UsageError(f"{shown} is larger than a layout can be.")
        return read_layout(path.read_bytes(), shown)
    except OSError as error:
        raise LotError(f"The layout {shown} cannot be read: {error.strerror}.") from None


def read_lists(checklists: Sequence[str]) -> Index:
    """The lot's checklists; what cannot be read of them is told."""
    read = read_indexed([Path(path) for path in checklists], index_folder())
    for problem in read.problems:
        if not problem.line:
            tell(problem.problem)
    return read.index


def print_runs(checklists: Sequence[str]) -> Callable[[Tags], str]:
    """What gives a card's print run: of its serial number, or of its parallel in the checklists."""
    if not checklists:
        return run_of_serial
    index = read_lists(checklists)

    def run_of(tags: Tags) -> str:
        if said := run_of_serial(tags):
            return said
        step = index.find(tags.set, tags.number, tags.subject) if tags.set else None
        if step is None:
            return ""
        wanted = parallel_key(tags.parallel)
        named = (p for p in index.parallels_at(step) if parallel_key(p.name) == wanted)
        run = next((parallel.run for parallel in named), None)
        return "" if run is None else str(run)

    return run_of
