"""What a heading means: looked up in the table of spellings (`named/spellings.py`), or made out
from its words. Users add to it in the settings, `[columns]`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from tagger.core.checklist.lines import filled
from tagger.core.checklist.named.money_words import (
    ABOUT,
    CURRENCY,
    MONEY,
    UNITS_BEHIND,
    says_currency,
    says_money,
)
from tagger.core.checklist.named.spellings import NO_TEAM, SPELLINGS
from tagger.core.checklist.raw.years import has_year
from tagger.core.model.column_names import PRICE, SERIES
from tagger.core.model.text import fold

ONE_PARALLEL = "one parallel"  # a column of crosses or print runs; its heading is the parallel
FURTHER = "further"  # only kept

_SAID = {"first name": "first", "last name": "last", "subset": "series"}
MEANINGS = (
    *(meaning for meaning in SPELLINGS if meaning not in _SAID.values()),
    *_SAID,
    ONE_PARALLEL,
    FURTHER,
)
"""What users can say that a column is."""

_UNITS = re.compile(
    r"\((?:[^()]{0,12})\)|\[(?:[^\[\]]{0,12})\]|(?:\b[a-z]{1,2}(?=\$))?[$€£¥₤₩₱₹₺₽%*:†]|\b(?:usd|eur|gbp|jpy|cad|aud|chf)\b"
)
_EXAMPLE = re.compile(
    r"[(\[][^()\[\]]*\b(?:e\.?g|i\.?e|z\.\s?b|p\.\s?ex)\b[^()\[\]]*[)\]]", re.IGNORECASE
)
_COUNTED = re.compile(r"^\s*[(\[]?[0-9]{1,2}[.)\]]\s+(?=[^\W\d_])")  # `2. Player`
# meanings of which several columns are one text, told apart by their numbers
NUMBERED = frozenset(["subject", "team", "run"])


def heading_key(name: str) -> str:
    """A heading as it is compared: folded, letters and digits, `#`, and a `/` without letters."""
    folded = fold(name)
    key = "".join(c for c in folded if c.isalnum() or c == "#")
    if key == "#" and "/" in folded:
        return "/#"
    return key or folded.strip()


def _keyed() -> dict[str, tuple[str, int]]:
    found: dict[str, tuple[str, int]] = {}
    every = {**SPELLINGS, "series": tuple(sorted(SERIES))}
    for meaning, spellings in every.items():
        for place, spelling in enumerate(spellings):
            found.setdefault(heading_key(spelling), (meaning, place))
    return found


_MEANT = MappingProxyType(_keyed())
_PARALLEL_WORDS = frozenset(
    ["parallels", "parallelen", "paralleles", "paralelas", "paralleli", "parallellen"]
)
# words that say nothing of what a column holds
_FILLERS = frozenset(
    map(
        fold,
        ["card", "crd", "cards", "name", "full", "official", "collector", "collectors", "text",
         "desc", "descr", "txt",
         "on", "the", "of", "in", "s", "list", "de", "la", "du", "des", "del", "della", "di",
         "van", "figurina", "figurine", "cromo", "plaatje", "bild", "sticker", "image", "carte",
         "karte",
         "carta", "カード", "which", "what", "whats", "whose"],
    )
)  # fmt: skip
PLURAL_CARDS = frozenset(["cards", "karten", "cartes", "cartas", "kaarten"])
_CAPITAL = re.compile(r"(?<=[a-z])(?=[A-Z])")
# where kana, Han or Hangul meet Latin letters: `カードNo.`
_SCRIPTS = re.compile(r"(?<=[\u3040-\u9fff\uac00-\ud7a3])(?=[A-Za-z])")
_LESS_LIKELY = 1000
# of two meanings in one heading, the one that tells what it holds: `Player First Name`
_CLOSER = MappingProxyType(
    {
        frozenset(["subject", "first"]): "first",
        frozenset(["subject", "last"]): "last",
        frozenset(["subject", "team"]): "team",
        frozenset(["number", "run"]): "run",
        frozenset(["parallels", "run"]): "run",
        frozenset(["set", "series"]): "series",
        frozenset(["set", "maker"]): "set",
    }
)
NO_MORE: Mapping[str, str] = MappingProxyType({})


_LONGEST = 200  # characters of a heading


def meaning_of(name: str, more: Mapping[str, str] = NO_MORE) -> tuple[str, int]:
    """What a heading means, and how likely that is among the spellings of the meaning (0 is the
    likeliest); empty where it means nothing that is known. `more` has the user's own by their
    keys, which go first."""
    if len(name) > _LONGEST:
        return "", 0
    if more and (own := more.get(heading_key(name))) is not None:
        return own, -1
    return _usual_meaning(name)


# `In collection`: whether its owner has one
_OWNED = re.compile(
    r"\W*(?:in|dans|en|nella|w|i)\s+(?:\w+\s+)?(?:coll?e[ck]|sammlung|colec|"
    r"(?:sammel)?album|binder|ordner|classeur|raccoglitore|carpeta|verzameling)"
)


@lru_cache(maxsize=8192)  # the first lines are looked at for each mark that may part them
def _usual_meaning(name: str) -> tuple[str, int]:
    found = _said_meaning(name)
    if found[0] == "number" and name.rstrip().endswith("?") and _asks_for(name):
        return "", 0  # `Sticker?`
    # `Foil €` is what a foil costs
    return ("", 0) if found[0] == "parallels" and says_money(name) else found


def _asks_for(name: str) -> bool:
    """Whether all that a heading says are words for a card."""
    return _FILLERS.issuperset(heading_words(name))


def _said_meaning(name: str) -> tuple[str, int]:
    name = _EXAMPLE.sub(" ", _COUNTED.sub("", name)).replace("_", " ")
    plain = _UNITS.sub(" ", fold(name))
    one = plain.strip()
    if _OWNED.match(one):
        return "", 0
    if numbered := _numbered(one):
        return numbered
    for text in (name, plain, _GENDERED.sub("", one)):
        if found := _MEANT.get(heading_key(text)):
            return found
    if not _PARALLEL_WORDS.isdisjoint(re.findall(r"[^\W_]+", plain)) and PRICE not in plain:
        return "parallels", len(SPELLINGS["parallels"])  # `Available Parallels`
    for read in (
        _with_team(plain),
        _of_parts(plain),
        _of_words(name),
        _of_price(name),
        _shortened(plain),
        _without_vowels(plain),
    ):
        if read[0]:
            return read
    return _of_group(name)


def _of_group(name: str) -> tuple[str, int]:
    """`Details: Team`, as programs of shops name the columns of one group; `Harbor Tea: Birds
    (1931)` is a title."""
    _, _, behind = name.rpartition(":")
    return ("", 0) if behind in (name, "") or has_year(behind) else _usual_meaning(behind)


_TWO = re.compile(r"\s+[-–—/&+|,]\s+|\s?/\s?|,\s+")


def _with_team(plain: str) -> tuple[str, int]:
    """`Player - Team`, `Player / version`: the subject, with what stands beside it in its cell, or
    in those below."""
    meant = [_MEANT.get(heading_key(part), ("", 0))[0] for part in filled(_TWO.split(plain))]
    pairs = ({"subject", "team"}, {"subject", "parallels"})
    is_subject = len(meant) == 2 and set(meant) in pairs
    return ("subject", _LESS_LIKELY) if is_subject else ("", 0)


def _numbered(plain: str) -> tuple[str, int] | None:
    """`Name 2`: what the heading means without its number, if several columns may mean that."""
    bare = _NUMBER_BEHIND.sub("", plain)
    found = _MEANT.get(heading_key(bare)) if bare != plain else None
    return found if found and found[0] in NUMBERED else None


def priced_parallel(name: str) -> str:
    """The parallel that a heading of prices names: `Gold /50 $` and `Price Gold` are of Gold."""
    words = MONEY.sub(" ", UNITS_BEHIND.sub(" ", name)).split()
    kept = [word for word in words if _MEANT.get(heading_key(word), ("",))[0] != PRICE]
    # `Price (Foil)`
    return _HELD.sub(r"\g<held>", " ".join(kept)) or name


_HELD = re.compile(r"^[(\[](?P<held>[^()\[\]]+)[)\]]$")


def _of_price(name: str) -> tuple[str, int]:
    """`est. €`, `Guide $`, `ca. Wert €`: a sign of money beside words that say how sure it is."""
    words = heading_words(CURRENCY.sub(" ", MONEY.sub(" ", _BRACKETS.sub(" ", fold(name)))))
    kept = [word for word in words if word not in ABOUT and not is_year_word(word)]
    meant = {_MEANT.get(word, ("", 0))[0] for word in kept}
    # `about` alone is no price, but `est.` is
    says_so = says_currency(name) or kept or _is_estimate(name)
    return (PRICE, _LESS_LIKELY) if says_so and meant <= {PRICE} else ("", 0)


_BRACKETS = re.compile(r"\([^()]{0,12}\)")  # `Book (EX) $`


def is_year_word(word: str) -> bool:
    """Whether a word of a heading is a year: `Value 2021`."""
    return len(word) == 4 and word.isdigit() and word[:2] in ("19", "20")


def _is_estimate(name: str) -> bool:
    return any(word.startswith("est") for word in heading_words(name))


def _shortened(plain: str) -> tuple[str, int]:
    """`Aufl.`, `Coll.`: a word cut short with a point, where all that begin so mean one thing."""
    match = _CUT.fullmatch(plain.strip())
    if match is None:
        return "", 0
    begun = {meant for key, (meant, _) in _MEANT.items() if key.startswith(match["begin"])}
    return (begun.pop(), _LESS_LIKELY) if len(begun) == 1 else ("", 0)


def _without_vowels(plain: str) -> tuple[str, int]:
    """`Crd`, `Plyr`: a word of which only the consonants stand there."""
    word = plain.strip(" .")
    if len(word) < 3 or not word.isalpha() or _VOWELS.search(word):
        return "", 0
    meant = {meaning for key, (meaning, _) in _MEANT.items() if _consonants(key) == word}
    return (meant.pop(), _LESS_LIKELY) if len(meant) == 1 else ("", 0)


def _consonants(key: str) -> str:
    return _VOWELS.sub("", key) if key.isascii() and key.isalpha() else ""


_VOWELS = re.compile(r"[aeiou]")
_CUT = re.compile(r"(?P<begin>[^\W\d_]{4,})\.")
_NUMBER_BEHIND = re.compile(r"(?<=[^\W\d_]{3})\s?[1-9]$")  # `Name 2`
# `Jugador/a`, `Joueur(se)`: the ending of the other gender
_GENDERED = re.compile(
    r"(?<=[^\W\d_]{3})(?:/|\()-?(?:innen|in|a|o|as|os|se|e|euse|trice|rice|ster)\)?$"
)


def _of_parts(plain: str) -> tuple[str, int]:
    """`Player / Name` and `Name(s)` mean what their parts do, where these mean one thing."""
    parts = [part for part in re.split(r"[/|&,]|\bor\b|\band\b|\boder\b", plain) if part.strip()]
    found = [_MEANT.get(heading_key(part), ("", 0)) for part in parts]
    if "/" in plain:  # `Einlage / Insert`: the same in another language
        found = [*filter(_is_known, found)]
    meant = {meaning for meaning, _ in found}
    if len(parts) > 1 and len(meant) == 1:
        return found[0]
    if meant == {"maker", "set"}:
        return "set", 0  # `Make and set`
    if meant in ({"subject", "first"}, {"last", "first"}):
        return "subject", 0  # `Name, Vorname`
    return "", 0


def _is_known(found: tuple[str, int]) -> bool:
    return found[0] != ""


def _of_words(name: str) -> tuple[str, int]:
    """`card.player.name`, `Collector Number`, `printRun` mean what their words do, where these mean
    one thing or one tells what the other is."""
    kept = _telling_words(heading_words(name))
    if not kept:
        return "", 0
    if found := _MEANT.get("".join(kept)):
        return found[0], found[1] + _LESS_LIKELY
    meant = {_meant_of(word) for word in kept}
    last = _MEANT.get(kept[-1], ("",))[0]
    if last in _TOLD_BY_LAST and "best" not in kept:  # `Best finish` is a place in a race
        return last, _LESS_LIKELY  # `Image Variation`, `Race Team`
    meaning = meant.pop() if len(meant) == 1 else _CLOSER.get(frozenset(meant), "")
    return meaning, _LESS_LIKELY


_TOLD_BY_LAST = ("parallels", "team")


def _meant_of(word: str) -> str:
    """What one word means, also one that is put together of two that are known."""
    if found := _MEANT.get(word):
        return found[0]
    # `Schätzpreis`; what was paid is not what it is worth
    if word.endswith(_PRICE_ENDS) and not word.startswith(_PAID):
        return PRICE
    if word.endswith(_TEAM_ENDS):
        return "team"  # `Wielerploeg`
    if (numbered := _NUMBER_ENDS.fullmatch(word)) and numbered["card"] in _FILLERS:
        return "number"  # `Plaatjesnr.`
    # `Vereinsname`, `des Spielers`
    stem = re.sub(r"(?:s|n|en)?(?:name|naam)$|s$", "", word)
    if stem != word and stem in _MEANT:
        return _MEANT[stem][0]
    return _of_two(word)


def _of_two(word: str) -> str:
    """`所属球団`: two words of one meaning without a space between them."""
    if word.isascii():
        return ""
    whole = (word, f"{word}名")  # which `heading_words` leaves out
    halves = ((one[:at], one[at:]) for one in whole for at in range(1, len(one)))
    meant = [{_MEANT.get(half, ("", 0))[0] for half in two} for two in halves]
    return next((one.pop() for one in meant if len(one) == 1 and one != {""}), "")


_TEAM_ENDS = ("ploeg", "mannschaft", "verein")
_NUMBER_ENDS = re.compile(r"(?P<card>[a-z]{4,}?)(?:s|n|en)?(?:nr|nummer)")
_PRICE_ENDS = ("preis", "wert", "prijs", "waarde")
_PAID = ("kauf", "einkauf", "verkauf", "aankoop", "inkoop", "verkoop", "mehr", "seltenheit")


def _telling_words(words: list[str]) -> list[str]:
    """Those words of a heading that can say what its column holds."""
    if len(words) > 1 and words[-1].isdigit():
        words = words[:-1]  # `Player 2`
    if len(words) > 1 and not PLURAL_CARDS.isdisjoint(words):
        return []  # `Number of Cards` counts them
    return [word for word in words if word not in _FILLERS]


def heading_words(name: str) -> list[str]:
    """The words of a heading, folded; `#` is one, and capitals begin one."""
    found = re.findall(r"[^\W_]+|#", fold(_CAPITAL.sub(" ", _SCRIPTS.sub(" ", name))))
    return [word.removesuffix("名") or word for word in found]


def says_series(name: str) -> bool:
    """Whether a heading is a word for series, which are sets or parts of one: `Series`, `Reeks`."""
    return heading_key(name) in _WORDS_OF_SERIES or fold(name).startswith("seri")


_WORDS_OF_SERIES = frozenset(map(heading_key, ["reeks", "reihe", "deelserie", "シリーズ"]))


def says_no_team(name: str) -> bool:
    """Whether a heading has a word for something that is no team, as `Condition` has."""
    return not NO_TEAM.isdisjoint(heading_words(name))


def user_meaning(said: str) -> str | None:
    """The meaning that a user named; None where there is none of that name."""
    text = " ".join(fold(said).split())
    if text in _SAID.values():
        return text
    if text in MEANINGS:
        return _SAID.get(text, text)
    return meaning_of(text)[0] or None


def shown_meaning(meaning: str) -> str:
    """A meaning as users read and say it."""
    return next((said for said, meant in _SAID.items() if meant == meaning), meaning)
