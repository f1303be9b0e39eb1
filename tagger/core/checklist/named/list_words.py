"""Words that any list of cards, or what it lists, is called by; and a set that is named in a
sentence among them."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagger.core.model.text import fold

LIST_WORDS = frozenset(
    ["list", "lists", "checklist", "checklists", "checkliste", "sticker", "stickers", "set",
    "card", "cards", "index", "complete",
     "full", "liste", "cartes", "lista", "completa", "completo", "komplett",
     "komplette", "vollstandige", "kartenliste", "karten", "elenco", "lijst", "volledige",
     "kaarten", "cromos", "figurine", "carte", "album", "includes", "contents", "inhalt",
     "contenu"]
)  # fmt: skip
CARDS = frozenset(
    ["card", "cards", "karten", "cartes", "cartas", "carte", "kaarten", "cromos", "figurine",
     "plaatjes", "stickers", "bilder"]
)  # fmt: skip


def is_word_of_lists(word: str) -> bool:
    """Whether a word is one that any list, or what it lists, is called by: `lijst`, `cromos`."""
    return fold(word).strip(" ,") in LIST_WORDS | CARDS


# a sentence before a name, and what stands behind this
_PROSE = re.compile(
    r"^(?P<before>(?:[^\W\d_][\w'’]*,?\s+){2,12})(?P<name>(?:1[89]|20)[0-9]{2}\b.*)$"
)


_PROSE_BEFORE = re.compile(
    r"^(?P<before>(?:[^\W\d_]+,?\s+){2,12}?)"
    r"(?:of|from|for|de|del|du|des|di|del|della|dell['’]|dalla|van|uit|von|vom|aus|zu|zur)\s+"
    r"(?:(?:the|la|le|les|el|los|las|il|lo|i|gli|het|der|dem|den|die|das)\s+)?"
    r"(?:(?i:set|series|serie|s[ée]rie|album|reeks|raccolta|collection|colecci[oó]n|collezione|sammlung)\s+)?"
    r"(?P<name>[A-ZÀ-Þ][^:]*\b(?:1[89]|20)[0-9]{2}\b[^:]*)$"
)


def in_prose(text: str) -> str:
    """`All that I know of 1987 Harbor Light so far`: the name of the set in a sentence, from its
    year to its last word with a capital."""
    behind = _PROSE_BEFORE.match(text)
    if behind is not None and _leads_to_name(behind["before"].split()):
        return _SAID_AFTER.sub("", behind["name"])
    match = _PROSE.match(text)
    if match is None or not _is_prose(match["before"].split()):
        return text
    # `2006 Harbor Light, postage 1.60`
    words = _AMOUNT_BEHIND.sub("", match["name"]).split()
    last = max(at for at, word in enumerate(words) if at == 0 or not word[:1].islower())
    return " ".join(words[: last + 1]) if last else text


_SAID_AFTER = re.compile(r"(?<=[0-9]),\s+[^A-ZÀ-Þ\d]+$")  # `Harbor Light 1987, merci`


def _leads_to_name(words: Sequence[str]) -> bool:
    """Whether the words before a name are a sentence: `Hierbij de lijst`, of small words and one
    for lists or cards, or of more of them."""
    small = sum(map(str.islower, words))
    return small > 2 or (small > 1 and any(map(is_word_of_lists, words[1:])))


def _is_prose(words: Sequence[str]) -> bool:
    return sum(map(str.islower, words)) > 1 or fold(words[0]) in _OFFERS


_AMOUNT_BEHIND = re.compile(r",\s+[^,]*(?:[$€£]|[0-9][.,][0-9]{2}\b)[^,]*(?:,.*)?$")
# `Verkaufe Karten aus 2006 Harbor Light`
_OFFERS = frozenset(
    ["verkaufe", "suche", "biete", "tausche", "selling", "sell", "trading", "offering", "vends",
     "vend", "cherche", "vendo", "busco", "cerco", "cambio", "verkoop", "zoek", "ruil"]
)  # fmt: skip
