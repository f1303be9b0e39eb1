"""Lists as they are typed and pasted: what each form of lines is read as. Names are invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagger.core.model.tags import series_of
from tagger.store.read_lists import read_checklist

_NAMES = (
    "Ada Marsh",
    "Bo Finn",
    "Cy Dunn",
    "Di Vane",
    "Eli Moss",
    "Fay Lind",
    "Gus Hale",
    "Ida Penn",
)
_TEAMS = ("Harbor Gulls", "Ember Owls", "Point Kites")


def read(folder: Path, text: str) -> tuple[list[tuple[str, str, str, str, str]], str]:
    """Set, number, subject, team and part of each card, and what is told."""
    path = folder / "list.txt"
    path.write_text(text, encoding="utf-8")
    found = read_checklist(path)
    rows = [
        (row.set, row.number, row.subject, row.team, series_of(row.extra)) for row in found.rows
    ]
    return rows, " ".join(one.problem for one in found.problems)


def plain(line: str) -> str:
    """Eight cards below a title, each as `line` writes its number, name and team."""
    cards = [
        line.format(n=at + 1, name=name, team=_TEAMS[at % 3]) for at, name in enumerate(_NAMES)
    ]
    return "\n".join(["1987 Harbor Light", "", *cards])


_CARDS = [
    ("1987 Harbor Light", str(at + 1), name, _TEAMS[at % 3], "") for at, name in enumerate(_NAMES)
]


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("{n} {name} {team}", "at the ends of lines is read as the team"),
        ("{n} {name}, G ({team})", ""),
        ("{n}. {name}, {team}.", ""),
        ("N° {n} ; {name} ; {team}", "behind a semicolon"),
        ("{name} ({n}) {team}", ""),
        ("{n}   {name}  {team}", "by their cells"),
        ("{n}. {name} - {team} (qty 2)", ""),
        ("[3] {n} {name} ({team})", ""),
        ("{n} {name}\u2003{team}", ""),
        ("{n} // {name} // {team}", ""),
        ("- **{n}** {name} — *{team}*", ""),
        ('"{n} {name}, {team}"', ""),
    ],
    ids=[
        "blank",
        "position",
        "stop",
        "degree",
        "between",
        "gaps",
        "stock",
        "copies",
        "em",
        "slashes",
        "bold",
        "quotes",
    ],
)
def test_name_and_team_are_told_apart(line: str, told: str, tmp_path: Path) -> None:
    rows, said = read(tmp_path, plain(line))
    assert rows == _CARDS
    assert told in said


@pytest.mark.parametrize(
    "line",
    [
        "{n} {name} (C)",
        "{n} {name} [Uncommon]",
        "{n} {name} VG-EX",
        "*{n} {name}",
        "{n} {name} 1.50",
    ],
)
def test_what_stands_behind_a_name_is_no_team(line: str, tmp_path: Path) -> None:
    rows, _ = read(tmp_path, plain(line))
    assert [row[1:4] for row in rows] == [(row[1], row[2], "") for row in _CARDS]


def test_a_comma_in_few_titles_parts_nothing(tmp_path: Path) -> None:
    titles = ["Old Mill", "Ice", "Fire!", "Crows", "The Cat, the Crow and the Candle", "End"]
    text = "\n".join(["1988 Mill Tales", *(f"{n} {one}" for n, one in enumerate(titles, 1))])
    assert [row[2] for row in read(tmp_path, text)[0]] == titles


@pytest.mark.parametrize(
    "line",
    [
        "(* = short print, ** = error)",
        "La liste complète / Complete list",
        "A set of 8",
        "(cards are unnumbered)",
        "Complete set. Ask for more of these.",
    ],
)
def test_a_line_below_the_title_is_no_part(line: str, tmp_path: Path) -> None:
    rows, _ = read(tmp_path, plain("{n} {name}").replace("Light\n", f"Light\n{line}\n"))
    assert {(row[0], row[4]) for row in rows} == {("1987 Harbor Light", "")}


def test_how_many_of_all_there_are_is_no_card(tmp_path: Path) -> None:
    assert len(read(tmp_path, plain("[x] {n} {name}") + "\n\n7 of 8")[0]) == 8


@pytest.mark.parametrize(
    ("heading", "part"),
    [
        ("9-10 Rookies (numbered to 99)", "Rookies"),
        ("Autographs\non-card, all #'d to 99", "Autographs"),
        ("Pharaohs\nNo parallels.", "Pharaohs"),
        ("1987 Harbor Light Night Games Checklist", "Night Games"),
        ("**Night Games** (2 cards)", "Night Games"),
    ],
    ids=["range", "described", "without parallels", "behind the set", "bold"],
)
def test_a_heading_holds_for_the_cards_below_it(heading: str, part: str, tmp_path: Path) -> None:
    text = plain("{n} {name}") + f"\n\n{heading}\n9 Jo Reed\n10 Kay West"
    rows, said = read(tmp_path, text)
    assert [(row[0], row[4]) for row in rows[8:]] == [("1987 Harbor Light", part)] * 2
    assert said == ""


@pytest.mark.parametrize(
    "title", ["1987 Harbor Light - price list, postage $3", "* 1987 Harbor Light *"]
)
def test_a_title_is_no_card(title: str, tmp_path: Path) -> None:
    rows, _ = read(tmp_path, f"{title}\n\n9 Ada Marsh\n12 Bo Finn\n")
    assert [row[2] for row in rows] == ["Ada Marsh", "Bo Finn"]
    assert rows[0][0].startswith("1987 Harbor Light")


def test_a_set_that_comes_again_is_no_head_of_a_page(tmp_path: Path) -> None:
    sets = ["1987 Harbor Light", "1988 Harbor Light", "1987 Harbor Light", "1988 Harbor Light"]
    text = "\n".join(f"{one} #{n} {_NAMES[n]}" for n, one in enumerate(sets))
    assert [row[0] for row in read(tmp_path, text)[0]] == sets


def test_cards_without_numbers_are_found_by_name_and_told(tmp_path: Path) -> None:
    rows, said = read(tmp_path, plain("{name}, {team}"))
    assert [row[1:4] for row in rows] == [("", row[2], row[3]) for row in _CARDS]
    assert said == "no line has a number; 8 lines are read as cards, found by their names"
    named, said = read(tmp_path, f"1987 Harbor Discs\n\n{', '.join(_NAMES)}.")
    assert [row[2] for row in named] == list(_NAMES)
    assert "a card each" in said


@pytest.mark.parametrize(
    ("signs", "first"), [("ABCDEFGH", "{}. "), ("①②③④⑤⑥⑦⑧", "{} ")], ids=["letters", "circles"]
)
def test_letters_and_circled_digits_are_numbers(signs: str, first: str, tmp_path: Path) -> None:
    cards = [f"{first.format(sign)}{name}" for sign, name in zip(signs, _NAMES, strict=True)]
    rows, said = read(tmp_path, "\n".join(["1987 Harbor Light", "", *cards]))
    assert [row[2] for row in rows] == list(_NAMES)
    assert [row[1] for row in rows] in (list("ABCDEFGH"), list("12345678"))
    assert said == ""


def test_numbers_in_a_row_are_cards_without_names(tmp_path: Path) -> None:
    text = "WANTS (in EX please)\n\n1987 Harbor Light: 3, 7, 12-14\n1988 Harbor Light: 1, 2, 9\n"
    rows, said = read(tmp_path, text)
    assert [row[1] for row in rows if row[0][:4] == "1987"] == ["3", "7", "12", "13", "14"]
    assert [row[:3] for row in rows[5:]] == [("1988 Harbor Light", n, "") for n in "129"]
    assert "found by number only" in said


def test_an_outline_counts_its_headings(tmp_path: Path) -> None:
    text = plain("- {n} {name}").replace("\n- 1 ", "\nI. BASE\n- 1 ")
    rows, _ = read(tmp_path, text.replace("- 7", "II. STARS\n- 7"))
    assert [row[4] for row in rows] == [""] * 6 + ["STARS"] * 2


def test_a_number_with_a_blank_in_it_is_one(tmp_path: Path) -> None:
    assert [row[1] for row in read(tmp_path, plain("TC {n} {name}"))[0]][:2] == ["TC 1", "TC 2"]


def test_all_numbers_above_all_names_are_put_together(tmp_path: Path) -> None:
    text = "\n".join(["1987 Harbor Light", *"12345678", *_NAMES])
    assert [row[1:3] for row in read(tmp_path, text)[0]] == [row[1:3] for row in _CARDS]


def test_names_indented_below_a_card_are_of_that_card(tmp_path: Path) -> None:
    text = plain("{n} {name}").replace("4 Di Vane", "4 Leaders\n     Jo Reed\n     Kay West")
    rows, _ = read(tmp_path, text)
    assert (rows[3][2], len(rows), rows[7][4]) == ("Leaders: Jo Reed / Kay West", 8, "")


def test_tabs_typed_as_it_looked_right_part_evenly(tmp_path: Path) -> None:
    cards = [f"{at + 1}{chr(9) * (1 + at % 2)}{name}{chr(9) * (2 - at % 2)}{_TEAMS[at % 3]}"
             for at, name in enumerate(_NAMES)]  # fmt: skip
    assert read(tmp_path, "\n".join(["1987 Harbor Light", *cards]))[0] == _CARDS


def test_a_sum_over_the_gaps_of_columns_is_no_card(tmp_path: Path) -> None:
    heads = "No.  Player       Team          Value\n"
    cards = "".join(
        f"{number:>3}  {name:<12} {team:<13} 0.25\n" for _, number, name, team, _ in _CARDS * 2
    )
    rows, _ = read(
        tmp_path, f"1987 Harbor Light\n\n{heads}{cards}Set complete                  4.00\n"
    )
    assert [row[3] for row in rows[:3]] == list(_TEAMS)
    assert rows[-1][1] == "8"


def test_a_note_behind_a_team_is_kept_apart(tmp_path: Path) -> None:
    text = plain("{n} {name}, {team}") + "\n8b Ida Penn, Ember Owls (old uniform)"
    assert read(tmp_path, text)[0][-1][3] == "Ember Owls"


def test_lines_below_the_last_card_are_told_once(tmp_path: Path) -> None:
    _, said = read(tmp_path, plain("{n} {name}") + "\n\nWill swap 2 for 1\nLet me know\ncardnut77")
    assert said == (
        "3 lines below the last card are skipped, from 'Will swap 2 for 1' on; they have no card "
        "number"
    )


def test_the_way_to_a_page_is_no_set(tmp_path: Path) -> None:
    text = (
        "Home > Sets > 1987 > Harbor\n\n1987 Harbor Light\n\n#\tPlayer\tTeam\n1\tAda Marsh\tGulls\n"
    )
    assert read(tmp_path, text)[0][0][0] == "1987 Harbor Light"


def test_a_text_without_cards_is_told(tmp_path: Path) -> None:
    assert read(tmp_path, "This is what I still have to write down.\nMore of it will come soon.\n")[
        1
    ]
