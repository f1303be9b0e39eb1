"""The heading right above the column names of a first table: one of a part of the set, if later
tables have such headings as well."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from tagger.core.checklist.raw.base_set import is_base_set
from tagger.core.checklist.raw.notes import is_total
from tagger.core.checklist.raw.odds import ODDS
from tagger.core.checklist.raw.purposes import is_purpose
from tagger.core.checklist.raw.title_names import title_name
from tagger.core.checklist.reading import Headed, TableReading
from tagger.core.checklist.titles import part_of, quoted
from tagger.core.model.column_names import SERIES_NAME
from tagger.core.model.tags import series_of

if TYPE_CHECKING:
    from tagger.core.checklist.checklist import Gathered
    from tagger.core.checklist.lines import Line
    from tagger.core.checklist.titles import Title


class FirstHeading(NamedTuple):
    """A line right above the column names of the first table, below the name of the set. Whether
    it is the heading of a part shows only where later tables have such headings as well."""

    line: int
    text: str
    reading: TableReading


def make_part(first: FirstHeading, into: Gathered) -> None:
    """Make the cards of a first table, up to its next heading, a part as the later ones are, or the
    set that the heading names."""
    reading, series, named = first.reading, title_name(first.text), part_of(first.text).set
    begin, end = reading.rows
    end = min((one.begun for one in into.headed if begin < one.begun < end), default=end)
    rows = into.rows
    is_now = _kind_of(first, any(rows.teams[row] for row in range(begin, end)))
    for row in range(begin, end):
        extra = rows.extras[row]
        if is_now == "set":
            rows.sets.of[row] = rows.sets.id(named)
        elif is_now == "team":
            rows.teams.of[row] = rows.teams.id(series)
        elif not series_of(extra):
            rows.extras.of[row] = rows.extras.id((*extra, (SERIES_NAME, series)))
    said = f"heading {quoted([first.text])}; the {is_now} of {end - begin} cards below"
    reading.notes.append(f"line {first.line}: {said}")
    into.headed.insert(0, Headed(reading.file, first.line, first.text, True, begin, end))


def _kind_of(first: FirstHeading, have_teams: bool) -> str:
    """What a first heading names: a set, the team of cards that have none in a list by team, else a
    subset."""
    if part_of(first.text).set:
        return "set"
    return "team" if first.reading.by_team and not have_teams else "subset"


def may_head(title: Title, line: int) -> Line | None:
    """The line right above the column names, below the name of the set, that may be a heading."""
    if not title.left or title.left[-1][0] < max(title.line + 1, line - 1):
        return None
    text = ODDS.sub("", title.left[-1][1])
    is_sentence = text[:1].islower() or ":" in text or text.rstrip().endswith(".")
    if is_sentence or is_purpose(text) or is_total([text]) or is_base_set(title_name(text)):
        return None
    return title.left[-1] if len(text.split()) <= _MOST_WORDS else None


_MOST_WORDS = 5  # of a heading
