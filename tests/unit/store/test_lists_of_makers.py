"""Ordinary lists of makers, wholesalers and clubs: sections with odds, series within a set, first
and last names apart, letters for numbers (common practice, no source; invented names)."""

from __future__ import annotations

import pytest
from support.read_lists import read, series, told, workbook

from tagger.core.checklist.headings.beside import columns_of
from tagger.core.checklist.headings.meaning import meaning_of
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.parallels import is_plain
from tagger.core.checklist.raw.notes import begins_total, is_total
from tagger.core.checklist.raw.purposes import is_place
from tagger.core.checklist.raw.title_names import cards_said, title_name
from tagger.core.model.tags import Parallel


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
    assert is_place("Karton 3 (gezählt am 12. Januar)")
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


@pytest.mark.parametrize(
    ("heading", "meaning"),
    [
        ("SETYR", "year"),
        ("BOOKVAL", "price"),
        ("Seq", "run"),
        ("Tiraje", "run"),
        ("Untergruppe", "series"),
        ("Serie speciale", "series"),
        ("Corridore", "subject"),
        ("車両名", "subject"),
        ("Item No.", "number"),
        ("Plaatjesnr.", "number"),
        ("Rugnummer", ""),
        ("Wielerploeg", "team"),
        ("Best finish", ""),
        ("Finish", "parallels"),
    ],
)
def test_further_headings_of_lists(heading, meaning):
    assert meaning_of(heading)[0] == meaning


def test_columns_of_a_price_guide_are_not_lost():
    found = read("#,Player,NM,EX,VG\n1,Ada Marsh,20,10,5\n2,Bo Finn,10,5,2.5\n")
    assert [dict(row.extra)["price"] for row in found.rows] == ["20", "10"]
    assert "'NM' is read as the price; 'EX', 'VG' only kept" in told(found)
    found = read("No.,Driver,Low,High\n1,Ada Marsh,$1.00,$3.00\n2,Bo Finn,$0.50,$1.50\n")
    assert dict(found.rows[0].extra)["price"] == "$1.00"


def test_sheets_that_begin_anew_and_name_no_part_are_a_set_each(tmp_path):
    names = ["Card no.", "Animal"]
    owls = [names, *([n, f"Owl {'abcde'[n - 1]}"] for n in range(1, 6))]
    whales = [names, *([n, f"Whale {'abcde'[n - 1]}"] for n in range(1, 6))]
    found = workbook(tmp_path / "cards.xlsx", ("Night Owls", owls), ("Ocean Giants", whales))
    assert [row.set for row in found.rows] == ["Night Owls"] * 5 + ["Ocean Giants"] * 5
    assert "a set of its own" in told(found)
    found = workbook(tmp_path / "other.xlsx", ("Base Set", owls), ("Rookie Stars", whales))
    assert len({row.set for row in found.rows}) == 1


def test_a_sheet_with_makers_for_sets_is_of_no_subset(tmp_path):
    ball = [["Year", "Set", "Card", "Player"], [1988, "Back Lot", 2, "Ada Marsh"]]
    ball += [[1988, "Back Lot", 7, "Bo Finn"], [1990, "Back Lot", 9, "Cy Dorn"]]
    ice = [["No", "Player", "Brand", "Season", "Cond."], [2, "Di Evers", "Slap Ice", 1994, "NM"]]
    ice += [[n, f"Ed Fay {'abcdef'[n - 3]}", "Slap Ice", 1994, "NM"] for n in range(3, 9)]
    found = workbook(tmp_path / "all.xlsx", ("Baseball", ball), ("Hockey", ice))
    assert {row.set for row in found.rows[3:]} == {"1994 Slap Ice"}
    assert {series(row) for row in found.rows} == {""}


def test_a_childs_list_is_of_the_set_that_it_names():
    text = "MY DOG CARDS by Lily aged 9\n\nPawsome Pals Series 2\n\n1. Beagle\n2. Border Collie\n"
    found = read(f"{text}3. Poodle (my favorite)\n4. Dachshund\n8. Pug (got 2)\n", "dogs.txt")
    assert {row.set for row in found.rows} == {"Pawsome Pals Series 2"}
    assert [row.subject for row in found.rows][2:] == ["Poodle", "Dachshund", "Pug"]
    assert dict(found.rows[2].extra)["note"] == "my favorite"


