"""How often cards are found: `(1:12)`, `1 in 12 packs`."""

from __future__ import annotations

import re

_PER = r"(?::|in|per|out of|sur|su|von|op|auf|pour|ogni|cada|de cada)"
# `(1:12)`, `1 in 12 packs`: how often it is found
ODDS = re.compile(
    r"[\s,;:–—-]*[(\[]?\s*(?:(?:odds|inserted|seeded|found|insertion)\s*:?\s*)?\b(?:1|one)\s*"
    rf"(?:{_PER}|/(?=\s*[0-9]+\s*pack))\s*[0-9]{{1,6}}"
    r"(?:\s*(?:hobby|retail|blaster)\b)?(?:\s*(?:packs?|boxes|box|cases?|boosters?|päckchen|tüten|"
    r"pochettes|bustine|sobres|pakjes))?\s*[)\]]?\s*:?\s*$",
    re.IGNORECASE,
)
# `(1:12 packs, die-cut)`: with more that is said of the cards
ODDS_HELD = re.compile(rf"(?i)\s*[(\[]\s*(?:1|one)\s*{_PER}\s*[0-9]{{1,6}}\b[^()\[\]]*[)\]]$")


def is_odds(text: str) -> bool:
    """Whether a line says nothing but how often cards are found: `Odds 1:24 packs`."""
    return ODDS.fullmatch(text) is not None
