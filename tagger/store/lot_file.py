"""A lot's document, `lot.json`: a TinyDB file with the tables `lot`, `cards` and `changes`.

`cards` has a document a card, its number being the card's identity; `lot` has one document with the order of the cards,
the side order, the position and the carried tags; `changes` is the history that undo goes back in.
"""

from __future__ import annotations

import errno
import time
from collections.abc import Iterator, Mapping, MutableMapping
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from tinydb import TinyDB
from tinydb.table import Document as Stored

from tagger.core.model import Arrangement, Change, Desk, LotState, Mark, Pair, SideOrder, State
from tagger.core.ports import Entry
from tagger.core.session import entered
from tagger.core.text import printable
from tagger.errors import LotError, NotSaved
from tagger.store.documents import (
    CARD_FIELDS,
    Document,
    change_document,
    desk_document,
    mark_document,
    read_change,
    read_desk,
    read_mark,
)
from tagger.store.lock import Lock
from tagger.store.storage import AtomicStorage

FORMAT = 1
FILE = "lot.json"
LOCK = ".lot.lock"


def read_lot(home: Path) -> LotState:
    """The lot kept in a folder, without a lock: for looking only. An empty state where none is kept.

    Raises LotError where the file cannot be read or was made by a newer program.
    """
    path = home / FILE
    shown = printable(str(path))
    try:
        if not path.exists():
            return LotState()
        return _read_state(TinyDB(path, storage=AtomicStorage), shown)
    except OSError as error:
        raise LotError(f"{shown} cannot be read: {error.strerror}.") from None
    except (ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError) as error:
        raise LotError(
            f"{shown} is damaged ({printable(str(error), 120)}); it was left as it is. Put back a copy to go on."
        ) from None


def _read_state(database: TinyDB, shown: str) -> LotState:
    meta: Any = database.table("lot").get(doc_id=1)
    if meta is None:
        if database.tables():
            raise ValueError("it is no lot")
        return LotState()
    if int(meta["format"]) > FORMAT:
        raise LotError(
            f"{shown} was made by a newer tagger (format {int(meta['format'])}); update this one to open it."
        )
    cards = {card.doc_id: card for card in database.table("cards").all()}
    pairs = tuple(Pair(int(id), cards[int(id)].get("front"), cards[int(id)].get("back")) for id in meta["order"])
    marks = {id: read_mark(card) for id, card in cards.items() if card.get("state", State.UNTAGGED) != State.UNTAGGED}
    changes = sorted(database.table("changes").all(), key=lambda change: change.doc_id)
    return LotState(
        Arrangement(SideOrder(meta["sides"]), pairs),
        marks,
        read_desk(meta),
        tuple(read_change(change) for change in changes),
        int(meta.get("undone", 0)),
        tuple(str(path) for path in meta.get("checklists", ())),
        int(meta["next_id"]),
    )


