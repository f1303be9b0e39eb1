"""Long commands stopped, and with outputs that cannot be written; the long form is
`tests/nightly`."""

from __future__ import annotations

from pathlib import Path

import pytest
from faults.stop_place import Place
from faults.stops import lost_outputs, stops, table

# by processes, by a table, by rules alone
FEW = ("page", "export", "audit")


def test_a_stop_leaves_nothing_behind_and_a_lost_output_is_no_traceback(tmp_path: Path) -> None:
    place = Place(tmp_path, cards=8, rows=200)
    for seed, what in enumerate(FEW):
        tally = stops(place, what, 1, seed=seed)
        assert not tally.wrong, tally.wrong
    tally = lost_outputs(place, ["status"])
    assert not tally.wrong, tally.wrong


@pytest.mark.nightly
def test_two_hundred_stops_of_each_long_command_beside_busy_processes() -> None:
    _, wrong = table(200, load=2)
    assert not wrong, wrong[:10]
