"""Lists as hobby people make them (`tests/support/hobby`): read right, or told; nothing is wrong in
silence."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.hobby.all_makers import ROUNDS, all_made
from support.hobby.judge import verdict
from support.hobby.world import Made, World

# beyond what can be read, and told: cells that a comma within numbers parted, a matrix of sets, a
# want list of bare numbers, names without a number
BEYOND = frozenset(
    ["decimal_comma_without_quotes", "sets_as_columns", "typed_missing_range", "typed_bare_names"]
)
_EACH = 9  # of which the ordinary run reads one


def _judge(made: dict[str, Made], folder: Path) -> None:
    not_right = set()
    for name, one in made.items():
        path = folder / one.name
        path.write_bytes(one.data)
        said = verdict(path, one)
        assert not said.silent, f"{name}: {said.differs[0]}"
        if said.differs:
            not_right.add(name)
    assert not_right <= BEYOND


def test_some_of_them_are_read_as_a_dealer_reads_them(tmp_path: Path) -> None:
    named = [one for makers in ROUNDS for one in makers.items()]
    some = {name: maker(World(name)) for name, maker in named[::_EACH]}
    _judge({name: one for name, one in some.items() if not one.convert}, tmp_path)


@pytest.mark.nightly
@pytest.mark.parametrize("at", range(len(ROUNDS)), ids=["first", "second", "third"])
def test_all_of_them_are(at: int, tmp_path: Path) -> None:
    _judge(all_made(at), tmp_path)
