"""Lines that are neither column names nor cards: titles, headings of a part, totals, notes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from tagger.core.checklist.headings import NO_MORE, meaning_of
from tagger.core.checklist.lines import count_said, filled
from tagger.core.checklist.parallels import is_finish, run_number
from tagger.core.model.text import fold, printable

_YEAR = re.compile(r"(?<![0-9])(?:1[89]|20)[0-9]{2}(?:[-/–](?:[0-9]{4}|[0-9]{2}))?(?![0-9])")
_COUNT_PART = re.compile(
    r"[\s,;:–—-]*[(\[]?\s*(?:[0-9][0-9.,']*)[\s-]*(?:base\s+|total\s+)?"
    r"(?:cards?|karten|cartes?|cartas|cromos|carte|kaarten|subjects|枚)\b[^()\[\]]*[)\]]?",
    re.IGNORECASE,
)
_LISTED = re.compile(
    r"[\s,;:–—-]*\b(?:(?:full|complete|master|official|base)?\s*(?:card\s*)?check\s*list[e]?|"
    r"(?:full |complete |master )?(?:card|set) list|trading cards?|"
    r"kartenliste|liste|lista|lijst)\b\s*$",
    re.IGNORECASE,
)
_RANGE = re.compile(
    r"[\s,;:(\[–—-]*(?:\b(?:cards|nos?|nr|karten)\b\.?\s*)?#?(?P<prefix>[A-Za-z]*-?)(?P<first>[0-9]+)"
    r"\s*(?:-|–|—|to|bis|through|thru)\s*#?[A-Za-z]*-?(?P<last>[0-9]+)\s*[)\]]?\s*:?$"
)
_NOTE = re.compile(
    r"https?:|www\.|@|©|\b(?:source|updated|as of|stand|quelle|compiled|copied|page|printed|note|"
    r"notes|download(?:ed)?|legend|key|disclaimer|subject to change|thanks|sheet|version)\b"
)
_TOTALS = re.compile(
    r"^(?:grand |sub|sub-)?\s*(?:total|totals|sum|count|summe|gesamt|gesamtzahl|anzahl|totale|"
    r"totaal|aantal|somme|suma|nombre de cartes|cards total|合計|計|総数)\b\s*(?:of\s+)?"
    r"(?:number\s+of\s+)?(?:cards?|karten|cartes|cartas|kaarten)?\s*[:=]?\s*[0-9., ]*"
    r"(?:cards?|karten|cartes|cartas|kaarten)?\.?$"
)
_BASE = frozenset(
    [
        "base",
        "baseset",
        "basecards",
        "basechecklist",
        "basissatz",
        "commons",
        "basis",
        "regular",
    ]
)
_PARALLEL_PART = re.compile(r"\bparallel(?:s|es|en|a|as|i|e)?\b\s*:?", re.IGNORECASE)
_LONGEST_HEADING = 70  # characters


class Title(NamedTuple):
    """What stands above a table: the name of its set, how many cards it says there are, the lines
    in which these stand, and lines that say something else."""

    name: str = ""
    given: int = 0
    line: int = 0
    given_line: int = 0
    left: tuple[tuple[int, str], ...] = ()


def has_year(text: str) -> bool:
    """Whether a text has the year of a set in it."""
    return _YEAR.search(text) is not None


def is_note(text: str) -> bool:
    """Whether a line speaks to the reader and names nothing."""
    if len(text) > _LONGEST_HEADING or text[:1] in "*†" or _NOTE.search(fold(text)):
        return True
    return text.rstrip().endswith((".", "!", "?")) and len(text.split()) > 4


def is_total(texts: Iterable[str]) -> bool:
    """Whether the cells of a line are a total: `Total`, `220 cards`."""
    given = list(texts)
    if not given:
        return False
    plain = fold(given[0]).strip()
    if _TOTALS.match(plain):
        return True
    return len(given) == 1 and count_said(plain) > 0 and not _COUNT_PART.sub("", plain).strip(" .")


def total_of(texts: Iterable[str]) -> int:
    """The number in a total, 0 where it has none."""
    for text in texts:
        if digits := re.search(r"[0-9]{1,3}(?:[.,'][0-9]{3})+(?![0-9])|[0-9]+", text):
            return int(re.sub(r"\D", "", digits[0]))
    return 0


def title_above(lines: Iterable[tuple[int, list[str]]], more: Mapping[str, str] = NO_MORE) -> Title:
    """The title in the lines above a table; facts such as `Set: 1987 Harbor Light` count."""
    facts: dict[str, str] = {}
    said: list[tuple[int, str]] = []
    for line, cells in lines:
        given = [" ".join(cell.split()) for cell in filled(cells)]
        if not given:
            continue
        if fact := _fact(given, more):
            facts[fact[0]] = fact[1]
        else:
            said.append((line, " ".join(given)))
    return _title(facts, said)


def _fact(given: list[str], more: Mapping[str, str]) -> tuple[str, str] | None:
    if len(given) == 1:
        given = [part.strip() for part in re.split(r":\s+", given[0], maxsplit=1)]
    if len(given) != 2 or not given[1]:
        return None
    meaning = meaning_of(given[0], more)[0]
    return (meaning, given[1]) if meaning in ("set", "year", "maker") else None


def _title(facts: Mapping[str, str], said: list[tuple[int, str]]) -> Title:
    line, name = _name_among(said)
    given_line, given = next(((at, count) for at, count in _counts(said) if count), (0, 0))
    name = facts.get("set", name)
    if facts.get("year") and not has_year(name):
        name = f"{facts['year']} {name}".strip()
    left = tuple((at, text) for at, text in said if at != line and not is_total([text]))
    return Title(name, given, line, given_line, left)


def _counts(said: list[tuple[int, str]]) -> list[tuple[int, int]]:
    return [(at, count_said(text)) for at, text in said]


def _name_among(said: list[tuple[int, str]]) -> tuple[int, str]:
    """The line and the name of a set in some lines: the one with a year, else the first."""
    named = [(at, title_name(text)) for at, text in said if not is_note(text)]
    named = [one for one in named if one[1]]
    named.sort(key=lambda one: not has_year(one[1]))
    return named[0] if named else (0, "")


def title_name(text: str) -> str:
    """The name in a title: without `(220 cards)` and `checklist`."""
    name, before = _COUNT_PART.sub("", text), ""
    while name != before:  # `trading cards checklist`
        before, name = name, _LISTED.sub("", name).strip(" :;,-–—#*=_|")
    return " ".join(name.split())


class Part(NamedTuple):
    """What a heading inside a table says of the cards below: their series, the parallel that they
    are, or the set; and the numbers it says they have."""

    series: str = ""
    parallel: str = ""
    set: str = ""
    first: int = 0
    last: int = 0


def part_of(text: str) -> Part:
    """The part that a heading begins."""
    first, last = 0, 0
    if match := _RANGE.search(text):
        first, last = int(match["first"]), int(match["last"])
        # a year's season is no range of numbers
        if not _YEAR.search(match[0]):
            text = text[: match.start()]
        else:
            first = last = 0
    name = title_name(text)
    if "".join(filter(str.isalnum, fold(name))) in _BASE:
        return Part(first=first, last=last)
    if is_finish(name) and (_PARALLEL_PART.search(name) or run_number(name[name.find("/") :])):
        return Part(parallel=" ".join(_PARALLEL_PART.sub(" ", name).split()))
    if re.match(r"(?:1[89]|20)[0-9]{2}\b", name):
        return Part(set=name, first=first, last=last)
    return Part(series=name, first=first, last=last)


def has_range(text: str) -> bool:
    """Whether a heading says which numbers are below it."""
    return _RANGE.search(text) is not None


_PARTS = re.compile(
    r"\b(?:rookies?|inserts?|subsets?|checklists?|parallels?|base|stars|leaders|autographs?|relics?|"
    r"memorabilia|commons|short prints?|update|traded|series|hits|specials?|highlights|legends)\b"
)


def names_part(text: str) -> bool:
    """Whether a lone text is surely the heading of a part: a range of numbers, a count, a colon, a
    word of the trade."""
    if has_range(text) or count_said(text) or text.rstrip().endswith(":"):
        return True
    return _PARTS.search(fold(text)) is not None


def quoted(texts: Iterable[str]) -> str:
    """The texts of a line as a sentence shows them."""
    return f"'{printable(' '.join(' '.join(texts).split()), 50)}'"