def test_whose_cards_they_are_is_not_in_the_name_of_the_set():
    assert title_name("Mine håndboldkort: Kast & Mål 2005/06") == "Kast & Mål 2005/06"


def test_a_word_for_series_beside_the_set_tells_its_parts_apart():
    assert columns_of(["Set", "Reeks", "Kaartnr.", "Speler"])[1] == "series"
    assert columns_of(["Reeks", "Kaartnr.", "Speler"])[0] == "set"


def test_one_number_twice_makes_no_subsets_of_an_unknown_column():
    cards = [f"{n},Player {chr(96 + n)},{'xyz'[n % 3]}-ville" for n in range(1, 20)]
    found = read("\n".join(["#,Name,Lives in", *cards, "17,Another One,x-ville"]))
    assert {series(row) for row in found.rows} == {""}


def test_a_sheet_that_counts_the_others_has_no_cards(tmp_path):
    counts = [["Set", "Cards listed", "Complete?"], ["1990 Kes", 2, "no"], ["1991 Kes", 1, "no"]]
    one = [["#", "Player", "Team"], [1, "Ada Marsh", "Gulls"], [2, "Bo Finn", "Owls"]]
    two = [["#", "Player", "Team"], [7, "Cy Dorn", "Gulls"]]
    sheets = (("Summary", counts), ("1990 Kes", one), ("1991 Kes", two))
    found = workbook(tmp_path / "kes.xlsx", *sheets)
    assert [row.number for row in found.rows] == ["1", "2", "7"]


def test_a_sheet_whose_subjects_have_an_unknown_heading_is_read(tmp_path):
    base = [
        ["No", "Joueur", "Équipe"],
        *([n, f"Jean {'abcdefg'[n]}", "Brumont"] for n in (1, 2, 3)),
    ]
    signed = [["No", "Paraphe", "Équipe"], *([f"AU-{n}", f"Luc P{n}b", "Brumont"] for n in (1, 2))]
    found = workbook(tmp_path / "2011 Rochelune.xlsx", ("Base", base), ("Autographes", signed))
    assert [row.number for row in found.rows] == ["1", "2", "3", "AU-1", "AU-2"]


def test_amounts_below_finishes_are_prices_and_no_names():
    found = read("Name,Number,Regular,Foil,Etched Foil\nImp,1,0.85,2.55,\nMoth,2,2.80,8.40,23.40\n")
    assert found.rows[1].parallels == (Parallel("Foil"), Parallel("Etched Foil"))
    assert dict(found.rows[1].extra)["price"] == "2.80"


def test_ticks_beside_a_finish_are_finishes_but_for_the_plain_card():
    found = read("Number,Name,Normal,Reverse Foil,Promo Stamp\n1,Moth,Y,Y,\n2,Wyrm,Y,Y,Y\n")
    assert found.rows[0].parallels == (Parallel("Reverse Foil"),)
    assert found.rows[1].parallels == (Parallel("Reverse Foil"), Parallel("Promo Stamp"))


def test_the_first_of_several_headings_with_the_same_columns_is_one_too():
    text = "2019 Corona del Sur;;\n;;\nAutógrafos;;\nNº;Jugador;Equipo\nA-1;Ada Marsh;Riomar\n"
    text += "A-2;Bo Finn;Riomar\n;;\nReliquias;;\nNº;Jugador;Equipo\nR-1;Cy Dorn;Montesol\n"
    found = read(text)
    assert [series(row) for row in found.rows] == ["Autógrafos"] * 2 + ["Reliquias"]
    # a single line of its own may say anything
    found = read("2019 Corona\nFronts in colour\nNo;Name\n1;Ada Marsh\n2;Bo Finn\n")
    assert {series(row) for row in found.rows} == {""}


def test_teams_above_blocks_side_by_side_are_teams_from_the_first_on():
    rows = [
        "LIGA DORADA 1983-84,,,,",
        ",,,,",
        "C.D. Almenara,,,Real Torre,",
        "Nº,Jugador,,Nº,Jugador",
    ]
    rows += ["1,Ada Marsh,,3,Cy Dorn", "2,Bo Finn,,4,Di Evers", ",,,,", "U.D. Luz,,,S.D. Brisa,"]
    rows += ["Nº,Jugador,,Nº,Jugador", "5,Ed Fay,,7,Gus Hale", "6,Ina Jay,,8,Kit Low"]
    found = read("\n".join(rows))
    teams = {row.number: row.team for row in found.rows}
    assert teams["1"] == teams["2"] == "C.D. Almenara"
    assert teams["8"] == "S.D. Brisa"


