"""Lists by hands that nobody had seen: what a person sees at once in them. All names are
invented."""

from __future__ import annotations

import io
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook

from tagger.core.checklist.checklist import Checklist
from tagger.core.model.money import list_price
from tagger.core.model.tags import series_of
from tagger.store.read_lists import read_checklist

LIGHT = "1987 Harbor Light"


def read(tmp_path: Path, text: str, name: str = f"{LIGHT}.csv") -> Checklist:
    (tmp_path / name).write_text(text, encoding="utf-8")
    return read_checklist(tmp_path / name)


def typed(tmp_path: Path, text: str) -> Checklist:
    return read(tmp_path, text, "list.txt")


def of_sheets(
    tmp_path: Path, sheets: dict[str, Sequence[Sequence[Any]]], name: str = "book.xlsx"
) -> Checklist:
    book = Workbook()
    book.remove(book.active)
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(list(row))
    out = io.BytesIO()
    book.save(out)
    (tmp_path / name).write_bytes(out.getvalue())
    return read_checklist(tmp_path / name)


def cards(found: Checklist) -> list[tuple[str, ...]]:
    return [(row.number, row.subject, row.team) for row in found.rows]


def sets(found: Checklist) -> list[tuple[str, str]]:
    return [(row.set, series_of(row.extra)) for row in found.rows]


def parallels(found: Checklist) -> list[list[str]]:
    return [
        [f"{name} /{run}" if run else name for name, run in row.parallels] for row in found.rows
    ]


def prices(found: Checklist) -> list[str]:
    return [list_price(row.extra, "")[0] for row in found.rows]


def told(found: Checklist) -> str:
    return " ".join(one.problem for one in found.problems)


THREE = [("1", "Ada Marsh", "Gulls"), ("2", "Bo Finn", "Otters"), ("3", "Cyr Vos", "Gulls")]
TEAMED = "".join(f"{','.join(card)}\n" for card in THREE)


@pytest.mark.parametrize(
    "line",
    ["Nr {} - {} - {} - 1,50", "{} {}, {}  1.50", "{}. {} ({}) ... 1.50"],
    ids=["comma", "gap", "dots"],
)
def test_amounts_at_the_ends_of_typed_lines_are_prices(line: str, tmp_path: Path) -> None:
    text = f"{LIGHT}\n" + "".join(f"{line.format(*card)}\n" for card in THREE)
    found = typed(tmp_path, text)
    assert cards(found) == THREE
    assert [price.replace(",", ".") for price in prices(found)] == ["1.50"] * 3


def test_a_gap_in_typed_lines_parts_name_and_team(tmp_path: Path) -> None:
    above = "Set: Harbor Light\nYear: 1987\nPublisher: Harborside\n\n"
    found = typed(tmp_path, above + "".join("{}  {}     {}\n".format(*card) for card in THREE))
    assert cards(found) == THREE


def test_dashes_without_spaces_part_a_typed_line(tmp_path: Path) -> None:
    found = typed(tmp_path, f"{LIGHT}\n" + "".join("00{}-{}-{}\n".format(*card) for card in THREE))
    assert cards(found) == [(f"00{number}", name, team) for number, name, team in THREE]


def test_a_title_may_say_how_old_the_list_is(tmp_path: Path) -> None:
    text = f"{LIGHT} checklist (as of March)\n\nCommon:\n1 Ada Marsh\nRare:\n2 Bo Finn\n"
    assert sets(typed(tmp_path, text)) == [(LIGHT, "Common"), (LIGHT, "Rare")]


@pytest.mark.parametrize("remark", [" - singles, shop copy", ": which number has who"])
def test_a_remark_without_capitals_is_not_of_the_name(remark: str, tmp_path: Path) -> None:
    found = read(tmp_path, f'"{LIGHT}{remark}",,\nNo.,Player,Team\n{TEAMED}', "mine.csv")
    assert sets(found) == [(LIGHT, "")] * 3
    assert not told(found)


def test_a_count_before_parallels_is_no_card(tmp_path: Path) -> None:
    text = (
        f"{LIGHT}\n3 cards. Parallels: Gold (/50), Black (1/1)\n1 Ada Marsh\n2 Bo Finn\n3 Cy Fox\n"
    )
    assert parallels(typed(tmp_path, text)) == [["Gold /50", "Black /1"]] * 3


