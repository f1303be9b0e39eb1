"""Files and keys that nobody would send: no trace, no hang, nothing silent, nothing over the
screen."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

import pytest
from fuzz.damaged import NO_LOT, changers, drawn, readers
from fuzz.finds import FINDS
from fuzz.keys import BATCH, LONG_BATCH, desk, find
from fuzz.parsed import parsed
from fuzz.pictures import MOST, fuzz_pictures
from fuzz.process import RUNS, fuzz
from fuzz.world import SITTING

from tagger.commands.grammar import VERBS

LONG = 10_000  # cases of a kind
BLOCKS = 10
SITTINGS, BATCHES = 20, 25  # 1,000,000 keys and sequences in both screens


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


def test_mutated_documents_and_damaged_lots() -> None:
    for tally in fuzz({kind: [*FINDS.get(kind, ()), *range(2)] for kind in RUNS}).values():
        assert tally.good, str(tally)


@pytest.mark.nightly
@pytest.mark.parametrize("numbers", blocks(10), ids=str)
@pytest.mark.parametrize("kind", RUNS)
def test_many_mutated_documents_and_damaged_lots(kind: str, numbers: range) -> None:
    tally = fuzz({kind: numbers})[kind]
    assert tally.good, str(tally)


def test_every_command_that_reads_a_lot_is_tried_on_damaged_ones(tmp_path: Path) -> None:
    world = SimpleNamespace(lot=tmp_path, odd=tmp_path, home=tmp_path)
    lines = [*readers(world), *drawn(world), *changers(world)]
    tried = {"open" if words[0] == SITTING else words[0] for words in lines}
    assert tried | NO_LOT == set(VERBS)
    assert not tried & NO_LOT


def test_random_sequences_are_read_and_the_next_key_is_heard() -> None:
    tally = parsed(range(3))
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
