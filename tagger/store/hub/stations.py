"""The stations that publish to the hub: each machine that scans is one."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.text import printable
from tagger.errors import HubError

if TYPE_CHECKING:
    from tagger.store.hub.connection import Connection


class StationId(NamedTuple):
    """A station, by what tells it from all others and by its name."""

    id: str
    name: str


def register(line: Connection, station: StationId) -> None:
    """Say that a station is there. Raises HubError where another one has its name."""
    import psycopg

    try:
        line.execute(
            "INSERT INTO tagger.station (id, name) VALUES (%s, %s) "
            "ON CONFLICT (id) DO UPDATE SET name = excluded.name",
            station,
        )
    except psycopg.errors.UniqueViolation:
        raise HubError(
            f"Another station is called {printable(station.name, 40)}; give this one a name of its "
            'own in the settings: [hub] station = "NAME".'
        ) from None
