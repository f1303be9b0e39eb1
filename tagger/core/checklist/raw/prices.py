"""Prices in the ways that people write them: with what says how sure they are, in cents, with a
dash for no cents."""

from __future__ import annotations

import re
from functools import lru_cache

from tagger.core.model.money import LETTERS
from tagger.core.model.text import fold

# What stands where no price is known (common practice, no source).
_NONE = frozenset(
    ["nan", "null", "(null)", "<na>", "none", "nil", "n/a", "na", "#n/a", "#nv", "\\n", "-", "--",
     "–", "—", "?", "??", "tbd", "tba", "unknown", "no price", "unbekannt", "k.a.", "k. a.",
     "inconnu", "nc", "n.c.", "n.d.", "s/d", "sconosciuto", "onbekend", "不明", "未定", ".", "x"]
)  # fmt: skip
_SIGN = r"[A-Za-z]{0,3}[$€£¥₩₺]?|[A-Za-z]{3}"
_ABOUT = re.compile(
    r"^(?:ca|circa|approx|about|around|est|env|environ|etwa|ungefähr|aprox|ongeveer|[~≈±約])\b\.?\s*"
    r"(?=\W{0,2}[0-9])|^[~≈±約]\s*(?=\W{0,2}[0-9])",
    re.IGNORECASE,
)
_NO_CENTS = re.compile(
    rf"^(?P<whole>(?:{_SIGN})\s?[0-9][0-9.,' ]*?)[.,]\s?[-–—=]{{1,2}}(?P<sign>\s?(?:{_SIGN}))$"
)
_CENTS = re.compile(r"^(?P<cents>[0-9]{1,2})\s?(?:¢|cts?|cents?)\.?$", re.IGNORECASE)
MONEY = (
    r"(?:[$€£¥]\s?[0-9][0-9.,']*|[0-9][0-9.,']*\s?[$€£¥]|[0-9]{1,2}¢|[$€£]?\.[0-9]{2}|"
    rf"[0-9][0-9.,']*\s?{LETTERS}\b\.?|"
    r"(?:EUR|USD|GBP|CAD|AUD|CHF)\s[0-9][0-9.,']*|[0-9][0-9.,']*\s(?:EUR|USD|GBP|CAD|AUD|CHF))"
)
"""An amount that has a sign or a code of money."""
_AMOUNT = re.compile(rf"^(?:{MONEY}|[0-9]{{1,6}}[.,][0-9]{{2}})$")


# money without cents, or whose words are written out
_WHOLE = re.compile(
    r"^(?:¥\s?(?P<yen>[0-9]{1,3}(?:,[0-9]{3})+)|(?P<said>[0-9][0-9.,]*)\s?(?P<word>円|元|원|euros?))$",
    re.I,
)
_WORDS = {"円": "¥", "元": "CNY", "원": "₩"}


_BEHIND = re.compile(
    rf"^(?P<rest>.*?\S)(?:[\s,;:.–—=…_-]+|\s*[(\[]\s*)(?<![0-9][.,])(?P<price>{MONEY})\s*"
    r"(?:each|ea\.?|apiece|obo|vb|fp|je|pro stück|por unidad)?\s*[)\]]?$"
)


_LONGEST = 40  # characters of an amount with its sign or currency


def split_price(text: str) -> tuple[str, str]:
    """A text without the amount of money at its end, and that; empty where it has none."""
    if text[-1:].isalpha() and text[-1:].islower() and not any(map(str.isdigit, text)):
        return text, ""  # nearly each line
    # an amount has a figure near the end, and dots without end are not looked through for one
    if not any(map(str.isdigit, text[-_LONGEST:])):
        return text, ""
    match = _BEHIND.match(text.rstrip())
    if match is None:
        return text, ""
    rest = match["rest"].rstrip(" \t,;:.–—=…_-")
    if _ABBREVIATED.search(rest) and text[len(rest) : len(rest) + 2].rstrip() == ".":
        rest = f"{rest}."
    return _EACH.sub("", rest), price_said(match["price"])


# `Ada Marsh Jr. - $3`: its point is no leader
_ABBREVIATED = re.compile(r"\s(?:Jr|Sr|St|[A-Z])$")


