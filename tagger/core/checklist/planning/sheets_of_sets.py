"""Sheets that are a set each, though none of them names a year or a set: `Woodland Friends`, `Ocean
Giants`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tagger.core.checklist.header import beginning_of
from tagger.core.checklist.lines import Blocks, filled
from tagger.core.checklist.raw.base_set import is_base_set
from tagger.core.checklist.raw.purposes import is_place, is_purpose
from tagger.core.checklist.raw.years import has_year
from tagger.core.checklist.titles import names_part
from tagger.core.model.text import printable

if TYPE_CHECKING:
    from tagger.core.checklist.reading import Naming

Sheets = Sequence[tuple[str, str, "Naming"]]
"""How each sheet is called in problems, its rows as lines of text, and its naming."""
_FIRST_LINES = 200
_FEWEST_CARDS = 4
TOLD = "each sheet is read as a set of its own ({}); if they are parts of one, write its name above"


def told_of_sets(sheets: Sheets) -> str:
    """What is said where the sheets with cards are a set each: nothing else names a set, no sheet
    is called by a part of one, and each begins with the numbers of the others. Empty where they are
    none."""
    numbered = {naming.sheet: _numbers(text, naming) for _, text, naming in sheets}
    cards = {sheet: numbers for sheet, numbers in numbered.items() if numbers}
    if len(cards) < 2 or any(has_year(naming.stem) for _, _, naming in sheets):
        return ""
    if any(map(_says_something, cards)) or not _begin_alike(list(cards.values())):
        return ""
    return TOLD.format(", ".join(f"'{printable(sheet, 30)}'" for sheet in list(cards)[:3]))


def _says_something(sheet: str) -> bool:
    """Whether the name of a sheet may be that of a part, of a place or of a purpose."""
    if is_base_set(sheet) or names_part(sheet) or is_place(sheet) or is_purpose(sheet):
        return True
    return has_year(sheet) or len(sheet.split()) < 2


def _begin_alike(numbers: Sequence[list[str]]) -> bool:
    first = numbers[0][:_FEWEST_CARDS]
    return len(first) == _FEWEST_CARDS and all(one[:_FEWEST_CARDS] == first for one in numbers)


def _numbers(text: str, naming: Naming) -> list[str]:
    """The numbers of the first cards of a sheet, where the first line has the names of its columns
    and none of them says the set."""
    begins = beginning_of(Blocks(text).head(_FIRST_LINES), naming.more, "\t")
    header = begins.header
    if header is None or header.at != 0 or "number" not in header.meanings:
        return []
    if {"set", "series", "maker", "year"} & set(header.meanings):
        return []
    at = header.meanings.index("number")
    rows = [record.cells for record in begins.records[header.taken :] if filled(record.cells)]
    return [row[at].strip() for row in rows if len(row) > at and row[at].strip()]
