"""A lot in TinyDB's tables: `cards`, a document a card by its identity, and `state`, one document
for the rest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, MutableMapping
from typing import Any

from tagger.core.lot.change import Event
from tagger.core.lot.lot import LotState
from tagger.core.lot.view import UNTAGGED
from tagger.core.model.arrangement import Arrangement, Pair, SideOrder
from tagger.core.model.tags import Mark, State
from tagger.store.lot.documents import (
    CARD_FIELDS,
    Document,
    cursor_document,
    mark_document,
    mending_document,
    read_cursor,
    read_mark,
    read_mending,
    read_sitting,
    sitting_document,
)
from tagger.store.lot.journal import FORMAT
from tagger.store.lot.memory_tables import LotDatabase, LotTable, Tables

_STATE_FIELDS = frozenset(
    {
        "format", "lot", "sides", "order", "next_id", "position", "carried", "stretch",
        "checklists", "saved",
        "journal", "mending", "sittings",
    }
)  # fmt: skip


_OF_A_MARK = CARD_FIELDS - {"front", "back"}


class _Marks(MutableMapping[int, Mark]):
    """Marks as they lie in the documents, read when they are asked for."""

    def __init__(self, cards: LotTable) -> None:
        self._cards = cards
        self._read: dict[int, Mark] = {}

    def get(self, id: int, default: Any = None) -> Any:
        """A card's mark, or the default where it is untagged."""
        # each key asks for up to eighty marks: what was read once is one look-up away
        return self._read.get(id) or self._fetched(id) or default

    def __getitem__(self, id: int) -> Mark:
        mark = self._read.get(id) or self._fetched(id)
        if mark is None:
            raise KeyError(id)
        return mark

    def _fetched(self, id: int) -> Mark | None:
        document = self._cards.raw(id)
        if document.get("state", State.UNTAGGED) == State.UNTAGGED:
            return None
        mark = self._read[id] = read_mark(document)
        return mark

    def __setitem__(self, id: int, mark: Mark) -> None:
        old = self._cards.raw(id)
        kept = {name: value for name, value in old.items() if name not in _OF_A_MARK}
        self._cards.put(id, {**kept, **mark_document(mark)})
        if mark.state is State.UNTAGGED:
            self._read.pop(id, None)
        else:
            self._read[id] = mark

    def __delitem__(self, id: int) -> None:
        self[id] = UNTAGGED

    def __iter__(self) -> Iterator[int]:
        return (
            id
            for id, doc in self._cards.items()
            if doc.get("state", State.UNTAGGED) != State.UNTAGGED
        )

    def __len__(self) -> int:
        return sum(1 for _ in self)


class LotTables:
    """A lot whose marks live in the documents of `tables`.

    Raises ValueError, KeyError, TypeError or AttributeError where the tables are no lot.
    """

    def __init__(self, tables: Tables) -> None:
        self.tables = tables
        self.database = LotDatabase(tables)
        self._cards = self.database.table("cards")
        self._state = self.database.table("state")
        meta = self._state.raw(1)
        cards = self._cards
        documents, none = dict(cards.items()), dict[str, Any]()
        found = ((int(id), documents.get(int(id), none)) for id in meta.get("order", ()))
        pairs = tuple(Pair(id, card.get("front"), card.get("back")) for id, card in found)
        self.lot = LotState(
            Arrangement(
                SideOrder(meta.get("sides", SideOrder.ALTERNATE)),
                pairs,
                read_mending(meta.get("mending", {})),
            ),
            {},
            read_cursor(meta),
            tuple(str(path) for path in meta.get("checklists", ())),
            int(meta.get("next_id", 1)),
            tuple(read_sitting(sitting) for sitting in meta.get("sittings", ())),
        )
        self.lot.marks = _Marks(cards)
        states = {str(state): state for state in State}
        self.lot.recount(
            (
                id,
                states.get(said := doc.get("state", "untagged")) or State(said),
                str(doc.get("set", "")),
            )
            for id, doc in documents.items()
        )

    def apply(self, event: Event) -> None:
        """Let what happened take effect, in the lot and in the documents."""
        before = self.lot.arrangement
        self.lot.apply(event)
        if self.lot.arrangement is not before:
            self._lay_out()

    def _lay_out(self) -> None:
        """Bring the documents in line with the arrangement: one for each card in it, none for
        others."""
        pairs = {pair.id: pair for pair in self.lot.arrangement.pairs}
        for id in [id for id, _ in self._cards.items() if id not in pairs]:
            self._cards.take_out(id)
        for id, pair in pairs.items():
            old = self._cards.raw(id)
            sides = {
                name: side
                for name, side in (("front", pair.front), ("back", pair.back))
                if side is not None
            }
            kept = {name: value for name, value in old.items() if name not in ("front", "back")}
            self._cards.put(id, {**sides, **(kept or {"state": str(State.UNTAGGED)})})
        self.lot.marks = _Marks(self._cards)  # nothing is remembered of cards that are gone

    def write_state(self, name: str, journal: Mapping[str, Any], saved: int) -> None:
        """Bring the state document up to date. `saved` is in seconds since 1970."""
        lot = self.lot
        document: Document = {
            **_unknown(self._state.raw(1), _STATE_FIELDS),
            "format": FORMAT,
            "lot": name,
            "sides": str(lot.arrangement.sides),
            "order": [pair.id for pair in lot.arrangement.pairs],
            "next_id": lot.next_id,
            "checklists": list(lot.checklists),
            "saved": saved,
            **cursor_document(lot.cursor),
            "journal": dict(journal),
        }
        if mending := mending_document(lot.arrangement.mending):
            document["mending"] = mending
        if lot.sittings:
            document["sittings"] = [sitting_document(sitting) for sitting in lot.sittings]
        self._state.put(1, document)

    def whole(self, name: str) -> Tables:
        """The tables with the state document brought up to date, bound to no place in a journal."""
        self.write_state(name, {}, 0)
        return self.snapshot()

    def snapshot(self) -> Tables:
        """The tables as they are now, safe to write out meanwhile: a document is replaced, never
        changed."""
        return {name: dict(table) for name, table in self.tables.items()}


def _unknown(document: Mapping[str, Any], known: frozenset[str]) -> Document:
    """What a later program or another hand has added to a document; it is kept."""
    return {name: value for name, value in document.items() if name not in known}
