"""A sheet of a workbook that lists the others: it says which set these are of."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from tagger.core.checklist.headings import meaning_of
from tagger.core.checklist.lines import Blocks
from tagger.core.checklist.raw.title_names import is_by_team, title_name
from tagger.core.checklist.raw.years import has_year
from tagger.core.model.text import fold

_LOOKED_AT = 60  # lines


class IndexSheet(NamedTuple):
    """What an index says of the other sheets: their set, and whether each is of a team."""

    set: str
    by_team: bool


def index_of(text: str, sheets: Sequence[str]) -> IndexSheet | None:
    """What a sheet's text says, its cells parted by tabs, where most of the names of the other
    `sheets` stand in it below a title with a year; None where it is no index of them."""
    lines = [line.split("\t") for _, line in Blocks(text).head(_LOOKED_AT) if line.strip()]
    cells = {fold(cell).strip() for line in lines for cell in line}
    names = {fold(sheet).strip() for sheet in sheets}
    if len(names) < 2 or len(names & cells) * 3 < len(names) * 2:
        return None
    title = " ".join(cell.strip() for cell in lines[0] if cell.strip())
    if fold(title) in names or not has_year(name := title_name(title)):
        return None
    return IndexSheet(name, is_by_team(title) or any(meaning_of(one)[0] == "team" for one in cells))
