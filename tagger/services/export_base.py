"""What an edited export was made from, read from the file beside it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.exchange.export_base import (
    LARGEST,
    ExportBase,
    Imported,
    base_path,
    imported_base,
    read_base,
)
from tagger.services.console import complain
from tagger.services.output.paths import new_file
from tagger.store.files import FileTooLarge, read_bounded
from tagger.store.standard_streams import STDIO


def bases_of(table: Path, named: Path | None) -> tuple[ExportBase, ...]:
    """The base that is named, or that lies beside a table, for each lot of the export; nothing
    where there is none. Raises LotError where it cannot be read."""
    if named is None and table == STDIO:
        return ()
    path = path_of(table, named)
    shown = printable(str(path))
    try:
        return read_base(read_bounded(path, LARGEST))
    except FileNotFoundError:
        if named is None:
            return ()
        raise LotError(f"There is no file {shown}.") from None
    except FileTooLarge:
        raise LotError(f"{shown} is too large for what an export is made from.") from None
    except OSError as error:
        raise LotError(f"{shown} cannot be read: {error.strerror}.") from None
    except ValueError as error:
        raise LotError(
            f"{shown} is damaged ({printable(str(error), 120)}); delete it to compare the file "
            "with the lot as it is now."
        ) from None


def path_of(table: Path, named: Path | None) -> Path:
    """Where the base of a table lies: where it is named, else beside it."""
    return named or base_path(table)


def note_imported(path: Path, bases: Sequence[ExportBase], texts: Sequence[Imported]) -> None:
    """Keep in a base that these texts of each lot were imported: edited again, the same file is
    compared with what it said then."""
    try:
        with new_file(path, force=True) as write:
            for part in imported_base(bases, texts):
                write(part)
    except LotError as error:
        complain(f"{error} Export again before you edit the file further.")
