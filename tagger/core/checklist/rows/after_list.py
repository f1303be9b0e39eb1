"""What shows only when all lines were read."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING

from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.checklist.columns import Rows

_BRACKETED = re.compile(r"^(?P<name>[^()\[\]]+?)\s*[(\[](?P<held>[^()\[\]]+)[)\]]$")


def teams_behind_subjects(rows: Rows, first: int) -> None:
    """Take teams in brackets from behind subjects, where other cards have that team by a heading:
    `Ada Marsh (FC Harbor)` among the special cards below the clubs."""
    teams = {rows.teams.values[id] for id in set(rows.teams.of[first:])} - {""}
    for row in range(first, len(rows)) if teams else ():
        match = _BRACKETED.match(rows.subjects[row])
        if match is not None and match["held"] in teams and not rows.teams[row]:
            rows.subjects.of[row] = rows.subjects.id(match["name"])
            rows.teams.of[row] = rows.teams.id(match["held"])


def notes_behind_teams(rows: Rows, first: int) -> None:
    """Take notes in brackets from behind teams that other cards, from a first row on, have without
    one: `Harbor Gulls (throwback uniform)`."""
    teams = {rows.teams.values[id] for id in set(rows.teams.of[first:])}
    for row in range(first, len(rows)):
        match = _BRACKETED.match(rows.teams[row])
        if match is not None and match["name"] in teams:
            rows.teams.of[row] = rows.teams.id(match["name"])
            extra = (*rows.extras[row], ("note", match["held"]))
            rows.extras.of[row] = rows.extras.id(extra)


_LETTERED = re.compile(r"^(?P<number>[A-Z-]*[0-9]+)\W?[A-Za-z]$")


def notes_of_twins(rows: Rows) -> None:
    """Take from behind the names of cards whose numbers differ in a letter what tells them apart:
    `8A Ada Marsh (facing left)`, `8B Ada Marsh (facing right)`."""
    # hardly a list has any, and then no number is looked at
    if not any(subject[-1:] in (")", "]") for subject in rows.subjects.values):
        return
    for same in _twins(rows):
        if len({rows.subjects[row] for row in same}) > 1:
            for row in same:
                _note_behind(rows, row)


def _twins(rows: Rows) -> Iterable[list[int]]:
    """The cards of one set and one name, but for what stands in brackets behind it, whose numbers
    differ in a letter."""
    matches = {id: _LETTERED.match(number) for id, number in enumerate(rows.numbers.values)}
    numbers = {id: match["number"] for id, match in matches.items() if match}
    found: dict[tuple[int, str, str], list[int]] = {}
    for row, id in enumerate(rows.numbers.of):
        if id in numbers:
            name = _BRACKETED.sub(r"\g<name>", rows.subjects[row])
            found.setdefault((rows.sets.of[row], numbers[id], fold(name)), []).append(row)
    return found.values()


def _note_behind(rows: Rows, row: int) -> None:
    if match := _BRACKETED.match(rows.subjects[row]):
        rows.subjects.of[row] = rows.subjects.id(match["name"])
        rows.extras.of[row] = rows.extras.id((*rows.extras[row], ("note", match["held"])))
