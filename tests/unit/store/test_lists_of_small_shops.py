"""Ordinary lists of small shops and clubs: remarks in titles, parallels of all cards, positions in
the field, teams above their cards (common practice, no source; invented names)."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.read_lists import read, series, told, workbook

from tagger.core.checklist.above.facts import facts_of
from tagger.core.checklist.headings.meaning import meaning_of, priced_parallel
from tagger.core.checklist.named.months import without_month_of_year
from tagger.core.checklist.named.positions import are_positions
from tagger.core.checklist.parallels import parse_parallels
from tagger.core.checklist.raw.base_set import without_base_set
from tagger.core.checklist.raw.odds import ODDS
from tagger.core.checklist.raw.print_runs import split_run
from tagger.core.checklist.raw.title_names import title_name
from tagger.core.checklist.titles import listed_parallels, names_part
from tagger.core.model.money import price_column


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Polar Kollektion 2009/10 – welche Karte gibt es in Gold?", "Polar Kollektion 2009/10"),
        ("2004 Gilded Elm (regional, 20 of 60 known)", "2004 Gilded Elm"),
        ("Turnpike Carts 1974, uncut sheets (5 sheets x 9)", "Turnpike Carts 1974"),
        ("2012 Snowline – my prices, season 2013", "2012 Snowline"),
        ("Vogels van de Plas – plaatjesalbum van De Ketel, 1958", "1958 Vogels van de Plas"),
        ("Torlicht 2006/07 – Basisset:", "Torlicht 2006/07"),
        ("Les Phares (Éditions Ardoise, 1996) - 18 cartes + 6 chromes", "Les Phares (1996)"),
        ("Peacock 1974 - Preisliste Stand Juni 24, alles ohne Gewähr", "Peacock 1974"),
        ("Eisblitz 1996 - Nummern sind Mannschaft-Karte, also 1-1", "Eisblitz 1996"),
        ("Brindle Minis 2008. series 1 is 1-1 to 1-14", "Brindle Minis 2008"),
        ("1993 TORQUE STOCK CARS. mind: card # is not car #", "1993 TORQUE STOCK CARS"),
        ("1977 KILNWOOD list by Wendell, typed in 1981", "1977 KILNWOOD"),
        ("Re: [Liste] Mirabelle Rugby 2007", "Mirabelle Rugby 2007"),
        ("Te koop: losse kaarten Kampioenskaarten 2004", "Kampioenskaarten 2004"),
        ("Cromos que me faltan del Album Brisa 95-96", "Album Brisa 95-96"),
        ("1999年版 ミナト野球カード（全40種）自分用メモ", "1999年版 ミナト野球カード"),
        # what may be of the name stays
        ("1987 Harbor Light (series 2)", "1987 Harbor Light (series 2)"),
        ("Les phares – deuxième série 1987", "Les phares – deuxième série 1987"),
        ("Harbor, Light and Sea 1987", "Harbor, Light and Sea 1987"),
        ("Club De Schaar - plaatjes Zuidveen 1976", "Club De Schaar - plaatjes Zuidveen 1976"),
    ],
)
def test_remarks_are_no_part_of_a_name(title: str, name: str) -> None:
    assert title_name(title) == name


def test_the_base_set_behind_a_name_is_left_away() -> None:
    assert without_base_set("Torlicht 2006/07 – Basisset") == "Torlicht 2006/07"
    assert without_base_set("Harbor Light (base set)") == "Harbor Light"
    assert without_base_set("Harbor Light - Night Games") == "Harbor Light - Night Games"


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("Message, 12 févr. 2006 18:31", "Message,  18:31"),
        ("Printed May 2023", "Printed "),
        ("Posted: Tue Mar 14, 2006 9:41 pm", "Posted: Tue  9:41 pm"),
        ("Sole di Marzo 1993", "Sole di Marzo 1993"),
    ],
)
def test_a_day_is_not_the_year_of_a_set(text: str, left: str) -> None:
    assert without_month_of_year(text) == left


def test_a_day_of_release_names_no_set() -> None:
    assert facts_of(["Release:", "w/c 14 November 2011"]) == {}
    assert facts_of(["Product:", "2011-12 Meridian Hoops"]) == {"set": "2011-12 Meridian Hoops"}


@pytest.mark.parametrize(
    ("text", "name", "run"),
    [
        ("ゴールド(50枚)", "ゴールド", 50),
        ("レッド（10枚）", "レッド", 10),
        ("ゴールド 限定50枚", "ゴールド", 50),
        ("Or (25 exemplaires)", "Or", 25),
        ("Oro 50 copias", "Oro", 50),
    ],
)
def test_print_runs_of_other_languages(text: str, name: str, run: int) -> None:
    assert split_run(text) == (name, run)


def test_odds_are_no_part_of_a_parallel_or_a_heading() -> None:
    found = parse_parallels("Silver (1:4), Ocean (/199), Gold 1 von 1")
    assert [(one.name, one.run) for one in found] == [
        ("Silver", None),
        ("Ocean", 199),
        ("Gold", 1),
    ]
    assert ODDS.sub("", "Cartes chromées (1 pour 12 pochettes)") == "Cartes chromées"


@pytest.mark.parametrize(
    ("line", "listed"),
    [
        ("Parallels of every base card: Silver /199, Gold /50", "Silver /199, Gold /50"),
        ("Parallelen voor alle kaarten: Goud", "Goud"),
        ("Parallels for all cards: Gold", "Gold"),
        ("Parallels of Ada Marsh: Gold", None),
        ("Parallels in stock: 4", None),
    ],
)
def test_parallels_of_all_cards(line: str, listed: str | None) -> None:
    assert listed_parallels(line) == listed


def test_promos_alone_are_a_part_and_of_a_name_are_none() -> None:
    assert names_part("## Promos")
    assert not names_part("Harbor Promos")


@pytest.mark.parametrize(
    ("heading", "meaning"),
    [
        ("Player - Team", "subject"),
        ("Stable", "team"),
        ("Code", "number"),
        ("last_sale", "price"),
    ],
)
def test_headings(heading: str, meaning: str) -> None:
    assert meaning_of(heading)[0] == meaning


def test_a_code_gives_way_to_a_number() -> None:
    [row] = read("Code,No.,Name,Team\nHL-A,7,Ada Marsh,Gulls\n").rows
    assert row.number == "7"


def test_positions_in_the_field_are_no_teams() -> None:
    places = ["QB", "WR", "TE", "LB", "CB", "K"]
    assert are_positions(places, 6)
    assert not are_positions(["NHG", "OTT", "NHG", "FEL"], 4)
    assert not are_positions(["QB", "QB", "QB"], 3)  # could be the short form of one team
    names = ["Ada Marsh", "Ivo Lund", "Lee Gold", "Jan Ebb", "Pia Dune", "Tom Reed"]
    pairs = [*enumerate(zip(names, places, strict=True), start=1)]
    cards = "\n".join(f"{at} {name}, {place}" for at, (name, place) in pairs)
    listed = read(f"1993 Pine Gridiron\n\n{cards}\n", "pine.txt")
    assert [(row.subject, row.team) for row in listed.rows] == [(name, "") for name in names]
    table = "".join(f'{at},"{name}, {place}"\n' for at, (name, place) in pairs)
    tabled = read(f"No.,Player\n{table}")
    assert [(row.subject, row.team) for row in tabled.rows] == [(name, "") for name in names]
    assert [dict(row.extra)["marks"] for row in tabled.rows] == places


def test_the_team_above_the_first_cards_in_a_list_by_club() -> None:
    text = (
        "2000 Caldera - checklist by club,,\n,,\nHallow Kestrels,,\nNo.,Name,Value\n"
        "1,Ada Marsh,$5.00\n2,Ivo Lund,$4.25\n,,\nMarrow Anvils,,\nNo.,Name,Value\n"
        "3,Lee Gold,$5.00\n4,Jan Ebb,$6.00\n"
    )
    rows = read(text).rows
    assert [row.team for row in rows] == [*["Hallow Kestrels"] * 2, *["Marrow Anvils"] * 2]


def test_finishes_in_brackets_behind_typed_names() -> None:
    cards = "21 tico kilvane $1\n49 ada marsh (gold) $3\n68 ivo lund $2\n77 lee ebb $1\n"
    text = f"2009 Stonegate\n{cards}"
    rows = read(text, "notes.txt").rows
    assert [(row.subject, *(one.name for one in row.parallels)) for row in rows] == [
        ("tico kilvane",),
        ("ada marsh", "gold"),
        ("ivo lund",),
        ("lee ebb",),
    ]


def test_a_line_in_small_letters_below_a_set_is_no_part() -> None:
    text = (
        "1985 Millbrook Dairy (3 cards)\n1. Ada Marsh\n2. Ivo Lund\n3. Lee Gold\n\n"
        "1987 Tilly's Chips (3 cards)\n   unnumbered checklist, perforated\n"
        "1. Jan Ebb\n2. Pia Dune\n3. Tom Reed\n"
    )
    found = read(text, "oddballs.txt")
    assert [row.set for row in found.rows[3:]] == ["1987 Tilly's Chips"] * 3
    assert not any(row.extra for row in found.rows)


def test_numbers_of_a_forum() -> None:
    cards = "n°1 : Le Départ\nn°2 : La Brume\nn°C3 : L'Île"
    text = f"[cartes] Liste Les Phares\nMessage par Anon, dim. 12 févr. 2006 18:31\n\n{cards}\n"
    rows = read(text, "forum.txt").rows
    assert [(row.number, row.subject) for row in rows] == [
        ("1", "Le Départ"),
        ("2", "La Brume"),
        ("C3", "L'Île"),
    ]
    assert "2006" not in rows[0].set


def test_a_price_column_for_each_parallel_some_of_unusual_names() -> None:
    text = (
        "2012 Snowline,,,,\n#,Skier,Regular,Frost,Deep Freeze /75\n1,Ada Marsh,1.0,,40.0\n"
        "2,Ivo Lund,1.5,3.0,10.0\n3,Lee Gold,2.0,6.0,\n4,Jan Ebb,0.5,1.5,5.5\n"
    )
    rows = read(text).rows
    assert [one.name for one in rows[1].parallels] == ["Frost", "Deep Freeze"]
    assert dict(rows[1].extra)[price_column(rows[1].extra, "Frost")] == "3.0"


def test_a_parallel_in_brackets_behind_the_word_price() -> None:
    assert priced_parallel("Price (Foil)") == "Foil"
    text = "Set,No.,Name,Price (Normal),Price (Foil)\nEmber,2/9,Hound,3.50,7.00\n"
    [row] = read(text).rows
    assert [one.name for one in row.parallels] == ["Foil"]
    assert dict(row.extra)[price_column(row.extra, "Foil")] == "7.00"


def test_kinds_that_go_with_the_letters_of_numbers_are_subsets() -> None:
    cards = "".join(f"DI-{at},Ada Marsh {at},Dual Ink\n" for at in range(1, 5))
    cards += "".join(f"TI-{at},Ivo Lund {at},Triple Ink\n" for at in range(1, 4))
    found = read(f"Ref.,Player,Type\n{cards}")
    assert {series(row) for row in found.rows} == {"Dual Ink", "Triple Ink"}
    assert "'Type' is read as the subset" in told(found)


def test_a_title_that_ends_in_the_name_of_its_sheet(tmp_path: Path) -> None:
    sheets = [
        (
            name,
            [[f"Sammlung Kranich – {name}"], [], ["Nr", "Name", "Mannschaft"], [1, card, "Gulls"]],
        )
        for name, card in (("2003 Nebelhorn", "Ada Marsh"), ("2004 Nebelhorn", "Ivo Lund"))
    ]
    rows = workbook(tmp_path / "Eis.xlsx", *sheets).rows
    assert [(row.set, row.extra) for row in rows] == [
        ("2003 Nebelhorn", ()),
        ("2004 Nebelhorn", ()),
    ]


def test_a_first_title_that_says_the_series_of_its_set() -> None:
    text = (
        "# Mire Beasts: Series 1\n\n## Base cards\n\n| # | Beast | Artist |\n|---|---|---|\n"
        "| 1 | Bog Lurcher | K. Orme |\n| 2 | Fen Widow | R. Tuck |\n\n## Promos\n\n"
        "| # | Beast | Given away |\n|---|---|---|\n| P1 | Bog Lurcher | Toy fair |\n"
    )
    rows = read(text, "mire_beasts_wiki.md.txt").rows
    assert {row.set for row in rows} == {"Mire Beasts: Series 1"}
    assert series(rows[2]) == "Promos"


def test_what_is_said_behind_a_price() -> None:
    text = (
        "1991 Tallow baseball\n\n#1 Ty Pell (Stokers) $0.50\n"
        "#10 Nell Ball (Anchors) $1.00 - soft corner\n#14 Wade Voss (Lanterns) $2.50 (sold)\n"
        "#27 Toby Bell (Stokers) $4.00\n"
    )
    rows = read(text, "left.txt").rows
    assert [(row.subject, row.team) for row in rows] == [
        ("Ty Pell", "Stokers"),
        ("Nell Ball", "Anchors"),
        ("Wade Voss", "Lanterns"),
        ("Toby Bell", "Stokers"),
    ]
    assert [dict(row.extra).get("note") for row in rows] == [None, "soft corner", "sold", None]


def test_how_often_there_is_a_card() -> None:
    text = (
        "Kleeblatt 2009/10\nNr. 12 Knut Hasel (TuS Marsch) 3x\nNr. 18 Uwe Pfennig (Fortuna)\n"
        "Nr. 23 Kuno Grün (FC Linden)\nNr. 28 Tom Wack (Fortuna) 2x\n"
    )
    teams = [row.team for row in read(text, "doppelte.txt").rows]
    assert teams == ["TuS Marsch", "Fortuna", "FC Linden", "Fortuna"]


def test_numbers_right_behind_a_dash_and_marks_of_wanting() -> None:
    text = "Marl Racing 2011\n\n-5 Jonah Pell\n- 9 Kip Wex !!\n-14 Cal Glad\n19 D.J. Fen\n"
    rows = read(text, "note.txt").rows
    assert [(row.number, row.subject) for row in rows] == [
        ("5", "Jonah Pell"),
        ("9", "Kip Wex"),
        ("14", "Cal Glad"),
        ("19", "D.J. Fen"),
    ]


def test_prices_of_one_decimal_beside_others() -> None:
    text = (
        "COPPER 2003 - prices spring,,,,\n#,Name,Base,Silver,Gold /50\n1,Cal Esk,5.5,13.75,55.0\n"
        "2,Mick Lund,0.25,0.62,2.0\n3,Colby Orph,3.0,7.5,n/a\n4,Otis Zar,0.25,0.62,2.0\n"
    )
    rows = read(text).rows
    assert [(one.name, one.run) for one in rows[0].parallels] == [("Silver", None), ("Gold", 50)]
    assert dict(rows[0].extra)[price_column(rows[0].extra, "Gold")] == "55.0"
    assert [one.name for one in rows[2].parallels] == ["Silver"]


def test_usual_print_runs_beside_columns_of_runs() -> None:
    text = (
        "2020 Velvet Rink,,,,\nCard no.,Skater,Ice Blue,Ember,Onyx\n1,Fern Nun,99,49,1\n"
        "2,Yates Rud,75,49,10\n3,Ira Lor,99,25,10\n4,Arlo Vel,75,,\n5,Imo Esk,75,25,5\n"
    )
    first = read(text).rows[0]
    assert [(one.name, one.run) for one in first.parallels] == [
        ("Ice Blue", 99),
        ("Ember", 49),
        ("Onyx", 1),
    ]


def test_a_regular_version_is_the_plain_card() -> None:
    text = "Nom,N° carte,Version,Numérotée à\nOcta Roche,1,Régulière,\nOcta Roche,1,Bleue,199\n"
    [row] = read(text).rows
    assert [(one.name, one.run) for one in row.parallels if one.name != "base"] == [("Bleue", 199)]


def test_several_cards_a_line_below_their_teams() -> None:
    text = (
        "1979 Pemmican baseball - by team, because thats how I keep em\n\nSALTMERE THISTLES\n"
        "9 Thane Nettle, 12 Joss Wick Jr., 22 Des Lund,\n38 Lon Jarrow, 50 Milo Ingers\n\n"
        "LAKE ORRIN ANCHORS\n6 Don Lorrim, 21 Percy Rudd, 27 Gid Marrow,\n"
        "32 Ren Till, 40 Ty Fossgate\n"
    )
    rows = read(text, "by team.txt").rows
    assert {row.set for row in rows} == {"1979 Pemmican baseball"}
    assert [(row.number, row.team) for row in rows] == [
        *((number, "SALTMERE THISTLES") for number in ("9", "12", "22", "38", "50")),
        *((number, "LAKE ORRIN ANCHORS") for number in ("6", "21", "27", "32", "40")),
    ]
    assert rows[-1].subject == "Ty Fossgate"


def test_a_column_of_crosses_and_runs_below_a_finish_is_that_parallel() -> None:
    text = (
        "No.,Card name,Foil,Reverse\n1,Oke Marl,x,x\n2,Ida Fell,x,\n3,Una Voss,,\n4,Bo Tarn,/99,x\n"
    )
    parallels = [[(one.name, one.run) for one in row.parallels] for row in read(text).rows]
    foil, reverse = ("Foil", None), ("Reverse", None)
    assert parallels == [[foil, reverse], [foil], [], [("Foil", 99), reverse]]
