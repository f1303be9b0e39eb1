"""Files and keys that nobody would send: no trace, no hang, nothing silent, nothing over the
screen."""

from __future__ import annotations

from pathlib import Path

import pytest
from fuzz.damaged import fuzz_damaged
from fuzz.documents import KINDS, fuzz_documents
from fuzz.finds import FINDS
from fuzz.keys import BATCH, LONG_BATCH, desk, find
from fuzz.pictures import MOST, fuzz_pictures

LONG = 10_000  # cases of a kind
BLOCKS = 10
SITTINGS, BATCHES = 20, 50  # 1,000,000 keys and sequences in both screens


def blocks(short: int) -> list[object]:
    """A few cases for each change; all of them, in blocks, at night."""
    size = LONG // BLOCKS
    rest = [range(max(short, at), at + size) for at in range(0, LONG, size)]
    return [range(short), *(pytest.param(one, marks=pytest.mark.nightly) for one in rest)]


@pytest.mark.parametrize("numbers", blocks(120), ids=str)
def test_mutated_pictures(numbers: range) -> None:
    tally = fuzz_pictures([*FINDS["pictures"], *numbers])
    assert tally.good, str(tally)
    assert tally.memory <= MOST, str(tally)


@pytest.mark.parametrize("kind", KINDS)
def test_mutated_documents(kind: str) -> None:
    tally = fuzz_documents(kind, [*FINDS.get(kind, ()), *range(10)])
    assert tally.good, str(tally)


@pytest.mark.nightly
@pytest.mark.parametrize("numbers", blocks(10), ids=str)
@pytest.mark.parametrize("kind", KINDS)
def test_many_mutated_documents(kind: str, numbers: range) -> None:
    tally = fuzz_documents(kind, numbers)
    assert tally.good, str(tally)


@pytest.mark.parametrize("numbers", blocks(5), ids=str)
def test_damaged_lots_through_every_command(numbers: range) -> None:
    tally = fuzz_damaged(numbers)
    assert tally.good, str(tally)


@pytest.mark.usefixtures("opened_before")
@pytest.mark.parametrize(
    "block", [0, *(pytest.param(one, marks=pytest.mark.nightly) for one in range(1, SITTINGS))]
)
def test_random_keys_at_both_screens(tmp_path: Path, block: int) -> None:
    count, size = (BATCHES, LONG_BATCH) if block else (1, BATCH)
    for sitting, is_desk in ((desk(tmp_path), True), (find(tmp_path, tmp_path / "box 12"), False)):
        try:
            for number in range(block * BATCHES, block * BATCHES + count):
                sitting.batch(number, is_desk, size)
        finally:
            sitting.close()
        assert sitting.tally.good, str(sitting.tally)
