"""The lots opened on this machine, of `tagger lots`: as text and as JSON."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.store.machine.lots import KnownLot


def as_json(lots: Sequence[KnownLot]) -> dict[str, object]:
    """The document of --json."""
    return {"lots": [_document(lot) for lot in lots]}


def _document(lot: KnownLot) -> dict[str, object]:
    # A folder's name may have bytes that are not UTF-8.
    folder = os.fspath(lot.place.folder).encode("utf-8", "backslashreplace").decode()
    counts = {name: getattr(lot.counts, name, None) for name in ("cards", "tagged", "set_aside")}
    return {
        "lot": lot.place.name,
        "folder": folder,
        # A script may run elsewhere, so the time is UTC; in the text it is the dealer's own.
        "opened": time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(lot.opened)),
        **counts,
    }


def as_text(lots: Sequence[KnownLot]) -> Iterator[str]:
    """A line a lot: how far it is, when it was opened, where it lies."""
    for lot in lots:
        far = "cannot be read"
        if lot.counts:
            far = f"{lot.counts.tagged} of {lot.counts.cards} tagged"
        opened = time.strftime("%d %b %Y %H:%M", time.localtime(lot.opened))
        yield f"{lot.place.name}  {far}  opened {opened}  {lot.place.folder}"
