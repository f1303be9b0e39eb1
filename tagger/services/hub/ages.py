"""How old the word of other stations is, for whatever counts what was pulled."""

from __future__ import annotations

import time

from tagger.core.model.counted import counted
from tagger.services.console import tell
from tagger.store.machine.pulled import read_pulled

_STEPS = ((86400, "day", 2), (3600, "hour", 2), (60, "minute", 1))


def tell_ages() -> None:
    """Say it on stderr, where anything was pulled."""
    if told := ", ".join(f"{name} {age(seconds)}" for name, seconds in _ages()):
        tell(f"Other stations as they were: {told}.")


def stations_document() -> list[dict[str, object]]:
    """The same for a JSON document: name and age in whole seconds of each station."""
    return [{"name": name, "seconds": int(seconds)} for name, seconds in _ages()]


def age(seconds: float) -> str:
    """`3 minutes ago`: in the largest unit that says enough."""
    for size, unit, least in _STEPS:
        if seconds >= least * size:
            return f"{counted(int(seconds // size), unit)} ago"
    return "just now"


def _ages() -> list[tuple[str, float]]:
    return list(read_pulled().ages(time.time()))