def test_headings_of_clubs_are_teams_beside_one_of_special_cards():
    clubs = ("SV Möwen", "FC Grün", "TuS Eulen")
    lines = ["Wurfkreis 1997 - Checkliste"]
    for at, club in enumerate(clubs):
        lines += ["", f"{club}:", *(f"{4 * at + n}. Ada Marsh{'abcd'[n - 1]}" for n in range(1, 5))]
    lines += ["", "Sonderkarten (T1-T2)", "T1 Bo Finn (FC Grün)", "T2 Cy Dorn (TuS Eulen)"]
    found = read("\n".join(lines), "handball.txt")
    teams = [row.team for row in found.rows]
    assert teams[:12:4] == list(clubs)
    assert teams[-2:] == ["FC Grün", "TuS Eulen"]
    assert [series(row) for row in found.rows][-2:] == ["Sonderkarten"] * 2
    assert found.rows[-1].subject == "Cy Dorn"


def test_headings_in_japanese_signs():
    lines = ["2009年 紅葉フットボール チェックリスト", "", "【レギュラーカード】"]
    lines += ["01\u3000榎並 隼（緑野SC）", "02\u3000蓮見 礼（千歳FC）", "03\u3000早瀬 真（緑野SC）"]
    lines += [
        "",
        "【インサート\u3000黄金の右足】",
        "G1\u3000氷室 弦（緑野SC）",
        "G2\u3000神楽 丈（千歳FC）",
    ]
    found = read("\n".join(lines), "kouyou.txt")
    assert [row.number for row in found.rows] == ["01", "02", "03", "G1", "G2"]
    assert [series(row) for row in found.rows] == [""] * 3 + ["インサート 黄金の右足"] * 2
    assert "2009年" in found.rows[0].set


def test_numbers_that_became_dates_below_chapters():
    cells = [f"2022-{n:02}-01,Bild {chr(96 + n)}" for n in range(1, 13)]
    text = "\n".join(
        ["Bildnummer,Motiv", "Kapitel 1: Die Burg,", *cells, "1-13,Ende", "1-14,Schluss"]
    )
    found = read(text)
    assert [row.number for row in found.rows] == [f"1-{n}" for n in range(1, 15)]


@pytest.mark.parametrize(
    ("headings", "meanings"),
    [
        (["Card #", "Name", "City", "Nickname"], ["number", "subject", "", "team"]),
        (["Numéro", "Nom français", "Nom latin"], ["number", "subject", "alias"]),
        (["Jahr", "Set", "Nr", "Name", "Einsteckserie"],
         ["year", "set", "number", "subject", "series"]),
        (["Yr", "Make and set", "Card no", "Player"], ["year", "set", "number", "subject"]),
        (["Image n°", "Sujet"], ["number", "subject"]),
        (["No.", "Signer", "Role", "Tier"], ["number", "subject", "", ""]),
    ],
)  # fmt: skip
def test_what_further_columns_mean_beside_each_other(headings, meanings):
    assert columns_of(headings) == meanings


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("1987 Orrin Lake Football (need 14)", "1987 Orrin Lake Football"),
        ("Penhallow Cricket 1990 incl. errors", "Penhallow Cricket 1990"),
        ("Mancolista Ciclisti 1977", "Ciclisti 1977"),
        ("Cromos que me faltan - Álbum Total 1996/97", "Álbum Total 1996/97"),
        ("Rois et châteaux – album de 24 images (Chocolat Tréhorel)", "Rois et châteaux"),
        ("2019-20 Polar Rink - Price List", "2019-20 Polar Rink"),
        ("LISTA DE CROMOS - LIGA DORADA 1988", "LIGA DORADA 1988"),
        ("Ma liste Légendes de Brocéval", "Légendes de Brocéval"),
        ("My collection of Harbor Light 1987", "Harbor Light 1987"),
        ("Bestandsliste Eisstars 2016/17, Stand März", "Eisstars 2016/17"),
        ("Te paso lo que tengo a la venta de Toros y Caballos 1958", "Toros y Caballos 1958"),
        ("Papillons d'Europe (60 vignettes)", "Papillons d'Europe"),
        ("妖怪絵巻コレクション 第一弾 所持カード一覧", "妖怪絵巻コレクション 第一弾"),
    ],
)
def test_the_name_in_further_titles(title, name):
    assert title_name(title) == name


