"""How the columns of one table are read, decided from its first lines before any card is made."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cached_property

from tagger.core.checklist.numbers_read import is_float, tidy_number

SURVEYED = 5000  # lines of a table that are looked at first

LAST_RC = re.compile(r"^(?P<name>.*\S)\s+[(\[]?(?P<mark>RC|R\.C\.|\(RC\))[)\]]?$")
_BRACKETS = re.compile(r"^(?P<name>[^()\[\]]*[^()\[\]\s])\s*[(\[](?P<team>[^()\[\]]+)[)\]]$")
_DASH = re.compile(r"^(?P<name>.*?\S)\s+[-–—]\s+(?P<team>\S.*)$")
TEAM_STYLES = {"brackets": _BRACKETS, "dash": _DASH}


@dataclass(frozen=True)
class Plan:
    """The columns by heading and meaning; `fills`: those whose empty cells are those of merged
    ones; `team`: how the team stands behind the subject, empty where it has a column or none is
    given; `rookie`: whether `RC` behind a subject is a mark; `floats`: whether numbers came as
    `23.0`; `with_maker`: whether the maker is part of the set's name."""

    names: tuple[str, ...]
    meanings: tuple[str, ...]
    fills: frozenset[int] = frozenset()
    team: str = ""
    rookie: bool = False
    floats: bool = False
    with_maker: bool = False
    notes: tuple[str, ...] = field(default=())
    unsure: tuple[str, ...] = field(default=())

    def at(self, meaning: str) -> list[int]:
        """The columns that have a meaning."""
        return self._places.get(meaning, [])

    @cached_property
    def _places(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {}
        for place, meaning in enumerate(self.meanings):
            found.setdefault(meaning, []).append(place)
        return found

    def has(self, meaning: str) -> bool:
        """Whether a column has a meaning."""
        return meaning in self._places

    @property
    def has_subject(self) -> bool:
        """Whether a column, or two, hold the subject."""
        return self.has("subject") or self.has("last")


def split_rookie(subject: str) -> tuple[str, str]:
    """A subject without `RC` behind it, and the mark."""
    match = LAST_RC.match(subject)
    return (match["name"], "RC") if match else (subject, "")


def split_team(subject: str, style: str) -> tuple[str, str]:
    """A subject and the team behind it, in one of TEAM_STYLES; no team where it has none."""
    match = TEAM_STYLES[style].match(subject) if style else None
    return (match["name"], match["team"].strip()) if match else (subject, "")


def number_of_cell(text: str, floats: bool) -> str:
    """A card's number as its cell has it."""
    number = tidy_number(text)
    if floats and is_float(number):
        return number.split(".")[0]
    return number
