"""What was tagged on this machine and how it looks, over all lots, so that another copy is known
when it comes again.

A sealed file a lot, in a folder of their own: its head is the lot and its cards, a column a field;
its body the looks, LOOK_BYTES a card. Only the lots at work are held in memory. All of it follows
from the lots and the measurements of their scans, and is safe to delete."""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import Any, NamedTuple

from tagger.core.audit.signature import LOOK_BYTES, CardSides, KnownCard
from tagger.store.caches.sealed import evict, keep_sealed, newest, read_sealed

# the number changes with what a look is, so that none of an older program is used
MARK = b"tagger looks 2"
MOST_LOTS, MOST_BYTES = 4000, 64_000_000  # those written longest ago go first
_ROWS = 1 << 32  # a card's key: the number of its lot times this, and its row
_COLUMNS = ("front", "back", "set", "number", "subject", "team")

Sides = tuple[str | None, str | None]


class _File(NamedTuple):
    """A file as it was read: its checksum, the lot's folder and name, the columns and the looks."""

    checksum: int
    folder: str
    name: str
    columns: Sequence[Sequence[Any]]
    looks: bytes


@dataclass
class _Lot:
    """A lot that is known in this sitting. `cards` by their rows are there while it is at work;
    before that only the checksum of the file that the rows are counted in."""

    number: int
    folder: str
    checksum: int
    cards: dict[int, KnownCard] | None = None
    rows: dict[Sides, int] | None = None
    next_row: int = 0
    changed: bool = False


