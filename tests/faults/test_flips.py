"""Bits that turn over in the files: nothing is otherwise without a word about it."""

from __future__ import annotations

import pytest
from faults.flips import any_bits, every_bit, large_lot, small_lot


@pytest.mark.parametrize("tail", [False, True], ids=["closed", "killed"])
@pytest.mark.parametrize(
    "part", [0, *(pytest.param(part, marks=pytest.mark.nightly) for part in range(1, 8))]
)
def test_every_bit_of_a_small_lot(tmp_path, tail, part):
    """Each of the eight parts has every eighth bit, so that each has some of every line."""
    tally = every_bit(tmp_path, tail, part, 8)
    assert tally.tried == sum(len(data) for data in small_lot(tmp_path, tail).values())
    assert tally.good, str(tally)


def test_some_bits_of_a_large_lot(tmp_path):
    files = large_lot(tmp_path)
    assert len(files["lot.journal"]) > 1 << 20
    tally = any_bits(tmp_path, files, 24, seed=100)
    assert tally.good, str(tally)


@pytest.mark.nightly
@pytest.mark.parametrize("block", range(8))
def test_many_bits_of_a_large_lot(tmp_path, block):
    tally = any_bits(tmp_path, large_lot(tmp_path), 2500, seed=1 + block)
    assert tally.good, str(tally)