def test_a_year_above_that_is_not_used_is_told(tmp_path: Path) -> None:
    found = typed(tmp_path, "Updated 1987 for the Harbor\nHarbor Light\n1 Ada Marsh\n2 Bo Finn\n")
    assert sets(found)[0][0] == "Harbor Light"
    found = typed(tmp_path, "Wants 1987\nHarbor Light cards\n1 Ada Marsh\n2 Bo Finn\n")
    assert "1987" in sets(found)[0][0] or "is not used" in told(found)


@pytest.mark.parametrize(
    "below",
    [",missing,,5,7\n", ",Have,,15,\n,Wanted,,9,\n,Total,,3,\n", ",Album: 18 of 25,,,\n"],
    ids=["missing", "have", "label"],
)
def test_counts_below_are_no_cards(below: str, tmp_path: Path) -> None:
    rows = "".join(f"{','.join(card)},x,\n" for card in THREE)
    found = read(tmp_path, f"No,Player,Team,Alan,Bob\n{rows}{below}")
    assert cards(found) == THREE
    assert "no number" not in told(found)


def test_a_sum_of_copies_is_held_against_no_count_of_cards(tmp_path: Path) -> None:
    rows = "".join(f"{','.join(card)},5,1.25\n" for card in THREE)
    found = read(tmp_path, f"No,Player,Team,Qty,Price\n{rows},TOTALS,,15,18.75\n")
    assert cards(found) == THREE
    assert not found.problems


def test_remarks_right_below_the_headings_are_of_no_card(tmp_path: Path) -> None:
    text = "#,Player,Team,Silver,Teal,Onyx\n,,,unnumbered,,\n1,Ada Marsh,Gulls,x,75,1\n"
    found = read(tmp_path, f"{text}2,Bo Finn,Otters,x,,\n3,Cyr Vos,Gulls,x,75,\n")
    assert cards(found) == THREE
    assert parallels(found) == [
        ["Silver", "Teal /75", "Onyx /1"],
        ["Silver"],
        ["Silver", "Teal /75"],
    ]


def test_a_column_of_ticks_is_no_set(tmp_path: Path) -> None:
    text = "No,Subject,Album\n1,The Hollander,✓\n2,Mail Engine,✗\n3,Snow Plough,✓\n"
    found = read(tmp_path, text)
    assert {name for name, _ in sets(found)} == {LIGHT}
    assert not found.problems


def test_cells_behind_a_gap_are_not_of_the_title(tmp_path: Path) -> None:
    heads = ["No.", "Player", "Team", "Have"]
    rows = [[*card, "x"] for card in THREE]
    pages = {
        "LAMP74": [["1974 Lamplight", None, None, "back to contents"], [], heads, *rows],
        "LAMP75": [["1975 Lamplight", None, None, "back to contents"], [], heads, *rows],
        "VOYAGE": [["Voyages of the Brig", None, None, "back to contents"], [], heads, *rows],
    }
    found = of_sheets(tmp_path, pages)
    names = ["1974 Lamplight", "1975 Lamplight", "Voyages of the Brig"]
    assert sets(found) == [(name, "") for name in names for _ in THREE]
    assert "'Voyages of the Brig' is read as a set of its own" in told(found)


def test_what_each_foil_costs_is_its_price(tmp_path: Path) -> None:
    rows = "".join(f"TOA-00{n},{name},C,4,2,0.2,0.6\n" for n, name, _ in THREE)
    found = read(tmp_path, f"Code,Card,Rarity,Normal qty,Foil qty,Normal €,Foil €\n{rows}")
    assert cards(found) == [(f"TOA-00{n}", name, "") for n, name, _ in THREE]
    assert parallels(found) == [["Foil"]] * 3
    assert prices(found) == ["0.2"] * 3
    assert list_price(found.rows[0].extra, "Foil")[0] == "0.6"


def test_a_sheet_has_the_digits_that_its_program_shows(tmp_path: Path) -> None:
    rows = [["No.", "Player", "Price"], *([n, name, 0.2 * 3] for n, name, _ in THREE)]
    assert prices(of_sheets(tmp_path, {LIGHT: rows})) == ["0.6"] * 3


