"""Doubts about tags that are probably a slip, and how seldom they are wrong."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support import drawn

from tagger.core.model.tags import Tags
from tagger.core.session.anomaly_checks import BACK, run_doubt, serial_doubt, serial_key

RUN = [(41 + at, str(number)) for at, number in enumerate((118, 118, 119, 121, 122, 123))]
FALSE_ALARMS = 0.04  # of real jumps; the docstring of the module says 3 in 100


@pytest.mark.parametrize(
    ("number", "meant"),
    [
        ("24", "124"),
        ("12", "123"),
        ("1233", "123"),
        ("1224", "124"),
        ("142", "124"),
        ("214", "124"),
        ("1125", "125"),
    ],
)
def test_a_digit_left_out_doubled_or_swapped_is_told(number, meant):
    assert (
        run_doubt(number, RUN)
        == f"#{number} is out of sequence; #{meant} would follow #123 of card 46"
    )


@pytest.mark.parametrize("number", ["123", "124", "128", "300", "7", "184", "12a", "RC-7", ""])
def test_what_goes_on_or_is_no_slip_is_not_doubted(number):
    assert run_doubt(number, RUN) == ""


def test_only_a_run_is_broken():
    assert run_doubt("24", RUN[-4:]) == ""
    assert run_doubt("24", [*RUN[:3], (44, "300"), *RUN[3:]]) == ""
    assert run_doubt("24", [(at, str(130 - at)) for at in range(1, 7)]) == ""


def test_a_card_behind_that_goes_on_bears_a_jump_out():
    assert run_doubt("24", RUN, [(48, "25")]) == ""
    assert run_doubt("24", RUN, [(48, "125")]) != ""


def test_a_number_outside_its_neighbours_does_not_fit_in():
    after = [(48, "125"), (49, "126"), (50, "127")]
    said = "#300 does not fit between #123 of card 46 and #125 of card 48"
    assert run_doubt("300", RUN, after) == run_doubt("300", RUN[-3:], after) == said
    assert run_doubt("300", RUN, after[:2]) == ""
    assert run_doubt("124", RUN, after) == ""


def doubted(tray: list[int], at: int) -> bool:
    return bool(
        run_doubt(str(tray[at]), [(n + 1, str(tray[n])) for n in range(max(0, at - BACK), at)])
    )


def test_a_tray_that_goes_on_is_never_doubted_and_a_real_jump_seldom():
    """Trays as `drawn.presorted` lays them; a jump goes on from a card of the set that is drawn at
    random."""
    rows = drawn.set_rows("1987 Harbor Light", 400, seed=5)
    alarms = jumps = 0
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
                assert not doubted(tray, at)
    assert jumps == 440
    assert 0 < alarms / jumps < FALSE_ALARMS


@given(st.integers(11, 9999), st.data())
def test_every_such_slip_in_a_run_is_found(number, data):
    text = str(number)
    at = data.draw(st.integers(0, len(text) - 1))
    slip = data.draw(st.sampled_from([text[:at] + text[at + 1 :], text[: at + 1] + text[at:]]))
    run = [(n + 1, str(number - 6 + n)) for n in range(6)]
    typed = int(slip)
    if slip == str(typed) and not 0 <= typed - (number - 1) <= 5:
        assert run_doubt(slip, run).startswith(f"#{slip} is out of sequence")


def test_serial_numbers_are_of_one_card_and_parallel():
    tags = Tags("1987 Harbor Light", "RC-7", "Ada Marsh", parallel="Gold", serial="012/99")
    assert serial_key(tags) == serial_key(
        Tags("1987 Harbor Light", "rc07", "ada marsh", "", "gold", "12/99")
    )
    assert serial_key(tags) != serial_key(
        Tags("1987 Harbor Light", "RC-7", "Ada Marsh", "", "Silver", "12/99")
    )
    assert serial_key(Tags(serial="/99")) is serial_key(Tags()) is None
    assert serial_doubt(tags, [17, 3]) == "card 3 already has serial number 012/99"
    assert serial_doubt(tags, []) == ""
