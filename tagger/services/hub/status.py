"""What the hub has: stations, lots, and what was asked. Without it, what was pulled of it."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.text import printable
from tagger.errors import HubError
from tagger.services.hub.own_lots import own_lots
from tagger.store.hub.connection import hub_address, shown_address
from tagger.store.hub.publishing import lots_at_hub
from tagger.store.hub.wishes import Asked, told_wishes
from tagger.store.machine.pulled import read_pulled

if TYPE_CHECKING:
    from tagger.services.hub.hub import Hub
    from tagger.store.hub.connection import Connection


class StationStatus(NamedTuple):
    """A station: its lots and cards, and seconds since all of it was published last; `own`: it is
    this machine."""

    name: str
    lots: int
    cards: int
    seconds: float
    own: bool = False


@dataclass
class HubStatus:
    """`hub` is its address as it is shown, None where none is named; `problem` says why it could
    not be asked. `behind` are own lots that the hub has not as they are now."""

    hub: str | None
    problem: str = ""
    stations: list[StationStatus] = field(default_factory=list)
    behind: list[str] = field(default_factory=list)
    asked: list[Asked] = field(default_factory=list)


_STATIONS = """
    SELECT station.id, station.name, count(lot.id), coalesce(sum(lot.cards), 0),
        extract(epoch FROM now() - station.said)::float8
    FROM tagger.station LEFT JOIN tagger.lot ON lot.station = station.id AND lot.at_byte >= 0
    GROUP BY station.id ORDER BY station.name
"""


def hub_status(hub: Hub | None) -> HubStatus:
    """What the hub has. Raises UsageError where its address is not one."""
    if hub is None:
        return HubStatus(None, stations=list(_pulled()))
    status = HubStatus(shown_address(hub_address(hub.url)))
    try:
        with hub.line() as line:
            _ask(line, hub, status)
    except HubError as error:
        status.problem, status.stations = error.message, list(_pulled())
    return status


def _ask(line: Connection, hub: Hub, status: HubStatus) -> None:
    for id, name, lots, cards, seconds in line.execute(_STATIONS):
        own = id == hub.station.id
        shown = printable(name, 40)
        status.stations.append(StationStatus(shown, int(lots), int(cards), float(seconds), own))
    own_now = own_lots()
    known = lots_at_hub(line, own_now.lots)
    for id, (place, at) in own_now.lots.items():
        there = known.get(id)
        if there is None or (there.at_byte, there.tail) != (at.size, at.tail):
            status.behind.append(place.name)
    status.asked = told_wishes(line)


def _pulled() -> Iterator[StationStatus]:
    """The other stations as they were pulled; how many cards they have is not kept."""
    pulled = read_pulled()
    ages = dict(pulled.ages(time.time()))
    for id, station in sorted(pulled.stations.items(), key=lambda one: one[1]):
        lots = sum(lot.station == id for lot in pulled.lots.values())
        yield StationStatus(station.name, lots, 0, ages[station.name])
