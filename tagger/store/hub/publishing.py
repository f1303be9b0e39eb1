"""Lots to the hub, each in one transaction: only what changed in its journal since, or the whole
lot where its cards may be others."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.cells import plain
from tagger.core.lot.fields import cards
from tagger.core.model.text import printable
from tagger.errors import HubError, LotError
from tagger.store.files import SYSTEM
from tagger.store.hub.card_documents import Columns, as_tagged
from tagger.store.hub.card_rows import CardRow, in_place, rows, some_cards
from tagger.store.hub.journal_place import (
    Happened,
    JournalPlace,
    happened,
    journal_bytes,
    journal_place,
    tail_of,
)
from tagger.store.lot.recovery import recover
from tagger.store.lot.troubles import note_trouble, trouble_of

if TYPE_CHECKING:
    from tagger.core.lot.view import LotView
    from tagger.store.hub.connection import Connection
    from tagger.store.hub.stations import StationId
    from tagger.store.lot.recovery import Recovered

AS_TAGGED = ""  # the prices are those of the lists when the cards were tagged
NOWHERE = -1  # a place in the journal of a lot that has no card at the hub yet


@dataclass(frozen=True)
class LotToPublish:
    """A lot by where it is kept and its name. `prices` says what the prices of its checklists come
    from now, None for what the hub has them from; `columns` gives those of a lot."""

    home: Path
    name: str
    prices: str | None = None
    columns: Callable[[LotView], Columns] = lambda view: as_tagged


class AtHub(NamedTuple):
    """A lot as far as the hub has it: its station, the place in its journal, where its prices come
    from, and its name."""

    station: str
    at_byte: int
    tail: str
    prices: str
    name: str

    def is_now(self, lot: LotToPublish, place: JournalPlace) -> bool:
        """Whether nothing of the lot is new."""
        said = (self.at_byte, self.tail, self.prices, self.name)
        return said == (place.size, place.tail, self.priced(lot), plain(lot.name))

    def priced(self, lot: LotToPublish) -> str:
        """What the prices come from once the lot is published."""
        return self.prices if lot.prices is None else lot.prices


class PublishedLot(NamedTuple):
    """What was published of a lot: so many cards, and whether that was the whole lot."""

    cards: int
    whole: bool


_AT_HUB = "SELECT id, station, at_byte, tail, lists, state ->> 'name' FROM tagger.lot"
# In one statement, for the way to the hub is what takes long: cards that changed, sales that are
# over since their card is in its place again, and the lot itself. All of it only where the lot is
# still at the place from which it was read on.
_LOT = """
    WITH held AS (
        SELECT id FROM tagger.lot
        WHERE id = %(lot)s AND station = %(station)s AND at_byte = %(was)s AND tail = %(was_tail)s
        FOR UPDATE
    ), put AS (
        INSERT INTO tagger.card (lot, id, doc, rest)
        SELECT held.id, new.id, new.doc, new.rest FROM held,
            unnest(%(ids)s::integer[], %(docs)s::text[]::jsonb[], %(rests)s::text[]::jsonb[])
                AS new (id, doc, rest)
        ON CONFLICT (lot, id) DO UPDATE SET doc = excluded.doc, rest = excluded.rest
    ), over AS (
        UPDATE tagger.asked SET state = 'over', answered = now() FROM held
        WHERE asked.lot = held.id AND asked.state = 'done' AND asked.card = ANY(%(there)s)
    )
    UPDATE tagger.lot SET n = %(n)s, at_byte = %(at_byte)s, tail = %(tail)s, lists = %(lists)s,
        cards = %(cards)s, state = %(state)s, published = now(),
        mark = CASE WHEN %(changed)s THEN gen_random_uuid() ELSE mark END
    FROM held WHERE lot.id = held.id
