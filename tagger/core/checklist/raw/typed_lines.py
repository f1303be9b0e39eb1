"""Typed lines in the ways that people put number, name and team on them, made into the usual one:
the number first, then the name. Lines keep their numbers."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.checklist.lines import Line

_RULE = re.compile(r"^\W{3,}$")
_OF = re.compile(r"^(?P<begin>\W*)(?P<number>[0-9]{1,4})\s+(?:of|von|de|di|van)\s+(?P<of>[0-9]{1,4})\b")
_LABELLED = re.compile(
    r"^(?P<begin>\W*)(?:cards?|karte|carte|carta|kaart|cromo|no|nr|n[°º]|num|number|№)\b[.:]?\s*#?"
    r"(?=[A-Z]{0,4}-?[0-9])",
    re.IGNORECASE,
)
_NUMBER_BEHIND = re.compile(
    r"^(?P<name>[^\W\d_][^#()\d]*?)[\s,–—-]*(?:\(\s*#?|#|\b(?:no|nr)\b\.?\s?)"
    r"(?P<number>[A-Z]{0,4}-?[0-9]{1,4}[a-z]?)\)?(?P<rest>\s*(?:[-–—,(\[/].*)?)$",
    re.IGNORECASE,
)
_SEVERAL = re.compile(r"^\W*#?(?P<number>[0-9]{1,4})[.):]?\s+[^\W\d_].*$")
_MOST = 0.6


def usual_lines(filled: Sequence[Line]) -> list[Line]:
    """Lines with something on them, without those that only rule a page off."""
    lines = [one for one in filled if not _RULE.match(one[1]) or any(map(str.isalnum, one[1]))]
    lines = _one_card_each(lines)
    for change in (_without_total, _without_label, _number_first):
        lines = _changed(lines, change)
    return lines


def _changed(lines: list[Line], change: Callable[[str], str]) -> list[Line]:
    """The lines changed, where most of them can be."""
    made = [(line, change(text)) for line, text in lines]
    hit = sum(one != two for one, two in zip(made, lines, strict=True))
    return made if hit >= 2 and hit >= _MOST * len(lines) else lines


def _without_total(text: str) -> str:
    """`1 of 50 Ada Marsh`: what counts all cards is left away."""
    match = _OF.match(text)
    if match is None or int(match["number"]) > int(match["of"]):
        return text
    return f"{match['begin']}{match['number']}{text[match.end() :]}"


def _without_label(text: str) -> str:
    return _LABELLED.sub(r"\g<begin>", text)


def _number_first(text: str) -> str:
    """`Ada Marsh #23 (Harbor Gulls)`"""
    match = _NUMBER_BEHIND.match(text)
    if match is None:
        return text
    return f"{match['number']} {match['name'].strip()}{match['rest']}"


def _one_card_each(lines: list[Line]) -> list[Line]:
    """The lines with those parted that have several cards one behind the other, numbered on."""
    parted = [(line, _cards_in(text)) for line, text in lines]
    several = [parts for _, parts in parted if len(parts) > 1]
    if not several or len(several) < _MOST * (len(lines) - 1) or not _go_on(several):
        return lines
    return [(line, part) for line, parts in parted for part in parts]


def _cards_in(text: str) -> list[str]:
    parts = [part.strip() for part in re.split(r"[,;]", text) if part.strip()]
    return parts if len(parts) > 1 and all(map(_SEVERAL.match, parts)) else [text]


def _go_on(several: Sequence[Sequence[str]]) -> bool:
    """Whether all cards are numbered upwards: `12 Lee Gold, 1860 Gulls` are a card and its team."""
    matches = [_SEVERAL.match(part) for parts in several for part in parts]
    numbers = [int(match["number"]) for match in matches if match]
    return all(one < two for one, two in pairwise(numbers))
