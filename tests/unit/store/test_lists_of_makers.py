"""Ordinary lists of makers, wholesalers and clubs: sections with odds, series within a set, first
and last names apart, letters for numbers (common practice, no source; invented names)."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from support.hobby.writers import book

from tagger.core.checklist.checklist import Checklist
from tagger.core.checklist.files import parse_checklist
from tagger.core.checklist.headings import columns_of, meaning_of
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.parallels import is_plain
from tagger.core.checklist.raw.notes import begins_total, is_total
from tagger.core.checklist.raw.purposes import is_place
from tagger.core.checklist.raw.title_names import cards_said, title_name
from tagger.core.model.series import series_of
from tagger.core.model.tags import Parallel, Row
from tagger.store.checklists import read_checklist

Sheet = tuple[str, Sequence[Sequence[object]]]


def read(text: str, name: str = "harbor.csv") -> Checklist:
    return parse_checklist(text.encode(), name, name.split(".")[0])


def workbook(path: Path, *sheets: Sheet) -> Checklist:
    path.write_bytes(book(dict(sheets)))
    return read_checklist(path)


def series(row: Row) -> str:
    return series_of(row.extra)


def told(found: Checklist) -> str:
    return " ".join(problem.problem for problem in found.problems)


@pytest.mark.parametrize(
    ("headings", "meanings"),
    [
        (["Numero", "Cognome", "Nome"], ["number", "last", "first"]),
        (["Nr", "Nachname", "Vorname"], ["number", "last", "first"]),
        (["Nr", "Fornamn", "Efternamn"], ["number", "first", "last"]),
        (["No.", "Horse", "Jockey"], ["number", "subject", ""]),
        (["card #", "front", "sticker?"], ["number", "subject", ""]),
        (["Card Number", "Player", "Serial Numbered To"], ["number", "subject", "run"]),
    ],
)
def test_what_columns_mean_beside_each_other(headings, meanings):
    assert columns_of(headings) == meanings


def test_what_asks_for_a_sticker_is_no_number():
    assert meaning_of("Sticker")[0] == "number"
    assert meaning_of("Sticker?")[0] == ""
    assert meaning_of("Which set?")[0] == "set"


@pytest.mark.parametrize(
    ("title", "name", "cards"),
    [
        ("2021 Halvern Prime - Final Checklist", "2021 Halvern Prime", 0),
        ("Dino Dig (1994) - both series", "Dino Dig (1994)", 0),
        ("Hargill's - Moor Birds (1934)  Set of 36", "Hargill's - Moor Birds (1934)", 36),
        ("Mask Parade (odds 1:18 hobby)", "Mask Parade", 0),
        ("Mask Parade (1:6)", "Mask Parade", 0),
    ],
)
def test_the_name_in_a_title(title, name, cards):
    assert title_name(title) == name
    assert cards_said(title) == cards


def test_what_the_whole_set_costs_is_no_card():
    assert begins_total(["Complete set", "VG", "65.00"])
    assert begins_total(["Set of 16", "60"])
    assert not begins_total(["Complete set", "Harbor Gulls", "65.00"])
    assert is_total(["Colección de 14 cromos más 3 adhesivos"])
    assert is_total(["42 Bilder, mir fehlen noch:"])
    assert not is_total(["Night Games (8 cards)"])


def test_a_box_stays_a_place_with_the_day_it_was_counted():
    assert is_place("Box B - counted 12 Jan")
    assert not is_place("Box B - Night Games")


def test_finishes_of_two_words_and_the_plain_card():
    assert is_finish("Full Art")
    assert is_finish("Brillante")
    assert not is_finish("Full Name")
    assert is_plain("Standaard")


def test_sections_with_odds_are_subsets_from_the_first_on():
    found = read(
        "2003-04 Northmere Ice inserts,,\n,,\nFrozen Moments (odds 1:6 hobby),,\nCard,Name,Team\n"
        "FM1,Wick Havelund,Owls\nFM2,Lanny Zabrin,Saints\n,,\nMask Parade (odds 1:18 hobby),,\n"
        "Card,Name,Team\nMP1,Darro Averclough,Rovers\nMP2,Mateus Fenni,Rovers\n"
    )
    assert {row.set for row in found.rows} == {"2003-04 Northmere Ice inserts"}
    assert [series(row) for row in found.rows] == ["Frozen Moments"] * 2 + ["Mask Parade"] * 2


def test_a_sentence_above_the_column_names_is_no_subset():
    found = read(
        "2013 Vellum Masters\nretail prices in this list\nNo,Name\n1,Ada Marsh\n2,Bo Finn\n"
    )
    assert [series(row) for row in found.rows] == ["", ""]


def test_a_column_of_series_parts_the_set_that_the_title_names(tmp_path):
    rows = [["Dino Dig (1994) - both series"], ["Series", "Card", "Title"]]
    rows += [["Series 1", n, f"Lizard {'abc'[n - 1]}"] for n in (1, 2, 3)]
    rows += [["Under the Sea", n, f"Fish {'abc'[n - 1]}"] for n in (1, 2, 3)]
    found = workbook(tmp_path / "dino.xlsx", ("dino", rows))
    assert {row.set for row in found.rows} == {"Dino Dig (1994)"}
    assert [series(row) for row in found.rows] == ["Series 1"] * 3 + ["Under the Sea"] * 3
    assert "read as the subset" in told(found)


def test_a_stock_list_of_a_year_keeps_its_series_as_sets():
    text = (
        "Series,No,Name\nHarbor Light,1,Ada Marsh\nHarbor Light,2,Bo Finn\nNight Owls,1,Cy Dorn\n"
    )
    found = read(text, "Stock 2024.csv")
    assert {row.set for row in found.rows} == {"Harbor Light", "Night Owls"}


def test_runs_below_the_name_of_a_finish_are_that_parallels():
    found = read("#,Boxer,Foil\n1,Ada Marsh,/500\n2,Bo Finn,/500\n3,Cy Dorn,\n")
    assert [row.parallels for row in found.rows] == [(Parallel("Foil", 500),)] * 2 + [()]
    found = read("#,Boxer,Parallel\n1,Ada Marsh,Gold\n2,Bo Finn,Red\n3,Cy Dorn,\n")
    assert found.rows[0].parallels == (Parallel("Gold"),)


def test_remarks_about_colours_are_no_parallels():
    found = read(
        "No.,Player,Comment\n33a,Ada Marsh,name in white\n33b,Ada Marsh,name in yellow\n"
        "34,Bo Finn,\n35,Cy Dorn,\n"
    )
    assert all(row.parallels == () for row in found.rows)


def test_headings_between_stars_name_sets():
    found = read(
        "** 2010 Wyndham Road **\n#5 Ada Marsh - Quarry Hammers (x2)\n#11 Bo Finn - Lake Pikes\n\n"
        "** 2011 Wyndham Road **\n#54 Cy Dorn - Flats Mules\n#109 Di Evers - Lake Pikes (x2)\n",
        "trades.txt",
    )
    sets = [row.set for row in found.rows]
    assert sets == ["2010 Wyndham Road"] * 2 + ["2011 Wyndham Road"] * 2


def test_pieces_beside_names_are_no_teams():
    lines = [f"#{n} Ada Marsh{'abcdefgh'[n]} - {5 * n + 5} pcs - $0.85" for n in range(1, 8)]
    found = read("\n".join(["2017 Tarn Courtside", "", *lines]), "offer.txt")
    assert {row.team for row in found.rows} == {""}
    assert {dict(row.extra)["price"] for row in found.rows} == {"$0.85"}


def test_stickers_numbered_by_letters_below_a_heading():
    lines = [f"Nº {n} - El Monstruo {'abcdef'[n - 1]}" for n in range(1, 7)]
    letters = ["Adhesivos", "", "Nº A - La Puerta", "Nº B - El Ojo"]
    text = "\n".join(["Monstruos (1979)", "Colección de 6 cromos", "", *lines, "", *letters])
    found = read(text, "monstruos.txt")
    assert [row.number for row in found.rows] == ["1", "2", "3", "4", "5", "6", "A", "B"]
    assert [series(row) for row in found.rows] == [""] * 6 + ["Adhesivos"] * 2


def test_pictures_in_groups_are_cards_and_no_teams():
    groups = {"Gruppe 1: Säugetiere": range(1, 6), "Gruppe 2: Vögel": range(21, 26)}
    groups["Gruppe 3: Fische"] = range(31, 36)
    text = "Tiere der Alpen (1936)\n42 Bilder, mir fehlen noch:\n"
    for group, numbers in groups.items():
        cards = [f"Bild {n} - Tier {'abcdefghij'[n % 10]}" for n in numbers]
        text += "\n".join(["", group, *cards, ""])
    found = read(text, "alpen.txt")
    assert [row.number for row in found.rows] == [str(n) for one in groups.values() for n in one]
    assert {row.team for row in found.rows} == {""}
    assert found.rows[5].subject == "Tier b"


def test_the_state_of_a_copy_is_no_subset():
    """Two sets, named once each, have the same numbers."""
    found = read(
        "Year,Set,#,Player,Cond.,Price\n1955,Dunmore,10,Ada Marsh,VG,17\n,,31,Bo Finn,EX,14\n"
        "1956,Dunmore,10,Cy Dorn,EX,9\n,,31,Di Evers,VG,6\n"
    )
    assert [series(row) for row in found.rows] == [""] * 4
    assert [row.set for row in found.rows] == ["1955 Dunmore"] * 2 + ["1956 Dunmore"] * 2


@pytest.mark.parametrize("heading", ["Valor R$", "Estimation (€)", "Ladenpreis €", "Prix de vente"])
def test_amounts_below_a_heading_of_money_are_prices(heading):
    found = read(f"No;Name;{heading}\n1;Ada Marsh;3,00\n2;Bo Finn;7,50\n")
    assert [dict(row.extra).get("price") for row in found.rows] == ["3,00", "7,50"]


def test_sums_and_what_was_paid_are_no_prices():
    found = read("No;Name;Paid $;Sum $\n1;Ada Marsh;3.00;6.00\n2;Bo Finn;7.50;15.00\n")
    assert all("price" not in dict(row.extra) for row in found.rows)


def test_letters_before_a_dash_are_of_the_number():
    found = read("Card No.,Player\nNR-11,Ada Marsh\nNR-15,Bo Finn\nNo. 7,Cy Dorn\n")
    assert [row.number for row in found.rows] == ["NR-11", "NR-15", "7"]


def test_titles_of_further_pages_are_no_cards():
    page = "1986 Stadium Aces - 4 cards,,Page {} of 2,\n☐,No.,Player,Team\n"
    text = page.format(1) + "☐,1,Ada Marsh,Gulls\n☐,2,Bo Finn,Owls\n,,,\n"
    found = read(text + page.format(2) + "☐,3,Cy Dorn,Gulls\n☐,4,Di Evers,Owls\n")
    assert [row.number for row in found.rows] == ["1", "2", "3", "4"]


def test_a_parallel_with_its_run_may_be_called_stock():
    found = read("No,Player,Foil,Vintage Stock /99,In Stock\n1,Ada Marsh,x,x,x\n2,Bo Finn,x,,\n")
    assert found.rows[0].parallels == (Parallel("Foil"), Parallel("Vintage Stock", 99))


def test_what_is_wanted_is_no_parallel():
    found = read("Kaartnr,Naam,Zilver,Gezocht\n1,Ada Marsh,x,ja\n2,Bo Finn,,\n3,Cy Dorn,x,\n")
    assert {row.parallels for row in found.rows} == {(Parallel("Zilver"),), ()}


def test_a_player_named_once_beside_a_customer_holds_for_the_cards_below():
    found = read(
        "Customer,Player,Year,Set,No\nWalt,Ada Marsh,2015,Northgate,11\n,,2016,Northgate,12\n"
        ",,2017,Prime,3\nOde,Bo Finn,2015,Northgate,17\n,,2016,Prime,9\n,,2017,Prime,10\n"
    )
    assert [row.subject for row in found.rows] == ["Ada Marsh"] * 3 + ["Bo Finn"] * 3


def test_parallels_behind_a_dash_where_others_have_their_run():
    found = read(
        "2018 Omnia Grid - #26 Ada Marsh - Ruby /149 - $30\n"
        "2018 Omnia Grid - #178 Bo Finn - Gold /25 - $12\n"
        "2018 Omnia Grid - #199 Cy Dorn - $2\n2018 Omnia Grid - #76 Di Evers - Silver Wave - $1\n",
        "forum.txt",
    )
    assert found.rows[3].subject == "Di Evers"
    assert found.rows[3].parallels == (Parallel("Silver Wave"),)


def test_a_title_called_as_the_file_is_the_set_though_it_says_series():
    text = "Cinder Rangers Cards, Series One\n\nNo.;Title\n1;Golem\n2;Acolyte\n\nStickers\n"
    found = read(text + "No.;Title\nS1;Wyrm\nS2;Drake\n", "Cinder Rangers cards.csv")
    assert {row.set for row in found.rows} == {"Cinder Rangers Cards, Series One"}
    assert [series(row) for row in found.rows] == ["", "", "Stickers", "Stickers"]


def test_totals_that_count_below_the_numbers_are_no_cards():
    text = "Album;Jahr;Bild-Nr.;Motiv\nBurgen;1932;2;Burg Falkenau\n;;8;Ruine Hirsch\n"
    found = read(f"{text}Gesamt;;2;Bilder\n")
    assert [row.number for row in found.rows] == ["2", "8"]