class LotFile:
    """Keeps one lot in `home`; the only writer there while it lives. `name` is the lot's, for messages.

    Raises LockedError where another program holds the lot, LotError where the folder or the file is no use.
    """

    def __init__(self, home: Path, name: str) -> None:
        self._path = home / FILE
        self._name = name
        try:
            self._lock = Lock(home / LOCK, f"The lot {name}")
        except OSError as error:
            raise LotError(
                f"The folder {printable(str(home))} cannot be written to ({error.strerror}); "
                "name another place for the tags with --state DIR."
            ) from None
        try:
            self._state = read_lot(home)
        except BaseException:
            self._lock.release()
            raise
        self._storage = AtomicStorage(self._path)
        self._database = TinyDB(self._path, storage=lambda *_: self._storage)
        self._moved = False

    def load(self) -> LotState:
        """The lot as last kept."""
        return self._state

    def enter(self, entry: Entry, change: Change) -> None:
        """Keep one change; see LotStore. On disk when this returns."""
        dropped = self._state.undone if entry is Entry.DO else 0
        state = entered(self._state, entry, change)
        with self._saving():
            if change.arrangement is not None:
                self._put_cards(state)
            else:
                self._put_marks([marking.id for marking in change.marks], state)
            changes = self._database.table("changes")
            changes.clear_cache()
            if dropped:
                first = len(self._state.history) - dropped + 1
                changes.remove(doc_ids=list(range(first, first + dropped)))
            if entry is Entry.DO:
                changes.insert(Stored(change_document(change), doc_id=len(state.history)))
            self._put_lot(state)
        self._state = state

    def intake(self, arrangement: Arrangement, next_id: int) -> None:
        """Keep an arrangement that follows from the folder."""
        state = replace(self._state, arrangement=arrangement, next_id=next_id)
        with self._saving():
            self._put_cards(state)
            self._put_lot(state)
        self._state = state

    def remember(self, checklists: tuple[str, ...]) -> None:
        """Keep which checklist files belong to the lot."""
        state = replace(self._state, checklists=checklists)
        with self._saving():
            self._put_lot(state)
        self._state = state

    def stand(self, desk: Desk) -> None:
        """Note where the dealer stands; on disk with the next change or at `close`."""
        self._state = replace(self._state, desk=desk)
        self._moved = True

    def close(self) -> None:
        """Keep the position and let go of the lot. Raises NotSaved; the lock is released all the same."""
        try:
            if self._moved:
                with self._saving():
                    self._put_lot(self._state)
        finally:
            self._lock.release()

    @contextmanager
    def _saving(self) -> Iterator[None]:
        try:
            with self._storage.together():
                yield
        except OSError as error:
            raise NotSaved(_why_not(error, self._path.parent)) from None
        self._moved = False

    def _put_marks(self, ids: list[int], state: LotState) -> None:
        sides = {pair.id: pair for pair in state.arrangement.pairs}
        cards = self._database.table("cards")
        cards.clear_cache()
        for id in ids:
            if id in sides:
                cards.update(partial(_rewrite, sides[id], state.marks.get(id)), doc_ids=[id])

    def _put_cards(self, state: LotState) -> None:
        cards = self._database.table("cards")
        cards.clear_cache()
        old = {card.doc_id: card for card in cards.all()}
        cards.truncate()
        cards.insert_multiple(
            Stored(_card_document(pair, state.marks.get(pair.id), old.get(pair.id)), doc_id=pair.id)
            for pair in state.arrangement.pairs
        )

    def _put_lot(self, state: LotState) -> None:
        lot = self._database.table("lot")
        lot.clear_cache()
        document: Document = {
            "format": FORMAT,
            "lot": self._name,
            "sides": str(state.arrangement.sides),
            "order": [pair.id for pair in state.arrangement.pairs],
            "next_id": state.next_id,
            "undone": state.undone,
            "checklists": list(state.checklists),
            "saved": int(time.time()),
            **desk_document(state.desk),
        }
        lot.upsert(Stored(document, doc_id=1))


def _rewrite(pair: Pair, mark: Mark | None, document: MutableMapping[str, Any]) -> None:
    """Put a card's document into its new form, in place."""
    fresh = _card_document(pair, mark, document)
    document.clear()
    document.update(fresh)


def _card_document(pair: Pair, mark: Mark | None, old: Mapping[str, Any] | None) -> Document:
    document = {name: value for name, value in (old or {}).items() if name not in CARD_FIELDS}
    document |= {name: value for name, value in (("front", pair.front), ("back", pair.back)) if value is not None}
    return document | mark_document(mark or Mark())


def _why_not(error: OSError, home: Path) -> str:
    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return "Not saved: the disk is full. The card is unchanged; free some space and press Enter again."
    if not home.is_dir():
        return (
            f"Not saved: the folder {printable(str(home))} is gone. "
            "The card is unchanged; bring it back and press Enter again."
        )
    return f"Not saved: {error.strerror or 'the disk refused'}. The card is unchanged; press Enter to try again."
