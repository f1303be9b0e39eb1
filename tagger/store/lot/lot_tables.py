"""A lot in TinyDB's tables: `cards`, a document a card by its identity, `scans`, a document a scan
whose file is known, and `state`, one document for the rest."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Iterator, Mapping, MutableMapping
from typing import TYPE_CHECKING, Any

from tagger.core.lot.lot import LotState
from tagger.core.lot.view import UNTAGGED
from tagger.core.model.arrangement import Arrangement, Pair
from tagger.core.model.scan_ref import ScanStamp
from tagger.core.model.side_order import SideOrder
from tagger.core.model.stock_number import kept_part
from tagger.core.model.tags import Mark, State
from tagger.core.model.trade import NO_PURCHASE
from tagger.errors import MALFORMED
from tagger.store.lot.documents import (
    CARD_FIELDS,
    Document,
    cursor_document,
    mark_document,
    mending_document,
    purchase_document,
    read_cursor,
    read_mark,
    read_mending,
    read_paths,
    read_purchase,
    read_side,
    read_sitting,
    read_stamp_document,
    sitting_document,
    stamp_document,
)
from tagger.store.lot.journal import FORMAT
from tagger.store.lot.memory_tables import LotDatabase, LotTable, Tables

if TYPE_CHECKING:
    from tagger.core.lot.change import Event

_STATE_FIELDS = frozenset(
    {
        "format", "lot", "sides", "order", "next_id", "position", "carried", "stretch",
        "checklists", "saved", "name", "part", "highest", "bought",
        "journal", "mending", "sittings",
    }
)  # fmt: skip


_SIDES = ("front", "back")
_OF_A_MARK = CARD_FIELDS.difference(_SIDES)
_UNTAGGED = {"state": str(State.UNTAGGED)}
_STATES = {str(state): state for state in State}


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
        # scans and fields that are not ours stay in the document
        old = self._cards.raw(id)
        kept = {name: value for name, value in old.items() if name not in _OF_A_MARK}
        self._cards.put(id, {**kept, **mark_document(mark)})
        # what is not remembered is looked for in the document, where an untagged card has no mark
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


class _Stamps(MutableMapping[str, ScanStamp]):
    """What scans were, with a document of the table `scans` for each."""

    def __init__(self, tables: Tables, table: LotTable) -> None:
        self._table = table
        self._ids: dict[str, int] = {}
        self._known: dict[str, ScanStamp] = {}
        # not by the table: it would be made where no scan was ever stamped
        for id, document in tables.get("scans", {}).items():
            # one that is none costs no more than a question that is not asked
            with contextlib.suppress(*MALFORMED):
                scan, stamp = read_stamp_document(document)
                self._ids[scan], self._known[scan] = int(id), stamp
        self._next = max(self._ids.values(), default=0) + 1

    def get(self, scan: str, default: Any = None) -> Any:
        """What a scan was, or the default where nothing is known."""
        return self._known.get(scan, default)

    def __getitem__(self, scan: str) -> ScanStamp:
        return self._known[scan]

    def __setitem__(self, scan: str, stamp: ScanStamp) -> None:
        id = self._ids.get(scan)
        if id is None:
            id = self._ids[scan] = self._next
            self._next += 1
        self._known[scan] = stamp
        self._table.put(id, stamp_document(scan, stamp))

    def __delitem__(self, scan: str) -> None:
        del self._known[scan]
        self._table.take_out(self._ids.pop(scan))

    def __iter__(self) -> Iterator[str]:
        return iter(self._known)

    def __len__(self) -> int:
        return len(self._known)


def old_tables(old: Tables) -> LotTables:
    """A lot of format 1 (see `migration`) as it stands. Raises ValueError, KeyError or TypeError
    where the tables are no lot."""
    meta = {name: value for name, value in old["lot"]["1"].items() if name != "undone"}
    return LotTables({"cards": dict(old.get("cards", {})), "state": {"1": meta}})


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
        documents = dict(self._cards.items())
        self.lot = LotState(
            _arrangement(meta, documents),
            {},
            read_cursor(meta),
            read_paths(meta.get("checklists", ())),
            int(meta.get("next_id", 1)),
            tuple(read_sitting(sitting) for sitting in meta.get("sittings", ())),
            str(meta.get("name", "")),
            kept_part(meta.get("part", "")),
            _highest(meta, documents.values()),
            bought=read_purchase(meta.get("bought", {})),
        )
        self.lot.marks = _Marks(self._cards)
        self.lot.stamps = _Stamps(tables, self.database.table("scans"))
        # from the documents as they are: a mark is read when it is asked for, not at opening
        self.lot.recount(
            (id, _state(document), str(document.get("set", "")))
            for id, document in documents.items()
        )

    def read_each_mark(self) -> None:
        """Raises what the class raises where a mark is none, which is else told when it is asked
        for."""
        for id in self.lot.marks:
            self.lot.mark(id)

    def apply(self, event: Event) -> None:
        """Let what happened take effect, in the lot and in the documents."""
        # live work, replay and migration come by here: what was replayed is what was worked at
        before = self.lot.arrangement
        self.lot.apply(event)
        if self.lot.arrangement is not before:
            self._lay_out()

    def _lay_out(self) -> None:
        """Bring the documents in line with the arrangement: one for each card in it, none for
        others."""
        arrangement = self.lot.arrangement
        for id, _ in self._cards.items():
            if arrangement.position_of(id) is None:
                self._cards.take_out(id)
        for pair in arrangement.pairs:
            # the fields of a mark, and what a later program or another hand has added
            old = self._cards.raw(pair.id)
            kept = {name: value for name, value in old.items() if name not in _SIDES}
            self._cards.put(pair.id, {**_sides(pair), **(kept or _UNTAGGED)})
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
        # a lot that is called like its folder is kept as it was before there were names
        if lot.name:
            document["name"] = lot.name
        if lot.part:
            document["part"] = lot.part
        if lot.highest:
            document["highest"] = lot.highest
        if lot.bought != NO_PURCHASE:
            document["bought"] = purchase_document(lot.bought)
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


def _arrangement(meta: Mapping[str, Any], cards: Mapping[int, Mapping[str, Any]]) -> Arrangement:
    pairs = []
    for said in meta.get("order", ()):
        card = cards.get(int(said), {})
        front, back = read_side(card.get("front")), read_side(card.get("back"))
        pairs.append(Pair(int(said), front, back))
    sides = SideOrder(meta.get("sides", SideOrder.ALTERNATE))
    return Arrangement(sides, tuple(pairs), read_mending(meta.get("mending", {})))


def _state(document: Mapping[str, Any]) -> State:
    said = document.get("state", "untagged")
    # a look-up first: a call of the enumeration takes several times as long
    return _STATES.get(said) or State(said)


def _highest(meta: Mapping[str, Any], cards: Iterable[Mapping[str, Any]]) -> int:
    """The highest running number, also where another hand has put cards into the file."""
    return max([int(meta.get("highest", 0)), *(int(card.get("running", 0)) for card in cards)])


def _sides(pair: Pair) -> Document:
    """The scans of a card, without a field for a side that is missing."""
    sides = zip(_SIDES, pair.sides, strict=True)
    return {name: scan for name, scan in sides if scan is not None}


def _unknown(document: Mapping[str, Any], known: frozenset[str]) -> Document:
    """What a later program or another hand has added to a document; it is kept."""
    return {name: value for name, value in document.items() if name not in known}
