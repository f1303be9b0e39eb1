"""Headings over headings, and those that are read as subsets and may as well be teams."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tagger.core.checklist.named.clubs import is_of_team
from tagger.core.checklist.named.rarities import is_rarity
from tagger.core.model.column_names import SERIES_NAME

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tagger.core.checklist.columns import Rows
    from tagger.core.checklist.reading import Headed
    from tagger.core.checklist.titles import Part

_FEWEST = 3


class Over:
    """What the headings over others say. `called` is the set of cards below none."""

    def __init__(self, called: str) -> None:
        self._called = called
        self._set = ""  # of the last heading that named one: parts below are of it
        self._series = ""  # of a heading right below which others part it further

    def goes_on(self, above: Part, below: Part) -> bool:
        """Whether a heading without cards of its own is over the one right below it: `1988 Ember
        Point` over `Base set`, `Night Games` over `Gold /50`."""
        if below.set:
            return False
        self._series = above.series
        return not below.series if above.series else bool(above.set)

    def within(self, part: Part) -> Part:
        """A part of the set that is over it, and of the series that it parts further."""
        if part.set or part.series or not (part.team or part.parallel):
            self._series = ""
        if part.set:
            part = self._named_over(part)
            self._set = part.set
        return part._replace(set=part.set or self._set, series=part.series or self._series)

    def _named_over(self, part: Part) -> Part:
        """`1987 Harbor Light - Night Games` below `1987 Harbor Light` is a part of that."""
        for over in filter(None, (self._set, self._called)):
            if match := re.match(rf"{re.escape(over)}\s*(?:\s[-–—]|:)\s+(?=\S)", part.set):
                return part._replace(set=over, series=part.set[match.end() :])
        return part


def may_be_teams(headed: Sequence[Headed], rows: Rows, first: int) -> bool:
    """Whether all cards from a first row on stand below headings that say nothing of a subset,
    share no number and have no team otherwise."""
    if len({one.text for one in headed}) < _FEWEST or not _may_all_be(headed):
        return False
    if sum(one.end - one.begun for one in headed) != len(rows) - first:
        return False
    if any(map(rows.teams.values.__getitem__, set(rows.teams.of[first:]))):
        return False
    # subsets are often numbered each for itself, or with letters of their own
    numbers = [*map(rows.numbers.values.__getitem__, rows.numbers.of[first:])]
    return all(map(_NUMBER.fullmatch, numbers)) and len(set(numbers)) == len(numbers)


def _may_all_be(headed: Sequence[Headed]) -> bool:
    """Whether all headings may be teams, and are not `Commons` and `Rares`."""
    are_rarities = all(is_rarity(one.text.rstrip(" :")) for one in headed)
    return not are_rarities and all(one.may_be for one in headed)


_NUMBER = re.compile(r"[0-9]+[a-d]?")  # `20a`, `20b`: one that another took the place of


def are_names_of_teams(headed: Sequence[Headed], rows: Rows) -> bool:
    """Whether most headings are of several words, as `Harbor Gulls` is and `Rare` is not; or below
    each a team has its badge or its picture."""
    if sum(len(one.text.split()) > 1 for one in headed) * 2 > len(headed):
        return True
    return len(with_badges(headed, rows)) == len(headed)


def with_badges(headed: Sequence[Headed], rows: Rows) -> list[Headed]:
    """Those headings below which a team has its badge or its picture, if they are several."""
    subjects = [*map(rows.subjects.values.__getitem__, rows.subjects.of)]
    found = [one for one in headed if any(map(is_of_team, subjects[one.begun : one.end]))]
    return found if len({one.text for one in found}) >= _FEWEST else []


def make_teams(headed: Sequence[Headed], rows: Rows) -> None:
    """Make the subsets of the cards below headings their teams, where these have none."""
    for one in headed:
        for row in range(one.begun, one.end):
            if rows.teams[row]:
                continue
            extra = rows.extras[row]
            series = next((value for name, value in extra if name == SERIES_NAME), "")
            rows.teams.of[row] = rows.teams.id(series)
            kept = tuple(pair for pair in extra if pair != (SERIES_NAME, series))
            rows.extras.of[row] = rows.extras.id(kept)
