"""The hub that the settings name, and this machine as one of its stations."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from tagger.errors import UsageError
from tagger.store.hub.connection import connected
from tagger.store.hub.schema import check_version
from tagger.store.hub.stations import StationId, register
from tagger.store.machine.station import station_id, station_name

if TYPE_CHECKING:
    from tagger.config import Settings
    from tagger.store.hub.connection import Connection

NO_HUB = (
    "No hub is named in the settings; see tagger help stations: [hub] "
    'url = "postgresql://user@machine/shop".'
)


class Hub(NamedTuple):
    """A hub by its address, and who we are there."""

    url: str
    station: StationId

    @contextlib.contextmanager
    def line(self) -> Iterator[Connection]:
        """A line to it, its tables known to be ours. Raises HubDown, HubError, UsageError."""
        with connected(self.url) as line:
            check_version(line)
            yield line

    @contextlib.contextmanager
    def station_line(self) -> Iterator[Connection]:
        """The same, with this station known there."""
        with self.line() as line:
            register(line, self.station)
            yield line


def hub_of(settings: Settings) -> Hub | None:
    """The hub of the settings, None where they name none."""
    if not (url := settings.hub.get("url", "")):
        return None
    return Hub(url, StationId(station_id(), station_name(settings.hub.get("station", ""))))


def named_hub(settings: Settings) -> Hub:
    """The hub of the settings. Raises UsageError where they name none."""
    hub = hub_of(settings)
    if hub is None:
        raise UsageError(NO_HUB)
    return hub
