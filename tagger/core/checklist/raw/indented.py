"""Lines that are indented below a card: the names of those who share it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.checklist.lines import Line

_CARD = re.compile(r"^(?P<indent>\s*)#?(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?[.):]?\s+\S")
_NAME = re.compile(r"^(?P<indent>\s+)(?P<name>[^\W\d_][^\d/:]*)$")
_DEEPER = 2  # characters
_MOST = 200  # lines of a list with indented names that are looked at as one card's


def with_indented(lines: list[Line]) -> list[Line]:
    """The lines with names that are indented below a card put behind that, where few cards have
    such: `5 Leaders` above `Ada Marsh` and `Bo Finn`. Where most have one it is the team."""
    groups = _groups(lines)
    cards = sum(_CARD.match(text) is not None for _, text in lines)
    if not groups or len(groups) * 2 > cards:
        return lines
    below = {at for group in groups.values() for at in group}
    joined = {
        card: f"{lines[card][1].rstrip().rstrip(':')}: "
        + " / ".join(lines[at][1].strip() for at in group)
        for card, group in groups.items()
    }
    return [
        (line, joined.get(at, text)) for at, (line, text) in enumerate(lines) if at not in below
    ]


def _groups(lines: list[Line]) -> dict[int, list[int]]:
    """For each card with several indented names right below it, where these are."""
    found: dict[int, list[int]] = {}
    card, indent = -1, 0
    for at, (line, text) in enumerate(lines):
        if match := _CARD.match(text):
            card, indent = at, len(match["indent"])
            continue
        match = _NAME.match(text)
        follows = at > 0 and lines[at - 1][0] == line - 1
        if card < 0 or match is None or not follows or len(match["indent"]) < indent + _DEEPER:
            card = -1
            continue
        found.setdefault(card, []).append(at)
    return {card: group for card, group in found.items() if 1 < len(group) < _MOST}