def test_numbers_above_the_run_in_their_heading_are_prices(tmp_path: Path) -> None:
    rows = "1,Ada Marsh,Gulls,20,\n2,Bo Finn,Otters,22,50\n3,Cyr Vos,Gulls,24,\n"
    found = read(tmp_path, f"Card,Player,Team,Red /25,Gold /10\n{rows}")
    assert parallels(found) == [["Red /25"], ["Red /25", "Gold /10"], ["Red /25"]]
    assert list_price(found.rows[1].extra, "Gold")[0] == "50"


def test_one_of_several_amounts_is_what_a_card_is_sold_for(tmp_path: Path) -> None:
    rows = "".join(f"{','.join(card)},5,0.06,0.25,1.25\n" for card in THREE)
    found = read(tmp_path, f"Card No.,Player,Team,Qty,Paid ea.,Asked,Total sell\n{rows}")
    assert prices(found) == ["0.25"] * 3


def test_headings_beside_a_column_of_numbers_need_not_be_known(tmp_path: Path) -> None:
    rows = "1,Ada Marsh,RHB,X\n2,Bo Finn,LHB,\n3,Cyr Vos,RM,X\n"
    found = read(tmp_path, f"#,Cricketer,Style,Got\n{rows}")
    assert cards(found) == [(number, name, "") for number, name, _ in THREE]
    assert [dict(row.extra)["Style"] for row in found.rows] == ["RHB", "LHB", "RM"]


def test_cards_below_the_headings_of_an_album_are_of_these(tmp_path: Path) -> None:
    pages = [
        ["SWAN ALBUM 1970"],
        ["Night Games", "Sea Legs", "Old Hands"],
        ["1 Ada Marsh", "4 Gil Tarn", "7 Al Gray"],
        ["2 Bo Finn", "5 Jo Bell", "8 Kit Lund"],
        ["3 Cyr Vos", "6 Ed Fox", None],
    ]
    found = of_sheets(tmp_path, {"Album": pages})
    named = {(row.number, row.subject): row.team for row in found.rows}
    assert len(named) == 8
    assert named["1", "Ada Marsh"] == named["3", "Cyr Vos"] == "Night Games"
    assert named["8", "Kit Lund"] == "Old Hands"
    assert "if they are subsets" in told(found)


def test_a_column_for_each_year_has_the_numbers_of_its_cards(tmp_path: Path) -> None:
    rows = "Ada Marsh,Gulls,8,13,-\nBo Finn,Otters,9,-,15\nCyr Vos,Gulls,35,6,2\n"
    found = read(tmp_path, f"Harbor Light,,,,\nPlayer,Team,1961,1962,1963\n{rows}", "all.csv")
    assert [(row.set, row.number, row.subject) for row in found.rows] == [
        ("1961 Harbor Light", "8", "Ada Marsh"),
        ("1961 Harbor Light", "9", "Bo Finn"),
        ("1961 Harbor Light", "35", "Cyr Vos"),
        ("1962 Harbor Light", "13", "Ada Marsh"),
        ("1962 Harbor Light", "6", "Cyr Vos"),
        ("1963 Harbor Light", "15", "Bo Finn"),
        ("1963 Harbor Light", "2", "Cyr Vos"),
    ]
    assert "is read as a card" in told(found)


def test_serial_numbers_of_copies_say_the_runs_of_their_parallels(tmp_path: Path) -> None:
    rows = "1,Ada Marsh,Gold,12/50\n2,Bo Finn,Gold,3/50\n3,Cyr Vos,Red,7/10\n"
    found = read(tmp_path, f"No.,Player,Parallel,Serial #\n{rows}")
    assert parallels(found) == [["Gold /50"], ["Gold /50"], ["Red /10"]]
    assert dict(found.rows[0].extra)["Serial #"] == "12/50"
    assert "serial numbers of copies" in told(found)


