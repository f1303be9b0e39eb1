"""Ordinary lists of shops and album collectors: sheets with sets of their own, sheets that are
parts, albums of teams, numbers that a program made dates of (common practice, no source; invented
names)."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import openpyxl
import pytest

from tagger.core.checklist.checklist import Checklist
from tagger.core.checklist.files import parse_checklist
from tagger.core.checklist.headings import meaning_of
from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.named.months import without_month_of_year
from tagger.core.checklist.parallels import parse_parallels
from tagger.core.checklist.raw.notes import is_note
from tagger.core.checklist.raw.title_names import title_name
from tagger.core.model.tags import Parallel, Row
from tagger.store.checklists import read_checklist

Sheet = tuple[str, Sequence[Sequence[object]]]


def read(text: str, name: str = "harbor.csv") -> Checklist:
    return parse_checklist(text.encode(), name, name.split(".")[0])


def workbook(path: Path, *sheets: Sheet) -> Checklist:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets:
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    book.save(path)
    return read_checklist(path)


def series(row: Row) -> str:
    return next((value for name, value in row.extra if name in ("subset", "Series", "Série")), "")


def told(found: Checklist) -> str:
    return " ".join(problem.problem for problem in found.problems)


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
        ("Baseball", [HEAD, *((2002, "Infinity", n, f"Ada M{n}") for n in range(1, 7))]),
        ("Hoops", [HEAD, *((2004, "Full Court", n, f"Ben L{n}") for n in range(1, 7))]),
    )
    assert {(row.set, series(row)) for row in found.rows} == {
        ("2002 Infinity", ""),
        ("2004 Full Court", ""),
    }


def test_a_sheet_of_a_set_that_another_has_too_is_a_subset(tmp_path: Path) -> None:
    found = workbook(
        tmp_path / "master.xlsx",
        ("Base", [HEAD, *((2002, "Infinity", n, f"Ada M{n}") for n in range(1, 7))]),
        ("Signatures", [HEAD, *((2002, "Infinity", n, f"Ben L{n}") for n in range(1, 7))]),
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
