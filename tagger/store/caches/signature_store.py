"""What was tagged on this machine and how it looks, over all lots, so that another copy is known
when it comes again.

A file a lot, in a folder of their own. Only the lots at work are held in memory. All of it follows
from the lots and the measurements of their scans, and is safe to delete."""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from tagger.core.audit.signature import LOOK_BYTES, CardSides, KnownCard
from tagger.store.caches.sealed import evict, newest
from tagger.store.caches.signature_file import SignatureFile, keep_signatures, read_signatures

MOST_LOTS, MOST_BYTES = 4000, 64_000_000  # those written longest ago go first
_ROWS = 1 << 32  # a card's key: the number of its lot times this, and its row

Sides = tuple[str | None, str | None]


@dataclass
class _Work:
    """The cards of a lot at work, by their rows, and their rows by their scans. A row is never
    given again: a key that was handed out must not come to mean another card."""

    cards: dict[int, KnownCard] = field(default_factory=dict)
    rows: dict[Sides, int] = field(default_factory=dict)
    next_row: int = 0
    changed: bool = False

    @staticmethod
    def of(file: SignatureFile) -> _Work:
        """What a file holds, to be gone on with."""
        work = _Work(next_row=len(file.rows))
        for row in file.rows:
            if (card := file.card(row)) is not None:
                work.cards[row] = card
                work.rows[card.scans.front, card.scans.back] = row
        return work

    def remember(self, card: KnownCard) -> int:
        """Take in a card or what it is now, and give its row."""
        row = self.rows.setdefault((card.scans.front, card.scans.back), self.next_row)
        self.next_row = max(self.next_row, row + 1)
        self.changed |= self.cards.get(row) != card
        self.cards[row] = card
        return row

    def forget(self, front: str | None, back: str | None) -> int | None:
        """Let a card go, and give the row that it had; None where it is not known."""
        row = self.rows.pop((front, back), None)
        if row is not None:
            del self.cards[row]
            self.changed = True
        return row


@dataclass
class _Lot:
    """A lot that is known in this sitting: with its cards while it is at work, before that only by
    the checksum of the file that its rows are counted in."""

    number: int
    folder: str
    checksum: int
    work: _Work | None = None

    def key(self, row: int) -> int:
        """The key of a card."""
        # One whole number: the desk hands it about and the index holds it, and neither knows lots.
        return self.number * _ROWS + row


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
        for file in self._files():
            lot = self._lot_of(file)
            if lot.work is None:
                keys += map(lot.key, file.rows)
                looks.append(file.looks)
        for lot in self._lots:
            if lot.work is not None:
                keys += map(lot.key, lot.work.cards)
                looks += (card.look for card in lot.work.cards.values())
        return keys, b"".join(looks)

    def card(self, key: int) -> KnownCard | None:
        """The card of a key; None where it was forgotten or its lot was written anew by another
        sitting."""
        number, row = divmod(key, _ROWS)
        if not 0 <= number < len(self._lots):
            return None
        lot = self._lots[number]
        if lot.work is not None:
            return lot.work.cards.get(row)
        file = self._file_of(lot.folder)
        if file.checksum != lot.checksum:  # its rows are counted otherwise
            return None
        return file.card(row)

    def remember(self, cards: Iterable[KnownCard]) -> list[int]:
        """Know these cards from now on, on disk after `keep`; their keys. A card whose scans are
        known keeps its key and is known as what it is now. Raises ValueError for a look of another
        length."""
        keys = []
        for card in cards:
            if len(card.look) != LOOK_BYTES:
                raise ValueError(f"a look is {LOOK_BYTES} bytes, not {len(card.look)}")
            lot, work = self._at_work(card.scans.folder)
            keys.append(lot.key(work.remember(card)))
        return keys

    def forget(self, scans: Iterable[CardSides]) -> list[int]:
        """Know these cards no more, on disk after `keep`; the keys that they had."""
        keys = []
        for folder, front, back in scans:
            lot, work = self._at_work(folder)
            row = work.forget(front, back)
            if row is not None:
                keys.append(lot.key(row))
        return keys

    def forget_lot(self, folder: str) -> list[int]:
        """Know nothing of a lot any more, on disk after `keep`; the keys that its cards had."""
        _, work = self._at_work(folder)
        return self.forget([card.scans for card in work.cards.values()])

    def keep(self) -> None:
        """Write what changed; the file of a lot is replaced as a whole."""
        for lot in self._lots:
            if lot.work is not None and lot.work.changed:
                cards = tuple(lot.work.cards.values())
                lot.work.changed = not self._write(self._path(lot.folder), cards)

    def _write(self, path: Path, cards: tuple[KnownCard, ...]) -> bool:
        # A lot of which nothing is known any more has no file, and so takes no one's place.
        if cards:
            kept = keep_signatures(path, cards)
            evict(self._folder, MOST_LOTS, MOST_BYTES)
            return kept
        with contextlib.suppress(OSError):
            path.unlink(missing_ok=True)
            return True
        return False

    def _path(self, folder: str) -> Path:
        return self._folder / f"{hashlib.sha256(os.fsencode(folder)).hexdigest()[:32]}.looks"

    def _files(self) -> Iterator[SignatureFile]:
        """What is kept of lots whose folder is there. A copy under another name counts for
        nothing: its cards would be known twice."""
        for path in newest(self._folder, MOST_LOTS, MOST_BYTES):
            file = read_signatures(path)
            if file is not None and path == self._path(file.folder) and os.path.isdir(file.folder):
                yield file

    def _file_of(self, folder: str) -> SignatureFile:
        file = read_signatures(self._path(folder))
        # Another hand may have put the file of another lot under this name.
        if file is None or file.folder != folder:
            return SignatureFile.empty(folder)
        return file

    def _lot_of(self, file: SignatureFile) -> _Lot:
        """The lot of a file. Where another sitting wrote the file anew, it is another lot with keys
        of its own: those handed out before counted other rows."""
        lot = self._by_folder.get(file.folder)
        # Of a lot at work what is in memory counts, whatever another sitting wrote.
        if lot is None or (lot.work is None and lot.checksum != file.checksum):
            lot = _Lot(len(self._lots), file.folder, file.checksum)
            self._lots.append(lot)
            self._by_folder[file.folder] = lot
        return lot

    def _at_work(self, folder: str) -> tuple[_Lot, _Work]:
        """A lot with its cards, which are read when they are asked for first."""
        lot = self._by_folder.get(folder)
        if lot is not None and lot.work is not None:
            return lot, lot.work
        file = self._file_of(folder)
        lot = self._lot_of(file)
        lot.work = _Work.of(file)
        return lot, lot.work
