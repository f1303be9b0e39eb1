"""The cards of one lot as they are kept for recognition: which they are, and a signature of each.

A sealed file a lot: its head is the lot and its cards, a column a field; its body the signatures,
LOOK_BYTES a card, so that those of all lots are searched without their names being looked at."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import Any

from tagger.core.audit.signature import LOOK_BYTES, CardSides, KnownCard
from tagger.errors import MALFORMED
from tagger.store.caches.sealed import keep_sealed, read_sealed

# the number changes with what a signature is, so that none of an older program is used
MARK = b"tagger looks 2"
_SIDES, _TEXTS = ("front", "back"), ("set", "number", "subject", "team")


@dataclass(frozen=True)
class SignatureFile:
    """A file as it was read: its checksum, the lot's folder and name, a column for each field, and
    the signatures. A row is a card."""

    checksum: int
    folder: str
    name: str
    columns: Sequence[Sequence[Any]]
    looks: bytes

    @property
    def rows(self) -> range:
        """The rows that there are."""
        return range(len(self.looks) // LOOK_BYTES)

    def card(self, row: int) -> KnownCard | None:
        """The card of a row, None where there is no such row."""
        if row not in self.rows:
            return None
        front, back, set_name, number, subject, team = (column[row] for column in self.columns)
        look = self.looks[row * LOOK_BYTES : (row + 1) * LOOK_BYTES]
        sides = CardSides(self.folder, front, back)
        return KnownCard(sides, self.name, set_name, number, subject, team, look)

    @staticmethod
    def empty(folder: str) -> SignatureFile:
        """What stands for the file of a lot of which nothing is kept: no checksum is below zero."""
        return SignatureFile(-1, folder, "", (), b"")


def keep_signatures(path: Path, cards: Sequence[KnownCard]) -> bool:
    """Write the cards of one lot, of which there are some; whether that was possible."""
    about = {
        "folder": cards[0].scans.folder,
        "lot": cards[-1].lot,  # the card remembered last has the name that the lot goes by now
        **{side: [getattr(card.scans, side) for card in cards] for side in _SIDES},
        **{name: [getattr(card, name) for card in cards] for name in _TEXTS},
    }
    return keep_sealed(path, MARK, about, [card.look for card in cards])


def read_signatures(path: Path) -> SignatureFile | None:
    """What is in a file; None where there is none, or none that is whole."""
    sealed = read_sealed(path, MARK)
    if sealed is None:
        return None
    try:
        about = sealed.head
        columns = [about[name] for name in (*_SIDES, *_TEXTS)]
        file = SignatureFile(
            sealed.checksum, about["folder"], about["lot"], columns, bytes(sealed.body)
        )
        os.fsencode(file.folder)  # a name that no folder can have is damage too
    except MALFORMED:
        return None
    return file if _even(file) and _has_texts(file) else None


def _has_texts(file: SignatureFile) -> bool:
    """Whether all that may be shown is text, but for sides that are missing."""
    # A checksum tells damage, not another hand: what is no text must not reach the desk as one.
    sides, texts = file.columns[: len(_SIDES)], file.columns[len(_SIDES) :]
    named = chain([file.folder, file.name], *texts)
    shown = (side for side in chain(*sides) if side is not None)
    return _are_texts(chain(named, shown))


def _even(file: SignatureFile) -> bool:
    """Whether each column has a value for each signature."""
    return all(
        isinstance(column, list) and len(column) * LOOK_BYTES == len(file.looks)
        for column in file.columns
    )


def _are_texts(values: Any) -> bool:
    return all(isinstance(value, str) for value in values)
