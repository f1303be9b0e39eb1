"""Ordinary lists of shops and album collectors: sheets with sets of their own, sheets that are
parts, albums of teams, numbers that a program made dates of (common practice, no source; invented
names)."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.read_lists import read, series, told, workbook

from tagger.core.checklist.headings.meaning import meaning_of
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.named.months import without_month_of_year
from tagger.core.checklist.parallels import parse_parallels
from tagger.core.checklist.raw.mails import set_within
from tagger.core.checklist.raw.notes import is_note
from tagger.core.checklist.raw.title_names import title_name
from tagger.core.model.tags import Parallel


@pytest.mark.parametrize(
    ("heading", "meaning"),
    [
        ("/#", "run"),
        ("#", "number"),
        ("Mfr", "maker"),
        ("Book", "price"),
        ("Prix TTC", "price"),
        ("Editie", "set"),
        ("弾", "set"),
        ("加工", "parallels"),
        ("クラブ", "team"),
        ("Driver", "subject"),
        ("Wrestler", "subject"),
        ("Hometown", ""),
    ],
)
def test_headings_of_shops_and_albums(heading: str, meaning: str) -> None:
    assert meaning_of(heading)[0] == meaning


def test_gold_in_french_is_a_word_of_its_own() -> None:
    assert is_finish("Or")
    assert not is_finish("own or need")


def test_a_parallel_without_a_run_is_not_called_so() -> None:
    assert parse_parallels("Teal (no print run), Bronze /75") == (
        Parallel("Teal", None),
        Parallel("Bronze", 75),
    )


@pytest.mark.parametrize(
    "text",
    ["Cards are listed by name", "Mancano alcuni numeri mai stampati (13, 17)"],
)
def test_a_sentence_with_a_verb_is_no_title(text: str) -> None:
    assert is_note(text)


@pytest.mark.parametrize(
    "text",
    ["Les oiseaux de nos jardins", "Kings of the open road", "1987 cards are forever"],
)
def test_a_name_in_small_letters_is_a_title(text: str) -> None:
    assert not is_note(text)


def test_a_title_between_marks_of_quotation() -> None:
    assert title_name("Album « Harbor Light 2014 »") == "Harbor Light 2014"


def test_a_month_says_when_a_list_was_made() -> None:
    assert without_month_of_year("valuation May 2023") == "valuation "
    assert without_month_of_year("Marble 1987") == "Marble 1987"
    found = read(
        "Collection - valuation May 2023\n\n1968 Harbor Hockey\nCard,Player,Value\n"
        "#14,Ada Marsh,60\n#27,Ben Lund,25\n#109,Cleo Varga,10\n"
    )
    assert {row.set for row in found.rows} == {"1968 Harbor Hockey"}


def test_a_maker_that_is_the_set_is_said_once() -> None:
    found = read("Year,Brand,Card #,Player\n2017,Harbor Nine,1,Ada Marsh\n2018,Ember,2,Ben Lund\n")
    assert [row.set for row in found.rows] == ["2017 Harbor Nine", "2018 Ember"]


def test_three_tables_beside_one_another_of_drivers() -> None:
    lines = ["#,Driver,,#,Driver,,#,Driver"]
    lines += [f"{n},Ada M{n}rsh,,{n + 5},Ben L{n}nd,,{n + 10},Cleo V{n}rga" for n in range(1, 6)]
    found = read("\n".join(lines))
    assert [row.number for row in found.rows] == [str(n) for n in range(1, 16)]


BASE = [("No", "Player")] + [(n, f"Player {chr(64 + n)}") for n in range(1, 9)]
AUTOS = [("No", "Player")] + [(f"A-{n}", f"Signer {chr(64 + n)}") for n in range(1, 5)]


def test_a_sheet_named_behind_the_set_in_its_title_is_a_part(tmp_path: Path) -> None:
    found = workbook(
        tmp_path / "amber.xlsx",
        ("Base", [("2018 Amber Pitch - Base",), *BASE]),
        ("Signatures", [("2018 Amber Pitch - Signatures",), *AUTOS]),
    )
    assert {row.set for row in found.rows} == {"2018 Amber Pitch"}
    assert {series(row) for row in found.rows if row.number.startswith("A")} == {"Signatures"}
    assert {series(row) for row in found.rows if row.number.isdigit()} == {""}


HEAD = ("Year", "Set", "No", "Player")


def test_a_sheet_of_its_own_sets_is_no_subset(tmp_path: Path) -> None:
    found = workbook(
        tmp_path / "master.xlsx",
        ("Baseball", [HEAD, *((2002, "Ember Light", n, f"Ada M{n}") for n in range(1, 7))]),
        ("Hoops", [HEAD, *((2004, "Full Court", n, f"Ben L{n}") for n in range(1, 7))]),
    )
    assert {(row.set, series(row)) for row in found.rows} == {
        ("2002 Ember Light", ""),
        ("2004 Full Court", ""),
    }


def test_a_sheet_of_a_set_that_another_has_too_is_a_subset(tmp_path: Path) -> None:
    found = workbook(
        tmp_path / "master.xlsx",
        ("Base", [HEAD, *((2002, "Ember Light", n, f"Ada M{n}") for n in range(1, 7))]),
        ("Signatures", [HEAD, *((2002, "Ember Light", n, f"Ben L{n}") for n in range(1, 7))]),
    )
    assert {series(row) for row in found.rows} == {"", "Signatures"}


def test_a_sheet_with_a_year_goes_before_a_note_above_its_table(tmp_path: Path) -> None:
    rows = [("Aggiornato al 3 marzo",), ("Mancano alcuni numeri mai stampati (13, 17)",), *BASE]
    found = workbook(tmp_path / "lega.xlsx", ("Squadre di Porto 1979", rows))
    assert {row.set for row in found.rows} == {"Squadre di Porto 1979"}


def test_subsets_that_are_named_once_go_on_below() -> None:
    lines = ["Les Brumes 2013 - liste complète;;", "Série;Numéro;Joueur"]
    lines += [f"{'Base' if n == 1 else ''};{n};Ada M{n}" for n in range(1, 9)]
    lines += [f"{'Gardiens' if n == 1 else ''};{n};Ben L{n}" for n in range(1, 4)]
    lines += [f"{'Duos' if n == 1 else ''};{n};Cleo V{n}" for n in range(1, 4)]
    found = read("\n".join(lines))
    assert [series(row) for row in found.rows[8:]] == ["Gardiens"] * 3 + ["Duos"] * 3


@pytest.mark.parametrize(("badge", "photo"), [("Badge", "Team photo"), ("Écusson", "Équipe")])
def test_headings_over_badges_are_teams(badge: str, photo: str) -> None:
    lines, number = ["World Tide 1990 stickers", "No,Sticker"], 0
    for team in ("Nordia", "Gallo", "Iberna"):
        lines.append(team)
        for name in (badge, photo, f"Ada {team}", f"Ben {team}", f"Cleo {team}"):
            number += 1
            lines.append(f"{number},{name}")
    found = read("\n".join(lines))
    assert [row.team for row in found.rows] == ["Nordia"] * 5 + ["Gallo"] * 5 + ["Iberna"] * 5


def test_headings_over_players_alone_are_asked_about() -> None:
    lines, number = ["World Tide 1990 stickers", "No,Sticker"], 0
    for team in ("Nordia", "Gallo", "Iberna"):
        lines.append(team)
        for name in ("Ada", "Ben", "Cleo", "Dora", "Edda"):
            number += 1
            lines.append(f"{number},{name} {team}")
    found = read("\n".join(lines))
    assert {row.team for row in found.rows} == {""}
    assert "if they are teams" in told(found)


MONTHS = ["Jan", "Feb", "Mrz", "Apr", "Mai", "Jun", "Jul", "Aug", "Sep", "Okt", "Nov", "Dez"]


def test_pages_and_places_that_became_days_and_months() -> None:
    lines = ["Serie;Bild-Nr.;Spieler"]
    for page in (14, 15):
        lines += [f"Wimpel 1988;{page}. {month};Ada {month}{page}" for month in MONTHS]
        lines += [f"Wimpel 1988;{page}-{place};Ben {place}{page}" for place in (13, 14)]
    found = read("\n".join(lines))
    assert [row.number for row in found.rows] == [
        f"{page}-{place}" for page in (14, 15) for place in range(1, 15)
    ]
    assert "24 cells are a date ('14. Jan'), read as 14-1" in told(found)


@pytest.mark.parametrize(
    ("heading", "meaning"),
    [
        ("Race Team", "team"),
        ("Scuderia", "team"),
        ("Back No.", "number"),
        ("Ref.", "number"),
        ("Name on card", "subject"),
        ("Animal", "subject"),
        ("Nombre científico", "alias"),
        ("Non-foil $", ""),
    ],
)
def test_headings_of_birds_and_races(heading: str, meaning: str) -> None:
    assert meaning_of(heading)[0] == meaning


def test_what_the_plain_card_costs_beside_its_foil() -> None:
    found = read("ID,Card,Non-foil $,Foil $\n1,Ada Marsh,2.50,5.50\n2,Ben Lund,6,12.50\n")
    assert [(row.extra, row.parallels) for row in found.rows] == [
        ((("price", "2.50"), ("price Foil", "5.50")), (Parallel("Foil", None),)),
        ((("price", "6"), ("price Foil", "12.50")), (Parallel("Foil", None),)),
    ]


@pytest.mark.parametrize("heading", ["Grade", "Zustand", "Condition", "Film shown"])
def test_a_guess_makes_no_team_of_a_condition(heading: str) -> None:
    names = ["Ada Marsh", "Ben Lund", "Cleo Varga", "Dora Quist", "Edda Holm", "Finn Aster"]
    lines = [f"Place,Which,{heading}", *(f"{n},{name},VG" for n, name in enumerate(names, 1))]
    found = read("\n".join(lines))
    assert {row.team for row in found.rows} == {""}
    assert [row.subject for row in found.rows] == names


def test_titles_over_two_tables_side_by_side_are_no_column_names() -> None:
    lines = ["Moonbase (1999),,,,,,", "Base Set,,,,Alley Foils,,", "No.,Title,Need,,No.,Title,Odds"]
    lines += [f"{n},Crater {chr(64 + n)},,,F{n},Foiled {chr(64 + n)},1:18" for n in range(1, 7)]
    found = read("\n".join(lines))
    assert {series(row) for row in found.rows if row.number.startswith("F")} == {"Alley Foils"}
    assert {series(row) for row in found.rows if row.number.isdigit()} == {""}


@pytest.mark.parametrize("head", ["", "No,Flower\n"])
def test_the_year_of_issue_below_a_name_is_of_it(head: str) -> None:
    mark = "," if head else ". "
    cards = "\n".join(f"{n}{mark}Flower {chr(64 + n)}" for n in range(1, 9))
    found = read(f"Wayside Flowers\nIssued 1961. A series of 8 cards.\n{head}{cards}\n")
    assert {row.set for row in found.rows} == {"1961 Wayside Flowers"}


def test_a_count_of_copies_is_no_print_run() -> None:
    found = read(
        "カード番号,カード名,仕様,枚数\nG-1,炎狼,通常,2\nG-1,炎狼,ホロ,1\nG-2,水鏡,通常,3\n"
    )
    runs = [one.run for row in found.rows for one in row.parallels]
    assert set(runs) == {None}


@pytest.mark.parametrize(
    ("heading", "meaning"),
    [("Variety", "parallels"), ("Par.", "parallels"), ("Ins.", "series"), ("NM Price", "price"),
     ("Trade value", "price"), ("Bk Val", "price")],
)  # fmt: skip
def test_headings_of_programs_and_traders(heading: str, meaning: str) -> None:
    assert meaning_of(heading)[0] == meaning


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Lijst Harbor 2003", "Harbor 2003"),
        ("Verkaufsliste Harbor Fußball 1996/97", "Harbor Fußball 1996/97"),
        ("2023 Harbor Row - TEAM LIST FOR BREAKERS", "2023 Harbor Row"),
        ("2024 Granite Hill - Team Checklists", "2024 Granite Hill"),
        ("2022 Harbor Ink - 1 case / 8 boxes", "2022 Harbor Ink"),
        ("Break #208 - 2021 Harbor", "2021 Harbor"),
        ("Team Checklists", "Team Checklists"),
        ("Relics (1:24 packs)", "Relics"),
    ],
)
def test_titles_of_sellers_and_breakers(title: str, name: str) -> None:
    assert title_name(title) == name


def test_the_set_in_a_sentence_ends_with_it() -> None:
    assert set_within("doubles from 1991 Marsh's Gum Hockey. Postage is extra") == (
        "1991 Marsh's Gum Hockey"
    )


def test_the_year_of_a_set_of_25_is_of_the_name_above() -> None:
    cards = "\n".join(f"{n}\tShip {chr(64 + n)}\t1879" for n in range(1, 9))
    found = read(
        f"Whit Cigarettes\nPADDLE STEAMERS\nA set of 8, issued 1927\n\nNo.\tSubject\tBuilt\n{cards}"
    )
    assert {row.set for row in found.rows} == {"1927 PADDLE STEAMERS"}


def test_the_day_of_release_beside_a_label_is_no_title(tmp_path: Path) -> None:
    facts = [("Product", "2011 Harbor"), ("Sport", "Baseball"), ("Released", "August 2011")]
    found = workbook(tmp_path / "harbor.xlsx", ("Info", facts), ("Base", BASE))
    assert len(found.rows) == 8
    assert {row.set for row in found.rows} == {"2011 Harbor"}


def test_a_subset_named_where_its_letters_begin_goes_on_below() -> None:
    lines = ["Insert Set,Card Code,Player", *(f",{n},Ada M{n}" for n in range(1, 7))]
    lines += [f"{'Kings' if n == 1 else ''},BK-{n},Ben L{n}" for n in range(1, 5)]
    lines += [f"{'Wings' if n == 1 else ''},SW-{n},Cleo V{n}" for n in range(1, 5)]
    found = read("\n".join(lines))
    assert [series(row) for row in found.rows] == [""] * 6 + ["Kings"] * 4 + ["Wings"] * 4


def test_a_subset_between_cards_of_none_does_not_go_on() -> None:
    lines = ["Subset,No,Player"]
    for n in range(1, 25):
        lines.append(f"{'Breakers,IB-' if n % 6 == 5 else ','}{n},Ada M{n}")
    found = read("\n".join(lines))
    assert {row.number for row in found.rows if series(row)} == {"IB-5", "IB-11", "IB-17", "IB-23"}


def test_prices_below_base_and_parallels_without_a_sign() -> None:
    found = read("No.,Player,Base,Silver,Gold /50\n1,Ada,1,2,10\n2,Ben,7.5,15,75\n3,Cleo,0.5,1,5\n")
    assert [one for row in found.rows for one in row.parallels][:2] == [
        Parallel("Silver", None),
        Parallel("Gold", 50),
    ]
    assert [dict(row.extra)["price"] for row in found.rows] == ["1", "7.5", "0.5"]


def test_the_name_of_a_product_beside_that_of_its_set() -> None:
    found = read(
        "SetName,Number,ProductName\nDawnfall,SKY-1,Thornsprite\nDawnfall,SKY-2,Tidewing\n"
    )
    assert [(row.set, row.subject) for row in found.rows] == [
        ("Dawnfall", "Thornsprite"),
        ("Dawnfall", "Tidewing"),
    ]


def test_boxes_of_a_break_are_no_subsets() -> None:
    text = (
        "2021 Harbor\n\nBox 1:\n#15 Ada Marsh\n#9 Ben Lund\n\nBox 2:\n#19 Cleo Varga\n#8 Dora Q\n"
    )
    assert {series(row) for row in read(text, "list.txt").rows} == {""}


def test_places_of_cards_are_not_asked_about_as_subsets() -> None:
    found = read("No,Player,Location\n" + "".join(f"{n},Ada M{n},Box {n % 3}\n" for n in range(9)))
    assert "subset" not in told(found)


@pytest.mark.parametrize(
    ("heading", "meaning"), [("Signer", "subject"), ("Tier", ""), ("Tiere", "subject")]
)
def test_a_tier_is_no_animal(heading: str, meaning: str) -> None:
    assert meaning_of(heading)[0] == meaning


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Verkaufe Karten aus 2006 Harbor Deluxe, Versand 1,60 €", "2006 Harbor Deluxe"),
        ("Série « Contes de la Forêt » (18 images, vers 1935)", "Contes de la Forêt"),
    ],
)
def test_titles_of_those_who_offer(title: str, name: str) -> None:
    assert title_name(title) == name


def test_runs_of_one_copy_beside_runs_of_thirty_five() -> None:
    found = read("No,Player,Gold,Blue,Black\n1,Ada,75,35,1\n2,Ben,99,50,10\n3,Cleo,,50,\n")
    assert [[(one.name, one.run) for one in row.parallels] for row in found.rows] == [
        [("Gold", 75), ("Blue", 35), ("Black", 1)],
        [("Gold", 99), ("Blue", 50), ("Black", 10)],
        [("Blue", 50)],
    ]


def test_a_remark_in_small_letters_behind_a_subject_is_no_team() -> None:
    views = ("front view", "the station", "the signal")
    lines = [f"The Arrow {chr(65 + n)} ({views[n % 3]}),{n}" for n in range(12)]
    found = read("\n".join(["Title,No", *lines]))
    assert {row.team for row in found.rows} == {""}


@pytest.mark.parametrize(
    ("cells", "is_price"),
    [
        (("The Tower", "The Sea", "The Tower"), False),
        (("1", "1", "2"), False),
        (("5", "3", "10"), True),
        (("2.50", "1", "n/a"), True),
    ],
    ids=["titles", "binders", "whole", "amounts"],
)
def test_a_book_is_a_price_where_it_has_amounts(cells: tuple[str, ...], is_price: bool) -> None:
    lines = [f"{n},Ada M{n},{cell}" for n, cell in enumerate(cells, start=1)]
    found = read("\n".join(["No,Name,Book", *lines]))
    assert all(any(name == "price" for name, _ in row.extra) is is_price for row in found.rows)
