"""A number behind the card's as its serial number, and short forms of conditions that are initials
as well."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.harbor import ALL, LIGHT, POND, ROWS, carrying, named, rank

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.lot.carried import Carried
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.tags import Row

GOLD = carrying(parallel="Gold")
INITIALS = Matcher(
    Index(
        Checklist(
            (
                *ROWS,
                Row(LIGHT, "138", "Mara Torwick", "", ALL),
                Row(LIGHT, "139", "Vic Gorden", "", ALL),
            )
        )
    )
)


@pytest.mark.parametrize(
    ("hint", "card"),
    [
        ("13 39", "1987 #13 Edo Kasell, Gold 39/99"),
        ("39 13", "1987 #39 Junna Rask, Gold 13/99"),
        ("23 39 nm", "1987 #23 Ada Marsh, Gold 39/99, Near Mint"),
        ("23 nm 39", "1987 #23 Ada Marsh, Gold 39/99, Near Mint"),
        ("marsh 23 39", "1987 #23 Ada Marsh, Gold 39/99"),
        ("#23 39", "1987 #23 Ada Marsh, Gold 39/99"),
        ("rc 7 39", "1987 #RC-7 Nils Vos, Gold 39/99"),
        ("23 007", "1987 #23 Ada Marsh, Gold 007/99"),
        ("85 23 39", "1985 #23 Lee Torbel, Gold 39/50"),
    ],
)
def test_where_a_numbered_parallel_is_carried_a_second_number_is_its_serial_number(hint, card):
    assert named(rank(hint, GOLD)[0]) == card


def test_the_run_is_that_of_the_card():
    pond = Context(Carried().put("set", POND).put("parallel", "Gold"))
    assert named(rank("23 39", pond)[0]) == "1985 #23 Lee Torbel, Gold 39/50"
    assert rank("23 51", pond)[0].tags.serial != "51/50"


@pytest.mark.parametrize(
    "hint", ["39", "marsh 39", "23 0", "23 100", "23 39/98", "23 #39", "23 number=39", "23 39 40"]
)
def test_what_is_no_second_number_that_fits_the_run_is_none(hint):
    top = rank(hint, GOLD)[0]
    assert top.problem or not top.tags.serial


@pytest.mark.parametrize("parallel", ["", "Silver", "Purple"])
def test_without_a_numbered_parallel_it_is_none(parallel):
    assert all(found.problem for found in rank("23 39", carrying(parallel=parallel)))


def test_a_number_alone_names_no_other_parallel():
    assert {found.tags.parallel for found in rank("23 12", GOLD) if not found.problem} == {"Gold"}
    assert named(rank("23 12 wave", GOLD)[0]) == "1987 #23 Ada Marsh, Gold Wave 12/25"


@pytest.mark.parametrize("hint", ["13 serial=12", "13 serial=12 nm"])
def test_one_that_is_tied_by_its_sign_is_sure_to_be_of_the_parallel_that_is_carried(hint):
    first, *others = rank(hint, GOLD)
    assert (first.tags.parallel, first.tags.serial) == ("Gold", "12/99")
    assert first.confidence > 0.9
    assert "Gold Wave" in {found.tags.parallel for found in others}


def test_it_is_sure_unless_it_could_be_a_year_or_the_end_of_the_number():
    assert rank("13 39", GOLD)[0].sure
    year, end = rank("23 85", GOLD)[0], rank("1 3", GOLD)[0]
    assert (year.tags.serial, end.tags.serial) == ("85/99", "3/99")
    assert not year.sure
    assert not end.sure


@given(st.integers(1, 20), st.integers(1, 99))
def test_law_it_means_what_the_serial_number_written_out_means(number, serial):
    short, long = rank(f"{number} {serial}", GOLD)[0], rank(f"{number} {serial}/99", GOLD)[0]
    assert short.tags == long.tags


@pytest.mark.parametrize(
    ("hint", "card"),
    [
        ("mt 138 ex", "1987 #138 Mara Torwick, base, Excellent"),
        ("ex 138 mt", "1987 #138 Mara Torwick, base, Excellent"),
        ("138 mt near mint", "1987 #138 Mara Torwick, base, Near Mint"),
        ("vg 139 mt", "1987 #139 Vic Gorden, base, Mint"),
        ("mt 138", "1987 #138 Mara Torwick, base, Mint"),
        ("vg 138 g", "1987 #138 Mara Torwick, Gold, Very Good"),
        ("condition=mt 138", "1987 #138 Mara Torwick, base, Mint"),
    ],
)
def test_of_two_conditions_one_that_is_the_card_s_initials_is_a_name(hint, card):
    top = INITIALS.rank(hint, carrying())[0]
    assert named(top) == card
    assert top.confidence > 0.9


def test_two_conditions_of_a_card_with_other_initials_are_refused():
    assert all(found.problem for found in INITIALS.rank("mt 22 ex", carrying()))
