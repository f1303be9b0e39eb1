"""Lists as clubs type them and shops paste them: sets above subsets, menus of pages, how many the
owner has, what a price is in. All names are invented."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.clubs.all_shapes import SHAPES, made
from support.clubs.judged import judged

from tagger.core.model.tags import series_of
from tagger.store.read_lists import read_checklist

# what is known to be told instead of read: teams as bare headings, the serial numbers of copies
TOLD = frozenset(["per_team", "serial_column"])


def cards(tmp_path: Path, text: str, name: str = "list.txt") -> list[tuple[str, ...]]:
    (tmp_path / name).write_text(text, encoding="utf-8")
    rows = read_checklist(tmp_path / name).rows
    return [(row.set, series_of(row.extra), row.number, row.subject, row.team) for row in rows]


def test_a_set_holds_for_the_subsets_below_it(tmp_path: Path) -> None:
    typed = (
        "1987 Harbor Light\n1 Ada Marsh\nRookies\n2 Bo Finn\n\n"
        "1988 Ember Point\nBase set\n1 Cy Dunn\nRookies\n2 Di Eck\n"
        "Insert: Stars (1:12)\nS-1 Ed Fox\n"
    )
    assert cards(tmp_path, typed) == [
        ("1987 Harbor Light", "", "1", "Ada Marsh", ""),
        ("1987 Harbor Light", "Rookies", "2", "Bo Finn", ""),
        ("1988 Ember Point", "", "1", "Cy Dunn", ""),
        ("1988 Ember Point", "Rookies", "2", "Di Eck", ""),
        ("1988 Ember Point", "Stars", "S-1", "Ed Fox", ""),
    ]
    in_a_table = (
        "No,Player,Team\n1987 Harbor Light,,\nBase,,\n1,Ada Marsh,Gulls\n"
        "1988 Ember Point,,\nBase,,\n1,Cy Dunn,Owls\nRookies,,\n2,Di Eck,Owls\n"
    )
    assert cards(tmp_path, in_a_table, "list.csv") == [
        ("1987 Harbor Light", "", "1", "Ada Marsh", "Gulls"),
        ("1988 Ember Point", "", "1", "Cy Dunn", "Owls"),
        ("1988 Ember Point", "Rookies", "2", "Di Eck", "Owls"),
    ]


def test_what_pages_and_owners_put_beside_the_cards_is_none_of_them(tmp_path: Path) -> None:
    typed = (
        "Home > Sets > Checklists\n1987 Harbor Light\nShare | Print | Edit\nNo. Player (Team)\n"
        "DUPLICATES FOR TRADE\n1 Ada Marsh - Gulls (x2)\n(2) Bo Finn - Owls ✓\n"
        "3 Cy Dunn - Owls\n4 Di Eck - Owls (3x)\n"
    )
    assert cards(tmp_path, typed) == [
        ("1987 Harbor Light", "", "1", "Ada Marsh", "Gulls"),
        ("1987 Harbor Light", "", "2", "Bo Finn", "Owls"),
        ("1987 Harbor Light", "", "3", "Cy Dunn", "Owls"),
        ("1987 Harbor Light", "", "4", "Di Eck", "Owls"),
    ]


def test_a_set_on_each_line_is_the_set_of_that_card(tmp_path: Path) -> None:
    typed = (
        "1987 Harbor Light - #1 - Ada Marsh\n1987 Harbor Light #2 Bo Finn\n1988 Ember #1 Cy Dunn\n"
    )
    assert [one[0::2][:2] for one in cards(tmp_path, typed)] == [
        ("1987 Harbor Light", "1"),
        ("1987 Harbor Light", "2"),
        ("1988 Ember", "1"),
    ]


def test_a_year_alone_above_cards_is_one_of_the_set_above(tmp_path: Path) -> None:
    typed = "Harbor Light\n1987\n1 Ada Marsh\n2 Bo Finn\n1988\n1 Cy Dunn\n"
    assert [one[0] for one in cards(tmp_path, typed)] == [
        "1987 Harbor Light",
        "1987 Harbor Light",
        "1988 Harbor Light",
    ]


_FEW = sorted(SHAPES)[::12]


@pytest.mark.parametrize("name", _FEW)
def test_some_shapes_are_read_as_they_are_meant(name: str, tmp_path: Path) -> None:
    said = judged(tmp_path, made(name, seed=5))
    assert said.right or (said.told and name in TOLD), said.why


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(3))
def test_all_shapes_are(seed: int, tmp_path: Path) -> None:
    for name in SHAPES:
        said = judged(tmp_path, made(name, seed))
        assert said.right or (said.told and name in TOLD), f"{name}: {said.why}"
