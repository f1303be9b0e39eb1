"""Years and counts of cards, as they stand in the names of sets."""

from __future__ import annotations

import re

YEAR = re.compile(r"(?<![0-9])(?:1[89]|20)[0-9]{2}(?:[-/–](?:[0-9]{4}|[0-9]{2}))?(?![0-9])")
COUNT_PART = re.compile(
    r"[\s,;:–—-]*[(\[（]?\s*全?\s*(?<![0-9])(?!(?:1[89]|20)[0-9]{2}\s+\S+\s+[^\W\d_])(?:[0-9][0-9.,']*)[\s-]*(?:base\s+|total\s+)?"
    r"(?:cards?|karten|cartes?|cartas|cromos|carte|kaarten|subjects|images|"
    r"stickers?|bilder|plaatjes|figurine|枚|種類?)\b[^()\[\]]*[)\]）]?",
    re.IGNORECASE,
)


def has_year(text: str) -> bool:
    """Whether a text has the year of a set in it."""
    return YEAR.search(text) is not None


def is_year(text: str) -> bool:
    """Whether a text is the year of a set and nothing else."""
    return YEAR.fullmatch(text.strip()) is not None


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
