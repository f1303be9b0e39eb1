"""Names of months as spreadsheets and mails write them."""

from __future__ import annotations

from tagger.core.model.text import fold

# short forms in English, German, French, Spanish, Italian, Dutch, January first (common practice,
# no source)
MONTHS = (
    ("jan", "ene", "gen"), ("feb", "fev", "fév", "févr"),
    ("mar", "mrz", "maer", "mär", "mars", "mrt"), ("apr", "avr", "abr"),
    ("may", "mai", "mei", "mag", "maj"), ("jun", "juin", "giu"), ("jul", "juil", "lug"),
    ("aug", "août", "aou", "ago"), ("sep", "sept", "set"), ("oct", "okt", "ott", "out"),
    ("nov",), ("dec", "dez", "déc", "dic"),
)  # fmt: skip
_BEGINS = tuple((fold(short), at) for at, shorts in enumerate(MONTHS, 1) for short in shorts)


def month_of(word: str) -> int:
    """The month, from 1, whose short form a word begins with; 0 where it is none."""
    said = fold(word)
    found = ((len(short), at) for short, at in _BEGINS if said.startswith(short))
    return max(found, default=(0, 0))[1]
