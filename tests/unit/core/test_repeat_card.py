"""The card before once more, with a condition or serial number typed before the sign, and what
stays text."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.at_work import LIGHT, facts, opened, take

from tagger.core.matching.hint import FIELDS_BY_BEGINNING
from tagger.core.matching.repeat_card import CopyChange, again, read_change
from tagger.core.model.condition import DEFAULT_SCALE, Condition, Scale
from tagger.core.model.tags import Parallel, Tags
from tagger.core.session.session import Session
from tagger.errors import Refused

GOLD, WAVE, SILVER = Parallel("Gold", 99), Parallel("Gold Wave", 25), Parallel("Silver")
ALL = (GOLD, WAVE, SILVER)
BEFORE = Tags(LIGHT, "23", "Ada Marsh", "", "Gold", "12/99", "Near Mint", "box 1", "soft corner")


def read(
    hint: str,
    before: Tags = BEFORE,
    parallels: tuple[Parallel, ...] = ALL,
    scale: Scale | None = None,
):
    return read_change(hint, scale or Scale(), before, parallels)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Session]:
    session = opened(tmp_path)
    yield session
    session.close()


@pytest.mark.parametrize(
    ("hint", "condition", "serial"),
    [
        ("ex", "Excellent", ""),
        ("near mint", "Near Mint", ""),
        ("condition=ex", "Excellent", ""),
        ("39/99", "", "39/99"),
        ("39", "", "39"),
        ("serial=39", "", "39"),
        ("39/", "", "39/"),
        ("vg 39/99", "Very Good", "39/99"),
        ("039 very good", "Very Good", "039"),
    ],
)
def test_condition_and_serial_number_in_any_order(hint, condition, serial):
    assert read(hint) == CopyChange(condition, serial)


@pytest.mark.parametrize(
    "hint",
    ["", " ", "n", "nm c", "39 r", "39 at", "marsh", "ex marsh", "23 39", "ex vg", "39 40",
    "39/99 40/99", "gold",
     "/99", "100", "0", "ex at=box 2", "ex note=torn", "#39", "team=ex", "zzqx"],
)  # fmt: skip
def test_anything_else_stays_text(hint):
    assert read(hint) is None


def test_a_number_alone_is_no_serial_number_of_a_card_that_has_none():
    assert read("39", Tags(LIGHT, "23", "Ada Marsh")) is None
    assert read("39", Tags(LIGHT, "23", "Ada Marsh", parallel="Silver")) is None


@given(st.sampled_from(sorted(FIELDS_BY_BEGINNING)), st.sampled_from(["", "ex ", "39/99 "]))
def test_law_a_short_name_of_a_field_can_always_be_typed_on(name, ahead):
    """Also where a condition is shortened by the same letter."""
    scale = Scale((*DEFAULT_SCALE, Condition("Handled", (name,))))
    assert read(f"{ahead}{name}", scale=scale) is None
    assert read(f"{ahead}{name.upper()}", scale=scale) is None


def test_the_copy_has_what_is_said_and_all_else_of_the_card_before_but_its_serial_number():
    assert again(BEFORE, CopyChange(), ALL).brief() == "#23 Ada Marsh, Gold, Near Mint"
    assert (
        again(BEFORE, CopyChange("Excellent", "39"), ALL).brief()
        == "#23 Ada Marsh, Gold 39/99, Excellent"
    )
    assert again(BEFORE, CopyChange("", "007/99"), ALL).serial == "007/99"
    assert (
        again(BEFORE, CopyChange("", "7/25"), ALL).brief()
        == "#23 Ada Marsh, Gold Wave 7/25, Near Mint"
    )
    unlisted = Tags("", "5", "Bo Lund", "", "Green", "3/10", listed=False)
    assert again(unlisted, CopyChange("", "4"), ()).serial == "4/10"


@pytest.mark.parametrize(
    ("serial", "why"),
    [
        ("100/99", "above the print run of 99"),
        ("0/99", "no number 0"),
        ("5/60", "no parallel that 5/60 is a serial"),
    ],
)
def test_a_serial_number_that_cannot_be_is_refused(serial, why):
    with pytest.raises(Refused, match=why):
        again(BEFORE, CopyChange("", serial), ALL)


@given(st.integers(-5, 200), st.sampled_from(ALL))
def test_law_a_copy_is_of_a_parallel_with_that_run_or_there_is_none(number, parallel):
    before = Tags(LIGHT, "23", "Ada Marsh", parallel=parallel.name)
    said = read(str(number), before)
    if parallel.run is None or not 1 <= number <= parallel.run:
        assert said is None
    else:
        assert said is not None
        assert again(before, said, ALL).serial == f"{number}/{parallel.run}"


def test_a_sitting_takes_it_and_undo_takes_it_back(desk):
    take(desk, "set=87 2 g 12/99 nm")
    assert desk.candidates.is_copy("39 ex")
    before = facts(desk)
    assert desk.again("39 ex") == "Card 2: #2 Bo Lund, Gold 39/99, Excellent."
    desk.undo()
    assert facts(desk)[:4] == before[:4]
    assert not desk.candidates.is_copy("bo")
    assert not desk.candidates.is_copy("")


def test_nothing_repeats_where_there_is_no_card_before(desk):
    assert not desk.candidates.is_copy("ex")
    with pytest.raises(Refused):
        desk.again("ex")


def test_a_refusal_changes_nothing(desk):
    take(desk, "set=87 2 g 12/99")
    before = facts(desk)
    with pytest.raises(Refused):
        desk.again("100/99")
    assert facts(desk) == before


def test_a_tagged_card_is_never_overwritten_by_the_card_before(desk):
    take(desk, "set=87 2")
    take(desk, "3 price=7 note=mine")
    desk.go(2)
    before = facts(desk)
    for hint in ("", "ex"):
        with pytest.raises(Refused, match="This card is tagged"):
            desk.again(hint)
    assert facts(desk) == before
    # one that was set aside before it had a name has nothing to lose
    desk.go(3)
    desk.set_aside("d")
    desk.go(3)
    assert desk.again("ex") == "Card 3: #3 Cyr Torwick, base, Excellent."
