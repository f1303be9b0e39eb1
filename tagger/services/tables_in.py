"""Tables that the user names to be read: a file of a known kind, or standard input."""

from __future__ import annotations

from pathlib import Path

from tagger.core.model.text import printable
from tagger.errors import LotError, UsageError
from tagger.exchange.table_reader import ENDINGS, LARGEST, ImportedTable, read_table
from tagger.store.files import FileTooLarge, read_bounded
from tagger.store.standard_streams import STDIO, read_stdin


def shown_source(path: Path) -> str:
    """What a sentence calls a file that is read, printable."""
    return "standard input" if path == STDIO else printable(path.name)


def read_named_table(path: Path, ending: str) -> ImportedTable:
    """The table in a file, which is of the kind `ending`. Raises UsageError where that is not one
    of ENDINGS, LotError where it cannot be read."""
    shown = shown_source(path)
    if ending not in ENDINGS:
        *first, last = ENDINGS
        raise UsageError(
            f"{shown}: tagger imports {', '.join(first)} and {last} files; use one of these "
            "extensions, or say --format."
        )
    return read_table(content(path), ending, shown)


def content(path: Path) -> bytes:
    """The bytes of a table's file. Raises LotError."""
    shown = shown_source(path)
    try:
        if path != STDIO:
            return read_bounded(path, LARGEST)
        data = read_stdin(LARGEST + 1)
        if len(data) > LARGEST:
            raise FileTooLarge(path)
        return data
    except FileTooLarge:
        raise LotError(
            f"{shown} is larger than {LARGEST >> 20} MB; an export of a lot never is. Check the "
            "file."
        ) from None
    except FileNotFoundError:
        raise LotError(f"There is no file {printable(str(path))}.") from None
    except OSError as error:
        raise LotError(f"{shown} cannot be read: {error.strerror}.") from None
