"""Years, as they stand in the names of sets."""

from __future__ import annotations

import re
from collections.abc import Sequence

YEAR = re.compile(r"(?<![0-9])(?:1[89]|20)[0-9]{2}(?:[-/–](?:[0-9]{4}|[0-9]{2}))?(?![0-9])")


def has_year(text: str) -> bool:
    """Whether a text has the year of a set in it."""
    return YEAR.search(text) is not None


def is_year(text: str) -> bool:
    """Whether a text is the year of a set and nothing else."""
    return YEAR.fullmatch(text.strip()) is not None


_ISSUED_WORDS = (
    *("issued", "published", "released", "printed", "produced", "erschienen", "herausgegeben"),
    *("parue?s?", "émise?s?", "éditée?s?", "editad[ao]s?", "emitid[ao]s?", "emess[aeoi]"),
    *("uscit[aeoi]", "uitgegeven", "verschenen"),
)
_SET_OF = r"(?:(?:an? )?(?:set|series) of [0-9]+[\w\s]{0,20}[,.;:]\s*)?"
_ISSUED = re.compile(
    rf"{_SET_OF}(?:first )?(?:{'|'.join(_ISSUED_WORDS)})\b[^0-9]{{0,20}}({YEAR.pattern})",
    re.IGNORECASE,
)
# `H-4  BRITISH WADERS.  Small.  Issued 1927.`, as catalogues head their lists
_CATALOGUED = re.compile(
    rf"(?:[A-Z][A-Z&.]{{0,6}}[-/ ]?[0-9]{{1,4}}[a-z]?[.:)]?\s+)?"
    rf"(?P<name>[A-ZÀ-Þ][^.:;0-9]{{2,60}})[.:;]\s+"
    rf"(?:[^\n]*[.,;]\s+)?(?i:{'|'.join(_ISSUED_WORDS)})\s+(?:in\s+)?(?P<year>{YEAR.pattern})\W*"
)


_LONGEST = 300  # characters of a line


def of_catalogue(text: str) -> str:
    """The line that heads the cards of a set in a catalogue as that set, its year in front; any
    other line as it is."""
    match = _CATALOGUED.fullmatch(text) if len(text) < _LONGEST else None
    return f"{match['year']} {' '.join(match['name'].split())}" if match else text


_MOST_ABOVE = 10  # lines


def with_years_of_issue(lines: Sequence[tuple[int, str]]) -> list[tuple[int, str]]:
    """Lines with their numbers, the year that a line says in front of the name above it: `Issued
    1961. A series of 25 cards.` below `Wayside Flowers`."""
    for at, (_, text) in enumerate(lines[1:_MOST_ABOVE], start=1):
        line, name = lines[at - 1]
        issued = _ISSUED.match(text.strip())
        # of two cells the first is a label
        if issued and not has_year(name) and "\t" not in name:
            return [*lines[: at - 1], (line, f"{issued[1]} {name}"), *lines[at + 1 :]]
    return list(lines)


_SHORT = re.compile(r"^['’]?(?P<year>[0-9]{2})(?![0-9])")
_LAST_SHORT = 40  # of this century


def whole_year(text: str) -> str:
    """A text whose year of two figures in front is whole: `'87 Harbor Light` is of 1987. No card is
    older than that, and none of the time to come."""
    match = _SHORT.match(text)
    if match is None:
        return text
    century = 19 if int(match["year"]) > _LAST_SHORT else 20
    return f"{century}{match['year']}{text[match.end() :]}"
