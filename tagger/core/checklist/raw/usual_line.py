"""One typed line by itself: what stands around its number, left away or put in the usual order."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.checklist.lines import Line

NUMBERED = re.compile(r"^\W*(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?\b")


_TIGHT = re.compile(
    r"^(?P<number>#?[0-9]{1,4}[a-z]?)-(?P<name>[A-ZÀ-Þ][^-]+)(?:-(?P<team>[^-]+))?$"
)


def _parted_by_dashes(text: str) -> str:
    """`001-Ada Marsh-Gulls`: dashes part number, name and team."""
    match = _TIGHT.match(text)
    if match is None or not any(map(str.islower, match["name"])):
        return text
    return " - ".join(filter(None, match.group("number", "name", "team")))


def _without_stops(text: str) -> str:
    """`23. Ada Marsh.`: the full stop that all lines end with; `Jr.` keeps its own."""
    last = text.split()[-1] if text.endswith(".") else ""
    is_word = len(last) > 2 and last.count(".") == 1 and last.lower() not in _CUT_SHORT
    return text[:-1] if is_word else text


_CUT_SHORT = frozenset(["jr.", "sr.", "st.", "co.", "inc.", "ltd.", "bros.", "esq.", "mr.", "dr."])


_COPIES = re.compile(
    r"^(?:[0-9]{1,2}\s?[x×]|[(\[][0-9]{1,2}\s?[x×]?[)\]])\s+(?=#?[A-Z]{0,4}-?[0-9])", re.IGNORECASE
)
_COPIES_BEHIND = re.compile(r"(?<!\w)[(\[]?\b(?:[x×]\s?[0-9]{1,2}|[0-9]{1,2}\s?[x×])\b[)\]]?$")


def _without_copies(text: str) -> str:
    """`2x 23 Ada Marsh`, `23 Ada Marsh (x2)`: how many the owner has is left away."""
    return _COPIES_BEHIND.sub("", _COPIES.sub("", text)).rstrip()


_COUNT_BEHIND = re.compile(
    r"(?<=\S)\s+[(\[](?:(?:qty|stock)\.?:?\s*)?[0-9]{1,2}"
    r"(?:\s*(?:available|avail\.?|left|in stock|vorhanden|dispo(?:nibles?)?))?[)\]]$",
    re.IGNORECASE,
)


def _without_counts_behind(text: str) -> str:
    """`23 Ada Marsh (3)`: how many the owner has is left away."""
    return _COUNT_BEHIND.sub("", text) if NUMBERED.match(text) else text


_COUNT = re.compile(r"^[0-9]{1,4}[.):]\s+(?=#[0-9])")


def _without_count(text: str) -> str:
    """`1. #23 Ada Marsh`: what counts the lines is left away."""
    return _COUNT.sub("", text)


_OF = re.compile(
    r"^(?P<begin>\W*)(?P<number>[0-9]{1,4})\s+(?:of|von|de|di|van)\s+(?P<of>[0-9]{1,4})\b"
)


def without_totals(lines: Sequence[Line]) -> list[Line]:
    """The lines without what counts all cards of a part, where several say the same of one: `1 of
    9 - Ada Marsh`, `2 of 9 - Bo Finn`."""
    matches = [_OF_ALL.match(text) for _, text in lines]
    times = Counter(match["of"] for match in matches if match)
    return [
        (line, f"{match['begin']}{match['number']} {match['rest']}")
        if match and times[match["of"]] > 1 and int(match["number"]) <= int(match["of"])
        else (line, text)
        for match, (line, text) in zip(matches, lines, strict=True)
    ]


# a name stands behind the count, and no word that says what is counted
_OF_ALL = re.compile(rf"{_OF.pattern}\s*(?:[-–—:.)]\s*)?(?P<rest>(?:[^\W\d_a-zà-ÿ]|[\"'“«])\S.*)$")


def _without_total(text: str) -> str:
    """`1 of 50 Ada Marsh`: what counts all cards is left away."""
    match = _OF.match(text)
    if match is None or int(match["number"]) > int(match["of"]):
        return text
    return f"{match['begin']}{match['number']}{text[match.end() :]}"


_LABELLED = re.compile(
    r"^(?P<begin>\W*)(?:cards?|karte|carte|carta|kaart|cromo|bild|figurina|plaatje|sticker|image|"
    r"no|nr|n(?=\.)|n[°º](?![^\W\d])|num|núm|number|№|numero|número|numéro|nummer|"
    r"fig|figure|figura|abb|abbildung|foto|photo|picture|pic|chromo|vignette|tarjeta|estampa|lámina|"
    r"cartolina|kort|plaatje|obrázek)"
    r"(?:\b|(?<=[°º]))[.:]?\s*#?"
    r"(?=(?:[A-Z]{1,4}-?)?[0-9])",  # `NR-11` is a number with letters
    re.IGNORECASE,
)


def _without_label(text: str) -> str:
    text = _LABELLED.sub(r"\g<begin>", text)
    # `No. A - The Door`
    return _LETTERED.sub(r"#\g<letter> ", text)


_LETTERED = re.compile(
    r"^\W*(?i:no\.?|nr\.?|n[°º]|cards?|karte|carta|kaart|cromo|bild|figurina|fig\.?|abb\.?|sticker)"
    r"\s*(?P<letter>[A-Z])(?=\s*[-–—:.)])"
)


_NUMBER_BEHIND = re.compile(
    r"^(?P<name>[^\W\d_][^#()\d]*?)[\s,–—-]*(?:[(\[]\s*#?|#|\b(?:no|nr)\b\.?\s?)"
    r"(?P<number>[A-Z]{0,4}-?[0-9]{1,4}[a-z]?)[)\]]?(?P<rest>\s*(?:[-–—,(\[/].*)?)$",
    re.IGNORECASE,
)


# `Room 13 (#15)`: what is signed and held so is the number, whatever digits the name has
_HELD = r"[(\[]\s*#\s*(?P<number>[A-Z]{0,4}-?[0-9]{1,4}[a-z]?)[)\]]"
_SIGNED_BEHIND = re.compile(rf"^(?P<name>[^\W\d_][^#()]*?)\s*{_HELD}(?P<rest>)$")


def _number_first(text: str) -> str:
    """`Ada Marsh #23 (Harbor Gulls)`"""
    return _turned(_NUMBER_BEHIND.match(text) or _SIGNED_BEHIND.match(text), text)


# `Marsh, Ada (23) Harbor Gulls`, `Ada Marsh #23 Harbor Gulls`
_NUMBER_BETWEEN = re.compile(
    r"^(?P<name>[^\W\d_][^#()\d]*?)\s*(?:[(\[]\s*#?(?P<held>[A-Z]{0,3}-?[0-9]{1,4}[a-z]?)[)\]]"
    r"|#(?P<signed>[A-Z]{0,3}-?[0-9]{1,4}[a-z]?))\s+(?P<team>[^\W\d_][^()\[\]]*)$"
)


def _number_between(text: str) -> str:
    match = _NUMBER_BETWEEN.match(text)
    if match is None:
        return text
    return f"{match['held'] or match['signed']} {match['name']} ({match['team'].strip()})"


_NUMBER_LAST = re.compile(
    r"^(?P<name>[^\W\d_][^\d]*?)(?:\s*[-–—]\s*|[\s.…]+)(?:n[.°º]\s*)?#?(?P<number>[0-9]{1,4}[a-z]?)(?P<rest>)$"
)


def _number_last(text: str) -> str:
    """`Ada Marsh (Harbor Gulls) - 23`"""
    return _turned(_NUMBER_LAST.match(text), text)


def _turned(match: re.Match[str] | None, text: str) -> str:
    return f"{match['number']} {match['name'].strip()}{match['rest']}" if match else text


_SAME_MARKS = re.compile(
    r"^\W*(?P<number>(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?)\s*(?P<mark>//|::|>>|=>|[~*•·→])\s*"
    r"(?P<name>[^\W\d_].*?)\s*(?P=mark)\s*(?P<team>[^\W\d_].*)$"
)


def _with_usual_marks(text: str) -> str:
    """`23 // Ada Marsh // Harbor Gulls`: one mark between all parts."""
    match = _SAME_MARKS.match(text)
    return f"{match['number']} {match['name']} – {match['team']}" if match else text


_BEHIND_READING = re.compile(r"(?<=[\u3041-\u30ff]\)) +(?=[^\s(])")


def _parted_behind_reading(text: str) -> str:
    """A name in Japanese, how it is read in brackets, and its team behind a space."""
    return _BEHIND_READING.sub("\t", text, count=1)


CHANGES = (
    _parted_behind_reading,
    _with_usual_marks,
    _parted_by_dashes,
    _without_stops,
    _without_copies,
    _without_counts_behind,
    _without_count,
    _without_total,
    _without_label,
    _number_first,
    _number_between,
    _number_last,
)
"""Each is made where it changes most lines of a list, in this order."""
