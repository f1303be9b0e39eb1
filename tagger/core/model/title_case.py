"""Which words of a name or a title are written small, and which get a capital."""

from __future__ import annotations

import re
from collections.abc import Sequence

# In the languages that cards and lists are printed in (common practice, no source).
SMALL_WORDS = frozenset(
    ["of", "and", "the", "de", "du", "des", "la", "le", "les", "el", "los", "las", "il", "lo",
     "gli", "di", "del", "della", "dei", "van", "von", "der", "die", "das", "und", "et", "y", "e",
     "en", "a", "au", "aux", "für", "for", "in", "zu", "to", "with", "vs", "het", "da", "do",
     "dos", "i"]
)  # fmt: skip
# `d'angelo`, `o'neil-macdonald`, `j.r.`: each part has a capital, but not the `s` of `marsh's`
_FIRST = re.compile(r"(?:^|(?<=[-.])|(?<=^[dlo]['’])|(?<=-[dlo]['’]))[^\W\d_]")


def stays_small(words: Sequence[str], at: int) -> bool:
    """Whether a word of a name is one of those between others that have no capital: `of` in `Hall
    of Mirrors`. A single letter is far more often a person's initial."""
    between = 0 < at < len(words) - 1
    return between and len(words[at]) > 1 and words[at].casefold() in SMALL_WORDS


def as_title(words: Sequence[str]) -> str:
    """Words that were typed as a name: those all in small letters get a capital, but for the small
    words between others."""
    return " ".join(
        word if stays_small(words, at) else _capital(word) for at, word in enumerate(words)
    )


def _capital(word: str) -> str:
    # a capital anywhere says that it was typed as it is to stand
    if not word.islower():
        return word
    return _FIRST.sub(lambda first: first[0].upper(), word)
