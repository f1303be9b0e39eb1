"""Digits that could be a card's number or the year of its set, and words that only repeat the
carried set."""

from __future__ import annotations

import pytest
from support import drawn

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.lot.carried import Carried
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Row, Tags

QUARRY, LATER, EARLY = "1988 Quarry Bridge", "1989 Quarry Bridge", "1974 Mill Pond"


def _rows(set_name: str, count: int, seed: int) -> list[Row]:
    return [Row(set_name, one.number, one.subject) for one in drawn.set_rows("", count, seed)]


SETS = {QUARRY: 132, LATER: 132, EARLY: 396}
ROWS = [row for seed, (name, count) in enumerate(SETS.items()) for row in _rows(name, count, seed)]
ROWS.append(Row(EARLY, "TP-KO", "Tova Kestrin"))
MATCHER = Matcher(Index(Checklist(tuple(ROWS))))


def rank(hint: str, carried: str, before: str) -> list[Candidate]:
    lot = Context(Carried().put("set", carried), Tags(carried, before), frozenset([carried]))
    return MATCHER.rank(hint, lot)


def named(candidate: Candidate) -> str:
    return f"{candidate.tags.set[:4]} #{candidate.tags.number}"


@pytest.mark.parametrize(
    ("hint", "carried", "before", "first", "second"),
    [
        ("74 89", EARLY, "78", "1974 #89", "1989 #74"),
        ("74 89 vg", EARLY, "78", "1974 #89", "1989 #74"),
        ("88 74", QUARRY, "70", "1988 #74", "1974 #88"),
        ("88 89", QUARRY, "12", "1988 #89", "1989 #88"),
        ("89 88", QUARRY, "12", "1989 #88", "1988 #89"),
        ("89 88", QUARRY, "88", "1989 #88", "1988 #89"),
        ("74 89", QUARRY, "12", "1974 #89", "1989 #74"),
        ("89 74", QUARRY, "12", "1989 #74", "1974 #89"),
    ],
)
def test_of_two_numbers_the_set_goes_first_and_neither_is_sure(
    hint, carried, before, first, second
):
    found = rank(hint, carried, before)
    assert [*map(named, found[:2])] == [first, second]
    assert not any(one.sure for one in found)
    assert not any(one.problem for one in found[:2])


@pytest.mark.parametrize(
    ("hint", "carried", "card"),
    [
        ("74 78", EARLY, "1974 #78"),
        ("74 tpko", EARLY, "1974 #TP-KO"),
        ("88 13", QUARRY, "1988 #13"),
        ("88 88", QUARRY, "1988 #88"),
        ("13 88", QUARRY, "1988 #13"),
    ],
)
def test_the_year_of_the_carried_set_beside_the_number_makes_it_no_less_sure(hint, carried, card):
    assert named(rank(hint, carried, "32")[0]) == card
    assert rank(hint, carried, "32")[0].sure


@pytest.mark.parametrize("more", ["m", "mill", "pond", "1974", "74"])
def test_a_word_that_only_agrees_takes_nothing_from_the_number(more):
    alone, agreed = rank("378", EARLY, "32")[0], rank(f"378 {more}", EARLY, "32")[0]
    assert named(alone) == named(agreed) == "1974 #378"
    assert agreed.confidence > 0.93 * alone.confidence
    assert not agreed.problem


def test_one_letter_of_the_carried_set_could_be_a_parallel_and_is_never_sure():
    assert rank("33", EARLY, "32")[0].sure
    assert not rank("33 m", EARLY, "32")[0].sure


def test_a_year_alone_is_a_number():
    assert named(rank("74", EARLY, "70")[0]) == "1974 #74"
    assert named(rank("74 mt", EARLY, "70")[0]) == "1974 #74"
