"""Ordinary lists as collectors hand them on: wants, reports, releases, threads, newsletters (common
practice, no source; invented names)."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest
from support.read_lists import read, series, told, workbook

from tagger.core.checklist.headings.meaning import meaning_of
from tagger.core.checklist.raw.notes import is_packing
from tagger.core.checklist.raw.spaced import tabbed
from tagger.core.checklist.raw.title_names import cards_said, title_name
from tagger.core.checklist.titles import parallels_of_range
from tagger.core.model.tags import Parallel

ROCKS = ("Rock", "Head", "Point", "Sound", "Ness", "Bay")


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Manquants Étoiles du Quai 1991", "Étoiles du Quai 1991"),
        ("Mancanti Stelle del Molo 1991", "Stelle del Molo 1991"),
        ("Missing Links 1991", "Missing Links 1991"),
        ("2012 蒼海 野球カード 欲しいものリスト", "2012 蒼海 野球カード"),
        ("2021 Orphise Vitesse – parallèles (x = existe)", "2021 Orphise Vitesse"),
        ("2021 Orphise Parallels", "2021 Orphise Parallels"),
        ("2022 Quarrow - 12 box case break - team checklist", "2022 Quarrow"),
        ("HARBOR ANNOUNCES 2019 HARBOR LIGHT BASEBALL", "2019 HARBOR LIGHT BASEBALL"),
        ("The Quay Presents 12 Ships", "The Quay Presents 12 Ships"),
        ("1963 Fairway Golfers (short set, what I have)", "1963 Fairway Golfers"),
        (
            "Emberfall: Second Dawn buylist, prices in EUR, good till Sunday",
            "Emberfall: Second Dawn",
        ),
        ("夜泊TCG 買取メモ", "夜泊TCG"),
        ("Fair Prices of the Quay", "Fair Prices of the Quay"),
        ("Sammlung Nordquai Eishockey 2019/20", "Nordquai Eishockey 2019/20"),
        ("1985 Silverquay Football singles", "1985 Silverquay Football"),
        ("Court Singles", "Court Singles"),
        ("Signed Caps (autographs, 6 cards)", "Signed Caps"),
    ],
)
def test_the_name_in_a_title(title, name):
    assert title_name(title) == name


@pytest.mark.parametrize("word", ["cards", "chromos", "figurines", "sticker", "vignettes", "種類"])
def test_what_counts_cards_is_no_part_of_the_name(word):
    title = f"1987 Harbor Light (24 {word})"
    assert (title_name(title), cards_said(title)) == ("1987 Harbor Light", 24)


def test_packs_with_cards_are_no_cards():
    assert is_packing("18 packs with six cards a pack. Suggested price is 90.")
    assert not is_packing("18 Ada Marsh, Harbor Gulls")
    assert meaning_of("Série insérée")[0] == "series"


def test_what_is_said_of_all_cards_beside_the_title_is_not_in_the_name(tmp_path: Path):
    rows = [["2001 Harbor Tandem", "every card shows two players"], ["Card", "Players"]]
    cards = [[1, "Ada Marsh / Bo Finn"], [2, "Cy Orr / Di Wend"], [3, "Ed Pell / Flo Quay"]]
    found = workbook(tmp_path / "tandem.xlsx", ("Tandem", [*rows, *cards]))
    assert {row.set for row in found.rows} == {"2001 Harbor Tandem"}


def test_a_count_that_the_file_is_called_by_is_in_the_name():
    text = "Harbor Cup 86 Stickers\nSticker,Subject\n1,Badge\n2,Team photo\n3,Ada Marsh\n"
    assert {row.set for row in read(text, "Harbor Cup 86.csv").rows} == {"Harbor Cup 86"}
    assert {row.set for row in read(text, "album.csv").rows} == {"Harbor Cup"}


def test_a_second_series_on_a_sheet_of_its_own_is_a_set(tmp_path: Path):
    def sheet(name: str, letter: str) -> tuple[str, list[list[object]]]:
        cards: list[list[object]] = [[f"{letter}{at:03}", f"Dragon {at}"] for at in range(1, 6)]
        return name.split(maxsplit=1)[1], [[name], ["No", "Name"], *cards]

    first, second = "月影モンスターズ 第一弾", "月影モンスターズ 第二弾"
    found = workbook(tmp_path / "moon.xlsx", sheet(first, "A"), sheet(second, "B"))
    assert list(found.sets) == [first, second]
    assert not any(map(series, found.rows))


def test_a_heading_with_its_odds_in_the_next_cell():
    found = read(
        "2004 Quayside Speedway,,\nCard No,Driver,Car No\n1,Ada Marsh,#55\n2,Bo Finn,#30\n,,\n"
        "Victory Lane Cuts,odds 1:8,\nVL-1,Cy Orr,#35\nVL-2,Di Wend,#97\n"
    )
    assert [series(row) for row in found.rows] == ["", "", "Victory Lane Cuts", "Victory Lane Cuts"]


def test_numbers_with_the_count_of_all_that_became_dates(tmp_path: Path):
    dates = [[datetime.date(1940, at, 1), f"Ship {at}"] for at in range(1, 13)]
    others = [[f"{at}/40", f"Ship {at}"] for at in range(13, 41)]
    rows = [["Old Quay Ships (1989)", ""], ["Card No", "Ship"], *dates, *others]
    found = workbook(tmp_path / "ships.xlsx", ("Sheet1", rows))
    assert [row.number for row in found.rows] == [f"{at}/40" for at in range(1, 41)]
    assert "12 cells are a date" in told(found)


def test_values_below_one_heading_are_prices_of_the_parallels():
    found = read(
        "2020 Garrow Lumen,,,,\nCard,,Value in $,,\nNo.,Player,Base,Silver,Gold\n"
        "1,Ada Marsh,0.75,3.00,11.25\n2,Bo Finn,1.50,6.00,22.50\n3,Cy Orr,0.25,1.00,3.75\n"
    )
    first = found.rows[0]
    assert [one.name for one in first.parallels] == ["Silver", "Gold"]
    prices = {"price": "0.75", "price Silver": "3.00", "price Gold": "11.25"}
    assert prices.items() <= dict(first.extra).items()


@pytest.mark.parametrize(
    ("line", "listed"),
    [
        ("Base parallels (cards 1-30): Silver, Gold /250", ("Silver, Gold /250", 1, 30)),
        ("Rookies parallel (31-40): Rose /50", ("Rose /50", 31, 40)),
        ("Parallels: Silver, Gold /250", None),
        ("No parallels (cards 1-30): see below", None),
    ],
)
def test_lines_that_list_parallels_for_some_numbers(line, listed):
    assert parallels_of_range(line) == listed


def test_parallels_told_below_all_cards_are_of_those_with_these_numbers():
    found = read(
        "Kitehawk Netball 2017\n\nBASE\n1. Ada Marsh, Gulls\n2. Bo Finn, Gulls\n\n"
        "ROOKIES (short prints)\n3. Cy Orr, Owls\n4. Di Wend, Owls\n\n"
        "Base parallels (cards 1-2): Silver, Gold /250\nRookies parallel (cards 3-4): Rose /50\n",
        "kites.txt",
    )
    base = (Parallel("Silver"), Parallel("Gold", 250))
    assert [row.parallels for row in found.rows] == [base, base, *[(Parallel("Rose", 50),)] * 2]


def test_parallels_for_numbers_that_two_parts_have_are_told():
    found = read(
        "Kitehawk Netball 2017\n\nBASE\n1. Ada Marsh, Gulls\n2. Bo Finn, Gulls\n\n"
        "NIGHT GAMES\n1. Cy Orr, Owls\n2. Di Wend, Owls\n\nParallels (cards 1-2): Silver\n",
        "kites.txt",
    )
    assert not any(row.parallels for row in found.rows)
    assert "Parallels (cards 1-2)" in told(found)


def test_two_columns_of_a_newsletter_below_its_head():
    names = [f"{one} {two}" for one in ("Gannet", "Tern", "Skerry", "Sallow") for two in ROCKS]
    cards = "".join(f" {at:>2}  {names[at]:<18}{at + 20:>4}  {names[-at]}\n" for at in range(1, 21))
    found = read(
        "THE QUAY CIRCULAR            No. 47, Autumn\n\nChecklist corner\n\n"
        f"Wexholm Lighthouses (1936), set of 40\n\n{cards}",
        "newsletter.txt",
    )
    assert [row.number for row in found.rows] == [str(at) for at in range(1, 41)]
    assert {row.set for row in found.rows} == {"Wexholm Lighthouses (1936)"}


def test_rules_below_the_names_say_where_columns_are():
    report = (
        "REPORT                    Page 1\n\n"
        "Set            No Boxer             Value\n"
        "-------------- -- ----------------- -----\n"
        "1948 Quay Kings 1 Ada Marsh         12.00\n"
        "1948 Quay Kings12 Bo Finn            0.25\n"
    )
    lines = tabbed(report).split("\n")
    assert lines[2] == "Set\tNo\tBoxer\tValue"
    report = report.replace("1948 Quay Kings", "1948 Quay King ")
    lines = tabbed(report).split("\n")
    assert lines[4:6] == [
        "1948 Quay King\t1\tAda Marsh\t12.00",
        "1948 Quay King\t12\tBo Finn\t0.25",
    ]


def test_a_title_that_is_mostly_called_as_its_file_is_the_set():
    text = "Pixel Burrow Pets Series One\n\nNo.,Pet,Family\n1,Golem,Pond\n2,Moth,Sky\n3,Drake,Sky\n"
    found = read(text, "Pixel Pets series one (forum).csv")
    assert {row.set for row in found.rows} == {"Pixel Burrow Pets Series One"}
    found = read(text, "1987 Harbor Light.csv")
    assert {row.set for row in found.rows} == {"1987 Harbor Light"}


def test_columns_that_have_the_base_set_and_other_parts_are_the_subset():
    found = read(
        "PROGRAM,CARD NUMBER,NAME\nBase,1,Ada Marsh\nBase,2,Bo Finn\nBase,3,Cy Orr\n"
        "Bleacher Fans,BF-1,Di Wend\nBleacher Fans,BF-2,Ed Pell\nBleacher Fans,BF-3,Flo Quay\n",
        "2023 Harbor.csv",
    )
    assert [series(row) for row in found.rows] == ["Base"] * 3 + ["Bleacher Fans"] * 3


def test_finishes_of_the_same_cards_are_no_subset():
    found = read(
        "Look,No,Name\nBase,1,Ada Marsh\nShiny,1,Ada Marsh\nBase,2,Bo Finn\nShiny,2,Bo Finn\n",
        "2023 Harbor.csv",
    )
    assert not any(map(series, found.rows))


def test_groups_in_blocks_are_subsets_and_marks_are_none():
    rows = ["Gruppe\tBild Nr.\tBildtitel"]
    rows += [f"{name}\t{at}\tTier {chr(64 + at)}" for at, name in enumerate(["Wald"] * 3, 1)]
    rows += [f"{name}\t{at}\tTier {chr(64 + at)}" for at, name in enumerate(["Wasser"] * 3, 4)]
    found = read("\n".join(rows), "Tierwelt 1932.tsv")
    assert [series(row) for row in found.rows] == ["Wald"] * 3 + ["Wasser"] * 3
    lettered = "\n".join(rows).replace("Wald", "A").replace("Wasser", "B")
    assert not any(map(series, read(lettered, "Tierwelt 1932.tsv").rows))


def test_cards_behind_each_other_on_one_line():
    found = read(
        "FOR TRADE\n\n1977 Sundial\n87 Ada Marsh; 96 Bo Finn; 117 Cy Orr;\n"
        "192 Di Wend; 208 Ed Pell\n\n"
        "1978 Sundial\n77 Flo Quay; 89 Gus Reed; 97 Hal Stone;\n",
        "trade.txt",
    )
    assert [(row.set, row.number, row.subject) for row in found.rows][2:4] == [
        ("1977 Sundial", "117", "Cy Orr"),
        ("1977 Sundial", "192", "Di Wend"),
    ]
    assert len(found.rows) == 8


def test_what_stands_in_the_next_table_says_nothing_of_this_one(tmp_path: Path):
    first = [["1955 Sea Rescue"], ["No", "Title", "Ask"], *[[n, f"Pier {n}", 2.5] for n in (1, 2)]]
    names = [[n, f"Rider {n}", "Harbor Gulls"] for n in range(1, 9)]
    second = [[], ["1961 Pony Express"], ["No", "Driver", "Team"], *names]
    found = workbook(tmp_path / "gum.xlsx", ("Sheet1", [*first, *second]))
    assert [dict(row.extra).get("price") for row in found.rows[:3]] == ["2.5", "2.5", None]
    assert found.rows[-1].team == "Harbor Gulls"


def test_variants_below_their_card_have_prices_of_their_own():
    found = read(
        "Card Name,Collector Number,Set,Option1 Name,Option1 Value,Price\n"
        "Mirror Stalker,1,Tides,Finish,Regular,1.75\n,,,Finish,Foil,5.25\n"
        "Frost Giant,5,Tides,Finish,Regular,4.50\n,,,Finish,Foil,13.50\n"
    )
    assert [one.name for one in found.rows[0].parallels] == ["base", "Foil"]
    prices = [("Price", "4.50"), ("Price Foil", "13.50")]
    assert set(prices) <= set(found.rows[1].extra)


def test_releases_of_a_game_are_sets():
    found = read(
        "夜泊TCG 買取メモ\n\n"
        "■第1弾 潮騒の章\nYT1-001\u3000灯台守ミオ\u3000100円\nYT1-002\u3000霧笛\u300050円\n\n"
        "■第2弾 深淵の章\nYT2-001\u3000大渦\u300050円\nYT2-002\u3000海鳴り\u3000300円\n",
        "memo.txt",
    )
    assert list(found.sets) == ["第1弾 潮騒の章", "第2弾 深淵の章"]


def test_a_series_that_says_what_it_is_called_is_the_set():
    found = read(
        "Chocolat Grandval\nSérie « Les Petits Quais » - 24 chromos\n\n1. Le rémouleur\n"
        "2. Le vannier\n3. La fileuse\n4. Le meunier\n",
        "chocolat.txt",
    )
    assert {row.set for row in found.rows} == {"Les Petits Quais"}


def test_short_runs_beside_columns_of_runs_are_of_a_parallel_too():
    rows = ["Set Name,Num,Athlete,Purple,Orange,Black"]
    rows += [
        f"2024 Nova,{at},Ada Marsh {chr(64 + at)},99,49,{(1, 5)[at % 2]}" for at in range(1, 8)
    ]
    found = read("\n".join(rows))
    assert found.rows[1].parallels == (
        Parallel("Purple", 99),
        Parallel("Orange", 49),
        Parallel("Black", 1),
    )
    # how many there are of each is no run
    counted = "\n".join(rows).replace("Black", "Have")
    assert [one.name for one in read(counted).rows[1].parallels] == ["Purple", "Orange"]


def test_odds_behind_a_heading_in_words():
    found = read(
        "#,Name,Rink\n1,Ada Marsh,Loch\n2,Bo Finn,Sank\n3,Cy Orr,Loch\n"
        "HAMMER TIME (inserted 1:8),,\n"
        "HT-1,Di Wend,Loch\nHT-2,Ed Pell,Sank\n",
        "2014 Longship.csv",
    )
    assert [series(row) for row in found.rows][3:] == ["HAMMER TIME", "HAMMER TIME"]


def test_suits_of_a_deck_in_spanish():
    ranks = ("As", "2", "3", "4", "5", "Sota", "Caballo", "Rey")
    rows = [f"{suit},{rank}" for suit in ("Oros", "Copas") for rank in ranks]
    cards = [f"{row},Ada Marsh {chr(65 + at)}" for at, row in enumerate(rows)]
    found = read("\n".join(["Palo,Carta,Torero", *cards]))
    read_as = [(series(row), row.number, row.subject) for row in found.rows]
    assert read_as[0] == ("Oros", "As", "Ada Marsh A")
    assert read_as[13] == ("Copas", "Sota", "Ada Marsh N")


def test_a_title_that_only_names_its_series_by_number_is_the_set_of_another_file():
    text = "Mesozoic Mania Series 2\nCreature,No.\nVelkasaur,001\nTromodon,002\nSpinefin,003\n"
    assert list(read(text, "numbers.csv").sets) == ["Mesozoic Mania Series 2"]
    # but not of one that names a set, nor where the title is a word for parts
    assert list(read(text, "1987 Harbor Light.csv").sets) == ["1987 Harbor Light"]
    parts = text.replace("Mesozoic Mania Series 2", "Rookie Cards")
    assert list(read(parts, "numbers.csv").sets) == ["numbers"]


def test_empty_cells_below_a_part_are_of_it_where_the_base_set_is_named():
    found = read(
        "Set,Insert,No.,Player\n2008 Baseline,Base,1,Ada Marsh\n,Base,2,Bo Finn\n"
        ",Albatross,AL-1,Cy Orr\n,,AL-2,Di Wend\n,,AL-3,Ed Pell\n"
    )
    assert [series(row) for row in found.rows] == ["Base"] * 2 + ["Albatross"] * 3


def test_runs_in_the_second_line_of_the_column_names():
    found = read(
        "2015 Goalcircle,,,,,\nCard,,,Parallels,,Checklist\n"
        "No.,Player,Team,Bronze,Gold /15,Checked\n"
        "1,Ada Marsh,Foxes,-,✓,\n2,Bo Finn,Otters,✓,-,yes\n3,Cy Orr,Otters,✓,✓,\n"
    )
    assert [row.parallels for row in found.rows] == [
        (Parallel("Gold", 15),),
        (Parallel("Bronze"),),
        (Parallel("Bronze"), Parallel("Gold", 15)),
    ]


def test_a_table_of_inserts_beside_the_base_set_with_a_name_of_its_own_for_numbers():
    found = read(
        "2016 Vellum Park,,,,,,\nBase Set,,,,Diamond Cuts,,\n"
        "No.,Player,Team,,Insert No.,Player,Team\n1,Ada Marsh,Gulls,,DC-1,Cy Orr,Owls\n"
        "2,Bo Finn,Owls,,DC-2,Di Wend,Gulls\n3,Ed Pell,Owls,,,,\n"
    )
    assert sorted(row.number for row in found.rows) == ["1", "2", "3", "DC-1", "DC-2"]
    assert {series(row) for row in found.rows} == {"", "Diamond Cuts"}


def test_a_remark_that_begins_small_is_no_card():
    found = read(
        "Bowler,Club,Nbr.\nAda Marsh,Gulls,101\nBo Finn,Owls,102\nCy Orr,Owls,103\n,,\n"
        "one missing from the box: ask Okke,,\n"
    )
    assert [row.number for row in found.rows] == ["101", "102", "103"]


def test_series_in_japanese_that_most_cards_have_none_of():
    rows = [f"{at},選手 {chr(0x4E00 + at)},球団," for at in range(1, 9)]
    rows += [f"G{at},投手 {chr(0x4E30 + at)},球団,豪腕列伝" for at in range(1, 4)]
    text = "\n".join(["蒼海ベースボール 2015,,,", "番号,選手名,球団,シリーズ", *rows])
    found = read(text, "野球2015.csv")
    assert list(found.sets) == ["蒼海ベースボール 2015"]
    assert [series(row) for row in found.rows][-3:] == ["豪腕列伝"] * 3


def test_a_long_heading_with_its_odds_is_a_heading():
    found = read(
        "Clockwork Cards 1999\n\nBASE CARDS\n1  Reaper\n2  Lantern\n3  Drake\n\n"
        "CHASE CARDS - BRASS GEARS (1:18 packs)\nG1  Tinkerer\nG2  Mimic\n",
        "tomb.txt",
    )
    assert [series(row) for row in found.rows][3:] == ["CHASE CARDS - BRASS GEARS"] * 2


def test_numbers_with_letters_a_point_and_a_dash():
    found = read(
        "MÁSCARAS DE ORO 2001\n\n1.- El Búho\n2.- Rayo\n3.- La Araña\n\nCartas firmadas\n"
        "F-1.- Coyote Azul\nF-2.- Dama Gris\n",
        "lucha.txt",
    )
    assert [(row.number, row.subject) for row in found.rows][3:] == [
        ("F-1", "Coyote Azul"),
        ("F-2", "Dama Gris"),
    ]


def test_runs_of_parallels_below_one_heading():
    found = read(
        "Card,,,Print run,,\nNo,Driver,Team,Red,Blue,Check\n1,Ada Marsh,Works,150,50,5\n"
        "2,Bo Finn,Oil,150,,5\n3,Cy Orr,Club,200,75,\n",
        "2016 Rally.csv",
    )
    assert found.rows[0].parallels == (
        Parallel("Red", 150),
        Parallel("Blue", 50),
        Parallel("Check", 5),
    )


def test_a_column_of_a_finish_beside_the_price_has_what_it_costs():
    rows = ["Kartennummer,Kartenname,Preis,Folie", "A1,Klinge,1.0,", "A2,Eiche,0.5,1.5"]
    found = read("\n".join([*rows, "A3,Kröte,3.0,9", "A4,Hexe,0.15,0.45"]), "Drachenmark.csv")
    assert [one.name for one in found.rows[1].parallels] == ["Folie"]
    assert dict(found.rows[1].extra)["price Folie"] == "1.5"
    assert found.rows[0].parallels == ()


def test_one_column_of_a_price_guide_is_the_price():
    found = read("No.,Title,NM,Qty\n1,Canyon,8,0\n2,Marshal,22.5,3\n3,Stampede,12,2\n", "1952.csv")
    assert dict(found.rows[1].extra)["price"] == "22.5"
    assert "'NM' is read as the price" in told(found)
    counted = read("No.,Title,NM,EX\n1,Canyon,2,\n2,Marshal,1,3\n", "1952 Spur.csv")
    assert "price" not in dict(counted.rows[0].extra) or "price" in told(counted)


def test_sheets_called_alike_but_for_their_last_word_are_sets(tmp_path: Path):
    def sheet(name: str, letters: str) -> tuple[str, list[list[object]]]:
        return name, [["No", "Name"], *[[f"{letters}-{at}", f"Card {at}"] for at in range(1, 5)]]

    found = workbook(
        tmp_path / "box.xlsx", sheet("Dragonmark Ash", "A"), sheet("Dragonmark Moor", "M")
    )
    assert list(found.sets) == ["Dragonmark Ash", "Dragonmark Moor"]
    found = workbook(
        tmp_path / "one.xlsx", sheet("Dragonmark Ash", "A"), sheet("Dragonmark Inserts", "M")
    )
    assert list(found.sets) == ["Dragonmark Ash"]


def test_a_line_of_percent_is_no_card():
    found = read(
        "No,Boxer,Bronze,Total\n1,Ada Marsh,x,1\n2,Bo Finn,,0\n3,Cy Orr,x,1\n"
        ",Total,2,2\n,in %,66,\n",
        "2008 Kings.csv",
    )
    assert len(found.rows) == 3


def test_names_with_digits_before_a_signed_number():
    found = read(
        "Haunted Quays 1990\n\nOld Mill (#6)\nThe Stair (#4)\nChapel (#8)\nRoom 13 (#15)\n"
        "A Face (#10)\n",
        "haunted.txt",
    )
    assert [(row.number, row.subject) for row in found.rows][3] == ("15", "Room 13")


def test_makers_of_cars_are_no_sets_below_a_title():
    found = read(
        "Rasante Wagen (1969) - 6 Bilder\nHersteller,Bild-Nr.,Modell\nFalkenwerke,1,Falke Sport\n"
        ",2,Falke Kombi\nOstermann,3,Landauer\n,4,Seewind\nNordring,5,Eisbär\n,6,Rentier\n"
    )
    assert {row.set for row in found.rows} == {"Rasante Wagen (1969)"}


def test_one_heading_over_all_cards_of_a_mail_is_the_set():
    found = read(
        "Sehr geehrter Händler,\n\nanbei die Liste meiner Karten:\n\nVögel der Heimat\n\n"
        "Nr. 1 - Buchfink (0,50 €)\nNr. 2 - Zaunkönig (1,00 €)\nNr. 3 - Kleiber (1,00 €)\n"
        "Nr. 4 - Star (1,00 €)\nNr. 5 - Specht (1,00 €)\n",
        "Mail.txt",
    )
    assert {(row.set, series(row)) for row in found.rows} == {("Vögel der Heimat", "")}


def test_the_number_is_what_is_called_an_id_beside_the_card():
    rows = [
        f"{day}-{month},Card {day} of {month}" for month in ("Jan", "Feb") for day in range(1, 5)
    ]
    found = read("\n".join(["Voidrunners Wave Two,", "Card ID,Card", *rows]))
    assert [row.number for row in found.rows][:5] == ["1-1", "1-2", "1-3", "1-4", "2-1"]
