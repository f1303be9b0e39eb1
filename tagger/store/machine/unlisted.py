"""The unlisted cards of each lot on this machine, so that other lots know them. Nothing is lost
with these files: each lot has its own cards, and writes its file again when it is next at work."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from pathlib import Path

from tagger.core.model.tags import Tags
from tagger.store.files import SYSTEM, read_bounded, replace_durably

FIELDS = ("set", "number", "subject", "team")
MOST_CARDS, MOST_BYTES, LONGEST = 5000, 4 << 20, 400  # of one file; of one text


class UnlistedFiles:
    """One JSON file a lot in a folder: a list of cards, each the texts of FIELDS. Silent where it
    cannot be read or written; a damaged file is as none."""

    def __init__(self, folder: Path, home: Path) -> None:
        """`home` is where the lot at work is kept."""
        name = hashlib.sha256(os.fsencode(home)).hexdigest()[:32]
        self._folder, self._own = folder, folder / f"{name}.json"
        self._kept: list[list[str]] | None = None

    def others(self) -> Iterator[Tags]:
        """The cards of all other lots, those written last at the end."""
        try:
            found = sorted(self._folder.glob("*.json"), key=lambda file: file.stat().st_mtime)
        except OSError:
            return
        for file in found:
            if file != self._own:
                yield from _read(file)

    def keep(self, cards: Callable[[], Iterable[Tags]]) -> None:
        """Write the cards of the lot at work, each once, where they changed."""
        texts = ([getattr(tags, field)[:LONGEST] for field in FIELDS] for tags in cards())
        found = [list(each) for each in dict.fromkeys(map(tuple, texts))][-MOST_CARDS:]
        if found == self._kept or (not found and not os.path.exists(self._own)):
            return
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            replace_durably(SYSTEM, self._own, json.dumps(found).encode("ascii"))
        except (OSError, ValueError):  # what cannot be remembered must not stop the work
            return
        self._kept = found


def _read(file: Path) -> Iterator[Tags]:
    try:
        found = json.loads(read_bounded(file, MOST_BYTES))
    except (OSError, ValueError, RecursionError):
        return
    if not isinstance(found, list):
        return
    for card in filter(_is_card, found[:MOST_CARDS]):
        yield replace(Tags(*card), listed=False)


def _is_card(kept: object) -> bool:
    # the file lies in the user's folder: another hand may have written it
    return isinstance(kept, list) and len(kept) == len(FIELDS) and all(map(_is_text, kept))


def _is_text(value: object) -> bool:
    return isinstance(value, str) and len(value) <= LONGEST