@pytest.mark.parametrize("cell", ["Gold:50 Red:10", "Gold=50", "Gold 1/50 or Red"])
def test_parallels_with_a_number_left_in_the_name_are_told(cell: str, tmp_path: Path) -> None:
    rows = f"1,Ada Marsh,{cell}\n2,Bo Finn,{cell}\n"
    assert "is read as a parallel" in told(read(tmp_path, f"No.,Player,Parallels\n{rows}"))


@pytest.mark.parametrize(
    ("heading", "cells"),
    [("Grade", ["9", "", ""]), ("SKU", ["HL87-001", "HL87-002", "HL87-003"]), ("Signed?", "xx ")],
)
def test_columns_of_the_owner_are_not_told(heading: str, cells: Any, tmp_path: Path) -> None:
    pairs = zip(THREE, ["Gold", "", ""], cells, strict=True)
    rows = "".join(f"{n},{name},{foil},{cell}\n" for (n, name, _), foil, cell in pairs)
    assert not told(read(tmp_path, f"No.,Player,Foil,{heading}\n{rows}"))


def test_names_without_numbers_are_cards(tmp_path: Path) -> None:
    names = ["Ada Marsh", "Bo Finn", "Cyr Vos", "Gil Tarn", "Jo Bell", "Kit Lund"]
    lines = "".join(f"{name}, Harbor Gulls /{at}5\n" for at, name in enumerate(names, 1))
    found = typed(tmp_path, f"{LIGHT} SIGNATURES (unnumbered, by name)\n\n{lines}")
    assert cards(found) == [("", name, "Harbor Gulls") for name in names]
    assert found.rows[0].parallels[0].run == 15
    assert {name for name, _ in sets(found)} == {f"{LIGHT} SIGNATURES"}
    assert "no line has a number" in told(found)


def test_a_letter_behind_prose_is_not_read_as_cards(tmp_path: Path) -> None:
    lines = [
        "Dear Odo",
        "here is what you asked for",
        "I have it all at home",
        "so do come by",
        "El",
    ]
    assert not typed(tmp_path, "\n".join([f"{LIGHT}", *lines])).rows


def test_a_paragraph_of_cards_ends_in_a_full_stop(tmp_path: Path) -> None:
    text = f"{LIGHT}:\n1 Ada Marsh, 2 Bo Finn, 3 Cyr Vos, 4 Gil Tarn.\n"
    assert [name for _, name, _ in cards(typed(tmp_path, text))][-1] == "Gil Tarn"


def test_a_comma_in_one_title_of_many_parts_nothing(tmp_path: Path) -> None:
    titles = [
        "Fire",
        "The Cat, the Crow and the Candle",
        "Ice, Snow",
        *map("Part {}".format, "ABCDEF"),
    ]
    text = f"{LIGHT}\n" + "".join(f"{at} — {title}\n" for at, title in enumerate(titles, 1))
    assert [name for _, name, _ in cards(typed(tmp_path, text))] == titles


def test_a_remark_behind_a_team_is_not_of_it(tmp_path: Path) -> None:
    lines = "".join("{} {}, {}\n".format(*card) for card in THREE)
    found = typed(tmp_path, f"{LIGHT}\n{lines}  3b Cyr Vos, Gulls (throwback uniform)\n")
    assert cards(found)[-1] == ("3b", "Cyr Vos", "Gulls")
    assert dict(found.rows[-1].extra)["note"] == "throwback uniform"


@pytest.mark.parametrize(
    "remark",
    [
        "(* = short print, ** = error)",
        "La liste complète / Complete list",
        "Pages > Sets > 1987 > Light",
    ],
)
def test_what_explains_a_list_is_no_part_of_it(remark: str, tmp_path: Path) -> None:
    found = typed(tmp_path, f"{LIGHT}\n{remark}\n\n1 Ada Marsh\n*2 Bo Finn\n3 Cyr Vos\n")
    assert sets(found) == [(LIGHT, "")] * 3
    assert not told(found)