def test_a_season_is_no_print_run():
    assert not is_finish("Handball-Asse 2001/02")
    assert is_finish("Night Games /50")
    lines = [f"Nr. {n} Ada Marsh{'abcdefgh'[n]} (HSG Tal) 1,00 €" for n in range(1, 6)]
    text = "\n".join(["Handball-Asse 1999/00:", *lines, "", "Handball-Asse 2001/02:", *lines])
    found = read(text, "mail.txt")
    assert {row.set for row in found.rows} == {"Handball-Asse 1999/00", "Handball-Asse 2001/02"}
    assert {row.parallels for row in found.rows} == {()}


def test_two_sets_side_by_side_may_have_their_columns_in_another_order():
    rows = ["Polderliga 2017,,,,Polderliga 2018,,", "Nr,Speler,Club,,Club,Speler,Kaartnr."]
    rows += ["2,Ada Marsh,Kievit,,Zandmeer,Cy Dorn,10", "3,Bo Finn,Zandmeer,,Kievit,Di Evers,13"]
    found = read("\n".join(rows))
    cards = {(row.set, row.number): (row.subject, row.team) for row in found.rows}
    assert cards["Polderliga 2018", "13"] == ("Di Evers", "Kievit")
    assert cards["Polderliga 2017", "2"] == ("Ada Marsh", "Kievit")


def test_numbers_that_go_on_from_one_series_to_the_next_are_of_one_set():
    rows = ["Reeks;Plaatje;Vogel", "Weide;1;Grutto", ";2;Kievit", ";3;Wulp", "Moeras;4;Roerdomp"]
    found = read("\n".join([*rows, ";5;Ral", ";6;Reiger"]), "Vogels van het Veen.csv")
    assert {row.set for row in found.rows} == {"Vogels van het Veen"}
    assert [series(row) for row in found.rows] == ["Weide"] * 3 + ["Moeras"] * 3


def test_kinds_that_are_the_plain_card_and_finishes_are_parallels():
    found = read("No,選手,種類,限定数\n8,霧島,ノーマル,\n8,霧島,ゴールド,50\n9,早瀬,ノーマル,\n")
    assert Parallel("ゴールド", 50) in found.rows[0].parallels
    assert len(found.rows) == 2


def test_amounts_behind_dots_are_no_numbers():
    cards = [f"{n}. Ada Marsh{'abcdefgh'[n]}, Gulls ......... {n}.50" for n in range(1, 8)]
    found = read("\n".join(["PRICE LIST JUNE", "1988 Sandpiper", "", *cards]), "june.txt")
    assert [row.number for row in found.rows] == [str(n) for n in range(1, 8)]
    assert dict(found.rows[0].extra)["price"] == "1.50"


def test_numbers_with_a_point_and_a_dash():
    cards = [f"{n}.- El Luchador {'abcdefgh'[n]}" for n in range(1, 8)]
    text = "\n".join(["Figuras del Ring 1979", "Colección completa: 7 cromos", "", *cards])
    found = read(text, "ring.txt")
    assert found.rows[0].subject == "El Luchador b"
    assert {series(row) for row in found.rows} == {""}


def test_what_may_name_the_set_above_a_table_is_told():
    text = "Reposting this for newcomers, the full *Deepwell Delvers* list of the promos:,,\n,,\n"
    found = read(f"{text}Code,Card,Year\nDP01,Frost Wyrm,2014\nDP02,Tide Stag,2014\n")
    assert "the set is called by the file's name" in told(found)
    rows = (
        "Ages of Albrandt - sold in the shop\nSeries,No,Subject\nTrades,ST-1,Piper\n,ST-2,Crier\n"
    )
    found = read(f"{rows}Ships,SL-1,Halcyon\n,SL-2,Saint Bast\n")
    assert "if it names parts of this one" in told(found)


def test_a_name_in_quotes_in_a_letter_is_the_set():
    cards = [f"Farfalla {'abcdefgh'[n]} ............ n. {3 * n}" for n in range(1, 8)]
    text = ["Caro Gino,", "", 'ecco le figurine della raccolta "Farfalle del Lago":', "", *cards]
    found = read("\n".join(text), "gino.txt")
    assert {row.set for row in found.rows} == {"Farfalle del Lago"}
    assert [row.number for row in found.rows][:2] == ["3", "6"]
    assert {row.team for row in found.rows} == {""}


