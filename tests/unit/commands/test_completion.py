"""Sets against their checklists: the sums are those of counting one by one, and a table of wants is
harmless."""

from __future__ import annotations

import csv
import io
import json
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.listed import listed_lot

from tagger.cli import main
from tagger.core.checklist.checklist import Checklist
from tagger.core.index.index import Index
from tagger.core.model.tags import Mark, Parallel, Row, State, Tags
from tagger.core.reports.completion import Holdings, Share, Want, sets_named, spans
from tagger.store.machine.lots import LotList
from tagger.store.machine.paths import LotPlace, data_folder

SETS, NUMBERS = ("1987 Harbor Light", "1985 Mill Pond"), ("1", "2", "3", "4", "117a")
KINDS = (Parallel("Gold", 99), Parallel("Silver"), Parallel("Base"))

rows = st.lists(
    st.builds(
        lambda set, number, kinds: Row(
            set, number, f"Name {number}", "Gulls", tuple(dict.fromkeys(kinds))
        ),
        st.sampled_from(SETS),
        st.sampled_from(NUMBERS),
        st.lists(st.sampled_from(KINDS), max_size=3),
    ),
    min_size=1,
    unique_by=lambda row: (row.set, row.number),
)
marks = st.lists(
    st.builds(
        lambda set, number, parallel, state, gone: Mark(
            state, Tags(set, number, f"Name {number}", "", parallel), gone=gone
        ),
        st.sampled_from(SETS),
        st.sampled_from((*NUMBERS, "99")),
        st.sampled_from(("", "gold", "Silver", "base", "Blue")),
        st.sampled_from((State.TAGGED, State.TAGGED, State.TAGGED, State.SET_ASIDE)),
        st.sampled_from(("", "", "", "sold")),
    ),
    max_size=25,
)


def counted(listed: list[Row], cards: list[Mark]) -> Holdings:
    holdings = Holdings(Index(Checklist(tuple(listed))))
    holdings.add(cards)
    return holdings


@given(rows, marks)
def test_the_sums_are_those_of_counting_one_by_one(listed: list[Row], cards: list[Mark]) -> None:
    holdings = counted(listed, cards)
    there = [mark.tags for mark in cards if mark.state is State.TAGGED and not mark.gone]
    total = 0
    for set_id, name in enumerate(holdings.index.sets):
        found = holdings.count(set_id)
        for share in (found.base, *found.parallels):
            spelled = {"", "base"} if not share.parallel else {share.parallel.lower()}
            having = [
                row
                for row in listed
                if row.set == name
                and (not share.parallel or share.parallel in {p.name for p in row.parallels})
            ]
            copies = [
                sum(
                    (tags.set, tags.number) == (name, row.number)
                    and tags.parallel.lower() in spelled
                    for tags in there
                )
                for row in having
            ]
            assert share.cards == len(having)
            assert share.have == sum(count > 0 for count in copies)
            assert share.doubles == sum(copies) - share.have
        assert found.copies == sum(
            share.have + share.doubles for share in (found.base, *found.parallels)
        )
        total += found.copies
        wanted = list(holdings.wants(set_id, parallels=True))
        missing = [share.cards - share.have for share in (found.base, *found.parallels)]
        assert len(wanted) == len(set(wanted)) == sum(missing)
        assert [want for want in wanted if not want.parallel] == list(holdings.wants(set_id))
        assert sum(copies - 1 for _, copies in holdings.doubles(set_id)) == sum(
            share.doubles for share in (found.base, *found.parallels)
        )
    assert total + holdings.unlisted == len(there)


@given(st.integers(1, 3000).flatmap(lambda cards: st.tuples(st.integers(0, cards), st.just(cards))))
def test_percent_is_exact_to_a_tenth_and_never_rounded_up(both: tuple[int, int]) -> None:
    """Against Python's own fractions."""
    have, cards = both
    percent = Fraction(str(Share("", None, have, cards, 0).percent))
    assert 0 <= Fraction(100 * have, cards) - percent < Fraction(1, 10)
    assert (percent == 100) == (have == cards)


@given(st.lists(st.integers(1, 60), unique=True).map(sorted))
def test_spans_say_every_number_once(numbers: list[int]) -> None:
    said = spans([str(number) for number in numbers])
    ends = [part.split("-") for part in said.split(", ")] if said else []
    assert [n for end in ends for n in range(int(end[0]), int(end[-1]) + 1)] == numbers
    assert all(int(a[-1]) + 1 < int(b[0]) for a, b in pairwise(ends))