def test_letters_may_count_the_cards(tmp_path: Path) -> None:
    names = ["Ada Marsh", "Bo Finn", "Cyr Vos", "Gil Tarn"]
    pairs = zip("ABCD", names, strict=True)
    found = typed(tmp_path, f"{LIGHT}\n" + "".join(f"{at}. {name} - Gulls\n" for at, name in pairs))
    assert cards(found) == [(at, name, "Gulls") for at, name in zip("ABCD", names, strict=True)]
    initials = "".join(f"{name[0]}. {name.split()[1]}\n" for name in [*names, "Al Gray", "Ed Fox"])
    assert "A" not in [number for number, _, _ in cards(typed(tmp_path, f"{LIGHT}\n{initials}"))]


SQUADS = ["Dry Forks Pelicans", "Cedar Notch Hornets", "Lake Ferris Sawyers"]
PEOPLE = [
    *("Ada Marsh", "Bo Finn", "Cyr Vos", "Gil Tarn", "Jo Bell", "Kit Lund"),
    *("Al Gray", "Ed Fox", "Uma Reed", "Ivo Hale", "Lea Dorn", "Max Pike"),
]


def test_teams_that_come_again_stand_behind_the_names(tmp_path: Path) -> None:
    lines = [f"{at} {who} {SQUADS[at % 3]}" for at, who in enumerate(PEOPLE, 1)]
    found = typed(tmp_path, "\n".join([f"{LIGHT} Checklist", "Card Player Team", *lines]))
    assert cards(found) == [(str(at), who, SQUADS[at % 3]) for at, who in enumerate(PEOPLE, 1)]
    assert "comes again" in told(found)


def test_titles_of_offers_name_the_set_of_each_card(tmp_path: Path) -> None:
    named = [f"{LIGHT}", f"{LIGHT} Update", "1988 Harbor Light"]
    rows = [(named[at % 3], str(at * 7), who, SQUADS[at % 2]) for at, who in enumerate(PEOPLE, 1)]
    found = typed(tmp_path, "".join(f"{s} #{n} {who} {team}\n" for s, n, who, team in rows))
    read_rows = [(row.set, row.number, row.subject, row.team) for row in found.rows]
    assert read_rows == rows


def test_a_remark_may_stand_between_a_heading_and_its_cards(tmp_path: Path) -> None:
    above = "Autographs\nMI-__ prefix, on-card, all #'d to 99\n"
    text = f"{LIGHT}\n\n{above}MI-AM Ada Marsh, Gulls\nMI-BF Bo Finn, Owls\n"
    assert sets(typed(tmp_path, text)) == [(LIGHT, "Autographs")] * 2
    text = f"{LIGHT}\n1 Ada Marsh\n\nPharaohs\nNo parallels.\nPH-1 Bo Finn\n"
    found = typed(tmp_path, text)
    assert sets(found) == [(LIGHT, ""), (LIGHT, "Pharaohs")]
    assert parallels(found) == [[], []]


def test_a_count_of_all_below_is_no_card(tmp_path: Path) -> None:
    found = typed(tmp_path, f"{LIGHT}\n\n[ ] 1 Ada Marsh\n[x] 2 Bo Finn\n\n13 of 20\n")
    assert [number for number, _, _ in cards(found)] == ["1", "2"]


def test_a_heading_may_begin_with_its_numbers(tmp_path: Path) -> None:
    text = "1-2 Base\n1 Ada Marsh\n2 Bo Finn\n\n3-4 Rookies (numbered to 999)\n3 Cy Fox\n4 Di Eck\n"
    found = typed(tmp_path, f"{LIGHT}\n\n{text}")
    assert [number for number, _, _ in cards(found)] == ["1", "2", "3", "4"]
    assert [part for _, part in sets(found)] == ["", "", "Rookies", "Rookies"]
    assert [[one.run for one in row.parallels] for row in found.rows] == [[], [], [999], [999]]


def test_one_or_two_tabs_part_as_they_look(tmp_path: Path) -> None:
    lines = ["1→Ada Marsh→→Gulls", "2→→Bo Finn→Otters", "3→Cyr Vos→→Gulls"]
    more = ["4→→Jo Bell→Owls", "5→Kit Lund→→Owls", "6→→Al Gray→Owls"]
    text = "\n".join([LIGHT, *lines, *more]).replace("→", "\t")
    assert cards(typed(tmp_path, text))[:4] == [*THREE, ("4", "Jo Bell", "Owls")]


