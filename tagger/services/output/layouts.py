"""The layout that is named: a file, or a built-in one."""

from __future__ import annotations

import os
from pathlib import Path

from tagger.core.model.text import printable
from tagger.errors import LotError, UsageError
from tagger.exchange.layout.examples import examples
from tagger.exchange.layout.layout import LARGEST, Layout, read_layout
from tagger.store.files import FileTooLarge, read_bounded


def named_layout(named: str) -> Layout:
    """The layout of a file, or the built-in one with this name. Raises UsageError and LotError."""
    path = Path(named)
    # A file of the dealer's own goes before a built-in one that is called like it.
    if os.path.exists(path):
        return _of_file(path, printable(named))
    known = examples()
    if named in known:
        return read_layout(known[named], f"{named}.toml")
    # A name with an ending is meant as a file and no example.
    hint = "" if path.suffix else f" Built-in layouts: {', '.join(known)}."
    raise LotError(f"There is no layout {printable(named)}.{hint}")


def _of_file(path: Path, shown: str) -> Layout:
    try:
        return read_layout(read_bounded(path, LARGEST), shown)
    except FileTooLarge:
        raise UsageError(f"{shown} is too large for a layout; check the file.") from None
    except OSError as error:
        raise LotError(f"The layout {shown} cannot be read: {error.strerror}.") from None