def test_numbers_with_letters_stand_for_themselves():
    assert spans(["1", "2", "3", "117a", "RC-7"]) == "1-3, 117a, RC-7"


def test_an_unlisted_card_with_another_name_is_not_the_row_of_its_number():
    listed = [Row(SETS[0], "1", "Ada Marsh")]
    other = Tags(SETS[0], "1", "Bo Lund", listed=False)
    assert counted(listed, [Mark(State.TAGGED, other)]).unlisted == 1
    assert (
        counted(
            listed, [Mark(State.TAGGED, Tags(SETS[0], "1", "ada marsh", listed=False))]
        ).unlisted
        == 0
    )


def test_sets_are_named_by_words_of_their_names():
    index = Index(Checklist(tuple(Row(name, "1", "Ada") for name in SETS)))
    assert [sets_named(index, words) for words in ("harbor 87", "POND", "19", "gate")] == [
        [0],
        [1],
        [0, 1],
        [],
    ]


# On disk

LIST = """set,number,name,team,parallels
1987 Harbor Light,1,Ada Marsh,Gulls,Gold /99
1987 Harbor Light,2,=Bo Lund,Foxes,Gold /99
1987 Harbor Light,3,Lee Gold,Foxes,Gold /99
1985 Mill Pond,1,Ivo Lund,Foxes,
"""


@pytest.fixture
def lot(tmp_path: Path) -> LotPlace:
    """Two copies of #1, a gold #3, one card in no checklist."""
    return listed_lot(tmp_path, LIST, 4, ("1 ada", "1 ada", "3 gold 4/99"))


def document(capsys: pytest.CaptureFixture[str], *arguments: str, status: int = 0) -> dict:
    assert main(["sets", *arguments, "--json"]) == status
    return json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("named", [True, False])
def test_the_summary(lot, capsys, named):
    found = document(capsys, *([str(lot.folder)] if named else []))
    (harbor,) = found["sets"]
    assert harbor == {
        "set": "1987 Harbor Light",
        "copies": 3,
        "have": 1,
        "of": 3,
        "percent": 33.3,
        "duplicates": 1,
        "parallels": [
            {
                "parallel": "Gold",
                "print_run": 99,
                "have": 1,
                "of": 3,
                "percent": 33.3,
                "duplicates": 0,
            }
        ],
    }
    assert (found["lots"], found["unlisted"], found["empty_sets"], found["skipped"]) == (
        1,
        1,
        1,
        [],
    )


def test_one_set_card_by_card(lot, capsys):
    assert main(["sets", "--set", "harbor"]) == 0
    told = capsys.readouterr().out
    assert "missing base cards: 2-3" in told
    assert "2 copies: #1 Ada Marsh, base" in told


def test_wants_as_a_table_hold_no_formula(lot, capsys, tmp_path):
    """RFC 4180 by Python's csv; OWASP, "CSV Injection", for the apostrophe."""
    target = tmp_path / "wants.csv"
    assert main(["sets", "--wants", "--parallels", "--to", str(target)]) == 0
    capsys.readouterr()
    header, *lines = csv.reader(io.StringIO(target.read_text(encoding="utf-8"), newline=""))
    assert tuple(header) == Want._fields
    assert ["1987 Harbor Light", "2", "'=Bo Lund", "Foxes", "", ""] in lines
    assert ["1987 Harbor Light", "1", "Ada Marsh", "Gulls", "Gold", ""] in lines
    assert len(lines) == 4
    assert [want["number"] for want in document(capsys, "--wants")["wants"]] == ["2", "3"]


@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (["--to", "wants.txt"], 2),
        (["--to", "none/wants.csv"], 3),
        (["--wants", "--to", "harbor.csv"], 2),
        (["--set", "gate"], 2),
        (["--parallels"], 2),
        (["nowhere"], 3),
    ],
)
def test_what_cannot_be_done_is_said(lot, tmp_path, monkeypatch, capsys, arguments, status):
    monkeypatch.chdir(tmp_path)
    assert main(["sets", *arguments]) == status
    assert capsys.readouterr().err.startswith("tagger: ")
    assert (tmp_path / "harbor.csv").read_text() == LIST


def test_a_lot_and_a_checklist_that_are_gone_are_named(lot, tmp_path, capsys):
    LotList(data_folder()).opened(LotPlace(tmp_path / "gone", tmp_path / "gone"))
    found = document(capsys, status=1)
    assert len(found["sets"]) == 1
    assert "gone" in found["skipped"][0]
    (tmp_path / "harbor.csv").unlink()
    assert "harbor.csv" in document(capsys, status=1)["problems"][0]