def test_a_rarity_in_brackets_is_no_team(tmp_path: Path) -> None:
    lines = "".join(f"00{n}/120 {who} ({'CUR'[int(n) - 1]})\n" for n, who, _ in THREE)
    found = typed(tmp_path, f"Wyrmgate\n\n{lines}004/120 Iron Vow (C)\n")
    assert [team for _, _, team in cards(found)] == [""] * 4
    assert dict(found.rows[0].extra)["note"] == "C"


def test_lines_of_numbers_are_cards_without_names(tmp_path: Path) -> None:
    text = f"WANT LIST (EX please)\n\n{LIGHT}: 3, 7, 12-14\n1988 Ember Point: 1, 2 & 9\n"
    found = typed(tmp_path, text)
    assert [(row.set, row.number) for row in found.rows] == [
        *[(LIGHT, number) for number in ("3", "7", "12", "13", "14")],
        *[("1988 Ember Point", number) for number in ("1", "2", "9")],
    ]
    assert "found by number only" in told(found)


def test_grades_behind_names_are_of_the_copies(tmp_path: Path) -> None:
    lines = "9 Ada Marsh VG $12.00\n13 Bo Finn EX-MT $6.50\n20 Cyr Vos EX $4.00\n"
    found = typed(tmp_path, f"1955 Union Gum - price list, postage $3\n\n{lines}")
    assert cards(found) == [("9", "Ada Marsh", ""), ("13", "Bo Finn", ""), ("20", "Cyr Vos", "")]
    assert prices(found) == ["$12.00", "$6.50", "$4.00"]
    assert sets(found)[0][0].startswith("1955 Union Gum")


def test_surnames_before_short_teams_are_parted_by_their_gaps(tmp_path: Path) -> None:
    lines = ["1   Drolly, Emil  GBM", "2   Umber, Dewi  PAV", "10  Antequin, Rust  CNC"]
    found = typed(tmp_path, "\n".join(["1990 Octane", *lines, "11  Yoder, Clay  GBM"]))
    assert cards(found)[2] == ("10", "Antequin, Rust", "CNC")


@pytest.mark.parametrize("below", ["Thanks!\ncardnut77\n", "thats all of them lol\n"])
def test_words_below_the_last_card_are_told_once(below: str, tmp_path: Path) -> None:
    found = typed(tmp_path, f"{LIGHT}\n1 Ada Marsh\n2 Bo Finn\n3 Cyr Vos\n{below}")
    assert [number for number, _, _ in cards(found)] == ["1", "2", "3"]
    assert [one.problem for one in found.problems if "is skipped" not in one.problem] == []
    assert len(found.problems) == 1


def test_a_key_of_short_forms_is_no_list(tmp_path: Path) -> None:
    keys = [["DUN", "Dunwold Bargemen"], ["FAL", "Fallow Badgers"], ["UPP", "Upper Kestrels"]]
    pages = {
        "Cards": [["No.", "Player", "Team"], *THREE],
        "Key": [*keys, *([k, v] for v, k in keys)],
    }
    found = of_sheets(tmp_path, pages)
    assert cards(found) == THREE
    assert len(found.problems) == 1


def test_a_price_guide_has_prices_of_sets_above_its_cards(tmp_path: Path) -> None:
    above = "COMPLETE SET (220)          25.00\nCOMMON CARD (1-220)           .10\n\n"
    rows = "1  Ada Marsh RC             3.00\n2  Bo Finn                   .25\n3  Cyr Vos   .10\n"
    found = typed(tmp_path, f"{LIGHT}\n{above}{rows}")
    assert cards(found) == [("1", "Ada Marsh", ""), ("2", "Bo Finn", ""), ("3", "Cyr Vos", "")]
    assert prices(found) == ["3.00", ".25", ".10"]
    assert sets(found) == [(LIGHT, "")] * 3


def test_parallels_below_all_cards_are_of_these(tmp_path: Path) -> None:
    text = f"{LIGHT}\n1 Ada Marsh\n2 Bo Finn\n\nParallels: Gold /50, Red /10\n"
    found = typed(tmp_path, text)
    assert parallels(found) == [["Gold /50", "Red /10"]] * 2
    assert not told(found)


