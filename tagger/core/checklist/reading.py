"""How a list was read: which column as what, from which line on, and what to say of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from tagger.core.checklist.headings.meaning import NO_MORE


class ReadColumn(NamedTuple):
    """A column by its heading, and what it was read as; empty for one that is only kept."""

    heading: str
    meaning: str


@dataclass
class TableReading:
    """One table as it was understood. `line` is that of its headings, 0 where it has none; `title`
    is what names its set where no column does, `given` how many cards its title says that there
    are, in `given_line`, `rows` which of the rows are its own: from, to;
    `by_team`: whether headings within it are teams, `above`: the lines above its headings, which
    stand at the head of each page."""

    file: str
    line: int = 0
    columns: tuple[ReadColumn, ...] = ()
    title: str = ""
    given: int = 0
    given_line: int = 0
    notes: list[str] = field(default_factory=list)
    rows: tuple[int, int] = (0, 0)
    by_team: bool = False
    above: frozenset[str] = frozenset()


class Headed(NamedTuple):
    """A heading in a file with cards below it, from the row `begun` to that before `end`; `may_be`:
    whether it is read as a subset and says nothing of one, no range, no count, no word of the
    trade."""

    file: str
    line: int
    text: str
    may_be: bool
    begun: int
    end: int


class Naming(NamedTuple):
    """What a list is called and its columns are: `stem` is the set where nothing else names it,
    `sheet` the name of one of several sheets, `is_part`: whether that tells it from others of the
    same title, `names_all`: whether its column of sets has none of another sheet, so that the
    sheet's name tells nothing more, `others`: the sets of the sheets before, `by_team`: whether
    each sheet is of a team, `is_set`: whether each is a set; `more` has the user's own names of
    columns, by their keys."""

    stem: str
    more: Mapping[str, str] = NO_MORE
    sheet: str = ""
    is_part: bool = False
    names_all: bool = False
    others: tuple[str, ...] = ()
    by_team: bool = False
    is_set: bool = False
