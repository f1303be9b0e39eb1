"""Doubts about tags that are probably a slip, and how seldom they are wrong."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support import drawn

from tagger.core.model.tags import Tags
from tagger.core.session.doubts.anomaly_checks import (
    BACK,
    Numbered,
    run_doubt,
    serial_doubt,
    serial_key,
)


def run_of(*numbers: int, first: int = 41, parallel: str = "") -> list[Numbered]:
    return [Numbered(first + at, str(number), parallel) for at, number in enumerate(numbers)]


def doubt(
    number: str,
    before: list[Numbered],
    after: list[Numbered] | None = None,
    parallel: str = "",
) -> str:
    return run_doubt(Numbered(before[-1].position + 1, number, parallel), before, after or [])


RUN = run_of(118, 118, 119, 121, 122, 123)
FALSE_ALARMS = 0.08  # of real jumps: one in so many is the next number with a slip in it


@pytest.mark.parametrize(
    ("number", "meant"),
    [
        ("24", "124"),
        ("12", "124"),
        ("1233", "123"),
        ("1224", "124"),
        ("142", "124"),
        ("214", "124"),
        ("1125", "125"),
    ],
)
def test_a_digit_left_out_doubled_or_swapped_is_told(number, meant):
    assert (
        doubt(number, RUN) == f"#{number} is out of sequence; #{meant} would follow #123 of card 46"
    )


def test_a_number_that_the_set_has_not_was_never_meant():
    here = Numbered(47, "24", "")
    assert "#124 would follow" in run_doubt(here, RUN, (), lambda number: number <= 124)
    assert "#124" not in run_doubt(here, RUN, (), lambda number: number <= 123)


@pytest.mark.parametrize("number", ["123", "124", "128", "300", "7", "184", "12a", "RC-7", ""])
def test_what_goes_on_or_is_no_slip_is_not_doubted(number):
    assert doubt(number, RUN) == ""


def test_only_a_run_is_broken():
    assert doubt("24", RUN[-4:]) == ""
    assert doubt("24", run_of(31, 300, 7, 122, 118, 45, 260, 123)) == ""


def test_a_tray_that_was_turned_over_is_a_run_too():
    falling = run_of(*range(130, 120, -1))
    assert "#120 would follow #121 of card 50" in doubt("20", falling)
    assert doubt("119", falling) == ""


def test_a_card_behind_that_goes_on_bears_a_jump_out():
    assert doubt("24", RUN, run_of(25, first=48)) == ""
    assert doubt("24", RUN, run_of(125, first=48)) != ""


def test_a_number_outside_its_neighbours_does_not_fit_in():
    after = run_of(125, 126, 127, first=48)
    said = "#300 does not fit between #123 of card 46 and #125 of card 48"
    assert doubt("300", RUN, after) == doubt("300", RUN[-3:], after) == said
    sparse = run_of(110, 116, 123), run_of(136, 143, 150, first=45)
    assert "#123 of card 43 and #136" in doubt("300", *sparse)
    assert doubt("300", RUN, after[:2]) == ""
    assert doubt("124", RUN, after) == ""


# each seventh card of a set of 400, give or take one
SPARSE = run_of(103, 110, 116, 123, 130, 136, 143, 150)


@pytest.mark.parametrize(
    ("number", "meant"), [("15", "157"), ("16", "156"), ("57", "157"), ("165", "156")]
)
def test_a_slip_in_a_sparse_tray_is_told(number, meant):
    assert f"#{meant} would follow #150 of card 48" in doubt(number, SPARSE)


@pytest.mark.parametrize("number", ["150", "156", "157", "163", "170", "230", "7"])
def test_a_sparse_tray_that_goes_on_or_jumps_is_not_doubted(number):
    assert doubt(number, SPARSE) == ""


def test_where_cards_are_missing_at_random_a_step_of_nine_is_nothing_unusual():
    some = run_of(103, 104, 115, 118, 119, 131, 135, 136, 150)
    assert doubt("165", some) == doubt("159", some) == ""
    assert "#151 would follow" in doubt("51", some) or "#156" in doubt("56", some)


def test_the_next_card_tells_a_slip_that_could_not_be_seen_at_once():
    some = run_of(103, 104, 115, 118, 119, 131, 135, 136, 150)
    assert doubt("165", some, run_of(157, first=51)) != ""
    assert doubt("165", some, run_of(170, first=51)) == ""


def test_another_parallel_may_begin_anywhere():
    assert doubt("15", SPARSE, parallel="Gold") == ""
    # in a tray where parallels lie among the others they go on with them
    among = [
        card._replace(parallel="Gold") if at % 3 == 2 else card
        for at, card in enumerate(run_of(*range(103, 203, 6)))
    ]
    assert among[-1].number == "199"
    assert doubt("25", among, parallel="Gold") != ""


def doubted(tray: list[int], at: int) -> bool:
    before = run_of(*tray[max(0, at - BACK) : at])
    return bool(doubt(str(tray[at]), before))


def test_a_tray_that_goes_on_is_hardly_ever_doubted_and_a_real_jump_seldom():
    """Trays as `drawn.presorted` lays them; a jump goes on from a card of the set that is drawn at
    random."""
    rows = drawn.set_rows("1987 Harbor Light", 400, seed=5)
    alarms = jumps = others = steps = 0
    for seed in range(1, 41):
        source = random.Random(seed)
        parts = [drawn.presorted(rows, 20, source.randrange(10**6)) for _ in range(12)]
        tray: list[int] = []
        starts = set()
        for part in parts:
            starts.add(len(tray))
            by = source.randrange(370)
            tray += [int(row.number) + by for row in part]
        for at in range(1, len(tray)):
            if at in starts:
                jumps, alarms = jumps + 1, alarms + doubted(tray, at)
            else:
                steps, others = steps + 1, others + doubted(tray, at)
    assert jumps == 440
    assert others / steps <= 1 / 200
    assert 0 < alarms / jumps < FALSE_ALARMS


@given(st.integers(11, 9999), st.data())
def test_every_such_slip_in_a_run_is_found(number, data):
    text = str(number)
    at = data.draw(st.integers(0, len(text) - 1))
    slip = data.draw(st.sampled_from([text[:at] + text[at + 1 :], text[: at + 1] + text[at:]]))
    run = run_of(*range(number - 6, number))
    typed = int(slip)
    if slip == str(typed) and not 0 <= typed - (number - 1) <= 5:
        assert doubt(slip, run).startswith(f"#{slip} is out of sequence")


def test_serial_numbers_are_of_one_card_and_parallel():
    tags = Tags("1987 Harbor Light", "RC-7", "Ada Marsh", parallel="Gold", serial="012/99")
    assert serial_key(tags) == serial_key(
        Tags("1987 Harbor Light", "rc07", "ada marsh", "", "gold", "12/99")
    )
    assert serial_key(tags) != serial_key(
        Tags("1987 Harbor Light", "RC-7", "Ada Marsh", "", "Silver", "12/99")
    )
    assert serial_key(tags) == serial_key(replace(tags, set="1987 HARBOR LIGHT"))
    rookies, stars = (replace(tags, extra=(("subset", name),)) for name in ("Rookies", "Stars"))
    assert serial_key(rookies) != serial_key(stars)
    assert serial_key(Tags(serial="/99")) is serial_key(Tags()) is None
    assert serial_doubt(tags, [17, 3]) == "card 3 already has serial number 012/99"
    assert serial_doubt(tags, []) == ""