_EACH = re.compile(r"\s+(?:à|@|je|ea\.?|each)$")  # `Ada Marsh à 1,50`


# `$0.50 - soft corner`, `€ 7,50 (sold)`
_SAID_BEHIND = re.compile(
    r"^(?P<rest>.*[0-9$€£])\s*(?:[-–—,]\s+|\()(?P<said>[a-zà-ÿ][^$€£()]{2,60})\)?$"
)


def said_behind_price(text: str) -> tuple[str, str]:
    """A text without what is said behind the amount of money in it, and that; empty where nothing
    is."""
    match = _SAID_BEHIND.match(text)
    if match is None or not split_price(match["rest"])[1]:
        return text, ""
    return match["rest"], match["said"]


# `COMPLETE SET (220) 25.00`, `Commons .10`
_OF_SETS = re.compile(
    r"\b(?:complete|set|commons?|(?:semi|minor|unlisted) ?stars?|komplett|serie)\b"
)
_PRICED = re.compile(r"[$€£]?[0-9]{0,5}[.,][0-9]{2}")


# `50c each or $10 for the lot`
_EACH_COSTS = re.compile(
    r"^\W*(?:all |alle |tous |tutt[ei] |tod[oa]s )?(?:[$€£]\s?[0-9]{1,5}(?:[.,][0-9]{1,2})?"
    r"|[0-9]{1,3}\s?(?:[$€£¢]|c|p|cts?|cents?|euros?|eur|usd|dollars?)"
    r"|[0-9]{1,3}[.,][0-9]{2}(?:\s?[$€£]|\s(?:euros?|eur|usd))?)\s+"
    r"(?:each|apiece|a card|per card|a piece|pro karte|pro stück|je karte|das stück|jede|"
    r"la carte|(?:la )?pi[eè]ce|l['’]unit[eé]|chacune?|cada una?|la unidad|l['’]una|ciascun[ao]|"
    r"cadauna|per stuk|per kaart|elk)\b",
    re.IGNORECASE,
)


def says_prices(text: str) -> bool:
    """Whether a line without a number says what the whole set, or a common card, costs."""
    if _EACH_COSTS.match(text):
        return True
    before, _, last = text.replace("\t", " ").rpartition(" ")
    return _PRICED.fullmatch(last) is not None and _OF_SETS.search(fold(before)) is not None


@lru_cache(maxsize=8192)  # a list has few prices, each many times
def price_said(cell: str) -> str:
    """The price that a cell says, empty where it says that there is none; else as it is written."""
    text = cell.strip()
    if text.isdigit() or not text or fold(text) in _NONE:
        return text if text.isdigit() else ""
    text = _ABOUT.sub("", text)
    if match := _NO_CENTS.match(text):
        return f"{match['whole']}{match['sign']}"
    if match := _WHOLE.match(text):
        return _in_signs(match)
    if match := _CENTS.match(text):
        return f"0.{int(match['cents']):02}"
    return text


def _in_signs(match: re.Match[str]) -> str:
    if match["yen"]:
        return f"¥{match['yen'].replace(',', '')}"
    sign = _WORDS.get(match["word"], "EUR")
    # a thousand of what has no cents is written in no other way
    digits = match["said"].replace(",", "") if sign in "¥₩" else match["said"]
    return f"{sign}{digits}" if len(sign) == 1 else f"{digits} {sign}"


def is_plain_amount(cell: str) -> bool:
    """Whether a cell may be an amount of money: a number with at most two places."""
    return _PLAIN.fullmatch(cell) is not None or is_amount(cell)


_PLAIN = re.compile(r"[0-9]{1,6}(?:[.,][0-9]{1,2})?")


def is_money(cell: str) -> bool:
    """Whether a cell is an amount with a sign, a code or letters of money."""
    return _MONEY.fullmatch(price_said(cell)) is not None


_MONEY = re.compile(MONEY, re.IGNORECASE)


def is_amount(cell: str) -> bool:
    """Whether a cell is surely an amount of money: with a sign of it, or with two places."""
    return _AMOUNT.match(price_said(cell)) is not None
