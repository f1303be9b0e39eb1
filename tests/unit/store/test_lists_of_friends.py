"""Lists as circles of collectors, dealers and programs keep them: what stands around the cards is
not taken for cards, sets or parallels (common practice, no source; invented names)."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import openpyxl
import pytest
from support.read_lists import read, told

from tagger.core.checklist.checklist import Checklist
from tagger.core.checklist.raw.mails import is_mail_head
from tagger.core.checklist.raw.title_names import file_title, title_name
from tagger.core.checklist.raw.years import whole_year
from tagger.core.model.tags import Row
from tagger.store.checklists import read_checklist

CARDS = [(1, "Ada Marsh"), (2, "Bo Lund"), (3, "Cy Orr"), (4, "Di Pell"), (5, "Ed Tarn")]


def series(row: Row) -> str:
    return next((value for name, value in row.extra if name in ("subset", "Series")), "")


def kinds(row: Row) -> list[tuple[str, int | None]]:
    return [(one.name, one.run) for one in row.parallels]


def book(path: Path, sheets: dict[str, Sequence[Sequence[object]]]) -> Checklist:
    made = openpyxl.Workbook()
    made.remove(made.worksheets[0])
    for name, rows in sheets.items():
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
    made.save(path)
    return read_checklist(path)


def test_a_sheet_that_lists_the_others_says_their_set(tmp_path: Path) -> None:
    found = book(
        tmp_path / "list.xlsx",
        {
            "Contents": [["2007/08 Harbor Ice"], [], ["Base", "5 cards"], ["Night Games", "2"]],
            "Base": [["No.", "Player"], *CARDS],
            "Night Games": [["No.", "Player"], ["N1", "Fay Gull"], ["N2", "Gil Reed"]],
        },
    )
    assert {row.set for row in found.rows} == {"2007/08 Harbor Ice"}
    assert [series(row) for row in found.rows] == [""] * 5 + ["Night Games"] * 2


def test_sheets_of_teams_are_teams_where_the_index_says_so(tmp_path: Path) -> None:
    found = book(
        tmp_path / "list.xlsx",
        {
            "Index": [["1997 Harbor Light - master list by team"], ["Team", "Cards"],
                      ["Harbor Gulls", 5], ["Marsh Terns", 2]],
            "Harbor Gulls": [["#", "Player"], *CARDS],
            "Marsh Terns": [["#", "Player"], [6, "Fay Gull"], [7, "Gil Reed"]],
        },
    )  # fmt: skip
    assert {row.set for row in found.rows} == {"1997 Harbor Light"}
    assert [row.team for row in found.rows] == ["Harbor Gulls"] * 5 + ["Marsh Terns"] * 2


def test_the_sheet_of_a_file_spells_its_name_out(tmp_path: Path) -> None:
    found = book(tmp_path / "Luz_del_Rio.xlsx", {"Luz del Río": [["No.", "Player"], *CARDS]})
    assert {row.set for row in found.rows} == {"Luz del Río"}


def test_headings_with_a_year_behind_their_words_are_sets() -> None:
    rows = "\n".join(f"{number},{name}" for number, name in CARDS)
    found = read(f"No.,Player\nHarbor Light 1996,\n{rows}\nHarbor Light 1997,\n{rows}\n", "all.csv")
    assert [row.set for row in found.rows] == ["Harbor Light 1996"] * 5 + ["Harbor Light 1997"] * 5
    assert not any(map(series, found.rows))


def test_a_box_that_is_not_ticked_is_told_and_the_card_is_there() -> None:
    rows = "\n".join(f"{number},{name},☑,{'☐' if number % 2 else '☑'}" for number, name in CARDS)
    found = read(f"No.,Player,Silver /99,Gold /10\n{rows}\n")
    assert all(kinds(row) == [("Silver", 99), ("Gold", 10)] for row in found.rows)
    assert "'☐' below 'Gold /10' is read as one that its owner lacks" in told(found)


def test_shares_below_the_headings_leave_the_parallels_columns() -> None:
    rows = "\n".join(f"{number},{name},x" for number, name in CARDS)
    found = read(f"No.,Player,Silver /99\n,% done,45%\n{rows}\n")
    assert all(kinds(row) == [("Silver", 99)] for row in found.rows)


def test_a_card_with_a_share_beside_it_counts_for_what_its_columns_mean() -> None:
    rows = "\n".join(
        f"{number},{name},{'/99' if number < 3 else ''},{'5%' if number < 3 else ''}"
        for number, name in CARDS
    )
    found = read(f"No.,Player,Silver,Change\n{rows}\n")
    assert [kinds(row) for row in found.rows[:3]] == [[("Silver", 99)]] * 2 + [[]]


def test_a_total_of_print_runs_is_no_parallel() -> None:
    rows = "\n".join(f"{number},{name},500,150,650" for number, name in CARDS)
    found = read(f"Sum of Run,,Parallel,,\nNumber,Player,Clay,Cobalt,Grand Total\n{rows}\n")
    assert all(kinds(row) == [("Clay", 500), ("Cobalt", 150)] for row in found.rows)


def test_parallels_are_parted_by_the_line_ends_of_programs() -> None:
    found = read('No.,Player,Parallels\n1,Ada Marsh,"Gold /5\x0bSilver"\n2,Bo Lund,any\n')
    assert kinds(found.rows[0]) == [("Gold", 5), ("Silver", None)]
    assert kinds(found.rows[1]) == []


def test_numbers_that_count_the_lines_are_no_print_runs() -> None:
    rows = "\n".join(f"{3300 + n},{n},Ada Marsh {n},Gold" for n in range(1, 12))
    found = read(f"Serial,Card Number,Player,Parallels\n{rows}\n")
    assert all(kinds(row) == [("Gold", None)] for row in found.rows)


def test_a_merged_cell_before_the_numbers_names_the_subset() -> None:
    rows = [f"{'Base' if n == 1 else 'Night Games' if n == 7 else ''},{n},Ada Marsh {n}"
            for n in range(1, 13)]  # fmt: skip
    found = read("1987 Harbor Light\n,No.,Player\n" + "\n".join(rows))
    assert series(found.rows[11]) == series(found.rows[6]) == "Night Games"


def test_a_report_names_each_part_of_each_set_once() -> None:
    rows = []
    for year in (1987, 1988):
        for at in range(8):
            part = {0: "Base", 5: "Afterglow"}.get(at, "")
            head = f"{year} Harbor Light" if at == 0 else ""
            rows.append(f"{head},{part},{'AG' * (at >= 5)}{at + 1},Ada Marsh {year}{at}")
    found = read("Set,Series,Card,Name\n" + "\n".join(rows))
    assert [series(row) for row in found.rows[5:8]] == ["Afterglow"] * 3
    assert [series(row) for row in found.rows[13:]] == ["Afterglow"] * 3


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Harbor Light 2022 – Gesamtliste", "Harbor Light 2022"),
        ("Lijst van Harbor Light 2014, gemaakt door Wim", "Harbor Light 2014"),
        ("2012 ハーバー 全24種", "2012 ハーバー"),
        ("--- « Night Games » (1:8) ---", "Night Games"),
        ("Deep Freeze (1:12) - 12 card set", "Deep Freeze"),
        ("Box A: 1999 Harbor Light", "1999 Harbor Light"),
        ("Harbor Light 1998-99 pag. 3", "Harbor Light 1998-99"),
        ("List of Lights 1987", "Lights 1987"),
        ("NIGHT GAMES (CONT.)", "NIGHT GAMES"),
        ("Night Games, continued", "Night Games"),
        ("Lichter (Forts.)", "Lichter"),
        ("Harbor Suite", "Harbor Suite"),
    ],
)
def test_what_titles_say_beside_the_name_is_left_away(title: str, name: str) -> None:
    assert title_name(title) == name


def test_how_a_file_was_saved_is_no_part_of_the_set() -> None:
    assert file_title("Harbor-Stars 2011 (Unicode)") == "Harbor-Stars 2011"


@pytest.mark.parametrize(
    ("text", "whole"),
    [("'98 Harbor", "1998 Harbor"), ("’01 Harbor", "2001 Harbor"), ("1998 Harbor", "1998 Harbor")],
)
def test_a_year_of_two_figures_is_whole(text: str, whole: str) -> None:
    assert whole_year(text) == whole


def test_a_description_holds_set_number_and_name_and_the_stock_number_is_none() -> None:
    rows = "\n".join(
        f"A{4100 + n},$0.{n}5,'98 Harbor Light #{n * 7} {name} RC" for n, name in CARDS
    )
    found = read(f"SKU,Ask,Description\n{rows}\n", "stock.csv")
    assert [(row.set, row.number, row.subject) for row in found.rows] == [
        ("1998 Harbor Light", str(n * 7), name) for n, name in CARDS
    ]


def test_a_mark_in_french_is_a_mark() -> None:
    found = read("No,Joueur\n1,Ada Marsh (recrue)\n2,Bo Lund\n3,Cy Orr (recrue)\n")
    assert [row.subject for row in found.rows] == ["Ada Marsh", "Bo Lund", "Cy Orr"]
    assert ("rookie", "RC") in found.rows[0].extra


def test_what_its_owner_has_is_no_set() -> None:
    rows = "\n".join(f"{n}\t{name}\tHarbor Gulls\tAdd" for n, name in CARDS)
    found = read(f"1987 Harbor Light\nNo.\tPlayer\tTeam\tIn collection\n{rows}\n", "copy.txt")
    assert {row.set for row in found.rows} == {"1987 Harbor Light"}


MAIL = """From: Ada
Sent: Monday, 4 October 2010 21:10
Subject: RE: list

