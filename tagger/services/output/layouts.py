"""The layout that is named: a file, or an example that comes along."""

from __future__ import annotations

from pathlib import Path

from tagger.core.model.text import printable
from tagger.errors import LotError, UsageError
from tagger.exchange.layout.examples import examples
from tagger.exchange.layout.layout import LARGEST, Layout, read_layout


def named_layout(named: str) -> Layout:
    """The layout of a file, or the example with this name. Raises UsageError and LotError."""
    path = Path(named)
    # A file of the dealer's own goes before an example that is called like it.
    if path.exists():
        return _of_file(path, printable(named))
    known = examples()
    if named in known:
        return read_layout(known[named], f"{named}.toml")
    # A name with an ending is meant as a file and no example.
    hint = "" if path.suffix else f" The examples are {', '.join(known)}."
    raise LotError(f"There is no layout {printable(named)}.{hint}")


def _of_file(path: Path, shown: str) -> Layout:
    try:
        if path.stat().st_size > LARGEST:
            raise UsageError(f"{shown} is larger than a layout can be.")
        return read_layout(path.read_bytes(), shown)
    except OSError as error:
        raise LotError(f"The layout {shown} cannot be read: {error.strerror}.") from None
