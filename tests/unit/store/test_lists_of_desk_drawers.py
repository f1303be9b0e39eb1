"""Lists that lay in desk drawers: trackers, stock, mails, pages of friends
(common practice, no source; invented names)."""

from __future__ import annotations

import pytest
from support.read_lists import read, told

from tagger.core.model.tags import Row


def kinds(row: Row) -> list[tuple[str, int | None]]:
    return [(one.name, one.run) for one in row.parallels]


@pytest.mark.parametrize(
    ("run", "listed", "meant"),
    [
        ("149", "Red /25; Black 1/1", [("/149", 149), ("Red", 25), ("Black", 1)]),
        ("/99", "Red /25 | Teal /10", [("/99", 99), ("Red", 25), ("Teal", 10)]),
        ("99", "Gold, Silver", [("/99", 99), ("Gold", None), ("Silver", None)]),
        # said twice, or the run of the one parallel
        ("25", "Red /25; Black 1/1", [("Red", 25), ("Black", 1)]),
        ("50", "Gold", [("Gold", 50)]),
        ("", "Red /25; Black 1/1", [("Red", 25), ("Black", 1)]),
    ],
)
def test_a_print_run_beside_several_parallels_is_that_of_the_card(
    run: str, listed: str, meant: list[tuple[str, int | None]]
) -> None:
    found = read(
        "Set,Number,Player,Print Run,Parallels\n"
        f'1987 Harbor,S-1,Ada Marsh,{run},"{listed}"\n1987 Harbor,S-2,Bo Finn,,Gold /50\n'
    )
    assert kinds(found.rows[0]) == meant


TICKED = (
    "No.,Player,Base,Ice,Gold /50,Red /5\n1,Ada Marsh,{},x,,\n2,Bo Finn,x,,x,\n3,Cy Orr,x,,-,\n"
)
EACH = [("Ice", None), ("Gold", 50), ("Red", 5)]


@pytest.mark.parametrize(
    "legend",
    [
        "x = got it",
        "X: in my binder",
        '"x" means I have it',
        "x = vorhanden",
        "x = la tengo",
        "✓ = ce l'ho",
        "x = still missing",
    ],
)
def test_ticks_of_what_the_owner_has_leave_each_card_each_parallel(legend: str) -> None:
    above = read(f"1987 Harbor Light\n{legend}\n{TICKED.format('x')}")
    below = read(f"{TICKED.format('x')}\n,{legend},,,,\n")
    for found in (above, below):
        assert [kinds(row) for row in found.rows] == [EACH, EACH, [("Ice", None), ("Red", 5)]]
        assert not found.problems


def test_a_card_without_any_tick_shows_that_ticks_are_the_owners() -> None:
    found = read(f"{TICKED.format('x')}4,Di Eck,,,,\n")
    assert [kinds(row) for row in found.rows][:2] == [EACH, EACH]
    assert "ticks below 'Ice', 'Gold /50', 'Red /5' are read as what the owner has" in told(found)


def test_ticks_say_what_there_is_where_nothing_says_whose_they_are() -> None:
    found = read(f"1987 Harbor Light\nx = short print\n{TICKED.format('x')}")
    assert [kinds(row) for row in found.rows] == [[("Ice", None)], [("Gold", 50)], []]


STOCK = "Jahr;Hersteller;Serie;Nr.;Name\n1999;Pfeil;{};1;Ada Marsh\n2015;Kuf;;2;Bo Finn\n"


def test_a_maker_whose_sets_have_no_name_is_their_name() -> None:
    found = read(STOCK.format("Eis") + "1999;Pfeil;Eis;3;Cy Orr\n2015;Kuf;;4;Di Eck\n")
    assert [row.set for row in found.rows] == ["1999 Pfeil Eis", "2015 Kuf"] * 2
    # a name that has its maker already, and a year of which the maker has sets with names as well
    found = read(STOCK.format("Pfeil Eis") + "2016;Kuf;Nord;4;Di Eck\n")
    assert [row.set for row in found.rows] == ["1999 Pfeil Eis", "2015 Kuf", "2016 Kuf Nord"]


def test_a_set_that_its_first_card_names_alone_holds_for_those_below() -> None:
    found = read(STOCK.format("Eis").replace(";Kuf;;", ";Kuf;Nord;") + "2015;Kuf;;4;Di Eck\n")
    assert [row.set for row in found.rows] == ["1999 Eis", "2015 Nord", "2015 Nord"]
