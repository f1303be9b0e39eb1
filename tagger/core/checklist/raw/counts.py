"""Counts of cards, as titles and the names of sets say them."""

from __future__ import annotations

import re

from tagger.core.model.text import fold, whole_number

# `1987 Harbor Light` counts nothing
_BEGINS_COUNT = r"(?<![0-9])(?!(?:1[89]|20)[0-9]{2}\s+\S+\s+[^\W\d_])"
_COUNTED = (
    r"[\s-]*(?:base\s+|total\s+)?"
    r"(?:cards?|karten|cartes?|cartas|cromos|chromos|carte|kaarten|subjects|images|"
    r"tarjetas?|estampas?|figuritas?|kaartjes|stickers?|bilder|plaatjes|figurines?|vignettes|枚|種類?)"
)
# `(220 cards)`
COUNT_PART = re.compile(
    rf"[\s,;:–—-]*[(\[（]?\s*全?\s*{_BEGINS_COUNT}(?:[0-9][0-9.,']*){_COUNTED}\b[^()\[\]]*[)\]）]?",
    re.IGNORECASE,
)
# `220 cards`, in folded text
_COUNT = re.compile(
    rf"{_BEGINS_COUNT}(?P<count>[0-9]{{1,3}}(?:[.,'][0-9]{{3}})+|[0-9]{{1,7}}){_COUNTED}(?![^\W\d_])"
)


# `60 Bilder mit Goldrand`, `36 cards, four a packet`: in small letters no name goes on so
_SENTENCE = re.compile(
    r"[0-9]{1,4}\s(?:cards|karten|Karten|cartes|cartas|cromos|chromos|carte|kaarten|stickers|bilder|"
    r"Bilder|plaatjes|figurine|figurines|images|estampas)\b,?(?:\s[a-zà-ÿ]|$)"
)


def says_count(text: str) -> bool:
    """Whether a line begins with a count of cards and goes on about these."""
    return _SENTENCE.match(text) is not None


def count_said(text: str) -> int:
    """How many cards a title says that there are (`220 cards`), 0 where it does not."""
    match = _COUNT.search(fold(text))
    return (whole_number(re.sub(r"\D", "", match["count"])) or 0) if match else 0
