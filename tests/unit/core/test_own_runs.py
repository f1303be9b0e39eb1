"""A print run without a name is the card's own where most cards of its set or series have one
(common practice, no source)."""

from __future__ import annotations

import pytest

from tagger.core.checklist.checklist import Checklist
from tagger.core.checklist.columns import Rows
from tagger.core.index.index import Index
from tagger.core.index.own_runs import with_own_runs
from tagger.core.matching.matcher import Matcher
from tagger.core.model.tags import Parallel, Row

GOLD, RUN = Parallel("Gold", 25), Parallel("/299", 299)
INSERTS = [
    Row(
        "2019 Alder",
        f"HT{at}",
        f"Ann Poe{at}",
        extra=(("insert", "Home Threads"),),
        parallels=(RUN,),
    )
    for at in range(1, 4)
]
BASE_SET = [Row("2019 Alder", str(at), f"Cy Dunn{at}", parallels=(GOLD,)) for at in range(1, 9)]


def names(rows: list[Row]) -> list[list[str]]:
    index = Index(Checklist(tuple(rows)))
    return [[one.name for one in index.row(step).parallels] for step in range(len(rows))]


def test_an_insert_that_is_itself_numbered_has_no_parallel_called_by_its_run():
    rows = [*BASE_SET, *INSERTS]
    assert names(rows) == [["Gold"]] * 8 + [["base"]] * 3
    matcher = Matcher(Index(Checklist(tuple(rows))))
    best = matcher.rank("ht2 27/299")[0].tags
    assert (best.number, best.parallel, best.serial) == ("HT2", "", "27/299")


def test_beside_a_parallel_it_is_the_card_as_well():
    rows = [row._replace(parallels=(RUN, GOLD)) for row in BASE_SET]
    assert names(rows) == [["base", "Gold"]] * 8


@pytest.mark.parametrize(
    "parallels",
    [
        (Parallel("base", 499), RUN),  # the card has a run of its own
        (RUN, Parallel("/50", 50)),  # which of them would it be?
        (Parallel("/299"),),  # a name, and no run
    ],
)
def test_what_may_be_a_parallel_keeps_its_name(parallels: tuple[Parallel, ...]):
    rows = [row._replace(parallels=parallels) for row in INSERTS]
    assert names(rows) == [[one.name for one in parallels]] * 3


def test_a_run_of_few_cards_of_a_set_is_a_parallel_of_these():
    rows = [*BASE_SET[:5], *(row._replace(parallels=(RUN,)) for row in BASE_SET[5:])]
    assert names(rows)[5:] == [["/299"]] * 3
    column = Rows(rows).parallels
    assert column.of == with_own_runs(Rows(rows)).of
