"""Lines that say who made the cards, and when, below what these are called."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from tagger.core.checklist.raw.purposes import is_owners, is_purpose
from tagger.core.checklist.raw.years import YEAR, has_year, with_years_of_issue

# what makers of cards are called by (common practice, no source)
_MAKER = (
    r"edizion[ei]|editrice|editorial|ediciones|editora|éditions?|editions|verlag|uitgeverij|förlag|"
    r"forlag|press|publishing|publishers|gum|chewing|chocolates?|chocolats?|chocolade\w*|"
    r"schokolade\w*|chocolaterie|cacao|kakao|\w*-kakao|kaffee|\w*-kaffee|koffie|coffee|cafés?|tea|"
    r"thé|tabacs?|tobacco\w*|cigarettes?|zigaretten\w*|biscuits?|beschuit\w*|koek\w*|margarine|"
    r"bread|bakery|mills|cereals?|trading cards|company|co|inc|ltd|limited|s\.a|s\.p\.a|gmbh|bros|"
    r"brothers|sons|söhne|fils|figli|hijos|zonen|foods?|confectionery|candy|sweets|\w+fabriek|"
    r"\w+fabrik"
)
_MADE_BY = re.compile(
    rf"[\"“«]?(?=[^0-9]*(?<!\w)(?:{_MAKER})\b)(?P<maker>[^\W\d_][^0-9]{{1,60}}?)"
    rf"(?:\s*[,;–—|(-]\s*|\s)(?P<year>{YEAR.pattern})\)?(?:\s*[,;–—|-].*)?[\"”»]?",
    re.IGNORECASE,
)
_MOST_WORDS = 8  # of a name


def with_years_said(
    lines: Sequence[tuple[int, str]], names_nothing: Callable[[str], bool]
) -> list[tuple[int, str]]:
    """Lines with their numbers, the year that a line says in front of the name above it: that of
    the maker, `Harbor Tea, 1958`, below the first line, or of the issue."""
    apart = len(lines) < 2 or lines[1][0] - lines[0][0] > 2
    if not (apart or names_nothing(lines[0][1])) and _is_name(lines[0][1]):
        made = _MADE_BY.fullmatch(lines[1][1].strip())
        if made is not None:
            line, name = lines[0]
            return [(line, f"{made['year']} {name}"), *lines[2:]]
    return with_years_of_issue(lines)


def _is_name(text: str) -> bool:
    """Whether a line may be what cards are called, without their year."""
    if has_year(text) or "\t" in text or len(text.split()) > _MOST_WORDS:
        return False
    return not (is_purpose(text) or is_owners(text))