class SignatureStore:
    """The cards that were tagged, by a key that holds for this sitting. Of one thread at a time,
    never the screen's: reading takes its time. Nothing is raised; without it, cards are only not
    known again."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._lots: list[_Lot] = []
        self._by_folder: dict[str, _Lot] = {}

    def load(self) -> tuple[list[int], bytes]:
        """The keys of all cards known, and their looks one after another. Lots whose folder is not
        there are left out: it may be on a disk that comes back."""
        keys: list[int] = []
        looks: list[bytes] = []
        for path in newest(self._folder, MOST_LOTS, MOST_BYTES):
            read = _read(path)
            if read is None or path != self._path(read.folder) or not os.path.isdir(read.folder):
                continue
            lot = self._by_folder.get(read.folder)
            if lot is None or (lot.cards is None and lot.checksum != read.checksum):
                lot = self._new(read.folder, read.checksum)
            if lot.cards is None:
                keys += range(
                    lot.number * _ROWS, lot.number * _ROWS + len(read.looks) // LOOK_BYTES
                )
                looks.append(read.looks)
        for lot in self._lots:
            for row, card in (lot.cards or {}).items():
                keys.append(lot.number * _ROWS + row)
                looks.append(card.look)
        return keys, b"".join(looks)

    def card(self, key: int) -> KnownCard | None:
        """The card of a key; None where it was forgotten or its lot was written anew by another
        sitting."""
        number, row = divmod(key, _ROWS)
        if not 0 <= number < len(self._lots):
            return None
        lot = self._lots[number]
        if lot.cards is not None:
            return lot.cards.get(row)
        read = _read(self._path(lot.folder))
        return _card(read, row) if read is not None and read.checksum == lot.checksum else None

    def remember(self, cards: Iterable[KnownCard]) -> list[int]:
        """Know these cards from now on, on disk after `keep`; their keys. A card whose scans are
        known keeps its key and is known as what it is now. Raises ValueError for a look of another
        length."""
        keys = []
        for card in cards:
            if len(card.look) != LOOK_BYTES:
                raise ValueError(f"a look is {LOOK_BYTES} bytes, not {len(card.look)}")
            lot, known, rows = self._at_work(card.scans.folder)
            row = rows.setdefault((card.scans.front, card.scans.back), lot.next_row)
            lot.next_row = max(lot.next_row, row + 1)
            lot.changed |= known.get(row) != card
            known[row] = card
            keys.append(lot.number * _ROWS + row)
        return keys

    def forget(self, scans: Iterable[CardSides]) -> list[int]:
        """Know these cards no more, on disk after `keep`; the keys that they had."""
        keys = []
        for folder, front, back in scans:
            lot, known, rows = self._at_work(folder)
            row = rows.pop((front, back), None)
            if row is not None:
                del known[row]
                lot.changed = True
                keys.append(lot.number * _ROWS + row)
        return keys

    def forget_lot(self, folder: str) -> list[int]:
        """Know nothing of a lot any more, on disk after `keep`; the keys that its cards had."""
        _, known, _ = self._at_work(folder)
        return self.forget([card.scans for card in known.values()])

    def keep(self) -> None:
        """Write what changed; the file of a lot is replaced as a whole."""
        for lot in self._lots:
            if not lot.changed or lot.cards is None:
                continue
            cards, path = tuple(lot.cards.values()), self._path(lot.folder)
            if cards:
                lot.changed = not _keep(path, cards)
                continue
            with contextlib.suppress(OSError):
                path.unlink(missing_ok=True)
                lot.changed = False

    def _path(self, folder: str) -> Path:
        return self._folder / f"{hashlib.sha256(os.fsencode(folder)).hexdigest()[:32]}.looks"

    def _new(self, folder: str, checksum: int) -> _Lot:
        lot = _Lot(len(self._lots), folder, checksum)
        self._lots.append(lot)
        self._by_folder[folder] = lot
        return lot

    def _at_work(self, folder: str) -> tuple[_Lot, dict[int, KnownCard], dict[Sides, int]]:
        """A lot with its cards, and their rows by their scans."""
        lot = self._by_folder.get(folder)
        if lot is None or lot.cards is None or lot.rows is None:
            read = _read(self._path(folder))
            if read is not None and read.folder != folder:
                read = None
            checksum = -1 if read is None else read.checksum
            if lot is None or lot.checksum != checksum:  # what was known of it counted other rows
                lot = self._new(folder, checksum)
            count = 0 if read is None else len(read.looks) // LOOK_BYTES
            lot.cards = {row: card for row in range(count) if read and (card := _card(read, row))}
            lot.rows = {(card.scans.front, card.scans.back): row for row, card in lot.cards.items()}
            lot.next_row = count
        return lot, lot.cards, lot.rows


def _card(read: _File, row: int) -> KnownCard | None:
    if row * LOOK_BYTES >= len(read.looks):
        return None
    front, back, set_name, number, subject, team = (column[row] for column in read.columns)
    look = read.looks[row * LOOK_BYTES : (row + 1) * LOOK_BYTES]
    return KnownCard(
        CardSides(read.folder, front, back), read.name, set_name, number, subject, team, look
    )


def _keep(path: Path, cards: Sequence[KnownCard]) -> bool:
    fronts, backs = [card.scans.front for card in cards], [card.scans.back for card in cards]
    texts = [[getattr(card, name) for card in cards] for name in _COLUMNS[2:]]
    about = {
        "folder": cards[0].scans.folder,
        "lot": cards[-1].lot,
        **dict(zip(_COLUMNS, [fronts, backs, *texts], strict=True)),
    }
    if not keep_sealed(path, MARK, about, [card.look for card in cards]):
        return False
    evict(path.parent, MOST_LOTS, MOST_BYTES)
    return True


def _read(path: Path) -> _File | None:
    """What is in a file; None where there is none, or none that is whole."""
    sealed = read_sealed(path, MARK)
    if sealed is None:
        return None
    try:
        about = sealed.head
        folder, name = about["folder"], about["lot"]
        columns = [about[column] for column in _COLUMNS]
        os.fsencode(folder)  # a name that no folder can have is damage too
    except (ValueError, KeyError, TypeError):
        return None
    # a checksum tells damage, not another hand: what is no text must not reach the desk as one
    even = all(
        isinstance(column, list) and len(column) * LOOK_BYTES == len(sealed.body)
        for column in columns
    )
    if not even:
        return None
    sides, texts = chain(*columns[:2]), chain([folder, name], *columns[2:])
    if not (
        all(isinstance(text, str) for text in texts)
        and all(side is None or isinstance(side, str) for side in sides)
    ):
        return None
    return _File(sealed.checksum, folder, name, columns, bytes(sealed.body))
