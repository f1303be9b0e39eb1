"""A line to the hub, and what goes wrong on it as one sentence each.

The password is libpq's affair (`.pgpass`, PGPASSWORD), and so is TLS (`sslmode` in the URL).
psycopg is loaded only when the hub is asked for something."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from tagger.core.model.text import printable
from tagger.errors import HubError, LotError, UsageError
from tagger.extras import load_extra
from tagger.store.hub.failures import failure, unreachable

if TYPE_CHECKING:
    import psycopg

    Connection = psycopg.Connection[tuple[Any, ...]]

_SCHEMES = ("postgresql://", "postgres://")
# A server that is gone in the middle is noticed after about fifteen seconds, and a lock that
# somebody forgot is not waited for.
_PATIENCE = {
    "connect_timeout": "5",
    "keepalives_idle": "5",
    "keepalives_interval": "3",
    "keepalives_count": "3",
    "tcp_user_timeout": "15000",
    "application_name": "tagger",
}
LOCK_WAIT = "15s"


def hub_address(url: str) -> dict[str, str]:
    """What a URL says, as libpq reads it. Raises UsageError where it is not one, or has a password
    in it; HubError where psycopg is missing."""
    try:
        load_extra("psycopg", "hub", "The hub needs")
    except LotError as missing:
        raise HubError(missing.message) from None
    import psycopg
    from psycopg.conninfo import conninfo_to_dict

    if not url.startswith(_SCHEMES):
        raise UsageError(
            "The hub's address is not a URL like postgresql://user@machine/shop; check [hub] url."
        )
    try:
        said = {name: str(value) for name, value in conninfo_to_dict(url).items()}
    except psycopg.Error:
        # not with the reason: libpq repeats what it read, and that may be a password
        raise UsageError(
            "The hub's address cannot be read; write it like postgresql://user@machine:5432/shop."
        ) from None
    if "password" in said:
        raise UsageError(
            "The hub's address has a password in it; put that into ~/.pgpass or PGPASSWORD and "
            "leave it out here."
        )
    return said


def shown_address(said: dict[str, str]) -> str:
    """`machine/shop`: which hub, without user and options."""
    host, base = said.get("host", "this machine"), said.get("dbname", "")
    port = f":{said['port']}" if said.get("port", "5432") != "5432" else ""
    return printable(f"{host}{port}/{base}".rstrip("/"), 80)


@contextlib.contextmanager
def connected(url: str) -> Iterator[Connection]:
    """A line to the hub: each `with connection.transaction()` on it is done whole or not at all.
    Raises HubDown, HubError, UsageError."""
    line = connect(url)
    try:
        with told(shown_address(hub_address(url))):
            yield line
    finally:
        with contextlib.suppress(Exception):
            line.close()


def connect(url: str) -> Connection:
    """The same, for who closes it. Raises HubDown, HubError, UsageError."""
    said = hub_address(url)
    import psycopg

    given: dict[str, Any] = {**_PATIENCE, **said}
    try:
        # no statements prepared at the server: one that pools its lines knows none of them
        line = psycopg.connect("", autocommit=True, prepare_threshold=None, **given)
        line.execute("SELECT set_config('lock_timeout', %s, false)", (LOCK_WAIT,))
        return line
    except psycopg.Error as error:
        raise unreachable(error, shown_address(said), said.get("user", "")) from None


@contextlib.contextmanager
def told(hub: str) -> Iterator[None]:
    """What the server refuses within, as one sentence. Raises HubDown, HubError."""
    import psycopg

    try:
        yield
    except psycopg.Error as error:
        raise failure(error, hub) from None
