"""Years of sets that stand somewhere and that no card gets: told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tagger.core.checklist.raw.notes import is_note
from tagger.core.checklist.raw.years import has_year
from tagger.core.model.text import printable


def years_left(left: Iterable[tuple[int, str]], named: str) -> Iterator[tuple[int, str]]:
    """The lines with a year above a table that are not used, where the set that is named has
    none, and what is to be said of each."""
    for line, text in left:
        if has_year(text) and not has_year(named) and not is_note(text):
            shown = printable(text, 50)
            yield line, f"'{shown}' is not used; if it is the set, write 'Set:' before it"


def year_lost(title: str, stem: str) -> str:
    """What is to be said of a title without a year that goes before a file's name with one; empty
    where there is nothing."""
    if has_year(title) or not has_year(stem):
        return ""
    return f"'{printable(title, 50)}' names the set, and the file's name does not; check which does"
