"""What a server says that refuses, in the dealer's words. SQLSTATE codes: PostgreSQL's manual,
appendix A; their first two characters are a class."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tagger.core.model.text import printable
from tagger.errors import HubDown, HubError

if TYPE_CHECKING:
    import psycopg

NOTHING = "nothing was changed there"
_STATES = {
    "53100": "its disk is full; free some space there and try again",
    "53200": "it is out of memory; try again later",
    "53300": "it has too many connections; try again later",
    "53400": "a limit that its owner set is reached; ask the owner for more room",
    "54000": "a limit that its owner set is reached; ask the owner for more room",
    "57014": "the work was cancelled there; try again",
    "25006": "it can only be read from now; try again later, or ask its owner",
    "55P03": "another station is at the same lot; try again",
    "40P01": "another station is at the same lot; try again",
    "40001": "another station is at the same lot; try again",
    "3F000": "tagger's tables are not there; set it up first: tagger hub setup URL",
    "42P01": "tagger's tables are not there; set it up first: tagger hub setup URL",
    "42501": "this user may not do that; ask its owner for the role tagger_publish",
}
_BROKEN = frozenset({"57P01", "57P02", "57P03"})
_SAID = (
    (
        re.compile("password authentication failed|no password supplied"),
        "The hub {hub} did not accept {who}'s password; check ~/.pgpass or PGPASSWORD.",
    ),
    (
        re.compile('database ".*" does not exist'),
        "The hub {hub} has no such database; create it first, or check the URL.",
    ),
    (
        re.compile('role ".*" does not exist'),
        "The hub {hub} does not know the user {who}; check the URL.",
    ),
    (
        re.compile("SSL|certificate"),
        "The hub {hub} was not used: TLS as the URL asks failed ({reason}).",
    ),
)
_ANY_PASSWORD = re.compile(r"(?i)(password\s*=\s*)\S+")


def unreachable(error: psycopg.Error, hub: str, user: str) -> HubError:
    """Why there is no line to the hub."""
    said, who = str(error), printable(user or "this user", 40)
    if error.sqlstate in _STATES:
        return HubError(f"The hub {hub} refused: {_STATES[error.sqlstate]}.")
    # before a line is there psycopg has no code, only what libpq says
    for pattern, told in _SAID:
        if pattern.search(said):
            return HubError(told.format(hub=hub, who=who, reason=_reason(said)))
    return HubDown(f"The hub {hub} cannot be reached ({_reason(said)}).")


def failure(error: psycopg.Error, hub: str) -> HubError:
    """Why the hub did not do what was asked on a line that was there."""
    import psycopg

    state = error.sqlstate or ""
    if state in _STATES:
        return HubError(f"The hub {hub} refused: {_STATES[state]}. {NOTHING.capitalize()}.")
    if state in _BROKEN or state.startswith("08") or _is_lost(error, psycopg.OperationalError):
        return HubDown(f"The line to the hub {hub} broke ({_why(error)}); {NOTHING}. Try again.")
    return HubError(f"The hub {hub} refused: {_why(error)}; {NOTHING}.")


def _why(error: psycopg.Error) -> str:
    # what else the server says may be half of a card
    return _reason(error.diag.message_primary or str(error))


def _is_lost(error: psycopg.Error, operational: type[Exception]) -> bool:
    """Whether the line is gone: only then an error of the line comes without a state."""
    return not error.sqlstate and isinstance(error, operational)


def _reason(said: str) -> str:
    """The last line of what libpq says that has a reason, short and without a password."""
    lines = [line.strip() for line in said.splitlines() if line.strip()]
    lines = [line for line in lines if not line.startswith(("Is the server", "CONTEXT", "DETAIL"))]
    last = _ANY_PASSWORD.sub(r"\1…", lines[-1] if lines else "no reason given")
    reason = last.rpartition("failed: ")[2] or last
    return printable(reason.removeprefix("FATAL:").strip().rstrip("."), 120)
