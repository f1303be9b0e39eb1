"""Names that are typed in full, and words of a name that by themselves would be read as a number,
a condition or a parallel."""

from __future__ import annotations

import pytest

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.lot.carried import Carried
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Parallel, Row, Tags

SET, OTHER = "Moth Hollow 2018", "Stage Coaches 1912"
FINISHES = (Parallel("Reverse"), Parallel("Foil"), Parallel("Gold", 50))
NAMES = (
    "Silver Newt", "Mint Fern", "Agent 52", "Warden of Gate 9", "Silver Newt King", "Reverse Gale",
    "Foil the Miller", "Year 1983", "4 Owls", "Three Owls", "Very Good Cat", "High Gale",
    "Low Gale", "Lantern", "Lanternist", "Gale Rider", "Ada Gold", "Ida Marsh",
    "Ida Marsh / Bo Lund",
)  # fmt: skip
NUMBERS = {name: str(at) for at, name in enumerate(NAMES, 1)}
ROWS = [Row(SET, number, name, "", FINISHES) for name, number in NUMBERS.items()]
ROWS += [Row(OTHER, str(at), f"Gate {name}") for at, name in enumerate(("Ash", "Elm", "Oak"), 1)]
MATCHER = Matcher(Index(Checklist(tuple(ROWS))))


def rank(hint: str, before: str = "Silver Newt", carried: str = SET) -> list[Candidate]:
    tags = Tags(carried, NUMBERS[before], before) if carried else None
    return MATCHER.rank(hint, Context(Carried().put("set", carried), tags))


def named(candidate: Candidate) -> str:
    tags = candidate.tags
    return ", ".join(filter(None, (tags.subject, tags.parallel, tags.condition)))


@pytest.mark.parametrize("carried", [SET, ""])
@pytest.mark.parametrize(
    ("hint", "card"),
    [
        ("agent 52", "Agent 52"),
        ("52 agent", "Agent 52"),
        ("ag 52", "Agent 52"),
        ("name=agent 52", "Agent 52"),
        ("name=agent_52", "Agent 52"),
        ("3 agent 52", "Agent 52"),
        ("agent 52 gold 7/50", "Agent 52, Gold"),
        ("year 1983", "Year 1983"),
        ("year 1983 nm", "Year 1983, Near Mint"),
        ("warden of gate 9", "Warden of Gate 9"),
        ("4 owls", "4 Owls"),
        ("9 4 owls", "4 Owls"),
        ("gate 9 foil", "Warden of Gate 9, Foil"),
    ],
)
def test_digits_are_a_word_of_the_name_that_another_word_names(hint, card, carried):
    first = rank(hint, carried=carried)[0]
    assert (named(first), first.problem) == (card, "")


@pytest.mark.parametrize("hint", ["9", "4", "3 nm", "#9", "9 g"])
def test_digits_alone_are_the_number(hint):
    first = rank(hint)[0]
    assert first.tags.number == hint.strip("#")[0]
    assert "number" in first.meanings


def test_a_number_that_no_name_has_is_not_read_as_one():
    assert rank("agent 53")[0].problem
    assert all(one.problem for one in rank("name=5"))  # digits are no beginning of a word


@pytest.mark.parametrize("carried", [SET, ""])
@pytest.mark.parametrize(
    ("hint", "card"),
    [
        ("very good cat", "Very Good Cat"),
        ("very good cat nm", "Very Good Cat, Near Mint"),
        ("nm very good cat", "Very Good Cat, Near Mint"),
        ("11 very good cat foil", "Very Good Cat, Foil"),
        ("foil the miller", "Foil the Miller"),
        ("foil the miller foil", "Foil the Miller, Foil"),
        ("foil the", "Foil the Miller"),
        ("reverse gale", "Reverse Gale"),
        ("silver newt", "Silver Newt"),
        ("silver newt king", "Silver Newt King"),
        ("lantern", "Lantern"),
        ("mint fern", "Mint Fern"),
        ("ada gold", "Ada Gold"),
    ],
)
def test_words_of_one_name_in_its_order_are_the_name(hint, card, carried):
    first = rank(hint, carried=carried)[0]
    assert (named(first), first.problem) == (card, "")


@pytest.mark.parametrize("before", NAMES[:14:3])
@pytest.mark.parametrize("hint", ["silver newt", "reverse gale", "very good cat"])
def test_a_whole_name_is_sure_though_others_contain_it(hint, before):
    first, second = rank(hint, before)[:2]
    assert named(first).casefold() == hint
    assert first.sure
    assert second.confidence < 0.01


@pytest.mark.parametrize(
    ("hint", "card"),
    [
        ("cat very good", "Very Good Cat, Very Good"),
        ("very good 14", "Lantern, Very Good"),
        ("14 foil", "Lantern, Foil"),
        ("lant foil", "Lantern, Foil"),
        ("5 silver newt", "Silver Newt King"),
        ("lanterni", "Lanternist"),
    ],
)
def test_what_is_not_the_name_in_its_order_means_what_it_did(hint, card):
    first = rank(hint)[0]
    assert (named(first), first.problem) == (card, "")


def test_a_person_is_named_in_full_on_a_card_of_two_as_well():
    assert named(rank("ida marsh", "Ida Marsh")[0]) == "Ida Marsh / Bo Lund"
