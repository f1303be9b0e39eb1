"""A condition of several words, wherever words are read: in a hint, for a copy of the card before,
for many cards, and for a card that no checklist has."""

from __future__ import annotations

import pytest
from support.at_work import BOTH, LIGHT, MATCHER

from tagger.core.lot.carried import Carried
from tagger.core.matching.hint import parse_hint
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.matching.repeat_card import CopyChange
from tagger.core.matching.repeat_card import read_change as read_copy
from tagger.core.matching.unlisted import unlisted_tags
from tagger.core.model.condition import DEFAULT_SCALE, Condition, Scale
from tagger.core.model.tags import Tags
from tagger.core.overview.bulk_change import BulkChange, read_change
from tagger.errors import Refused

SCALE = Scale((*DEFAULT_SCALE, Condition("Near Perfect"), Condition("Near Mint Plus")))
TYPED = [
    ("near mint", "Near Mint"),
    ("near perfect", "Near Perfect"),
    ("near perf", "Near Perfect"),
    ("near pe", "Near Perfect"),
    ("very good", "Very Good"),
    ("near mint plus", "Near Mint Plus"),
]


@pytest.mark.parametrize(("typed", "name"), TYPED)
def test_a_hint_may_spell_a_condition_that_begins_like_another_one(typed, name):
    context = Context(Carried((("set", LIGHT),)))
    best = Matcher(MATCHER.index, SCALE).rank(f"2 {typed}", context)[0]
    assert (best.tags.number, best.tags.condition, best.problem) == ("2", name, "")


@pytest.mark.parametrize(("typed", "name"), TYPED)
def test_so_may_what_is_typed_for_a_copy_for_many_and_for_a_card_in_no_checklist(typed, name):
    assert read_copy(typed, SCALE, Tags(LIGHT, "2"), ()) == CopyChange(name)
    assert read_change(typed, SCALE, MATCHER.index, BOTH, {LIGHT}) == BulkChange(condition=name)
    tags = unlisted_tags(parse_hint(f"77 ivo lund {typed}"), Carried(), SCALE)
    assert (tags.number, tags.subject, tags.condition) == ("77", "Ivo Lund", name)


def test_what_could_be_two_conditions_is_none():
    scale = Scale((Condition("Near Mint"), Condition("Near Mixed"), Condition("Good")))
    assert scale.read_several(["near", "mi"]) is None
    assert scale.read_several(["near", "min"]) == ("Near Mint", 2)
    assert read_copy("near mi", scale, Tags(LIGHT, "2"), ()) is None
    with pytest.raises(Refused):
        read_change("near mi", scale, MATCHER.index, BOTH, {LIGHT})


def test_a_beginning_alone_is_a_name_on_a_card_that_no_checklist_has():
    tags = unlisted_tags(parse_hint("77 Exc Lund"), Carried(), Scale())
    assert (tags.subject, tags.condition) == ("Lund", "Excellent")
    tags = unlisted_tags(parse_hint("77 Excel Lund"), Carried(), Scale())
    assert (tags.subject, tags.condition) == ("Excel Lund", "")


HYPHENED = Scale(
    tuple(
        Condition(name, short)
        for name, short in (
            ("Mint", ("mt",)), ("NM-MT", ()), ("Near Mint", ("nm",)), ("EX-MT", ()),
            ("Excellent", ("ex",)), ("VG", ()), ("VG-", ()),
        )
    )
)  # fmt: skip


@pytest.mark.parametrize("typed", ["ex-mt", "ex mt", "exmt", "condition=ex-mt", "condition=exmt"])
def test_a_condition_with_a_hyphen_is_read_wherever_one_is_typed(typed):
    context = Context(Carried((("set", LIGHT),)))
    best = Matcher(MATCHER.index, HYPHENED).rank(f"2 {typed}", context)[0]
    assert (best.tags.number, best.tags.condition, best.problem) == ("2", "EX-MT", "")
    assert read_copy(typed, HYPHENED, Tags(LIGHT, "2"), ()) == CopyChange("EX-MT")
    read = read_change(typed, HYPHENED, MATCHER.index, BOTH, {LIGHT})
    assert read == BulkChange(condition="EX-MT")
    tags = unlisted_tags(parse_hint(f"77 ivo lund {typed}"), Carried(), HYPHENED)
    assert (tags.number, tags.subject, tags.condition) == ("77", "Ivo Lund", "EX-MT")


def test_a_letter_behind_a_condition_does_not_make_another_one_of_it():
    assert HYPHENED.read_several(["ex", "m"]) is None
    tags = unlisted_tags(parse_hint("77 ivo m ex"), Carried(), HYPHENED)
    assert (tags.subject, tags.condition) == ("Ivo M", "Excellent")


def test_a_sign_behind_a_condition_is_part_of_it():
    assert HYPHENED.read("vg-") == ("VG-", True)
    assert HYPHENED.read("vg") == ("VG", True)
    # a step lower is none of a scale that does not have it
    assert Scale().read("vg-") is None
