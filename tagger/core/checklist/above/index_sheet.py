"""A sheet of a workbook that lists the others: it says which set these are of."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from tagger.core.checklist.headings.meaning import meaning_of
from tagger.core.checklist.lines import Blocks, filled
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
    lines = [filled(line.split("\t")) for _, line in Blocks(text).head(_LOOKED_AT)]
    cells = {_key(cell) for line in lines for cell in line}
    names = set(map(_key, sheets))
    if len(names) < 2 or len(names & cells) * 3 < len(names) * 2:
        return None
    title = " ".join(map(str.strip, next(filter(None, lines))))
    name = title_name(title)
    if _key(title) in names or not has_year(name):
        return None
    return IndexSheet(name, is_by_team(title) or any(map(_says_team, cells)))


def _key(text: str) -> str:
    return fold(text).strip()


def _says_team(cell: str) -> bool:
    return meaning_of(cell)[0] == "team"
