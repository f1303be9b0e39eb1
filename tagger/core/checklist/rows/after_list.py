"""What shows only when all lines of a plain list were read."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.checklist.columns import Rows

_BRACKETED = re.compile(r"^(?P<team>[^()\[\]]+?)\s*[(\[](?P<note>[^()\[\]]+)[)\]]$")


def notes_behind_teams(rows: Rows, first: int) -> None:
    """Take notes in brackets from behind teams that other cards, from a first row on, have without
    one: `Harbor Gulls (throwback uniform)`."""
    teams = {rows.teams.values[id] for id in set(rows.teams.of[first:])}
    for row in range(first, len(rows)):
        match = _BRACKETED.match(rows.teams[row])
        if match is not None and match["team"] in teams:
            rows.teams.of[row] = rows.teams.id(match["team"])
            extra = (*rows.extras[row], ("note", match["note"]))
            rows.extras.of[row] = rows.extras.id(extra)
