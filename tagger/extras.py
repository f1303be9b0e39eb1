"""Libraries that are extras of the package: loaded only when they are needed, and asked for in one
sentence where they are missing."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from tagger.errors import LotError


def installing(extra: str) -> str:
    """How an extra is installed, as a command that follows a colon or stands in brackets."""
    return f"pipx install '.[{extra}]' in the clone"


def load_extra(library: str, extra: str, need: str, instead: str = "") -> Any:
    """A module of an extra. `need` begins the sentence that says what it is for (`Labels need`);
    `instead` is a sentence on what needs nothing. Raises LotError where it is missing."""
    try:
        return import_module(library)
    except ImportError:
        said = f"{need} the extra {extra}, which is not installed: {installing(extra)}. {instead}"
        raise LotError(said.rstrip()) from None