def test_a_city_and_a_nickname_are_the_team_together():
    rows = ["Card #,Name,City,Nickname", "1,Ada Marsh,Tallow Creek,Mules", "2,Bo Finn,Vail,Owls"]
    found = read("\n".join([*rows, "3,Cy Dorn,Tallow Creek,Mules", "4,Di Evers,Dun,Owls"]))
    teams = ["Tallow Creek Mules", "Vail Owls", "Tallow Creek Mules", "Dun Owls"]
    assert [row.team for row in found.rows] == teams


def test_what_its_owner_has_and_needs_are_no_subsets():
    rows = ["2017 Orchard Series,,,,", "HAVE,,,NEED,", "No,Player,,No,Player"]
    found = read("\n".join([*rows, "1,Ada Marsh,,2,Bo Finn", "3,Cy Dorn,,4,Di Evers"]))
    assert sorted(row.number for row in found.rows) == ["1", "2", "3", "4"]
    assert {series(row) for row in found.rows} == {""}


def test_the_number_of_the_card_goes_before_a_reference():
    assert columns_of(["Réf.", "Année", "Série", "N° carte", "Joueur(s)"])[3] == "number"
    assert columns_of(["Ref", "Player"])[0] == "number"


def test_numbers_right_behind_their_sign():
    cards = [f"n°{3 * n} Théodule Sauve{'abcdefgh'[n]} - Stade Quimbrois" for n in range(1, 8)]
    found = read("\n".join(["Mêlée Passion 2007 :", *cards]), "rugby.txt")
    assert [row.number for row in found.rows] == [str(3 * n) for n in range(1, 8)]
    assert found.rows[0].subject == "Théodule Sauveb"


def test_counts_of_what_its_owner_has_are_no_cards():
    rows = ["Got it?,#,Player,Team", "☑,1,Ada Marsh,Gulls", "☐,2,Bo Finn,Owls", ",Have,23,"]
    assert [row.number for row in read("\n".join(rows)).rows] == ["1", "2"]


def test_subjects_of_one_word_below_an_unknown_heading():
    found = read(
        "No.,Geist,Seltenheit\n1,Wehrhüter,selten\n2,Mondfürst,selten\n3,Quellwolf,selten\n"
    )
    assert [row.subject for row in found.rows] == ["Wehrhüter", "Mondfürst", "Quellwolf"]
    assert "by its cells it is the subject" in told(found)


def test_a_colour_beside_numbers_that_come_again_is_a_parallel():
    rows = ["Number,Name,Color,Print Run", "2013 Ironwood Legends,,,", "12,Ada Marsh,Copper,30"]
    rows += ["25,Bo Finn,Red,75", "41,Cy Dorn,,", "2014 Ironwood Stars,,,", "12,Di Evers,Red,75"]
    found = read("\n".join([*rows, "25,Ed Fay,,", "41,Gus Hale,Green,", "Cards,6,,"]))
    assert found.rows[0].parallels == (Parallel("Copper", 30),)
    assert [row.set for row in found.rows] == ["2013 Ironwood Legends"] * 3 + [
        "2014 Ironwood Stars"
    ] * 3


def test_a_heading_above_the_same_column_names_is_no_team():
    rows = ["Pétales d'Or 1999;;", ";;", "Équipe;N°;Joueur", "US Châtel;1;Ada Marsh"]
    rows += ["AS Valmûr;2;Bo Finn", ";;", "Maîtres du Filet;;", "Équipe;N°;Joueur"]
    found = read("\n".join([*rows, "US Châtel;MF1;Cy Dorn", "AS Valmûr;MF2;Di Evers"]))
    assert [series(row) for row in found.rows] == ["", "", "Maîtres du Filet", "Maîtres du Filet"]
    assert [row.team for row in found.rows] == ["US Châtel", "AS Valmûr"] * 2


def test_series_of_a_few_cards_each_stay_sets():
    cards = [("Harbor Light", 12), ("Night Owls", 45), ("Harbor Light", 88), ("Mill Pond", 7)]
    cards += [("Night Owls", 101), ("Mill Pond", 230)]
    rows = [f"{name},{n},Ada Marsh{'abcdef'[at]}" for at, (name, n) in enumerate(cards)]
    found = read("\n".join(["Series,No,Player", *rows]))
    assert {row.set for row in found.rows} == {"Harbor Light", "Night Owls", "Mill Pond"}
