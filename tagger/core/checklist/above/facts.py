"""What lines above the cards say of them by a label: `Set: 1987 Harbor Light`, `Year | 1987`."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from tagger.core.checklist.headings.meaning import NO_MORE, meaning_of
from tagger.core.checklist.named.months import without_month_of_year
from tagger.core.checklist.raw.years import has_year, is_year
from tagger.core.model.text import fold

_OF_SETS = ("set", "year", "maker")
_BETWEEN = re.compile(r"\s*[|;•·]\s*|\s{2,}|\s[–—-]\s")
_LABELLED = re.compile(r"([^:]*(?::(?!\s)[^:]*)*):\s+(\S.*)$")
_REMARK = re.compile(r"^\s*(?:#|//|;|--|%)+\s*")
# what a name of a set with its year stands behind, though it is called otherwise
_TITLES = frozenset(
    ["title", "titel", "titre", "titulo", "titolo", "checklist", "name", "subject", "set list",
     "list", "liste", "lista", "lijst", "file", "product"]
)  # fmt: skip


def labelled(text: str) -> tuple[str, str]:
    """The meaning and the value of `Team: Harbor Gulls`; empty where a text is not so."""
    label, colon, value = text.partition(":")
    if not colon or not value.strip():
        return "", ""
    return meaning_of(label)[0], " ".join(value.split())


def facts_of(cells: Sequence[str], more: Mapping[str, str] = NO_MORE) -> dict[str, str]:
    """The facts of a set that the filled cells of a line say, each with its label; none where a
    line says anything else of cards."""
    if len(cells) == 1 and (year := _year_said(cells[0])):
        return {"year": year}
    pairs = _pairs(cells)
    facts = dict(found for label, value in pairs if (found := _fact(label, value, more))[0])
    # beside a fact stand others that say nothing of sets: `Cards: 15`
    return facts if pairs and (len(facts) == len(pairs) or len(pairs) > 1) else {}


def _pairs(cells: Sequence[str]) -> list[tuple[str, str]]:
    """Labels with their values; none where the cells are something else."""
    if len(cells) == 2 and ":" not in cells[1]:
        return [(cells[0], cells[1])]
    texts = [_REMARK.sub("", cell) for cell in cells]
    if len(texts) == 1 and texts[0].count(":") > 1:
        texts = _BETWEEN.split(texts[0])
    return _labelled_all(texts)


def _labelled_all(texts: Sequence[str]) -> list[tuple[str, str]]:
    """Labels with their values; none where a text has no label."""
    matches = [_LABELLED.match(text) for text in texts if text.strip()]
    return [(match[1], match[2]) for match in matches if match] if all(matches) else []


def _fact(label: str, value: str, more: Mapping[str, str]) -> tuple[str, str]:
    meaning, value = meaning_of(label, more)[0], value.strip()
    if fold(label).strip(" :") in _TITLES and has_year(value) and not is_year(value):
        meaning = "set"
    if meaning not in _OF_SETS or (meaning == "set" and _is_day(value)):
        return "", ""
    return meaning, value


def _is_day(value: str) -> bool:
    """Whether the year in a value is only that of a day or a month: `14 November 2011`."""
    return has_year(value) and not has_year(without_month_of_year(value))


def _year_said(text: str) -> str:
    """The year of a line that says nothing else: `Season 1987-88`, `1987`."""
    label, _, year = text.rpartition(" ")
    if not is_year(year) or (label and meaning_of(label)[0] != "year"):
        return ""
    return year


def set_of_facts(facts: Mapping[str, str], name: str) -> str:
    """The set that facts name; `name` where they name none."""
    name = facts.get("set", name)
    if facts.get("year") and not has_year(name):
        name = f"{facts['year']} {name}".strip()
    return name
