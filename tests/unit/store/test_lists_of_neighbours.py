"""Ordinary lists of collectors: words of other languages, sections, mails, dates that were numbers
(common practice, no source; invented names)."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from support.read_lists import read, told

from tagger.core.checklist.headings.meaning import meaning_of
from tagger.core.checklist.named.clubs import is_club
from tagger.core.checklist.named.months import month_of
from tagger.core.checklist.raw.base_set import is_base_set
from tagger.core.checklist.raw.mails import set_said, set_within
from tagger.core.checklist.raw.notes import is_furniture, is_greeting, is_note, is_total
from tagger.core.checklist.raw.purposes import is_place, is_purpose
from tagger.core.checklist.raw.title_names import title_name
from tagger.core.checklist.rows.behind import split_behind
from tagger.core.checklist.titles import part_of
from tagger.core.model.money import parse_price
from tagger.core.model.tags import Row
from tagger.store.read_lists import read_checklist


def series(row: Row) -> str:
    return next((value for name, value in row.extra if name in ("subset", "Series", "Type")), "")


def kinds(row: Row) -> list[tuple[str, int | None]]:
    return [(one.name, one.run) for one in row.parallels]


@pytest.mark.parametrize(
    ("heading", "meaning"),
    [
        ("Book (EX) $", "price"),
        ("Each £", "price"),
        ("Precio máx. (€)", "price"),
        ("販売価格", "price"),
        ("Extension", "set"),
        ("Sammelserie", "set"),
        ("Verzameling", "set"),
        ("release_title", "set"),
        ("County", "team"),
        ("Onderwerp", "subject"),
        ("Plaatje", "number"),
        ("Versie", "parallels"),
        ("serial_max", "run"),
        ("Einsatz / Insert", "series"),
        ("Nr. / No.", "number"),
        ("Issuer", "maker"),
        ("Series-No.", "number"),
    ],
)
def test_headings(heading: str, meaning: str) -> None:
    assert meaning_of(heading)[0] == meaning


def test_a_month_by_the_beginning_of_its_name() -> None:
    words = (
        "January",
        "Fév",
        "März",
        "avril",
        "Mei",
        "juin",
        "Juillet",
        "août",
        "Settembre",
        "okt",
    )
    assert [*map(month_of, words)] == [*range(1, 11)]
    assert month_of("Harbor") == 0


def test_words_of_other_scripts_are_known_however_they_are_folded() -> None:
    text = "番号,選手名,パラレル\n1,月森,レギュラー\n2,霧島,ホロ\n"
    assert [kinds(row) for row in read(text).rows] == [[("base", None)], [("ホロ", None)]]


def test_what_is_no_card_and_no_name() -> None:
    for text in ("Back to top", "Previous 1 2 Next", "Nach oben", "Hi Dale,", "Cher Noé,"):
        assert is_note(text), text
    assert is_furniture("previous " + "1" * 400)
    assert not is_furniture("Next Stop Harbor")
    assert is_total(["of 40"])
    assert is_total(["Total in this box"])
    assert not is_greeting("Hi-Fi Heroes")
    assert not is_greeting("Dear Harbor 1987:")
    assert is_purpose("Mi mancano ancora (solo in buono stato):")
    assert is_place("Box 2")
    assert is_place("binder")
    assert not is_place("Box Office Stars")


def test_a_set_in_a_sentence() -> None:
    assert set_said("what I have from the 1987 Harbor Light set, all clean:") == "1987 Harbor Light"
    assert set_said("mes doubles de la série Port de Brume 1987 (dos vert) :") == (
        "Port de Brume 1987"
    )
    assert set_within("What's in 1987 Harbor Light?") == "1987 Harbor Light"
    assert set_said("sent on 12 May 1987") == set_within("on 4.5.1987 Mo wrote") == ""


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("1987 Harbor Light - Winter price guide", "1987 Harbor Light"),
        ("1987 Harbor Light (44 cards) - my set for sale, 4 missing", "1987 Harbor Light"),
        ("Show binder 3 – 1987-88 Harbor Ice", "1987-88 Harbor Ice"),
        ("OFFICIAL CHECKLIST 1987 HARBOR LIGHT", "1987 HARBOR LIGHT"),
        ("Harbor Light 1987 - complete lijst (42 plaatjes)", "Harbor Light 1987"),
        ("Harbor Arena 1987/88 Trading Card Game - full list", "Harbor Arena 1987/88"),
        ("Harbor Light 1987 – 60 Bilder", "Harbor Light 1987"),
    ],
)
def test_titles(title: str, name: str) -> None:
    assert title_name(title) == name


def test_the_base_set_is_no_part() -> None:
    for name in ("Base", "Série de base", "レギュラー", "Basis"):
        assert is_base_set(name)
    part = part_of("Série de base (n° 1 à 24)")
    assert (part.series, part.first, part.last) == ("", 1, 24)


def test_numbers_that_became_dates_are_read_where_the_others_say_how() -> None:
    english = "No.,Player\n1-Jan,Ada Marsh\n2-Jan,Bo Lund\n1-Feb,Cy Orr\n2-Feb,Di Pell\n" + (
        "13-1,Ed Tarn\n13-2,Fay Gull\n"
    )
    found = read(english)
    assert [row.number for row in found.rows] == ["1-1", "1-2", "2-1", "2-2", "13-1", "13-2"]
    assert "read as 1-1; format the column as text" in told(found)
    german = "Nr.;Spieler\n" + "".join(
        f"{number};Spieler {at}\n"
        for at, number in enumerate(
            [*(f"{part:02}. {month}" for part in (1, 2) for month in ("Jan", "Feb", "Mrz", "Dez")),
             "2-13", "2-14"]
        )
    )  # fmt: skip
    numbers = [row.number for row in read(german).rows]
    assert numbers == ["1-1", "1-2", "1-3", "1-12", "2-1", "2-2", "2-3", "2-12", "2-13", "2-14"]


def test_one_number_among_many_that_became_a_date() -> None:
    numbers = ["1-1", "2-Jan", "1-3", "1-4", "2-1", "2-2", "2-3"]
    found = read("No.,Player\n" + "".join(f"{number},Ada Marsh {number}\n" for number in numbers))
    assert [row.number for row in found.rows][1] == "1-2"
    assert "1 cell is a date ('2-Jan'), read as 1-2" in told(found)


def test_dates_that_nothing_explains_stay_as_they_are() -> None:
    # 2 January or 1 February: the lines are in no order that tells
    found = read("No.,Player\n2-Jan,Ada Marsh\n1-Feb,Bo Lund\n3-Mar,Cy Orr\n2-Feb,Di Pell\n")
    assert [row.number for row in found.rows] == ["2-Jan", "1-Feb", "3-Mar", "2-Feb"]
    assert "a date where the number was" in told(found)


def test_all_numbers_may_be_dates(tmp_path: Path) -> None:
    import datetime

    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.append(["Card", "Name"])
    for month in (1, 2):
        for day in range(1, 8):
            sheet.append([datetime.date(2024, month, day), f"Ada Marsh {month}{day}"])
    book.save(tmp_path / "list.xlsx")
    numbers = [row.number for row in read_checklist(tmp_path / "list.xlsx").rows]
    assert numbers == [f"{month}-{day}" for month in (1, 2) for day in range(1, 8)]


def test_clubs_above_their_cards_are_teams() -> None:
    assert is_club("FC Harbor")
    assert is_club("Harbor Rovers")
    assert is_club("1. FC Marsh")
    assert not is_club("Night Games")
    assert not is_club("United")
    lines = ["Harbor League 1987", "Checkliste, 6 Sticker", ""]
    names = ("Ada Gull", "Bo Reed", "Cy Orr", "Di Pell", "Ed Low", "Fay Moor")
    for at, club in enumerate(("SV Harbor", "1. FC Marsh", "Eintracht Tarn")):
        first, second = names[2 * at : 2 * at + 2]
        lines += [club, f"{2 * at + 1} {first}", f"{2 * at + 2} {second}", ""]
    found = read("\n".join(lines), "stickers.txt")
    assert [row.number for row in found.rows] == list("123456")
    assert {row.set for row in found.rows} == {"Harbor League 1987"}
    assert [row.team for row in found.rows] == (
        ["SV Harbor"] * 2 + ["1. FC Marsh"] * 2 + ["Eintracht Tarn"] * 2
    )


def test_the_set_of_a_mail() -> None:
    text = "From: Mo\nSubject: Re: 1987 Harbor Light doubles\n\nHi Dale,\n\n#1 Ada Marsh - $2.50\n"
    assert {row.set for row in read(f"{text}#2 Bo Lund - $1.00\n", "mail.txt").rows} == {
        "1987 Harbor Light"
    }
    text = (
        "Hi Dale,\n\nthese are left from the 1987 Harbor Light set:\n\n#1 Ada Marsh\n#2 Bo Lund\n"
    )
    assert {row.set for row in read(text, "mail.txt").rows} == {"1987 Harbor Light"}
    text = "Hi Dale,\n\n#1 Ada Marsh\n#2 Bo Lund\n"
    assert {row.set for row in read(text, "mail.txt").rows} == {"mail"}


def test_a_parallel_with_its_run_behind_a_name() -> None:
    assert split_behind("Ada Marsh Gold /75").parallel == "Gold /75"
    assert split_behind("Ada Gold /75").subject == "Ada Gold"
    found = read("No.,Player\n1,Ada Marsh\n2,Bo Lund Gold /75\n3,Cy Orr /25\n")
    assert [kinds(row) for row in found.rows] == [[], [("Gold", 75)], [("/25", 25)]]
    assert [row.subject for row in found.rows] == ["Ada Marsh", "Bo Lund", "Cy Orr"]


def test_prices_of_parallels_beside_those_of_the_base_card() -> None:
    text = "No.,Player,Base $,Frost $,Onyx /10 $\n1,Ada Marsh,1.00,2.00,40.00\n2,Bo Lund,0.50,,\n"
    found = read(text)
    assert [kinds(row) for row in found.rows] == [[("Frost", None), ("Onyx", 10)], []]
    assert dict(found.rows[0].extra) == {
        "price": "1.00", "price Frost": "2.00", "price Onyx": "40.00"
    }  # fmt: skip


def test_thousands_in_a_column_of_whole_prices() -> None:
    cells = ("20", "300", '"1,200"', "45", "80")
    text = "No.,Player,Est. Value ($)\n" + "".join(
        f"{at},Ada Marsh {at},{cell}\n" for at, cell in enumerate(cells, 1)
    )
    assert [dict(row.extra)["price"] for row in read(text).rows] == [
        "20",
        "300",
        "1200",
        "45",
        "80",
    ]


def test_a_column_of_kinds_is_the_subset_where_it_names_the_base_set() -> None:
    text = "set,No.,Player,type\n" + "".join(
        f"1987 Harbor,{number},Ada Marsh {number},{kind}\n"
        for number, kind in (
            ("1", "Base"),
            ("2", "Base"),
            ("R1", "Rookie Ink"),
            ("R2", "Rookie Ink"),
        )
    )
    found = read(text)
    assert {name for row in found.rows for name, _ in row.extra} == {"subset"}
    assert series(found.rows[3]) == "Rookie Ink"
    assert "'type' is read as the subset" in told(found)
    # powers and positions are none
    text = "No.,Player,type\n1,Ada Marsh,Fire\n2,Bo Lund,Water\n3,Cy Orr,Fire\n"
    assert not series(read(text).rows[0]) or "subset" not in dict(read(text).rows[0].extra)


def test_a_series_with_the_base_set_is_the_subset() -> None:
    text = "1987 Harbor Light\n#,Character,Series\n1,Ada,Base\n2,Bo,Base\nP1,Cy,Promo\n"
    found = read(text)
    assert {row.set for row in found.rows} == {"1987 Harbor Light"}
    assert series(found.rows[2]) == "Promo"


def test_crosses_below_normal_are_the_plain_card() -> None:
    text = "No.,Name,Normal,Holo\n1,Ada Marsh,x,x\n2,Bo Lund,x,\n3,Cy Orr,,x\n"
    assert [kinds(row) for row in read(text).rows] == [[("Holo", None)], [], [("Holo", None)]]


def test_one_word_behind_a_share_of_all_cards_is_a_card() -> None:
    text = "Harbor Deep 1987\n\n001/003 Kraken\n002/003 Undertow!\n003/003 Pearl\n"
    assert [row.subject for row in read(text, "deck.txt").rows] == ["Kraken", "Undertow!", "Pearl"]


def test_sets_and_teams_named_where_they_change() -> None:
    text = (
        "Yr,Set,Team,No,Player\n"
        "1987,Harbor Light,Gulls,1,Ada Marsh\n,,,2,Bo Lund\n,,Terns,3,Cy Orr\n,,,4,Di Pell\n"
        "1988,Harbor Light,Terns,1,Ed Tarn\n,,,2,Fay Gull\n,,Gulls,3,Gil Reed\n,,,4,Hy Low\n"
    )
    assert [row.team for row in read(text).rows] == ["Gulls"] * 2 + ["Terns"] * 4 + ["Gulls"] * 2


def test_the_set_by_its_cells_beside_the_year() -> None:
    text = "Nr,Name,Jahr,Blubb\n" + "".join(
        f"{at},Ada Marsh {at},{1987 + at // 5},{'Harbor' if at < 5 else 'Marsh'}\n"
        for at in range(10)
    )
    found = read(text)
    assert {row.set for row in found.rows} == {"1987 Harbor", "1988 Marsh"}
    assert "by its cells it is the set" in told(found)


def test_the_head_of_a_page_is_no_card_on_the_next() -> None:
    head = "OFFICIAL LIST\t1987 HARBOR LIGHT\nCARD NO.\tPLAYER\n"
    found = read(f"{head}1\tAda Marsh\n2\tBo Lund\n{head}3\tCy Orr\n", "list.txt")
    assert [row.number for row in found.rows] == ["1", "2", "3"]


def test_sets_one_below_the_other_with_their_years_behind() -> None:
    text = (
        "Me faltan\n\nHarbor Ice 1987:\n4. Ada Marsh\n\nHarbor Ice 1989:\n1. Bo Lund\n2. Cy Orr\n"
    )
    found = read(text, "f.txt")
    assert [row.set for row in found.rows] == ["Harbor Ice 1987"] + ["Harbor Ice 1989"] * 2


def test_prices_in_crowns() -> None:
    text = "Harbor Ice 1987\n16\tAda Marsh\t15 kr\n28\tBo Lund\t10 kr\n29\tCy Orr\t5 kr\n"
    found = read(text, "f.txt")
    assert [dict(row.extra)["price"] for row in found.rows] == ["15 kr", "10 kr", "5 kr"]
    assert (parse_price("15 kr").amount, parse_price("15,50 Kč").amount) == (15, Decimal("15.5"))


def test_amounts_of_parallels_as_programs_write_them() -> None:
    text = (
        "Number|Player|Base|Silver|Gold /25\n1.0|Ada Marsh|2.5|7.5|50.0\n2.0|Bo Lund|1.0|3.0|20.0\n"
    )
    found = read(text, "2005 Harbor Ice price guide.csv")
    assert title_name("2005 Harbor Ice price guide") == "2005 Harbor Ice"
    assert kinds(found.rows[0]) == [("Silver", None), ("Gold", 25)]
    assert dict(found.rows[1].extra)["price Gold"] == "20.0"


def test_a_line_of_parallels_in_other_languages() -> None:
    text = "Harbor Ice 2011\n\nBase\nParalelas: Prata /100, Ouro\n\n1 Ada Marsh\n2 Bo Lund\n"
    found = read(text, "f.txt")
    assert kinds(found.rows[1]) == [("Prata", 100), ("Ouro", None)]


def test_sections_in_japanese() -> None:
    text = (
        "2022 港リーグ\n\n■レギュラーカード\n001 月森 千景\n002 霧島 悠馬\n\n"
        "■直筆サイン\nS1 白峰 宗一郎\nS2 砂原 大河\n"
    )
    found = [series(row) for row in read(text, "f.txt").rows]
    assert found == ["", "", "直筆サイン", "直筆サイン"]


def test_how_a_name_is_read_stands_in_brackets_behind_it() -> None:
    text = (
        "2009 港リーグ\n全3種類\n\n001 夏目拓海(なつめたくみ) 瑞穂スターズ\n"
        "002 綾部拓海(あやべたくみ) 港南シーガルズ\n003 八雲亮(やくもりょう) 港南シーガルズ\n"
    )
    found = read(text, "f.txt")
    assert [row.subject for row in found.rows] == ["夏目拓海", "綾部拓海", "八雲亮"]
    assert [row.alias for row in found.rows] == ["なつめたくみ", "あやべたくみ", "やくもりょう"]
    assert found.rows[0].team == "瑞穂スターズ"
    wide = (
        "2022 港リーグ\n001　月森 千景（つきもり ちかげ）　青嵐\n"
        "002　霧島 悠馬（きりしま ゆうま）　青嵐\n"
    )
    found = read(f"{wide}003　砂原 大河（すなはら たいが）　北峰\n", "f.txt")
    assert (found.rows[0].subject, found.rows[0].team) == ("月森 千景", "青嵐")
    assert found.rows[0].alias == "つきもり ちかげ"


def test_counts_odds_and_sentences_are_no_headings() -> None:
    text = (
        "2020 Harbor Ice\nSet size: 4 cards\n\n1 Ada Marsh\n2 Bo Lund\n\nNIGHT GAMES\n2 cards\n"
        "Odds 1:24 packs\nParallels: Gold /25\n\nN-1 Cy Orr\nN-2 Di Pell\n"
    )
    found = read(text, "f.txt")
    assert [series(row) for row in found.rows] == ["", "", "NIGHT GAMES", "NIGHT GAMES"]
    assert [kinds(row) for row in found.rows] == [[], [], [("Gold", 25)], [("Gold", 25)]]
    assert is_note("Still looking for the last few of these, ask Harold")
    assert not is_note("Harbor, Land and Sea")
    text = "Hallo,\n\nhier die Karten aus Harbor Ice 1995/96, die ich habe:\n\nHarbor Ice 1995/96\n"
    assert read(f"{text}\n8 Ada Marsh\n9 Bo Lund\n", "f.txt").rows[0].set == "Harbor Ice 1995/96"
    assert set_within("hier die Karten aus Harbor Ice 1995/96, die") == "Harbor Ice 1995/96"
    assert set_within("A " * 20_000) == set_said("1987 " + "A " * 20_000) == ""
