"""Sets that are numbered in Roman numerals, as old cards of trade are (common practice, no
source)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support import drawn

from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.lot.carried import Carried
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.matcher import Matcher
from tagger.core.matching.priors.context import Context
from tagger.core.model.numbers import ROMAN_END, are_roman, in_roman, roman
from tagger.core.model.tags import Row, Tags

SET, CODES, LETTERS = "Kites and Bridges 1909", "2001 Signed Kites", "Trades from A to T"
PLAIN = "1987 Harbor Light"
NAMES = [one.subject for one in drawn.set_rows("", 30, 5)]
ROWS = [
    *(Row(SET, in_roman(at).upper(), NAMES[at - 1]) for at in range(1, 31)),
    *(Row(CODES, code, f"Signer {code}") for code in ("CD", "IX", "MC", "V", "XC")),
    *(Row(LETTERS, letter, f"Trade of {letter}") for letter in "ABCDEFGHIJKLMNOPQRST"),
    *(Row(PLAIN, str(at), f"Boat {at}") for at in range(1, 41)),
]
MATCHER = Matcher(Index(Checklist(tuple(ROWS))))


def rank(hint: str, carried: str = "", before: str = "") -> list[Candidate]:
    lot = Context(Carried().put("set", carried), Tags(carried, before) if before else None)
    return MATCHER.rank(hint, lot)


@given(st.integers(1, ROMAN_END - 1))
def test_law_a_value_is_read_as_it_is_written(value):
    assert roman(in_roman(value)) == roman(in_roman(value).upper()) == value


@pytest.mark.parametrize("text", ["", "IIII", "IC", "VX", "A", "3", "XIVa", "R-I"])
def test_what_is_no_roman_number_has_no_value(text):
    assert roman(text) is None


def test_a_set_is_numbered_so_where_all_its_numbers_are_and_go_on():
    assert are_roman(["I", "II", "IV", "IX"])
    assert not are_roman(["I", "II", "3"])
    assert not are_roman(["C", "D", "I", "M"])  # letters of an alphabet
    assert not are_roman(["CD", "MC", "IX"])  # initials
    assert not are_roman([])


@pytest.mark.parametrize(
    ("before", "after"), [("IV", "V"), ("VIII", "IX"), ("IX", "X"), ("XIV", "XV"), ("XIX", "XX")]
)
def test_the_run_goes_on_by_value(before, after):
    assert rank("", SET, before)[0].tags.number == after


@pytest.mark.parametrize(
    ("before", "carried", "after"), [("C", LETTERS, "D"), ("I", LETTERS, "J"), ("CD", CODES, "IX")]
)
def test_letters_and_initials_stay_in_the_order_of_the_alphabet(before, carried, after):
    assert rank("", carried, before)[0].tags.number == after


@pytest.mark.parametrize(
    ("hint", "number"), [("3", "III"), ("14", "XIV"), ("9", "IX"), ("xi", "XI")]
)
def test_digits_are_the_roman_number_of_the_carried_set(hint, number):
    first = rank(hint, SET, "II")[0]
    assert (first.tags.set, first.tags.number, first.problem) == (SET, number, "")
    assert rank("3", SET, "II")[0].sure


def test_digits_are_themselves_in_any_other_set():
    assert rank("3", PLAIN, "2")[0].tags.number == "3"
    assert {one.tags.set for one in rank("9")} == {PLAIN}
    assert not any(one.tags.set == SET for one in rank("31", SET, "II"))
