"""Names of months as spreadsheets and mails write them."""

from __future__ import annotations

import re

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
# the whole names, where a word that only begins so would be another one
_NAMES = (
    "january|february|march|april|may|june|july|august|september|october|november|december|"
    "januar|februar|märz|mai|juni|juli|oktober|dezember|"
    "janvier|février|mars|avril|juin|juillet|août|septembre|octobre|novembre|décembre|"
    "enero|febrero|marzo|abril|mayo|junio|julio|agosto|septiembre|octubre|noviembre|diciembre|"
    "gennaio|febbraio|aprile|maggio|giugno|luglio|settembre|ottobre|dicembre|"
    "januari|februari|maart|mei|augustus"
)
_SHORTS = "|".join(short for shorts in MONTHS for short in shorts)
# `May 2023`, `12 feb. 2006`; `Rain of March 1993` is a name
_MONTH_OF_YEAR = re.compile(
    r"(?<![^\W\d_] di )(?<![^\W\d_] de )(?<![^\W\d_] du )"
    rf"\b(?:[0-9]{{1,2}}\.?\s+(?:{_SHORTS})[^\W\d_]{{0,6}}\.?|(?:{_NAMES})(?:\s+[0-9]{{1,2}})?|"
    rf"(?:{_SHORTS})\.?\s+[0-9]{{1,2}}),?\s+(?:de\s+)?"
    r"(?:19|20)[0-9]{2}(?![0-9])",
    re.IGNORECASE,
)
_BEGINS = tuple((fold(short), at) for at, shorts in enumerate(MONTHS, 1) for short in shorts)


def month_of(word: str) -> int:
    """The month, from 1, whose short form a word begins with; 0 where it is none."""
    said = fold(word)
    found = ((len(short), at) for short, at in _BEGINS if said.startswith(short))
    return max(found, default=(0, 0))[1]


def without_month_of_year(text: str) -> str:
    """A text without `May 2023`, which says when it was written, and not of which year a set is."""
    return _MONTH_OF_YEAR.sub("", text)
