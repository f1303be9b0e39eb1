"""`lot=` among words: which lots are meant by their names."""

from __future__ import annotations

import re

from tagger.core.model.text import fold

_LOT = re.compile(r"(?:^|\s)lot=(\S*)", re.IGNORECASE)


def without_lot(hint: str) -> tuple[str, str]:
    """A hint without its `lot=spring`, and the words of the name, which `_` joins; empty where it
    names no lot."""
    match = _LOT.search(hint)
    if match is None:
        return hint, ""
    rest = f"{hint[: match.start()]}{hint[match.end() :]}".strip()
    return rest, fold(match[1].replace("_", " ")).strip()


def is_called(name: str, wanted: str) -> bool:
    """Whether the name of a lot has these words of a `lot=` in it."""
    return wanted in fold(name.replace("_", " "))
