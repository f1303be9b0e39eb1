"""What other stations published, into this machine's own files: only the lots that are others than
those pulled before."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any, NamedTuple

from tagger.core.model.side_order import SideOrder
from tagger.core.model.text import printable
from tagger.errors import MALFORMED
from tagger.store.hub.card_documents import card_document
from tagger.store.lot.journal import FORMAT
from tagger.store.lot.lot_tables import LotTables
from tagger.store.machine.pulled import (
    KnownStation,
    Pulled,
    PulledLot,
    forget_lots,
    keep_lot,
    keep_pulled,
    read_pulled,
)

if TYPE_CHECKING:
    from tagger.store.hub.connection import Connection
    from tagger.store.hub.stations import StationId

_SIDES = frozenset(map(str, SideOrder))
_NAMES = 60  # characters of a station's or a lot's name
NOT_READ = (
    "{name} was not pulled: the hub says something of it that is not a lot. Publish it again from "
    "its own station."
)
AT_A_TIME = 50  # lots after which the list is kept: a pull that breaks off goes on from there


class PullOutcome(NamedTuple):
    """What a pull brought: lots that are new or others, with so many cards; lots that are gone; a
    sentence for each that could not be read."""

    lots: int
    cards: int
    gone: int
    problems: Sequence[str] = ()


# An open wish reserves its card for all: who pulls sees that, though the lot itself is as it was.
_LOTS = """
    SELECT lot.id, lot.station, coalesce(lot.state ->> 'name', ''),
        coalesce(lot.state ->> 'part', ''), coalesce(lot.state ->> 'sides', ''),
        lot.mark::text || coalesce((
            SELECT ':' || md5(string_agg(asked.id::text, ',' ORDER BY asked.id))
            FROM tagger.asked WHERE asked.lot = lot.id AND asked.state = 'open'
        ), '')
    FROM tagger.lot WHERE lot.station <> %s AND lot.at_byte >= 0
    ORDER BY lot.id
"""
_RESERVED = """
    SELECT asked.card, station.name FROM tagger.asked
    JOIN tagger.station ON station.id = asked.station
    WHERE asked.lot = %s AND asked.state = 'open'
"""


class _ListedLot(NamedTuple):
    """A lot as the hub lists it."""

    id: str
    station: str
    name: str
    part: str
    sides: str
    mark: str

    @property
    def kept(self) -> PulledLot:
        return PulledLot(self.station, printable(self.name, _NAMES), self.part, self.mark)


def pull(
    line: Connection,
    station: StationId,
    only: str = "",
    progress: Callable[[int, int], None] = lambda done, of: None,
) -> PullOutcome:
    """Bring what was pulled up to date; `only` one lot where one is named. Raises HubError."""
    before = read_pulled()
    now = _stations_now(line, station, before)
    listed = [_ListedLot(*row) for row in line.execute(_LOTS, (station.id,))]
    fresh = [lot for lot in listed if _is_new(lot, now, only)]
    now, outcome = _kept(line, now, fresh, progress)
    if only:
        # the others' word is as old as it was
        keep_pulled(replace(now, here=before.here, there=before.there))
        return outcome
    gone = set(before.lots) - {lot.id for lot in listed}
    if gone:
        now = forget_lots(now, gone)
    keep_pulled(now)
    return outcome._replace(gone=len(gone))


def _stations_now(line: Connection, station: StationId, before: Pulled) -> Pulled:
    """The other stations as they are, with what was pulled of them before."""
    rows = line.execute(
        "SELECT id, name, extract(epoch FROM said)::float8, extract(epoch FROM now())::float8 "
        "FROM tagger.station WHERE id <> %s",
        (station.id,),
    ).fetchall()
    stations = {str(row[0]): KnownStation(printable(row[1], _NAMES), float(row[2])) for row in rows}
    known = {id: lot for id, lot in before.lots.items() if lot.station in stations}
    there = float(rows[0][3]) if rows else 0.0
    return Pulled(stations, known, time.time(), there)


def _is_new(lot: _ListedLot, now: Pulled, only: str) -> bool:
    if only and lot.id != only:
        return False
    # a name that changed is another mark, too
    return now.lots.get(lot.id) != lot.kept


def _kept(
    line: Connection, now: Pulled, fresh: Iterable[_ListedLot], progress: Callable[[int, int], None]
) -> tuple[Pulled, PullOutcome]:
    """Keep the lots that are new; the list with them, and what became of them."""
    fresh, counts, problems = list(fresh), list[int](), list[str]()
    lots = dict(now.lots)
    for at, lot in enumerate(fresh, start=1):
        name = f"{lot.name} at {now.stations[lot.station].name}"
        try:
            counts.append(_pull_lot(line, lot, name))
            lots[lot.id] = lot.kept
        except MALFORMED:
            # written by another program: the other lots are pulled all the same
            problems.append(NOT_READ.format(name=printable(name, 2 * _NAMES)))
        if at % AT_A_TIME == 0:
            keep_pulled(replace(now, lots=dict(lots)))
        progress(at, len(fresh))
    return replace(now, lots=lots), PullOutcome(len(counts), sum(counts), 0, problems)


def _pull_lot(line: Connection, lot: _ListedLot, name: str) -> int:
    """Keep one lot; how many cards it has. Raises one of MALFORMED."""
    reserved = {int(card): str(by) for card, by in line.execute(_RESERVED, (lot.id,))}
    rows = line.execute(
        "SELECT id, doc, rest FROM tagger.card WHERE lot = %s", (lot.id,)
    ).fetchall()
    # here and not in the database, which would refuse them all for one that has no place
    rows.sort(key=lambda row: (int(row[1]["position"]), row[0]))
    cards = {str(id): _card(doc, rest, reserved.get(id, "")) for id, doc, rest in rows}
    tables = _tables(lot, cards, name)
    LotTables(tables).read_each_mark()
    keep_lot(lot.id, lot.name, tables)
    return len(cards)


def _card(doc: Mapping[str, Any], rest: Mapping[str, Any], by: str) -> dict[str, Any]:
    found = card_document(doc, rest)
    if by and not found.get("gone"):
        found["trade"] = {"reserved": f"asked by {by}", **found.get("trade", {})}
    return found


def _tables(lot: _ListedLot, cards: Mapping[str, Any], name: str) -> dict[str, Any]:
    state = {
        "format": FORMAT,
        "lot": name,
        "name": printable(name, 2 * _NAMES),
        "sides": lot.sides if lot.sides in _SIDES else str(SideOrder.ALTERNATE),
        "order": [int(id) for id in cards],
        "next_id": max(map(int, cards), default=0) + 1,
        "position": 1,
        "part": lot.part,
    }
    return {"state": {"1": state}, "cards": dict(cards)}