> > Harbor Jumpers 2009
> >
> > 1. Bo Lund
> > 2. Cy Orr
> > 3. - not issued
> > 4. Di Pell à 1,50 €
"""


def test_the_head_of_a_mail_names_no_set_and_what_was_not_issued_is_no_card() -> None:
    found = read(MAIL, "mail.txt")
    assert [(row.set, row.number, row.subject) for row in found.rows] == [
        ("Harbor Jumpers 2009", "1", "Bo Lund"),
        ("Harbor Jumpers 2009", "2", "Cy Orr"),
        ("Harbor Jumpers 2009", "4", "Di Pell"),
    ]


@pytest.mark.parametrize(
    ("line", "is_one"),
    [
        ("domingo, 14 de marzo de 2010", True),
        ("Gesendet: Montag, 4. Oktober 2010 21:10", True),
        ("le 3 mars 2011", True),
        ("March 14, 2010", True),
        ("14 Gold 2010", False),
        ("1987 Harbor Light", False),
        ("Series 2 Update 2010", False),
    ],
)
def test_days_and_heads_of_mails(line: str, is_one: bool) -> None:
    assert is_mail_head(line) is is_one


@pytest.mark.parametrize(
    "line", ["Every Common also comes as Mist Foil.", "Also in Ice Blue /99 and Gold /15"]
)
def test_a_sentence_that_may_say_parallels_is_told(line: str) -> None:
    cards = "\n".join(f"{number} {name}" for number, name in CARDS)
    found = read(f"1987 Harbor Light\n{line}\n{cards}\n", "list.txt")
    assert "may say parallels" in told(found) or all(map(kinds, found.rows))