def test_slashes_may_stand_behind_numbers(tmp_path: Path) -> None:
    lines = [f"{n} / {who} / {team}" for n, who, team in [*THREE, ("4", "Jo Bell", "Gulls")]]
    assert cards(typed(tmp_path, "\n".join([LIGHT, *lines])))[:3] == THREE


def test_a_set_may_be_named_in_a_sentence(tmp_path: Path) -> None:
    text = f"I need these from {LIGHT}:\n1 Ada Marsh\nand from 1988 Ember Point:\n4 Gil Tarn\n"
    assert sets(typed(tmp_path, text)) == [(LIGHT, ""), ("1988 Ember Point", "")]


def test_full_stops_behind_all_cards_are_not_of_these(tmp_path: Path) -> None:
    lines = "".join("No. {} {}, {}.\n".format(*card) for card in THREE)
    assert cards(typed(tmp_path, f"{LIGHT}\n{lines}")) == THREE


def test_a_subset_may_be_named_above_its_set(tmp_path: Path) -> None:
    text = f"Subset: Night Games\nSet: {LIGHT}\nNG1 Ada Marsh\nNG2 Bo Finn\n"
    assert sets(typed(tmp_path, text)) == [(LIGHT, "Night Games")] * 2


def test_dashes_without_spaces_part_teams_that_come_again(tmp_path: Path) -> None:
    lines = [f"{n} {who}-{team}" for n, who, team in [*THREE, ("4", "Jo Bell", "Gulls")]]
    assert cards(typed(tmp_path, "\n".join([LIGHT, *lines])))[:3] == THREE


def test_cards_without_a_number_of_their_own_are_cards(tmp_path: Path) -> None:
    found = typed(tmp_path, f"{LIGHT}\n1 Ada Marsh\n2 Bo Finn\nNNO Header Card\n")
    assert cards(found)[-1] == ("NNO", "Header Card", "")


@pytest.mark.parametrize("name", ["list.txt", "list.csv"])
def test_a_name_that_is_not_known_is_told(name: str, tmp_path: Path) -> None:
    heads = "No.,Player\n" if name.endswith("csv") else f"{LIGHT}\n"
    mark = "," if name.endswith("csv") else " "
    lines = "".join(
        f"{n}{mark}{who}\n" for n, who in [("1", "Ada Marsh"), ("2", "????"), ("3", "Bo")]
    )
    found = read(tmp_path, heads + lines, name)
    assert "????" not in [who for _, who, _ in cards(found)]
    assert "no name" in told(found) or "no subject" in told(found)


def test_a_title_with_a_print_run_is_told(tmp_path: Path) -> None:
    assert "is read as a set" in told(
        typed(tmp_path, f"{LIGHT} Gold /50\n1 Ada Marsh\n2 Bo Finn\n")
    )


def test_parts_of_a_set_may_stand_apart_in_its_title(tmp_path: Path) -> None:
    one, two = [f"{LIGHT}", None, "Series 1"], [f"{LIGHT}", None, "Series 2"]
    heads = ["No.", "Player", "Team"]
    more = [("4", "Jo Bell", "Gulls"), ("5", "Kit Lund", "Owls")]
    found = of_sheets(tmp_path, {"Cards": [["Checklist"], one, heads, *THREE, two, heads, *more]})
    assert cards(found) == [*THREE, *more]
    said = [f"{name} {part}".strip() for name, part in sets(found)]
    assert said == [f"{LIGHT} Series 1"] * 3 + [f"{LIGHT} Series 2"] * 2


def test_names_stand_below_their_sets(tmp_path: Path) -> None:
    rows = "1,Ada Marsh,Jo Bell\n2,Bo Finn,Al Gray\n3,Cyr Vos,\n"
    found = read(tmp_path, f"#,{LIGHT},1988 Ember Point\n{rows}", "all.csv")
    named = [(row.set, row.number, row.subject) for row in found.rows]
    assert named[:2] == [(LIGHT, "1", "Ada Marsh"), (LIGHT, "2", "Bo Finn")]
    assert named[3:] == [("1988 Ember Point", "1", "Jo Bell"), ("1988 Ember Point", "2", "Al Gray")]