"""


def all_said(line: Connection, station: StationId) -> None:
    """Say that the hub has all of a station as it is now."""
    line.execute("UPDATE tagger.station SET said = now() WHERE id = %s", (station.id,))


def lots_at_hub(line: Connection, ids: Iterable[str]) -> dict[str, AtHub]:
    """Some lots as far as the hub has them, by their identities."""
    rows = line.execute(f"{_AT_HUB} WHERE id = ANY(%s)", (list(ids),))
    return {str(row[0]): AtHub(*row[1:]) for row in rows}


def publish_lot(
    line: Connection, station: StationId, lot: LotToPublish, known: AtHub | None = None
) -> PublishedLot:
    """Bring the hub up to date with a lot, in one transaction; `known` is what the hub had of it a
    moment ago. Raises HubError where the lot is another station's, LotError where it cannot be
    read."""
    id = journal_place(lot.home).id
    if not id:
        raise LotError(f"The lot {lot.name} was not published: open it once, then publish again.")
    if known is not None and known.station == station.id and known.at_byte != NOWHERE:
        done = _published(line, station, id, lot, known, alone=True)
        if done is not None:
            return done
    with line.transaction():
        known = _held(line, station, id)
        if known.station != station.id:
            raise HubError(copied(lot))
        # Read once it is held: who publishes the same lot beside us then waits, and what is written
        # last is what was read last.
        done = _published(line, station, id, lot, known, alone=False)
        assert done is not None
        return done


def kept_lot(home: Path) -> Recovered:
    """What a lot is, with how far its journal goes. What is wrong with it is told at the end of the
    command. Nothing is written. Raises LotError."""
    try:
        found = recover(SYSTEM, home)
    except OSError as error:
        shown = printable(str(error.filename or home))
        raise LotError(f"{shown} cannot be read: {error.strerror}.") from None
    note_trouble(home, trouble_of(found))
    return found


def copied(lot: LotToPublish) -> str:
    """Why a lot that another station owns is not published."""
    return (
        f"The lot {lot.name} belongs to another station: this folder is a copy of its lot. If it "
        "is another lot by now: tagger lots --new-identity FOLDER."
    )


def _held(line: Connection, station: StationId, id: str) -> AtHub:
    """A lot as the hub has it, held until the transaction ends."""
    held = f"{_AT_HUB} WHERE id = %s FOR UPDATE"
    row = line.execute(held, (id,)).fetchone()
    if row is None:
        line.execute(
            "INSERT INTO tagger.lot (id, station, n, at_byte, tail, cards, state) "
            "VALUES (%s, %s, 0, %s, '', 0, '{}') ON CONFLICT (id) DO NOTHING",
            (id, station.id, NOWHERE),
        )
        row = line.execute(held, (id,)).fetchone()
    assert row is not None
    return AtHub(*row[1:])


def _readable(lot: LotToPublish, id: str) -> Recovered:
    found = kept_lot(lot.home)
    if found.id != id or found.trouble or found.edited:
        why = found.trouble or trouble_of(found) or "it was replaced just now"
        raise LotError(f"The lot {lot.name} was not published: {why}.")
    return found


def _published(
    line: Connection, station: StationId, id: str, lot: LotToPublish, known: AtHub, alone: bool
) -> PublishedLot | None:
    """What was published of a lot that the hub has as it is `known`; None where it has it otherwise
    by now, and, with `alone`, where one statement cannot do it."""
    found = _readable(lot, id)
    data = journal_bytes(lot.home, found.end)
    news = _news(data, lot, known)
    if news.whole and alone:
        return None
    view, prices = found.kept.lot, known.priced(lot)
    columns = as_tagged if prices == AS_TAGGED else lot.columns(view)
    some: list[CardRow] = []
    if news.whole:
        count = _put_all(line, id, view, columns, fresh=known.at_byte == NOWHERE)
    else:
        some = list(rows(some_cards(view, news.cards), columns))
        count = len(some)
    changed = news.whole or bool(some) or known.name != plain(lot.name)
    given = {
        "lot": id, "station": station.id, "was": known.at_byte, "was_tail": known.tail,
        "n": found.number, "at_byte": found.end, "tail": tail_of(data), "lists": prices,
        "cards": view.cards, "state": json.dumps(_state(view, lot.name)), "changed": changed,
        "there": in_place(view, None if news.whole else news.cards), **_arrays(some),
    }  # fmt: skip
    if not line.execute(_LOT, given).rowcount:
        return None
    return PublishedLot(count, news.whole)


def _arrays(some: Sequence[CardRow]) -> dict[str, list[int] | list[str]]:
    """Rows as the statement takes them."""
    return {
        "ids": [row.id for row in some],
        "docs": [row.doc for row in some],
        "rests": [row.rest for row in some],
    }


def _news(data: bytes, lot: LotToPublish, known: AtHub) -> Happened:
    # other prices in the checklists may be those of any card
    if known.at_byte == NOWHERE or known.prices != known.priced(lot) or known.at_byte > len(data):
        return Happened(whole=True)
    return happened(data, known.at_byte, known.tail)


def _state(view: LotView, name: str) -> Mapping[str, object]:
    counts = view.counts()
    return {
        "name": plain(name),
        "part": view.part,
        "sides": str(view.sides),
        "tagged": counts.tagged,
        "set aside": counts.set_aside,
    }


def _put_all(line: Connection, id: str, view: LotView, columns: Columns, fresh: bool) -> int:
    if not fresh:
        line.execute("DELETE FROM tagger.card WHERE lot = %s", (id,))
    count = 0
    with (
        line.cursor() as cursor,
        cursor.copy("COPY tagger.card (lot, id, doc, rest) FROM STDIN") as copy,
    ):
        for row in rows(cards(view), columns):
            copy.write_row((id, *row))
            count += 1
    return count
