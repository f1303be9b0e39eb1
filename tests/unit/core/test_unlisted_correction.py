"""A tagged card that is in no list is corrected field by field, as any other is."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.at_work import LIGHT, MATCHER, opened

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher
from tagger.core.session.proposal import Deed
from tagger.core.session.session import Session


@pytest.fixture
def alone(tmp_path: Path) -> Session:
    """A lot without a list, two cards tagged."""
    session = opened(tmp_path)
    session.candidates.matcher = Matcher(Index(Checklist()))
    session.accept("set=1983 pine cove 1 lena rademaker 2/9 vg at=box 1")
    session.accept("2 søren corso gold 3/10 nm")
    return session


@pytest.mark.parametrize(
    ("hint", "changes"),
    [
        ("3", [("number", "1", "3")]),
        ("name=lena radek", [("name", "Lena Rademaker", "Lena Radek")]),
        ("name=lena mint vg", [("name", "Lena Rademaker", "Lena Mint")]),
        ("lena radek", [("name", "Lena Rademaker", "Lena Radek")]),
        ("set=1984 pine cove", [("set", "1983 Pine Cove", "1984 Pine Cove")]),
        ("gold", [("parallel", "base", "Gold")]),
        ("fai", [("condition", "Very Good", "Fair")]),
        ("serial=", [("serial number", "2/9", "none")]),
        ("condition=", [("condition", "Very Good", "none")]),
        ("serial= ex", [("serial number", "2/9", "none"), ("condition", "Very Good", "Excellent")]),
    ],
)
def test_only_what_is_typed_changes(alone, hint, changes):
    alone.go(1)
    before = alone.view.card_at(1).mark.tags
    proposal = alone.proposals.of(hint)
    assert (proposal.deed, list(proposal.changes)) == (Deed.CHANGE, changes)
    alone.accept(hint)
    after = alone.view.card_at(1).mark.tags
    named = {"serial number": "serial", "name": "subject"}
    fields = {named.get(field, field) for field, *_ in changes}
    for field in ("set", "number", "subject", "parallel", "serial", "condition", "place"):
        assert (getattr(before, field) != getattr(after, field)) == (field in fields)


@pytest.mark.parametrize("hint", ["nmm", "vgg"])
def test_a_mistyped_condition_is_no_name(alone, hint):
    alone.go(1)
    proposal = alone.proposals.of(hint)
    assert proposal.deed is Deed.REFUSE
    assert "is not a condition" in proposal.why


def test_a_colour_beside_a_parallel_is_no_name(listed):
    listed.go(2)
    listed.accept("red gold 3/10")
    tags = listed.view.card_at(2).mark.tags
    assert (tags.subject, tags.parallel, tags.serial) == ("Wim Sandoval", "Red Gold", "3/10")


def test_enter_and_the_key_for_unlisted_cards_read_a_hint_alike(alone):
    hint = "9 ada marsh gold 3/10"
    typed = alone.proposals.of(hint).candidates[0].tags
    made = alone.unlisted(hint).tags
    assert (typed.number, typed.subject, typed.parallel, typed.serial) == (
        made.number,
        made.subject,
        made.parallel,
        made.serial,
    )
    assert (typed.subject, typed.parallel) == ("Ada Marsh", "Gold")


@pytest.fixture
def listed(tmp_path: Path) -> Session:
    """A lot with a list, and a card of its set that the list has not."""
    session = opened(tmp_path)
    session.candidates.matcher = MATCHER
    session.accept("1987 1")
    session.take_unlisted("151 wim sandoval gold 12/50 nm")
    session.go(2)
    return session


@pytest.mark.parametrize(
    ("hint", "changes"),
    [
        ("name=wim sandowal", [("name", "Wim Sandoval", "Wim Sandowal")]),
        ("red", [("parallel", "Gold", "Red")]),
        ("base", [("parallel", "Gold", "base")]),
        ("153", [("number", "151", "153")]),
        ("set=1985", [("set", LIGHT, "1985 Mill Pond")]),
    ],
)
def test_beside_a_list_it_is_so_too(listed, hint, changes):
    proposal = listed.proposals.of(hint)
    assert (proposal.deed, list(proposal.changes)) == (Deed.CHANGE, changes)


def test_a_number_that_the_list_has_is_that_card(listed):
    proposal = listed.proposals.of("3")
    assert proposal.deed is Deed.TAKE
    assert proposal.candidates[0].tags.listed
