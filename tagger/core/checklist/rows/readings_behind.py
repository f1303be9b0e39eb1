"""How names in Japanese are read, in brackets behind these: another way to write them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.checklist.columns import Rows

# kana in brackets behind a name with a letter that is none
_READING = re.compile(
    r"^(?P<name>[^()]*[\u4e00-\u9fff][^()]*?)\s?\((?P<reading>[\u3041-\u30ff\s・]+)\)$"
)


def readings_apart(rows: Rows) -> None:
    """Take the readings from behind the names, where most names have one; they stay other ways to
    write these."""
    subjects = rows.subjects
    found = {
        id: match
        for id, value in enumerate(subjects.values)
        if value.endswith(")") and (match := _READING.match(value))
    }
    if len(found) * 2 <= len(set(subjects.of)):
        return
    names = {id: subjects.id(match["name"]) for id, match in found.items()}
    for id, match in found.items():
        rows.also(names[id], match["reading"].strip())
    for row, id in enumerate(subjects.of):
        subjects.of[row] = names.get(id, id)
