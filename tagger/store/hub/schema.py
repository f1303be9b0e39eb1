"""The hub's tables: made by numbered SQL files, forward only."""

from __future__ import annotations

import re
from importlib import resources
from typing import TYPE_CHECKING

from tagger.errors import HubError

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

    from tagger.store.hub.connection import Connection

_NAME = re.compile(r"([0-9]{4})_[a-z_]+\.sql")
# One at a time, whoever sets up: any number that no other program uses as a lock there.
_TURN = 7_242_437


def migrations(folder: Traversable | None = None) -> dict[int, str]:
    """The SQL of each version by its number, from 1 on without a gap."""
    folder = folder or resources.files("tagger.store.hub") / "migrations"
    found: dict[int, str] = {}
    for file in sorted(folder.iterdir(), key=lambda one: one.name):
        if match := _NAME.fullmatch(file.name):
            found[int(match[1])] = file.read_text(encoding="utf-8")
    assert list(found) == list(range(1, len(found) + 1)), "a migration is missing"
    return found


def version(line: Connection) -> int:
    """The version of the hub's tables, 0 where there are none."""
    row = line.execute("SELECT to_regclass('tagger.version') IS NOT NULL").fetchone()
    if row is None or not row[0]:
        return 0
    said = line.execute("SELECT coalesce(max(number), 0) FROM tagger.version").fetchone()
    return int(said[0]) if said else 0


def check_version(line: Connection) -> None:
    """Raises HubError where the hub's tables are not those of this program."""
    newest = len(migrations())
    found = version(line)
    if found > newest:
        raise HubError(_newer(found, newest))
    if not found:
        raise HubError("The hub has no tables of tagger yet; set it up: tagger hub setup URL.")
    if found < newest:
        raise HubError(
            "The hub was set up by an older tagger; tagger hub setup URL brings it up to date."
        )


def set_up(line: Connection, steps: dict[int, str] | None = None) -> tuple[int, int]:
    """Bring the hub's tables up to date in one transaction; the version before and after. Raises
    HubError where it is newer, or this user may not."""
    import psycopg

    steps = steps or migrations()
    try:
        with line.transaction():
            line.execute("SELECT pg_advisory_xact_lock(%s)", (_TURN,))
            before = version(line)
            if before > len(steps):
                raise HubError(_newer(before, len(steps)))
            for number in range(before + 1, len(steps) + 1):
                line.execute(steps[number].encode())
                line.execute("INSERT INTO tagger.version (number) VALUES (%s)", (number,))
    except psycopg.errors.InsufficientPrivilege as error:
        raise HubError(
            "The hub was not set up: this user may not create the schema tagger or the roles "
            f"tagger_publish and tagger_read ({error.diag.message_primary}). Use the owner's user."
        ) from None
    return before, len(steps)


def _newer(found: int, known: int) -> str:
    return (
        f"The hub was set up by a newer tagger (version {found}; this one knows {known}); update "
        "tagger here."
    )