def test_a_heading_that_repeats_the_team_is_no_subset(tmp_path: Path) -> None:
    rows = "Gulls,,\n1,Ada Marsh,Gulls\n3,Cyr Vos,Gulls\nOtters,,\n2,Bo Finn,Otters\n"
    assert sets(read(tmp_path, f"No.,Player,Team\n{rows}")) == [(LIGHT, "")] * 3


def test_series_that_share_their_numbering_are_parts_of_the_set(tmp_path: Path) -> None:
    rows = "".join(
        f"{n},Ship {'ABCDEF'[n - 1]},{'Sail' if n < 4 else 'Steam'}\n" for n in range(1, 7)
    )
    found = read(tmp_path, f"Nr.,Motiv,Serie\n{rows}")
    assert sets(found) == [(LIGHT, "Sail")] * 3 + [(LIGHT, "Steam")] * 3
    assert "is read as the subset" in told(found)


def test_years_may_have_two_digits(tmp_path: Path) -> None:
    rows = "87,Harbor Light,1,Ada Marsh\n05,Ember Point,1,Bo Finn\n"
    found = read(tmp_path, f"Yr,Set,No.,Player\n{rows}")
    assert [name for name, _ in sets(found)] == [LIGHT, "2005 Ember Point"]


def test_counts_of_foils_are_no_names_of_parallels(tmp_path: Path) -> None:
    rows = "".join(f"00{n},{who},2,1\n" for n, who, _ in THREE)
    found = read(tmp_path, f"Card Number,Card Name,Normal,Foil\n{rows}")
    assert parallels(found) == [["Foil"]] * 3


def test_headings_of_several_words_over_all_cards_are_teams(tmp_path: Path) -> None:
    rows = "1 Ada Marsh\n4 Gil Tarn\n{}\n2 Bo Finn\n5 Jo Bell\n{}\n3 Cyr Vos\n6 Al Gray\n"
    found = typed(tmp_path, f"{LIGHT}\n{SQUADS[0]}\n{rows.format(*SQUADS[1:])}")
    assert [team for _, _, team in cards(found)] == [team for team in SQUADS for _ in "12"]
    assert sets(found) == [(LIGHT, "")] * 6
    assert "are read as teams; if they are subsets" in told(found)
    rare = typed(tmp_path, f"{LIGHT}\nCommon\n{rows.format('Scarce', 'Rare')}")
    assert [part for _, part in sets(rare)] == ["Common"] * 2 + ["Scarce"] * 2 + ["Rare"] * 2


def test_a_sheet_of_each_team_has_its_cards(tmp_path: Path) -> None:
    heads = ["No.", "Player"]
    pages = {
        team: [[LIGHT], [team], [], heads, [at * 2 + 1, "Ada Marsh"], [at * 2 + 2, "Bo Finn"]]
        for at, team in enumerate(SQUADS)
    }
    found = of_sheets(tmp_path, pages)
    assert [team for _, _, team in cards(found)] == [team for team in SQUADS for _ in "12"]
    assert sets(found) == [(LIGHT, "")] * 6


def test_a_column_of_crosses_without_headings_is_no_team(tmp_path: Path) -> None:
    found = typed(tmp_path, "1\tAda Marsh\tx\n2\tBo Finn\t\n3\tCyr Vos\tx\n")
    assert [team for _, _, team in cards(found)] == [""] * 3


def test_a_column_of_series_that_most_cards_have_not_is_the_subset(tmp_path: Path) -> None:
    base = "".join(f"{at},Ada {name},\n" for at, name in enumerate(["Marsh", "Finn", "Vos"], 1))
    found = read(tmp_path, f"Nr.,Player,Serie\n{base}G1,Bo Lund,Night Games\n")
    assert sets(found) == [(LIGHT, "")] * 3 + [(LIGHT, "Night Games")]


def test_dots_without_end_are_no_leader_to_a_price(tmp_path: Path) -> None:
    # with a leader of any length to a price this would take minutes
    found = typed(tmp_path, f"{LIGHT}\n1 Ada Marsh{'.' * 18_000}\n2 Bo Finn ..... 1.50\n3 Cy Fox\n")
    assert [number for number, _, _ in cards(found)][-2:] == ["2", "3"]
