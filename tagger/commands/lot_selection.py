"""The lots that a command is about: those that are named, or all that were opened on this
machine."""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tagger.commands.common import find_lot
from tagger.core.lot.lot import LotState
from tagger.core.model.text import printable
from tagger.errors import LotError, UsageError
from tagger.exchange import table
from tagger.services.console import tell
from tagger.services.opening import read
from tagger.store.files import SYSTEM, replacing
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder


@dataclass
class ChosenLots:
    """Lots to be read one after the other; `skipped` gets a sentence for each that cannot be."""

    folders: Sequence[Path]
    skipped: list[str] = field(default_factory=list)

    def read(self) -> Iterator[tuple[LotPlace, LotState]]:
        """The lots as they stand."""
        for place in self._places():
            try:
                if not place.kept:
                    raise LotError(
                        f"The lot {place.name} is left out: nothing is kept in "
                        f"{printable(str(place.home))}."
                    )
                yield place, read(place)
            except LotError as error:
                self.skipped.append(error.message)

    def _places(self) -> Iterator[LotPlace]:
        if not self.folders:
            yield from LotList(data_folder()).places()
        for folder in self.folders:
            try:
                yield find_lot(argparse.Namespace(folder=folder, state=None))
            except LotError as error:
                self.skipped.append(error.message)


def folders_argument(parser: argparse.ArgumentParser) -> None:
    """FOLDER, any number of them."""
    parser.add_argument(
        "folders",
        metavar="FOLDER",
        type=Path,
        nargs="*",
        help="folders of scans; without any, all lots opened on this machine",
    )


def write_csv(
    target: Path, columns: Sequence[str], rows: Sequence[Sequence[str | int]], kept: Sequence[str]
) -> None:
    """Write a table; a cell that a spreadsheet would run as a formula is made harmless. `kept` are
    files that must not be written over. Raises UsageError, LotError."""
    shown = printable(str(target))
    if target.suffix.lower() != ".csv":
        raise UsageError(f"{shown}: the list is a .csv file; end the name so.")
    if os.path.realpath(target) in {os.path.realpath(path) for path in kept}:
        raise UsageError(f"{shown} is a checklist; choose another name.")
    if target.is_dir():
        raise UsageError(f"{shown} is a folder; name a file in it.")
    if not target.parent.is_dir():
        raise LotError(f"There is no folder {printable(str(target.parent))}; make it first.")
    clean = tuple(
        tuple(cell if isinstance(cell, int) else _clean(cell) for cell in row) for row in rows
    )
    try:
        with replacing(SYSTEM, target) as write:
            table.write_csv(table.Table(tuple(columns), clean), "", write)
    except OSError as error:
        raise LotError(f"{shown} cannot be written: {error.strerror}.") from None
    tell(f"{len(rows)} lines written to {shown}.")


def _clean(text: str) -> str:
    return text if text.isprintable() else printable(text, 4000)
