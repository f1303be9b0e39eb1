"""Lists as programs write them: objects, elements, statements, pages, and cells in ways of their
own. All names are invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagger.core.checklist.checklist import Checklist
from tagger.core.model.money import list_price
from tagger.store.read_lists import read_checklist

LIGHT = "1987 Harbor Light"
THREE = [("1", "Ada Marsh", "Gulls"), ("2", "Bo O'Finn", "Otters"), ("3", "Cyr Vos", "Gulls")]


def read(tmp_path: Path, text: str, name: str = "list.txt") -> Checklist:
    (tmp_path / name).write_text(text, encoding="utf-8")
    return read_checklist(tmp_path / name)


def cards(found: Checklist) -> list[tuple[str, ...]]:
    return [(row.number, row.subject, row.team) for row in found.rows]


def runs(found: Checklist) -> list[list[tuple[str, int | None]]]:
    return [[tuple(each) for each in row.parallels] for row in found.rows]


_XML = "".join(
    f"<card><no>{n}</no><player>{who}</player><team>{t}</team></card>" for n, who, t in THREE
)
_ATTRIBUTES = "".join(f'<card no="{n}" player="{who}" team="{t}"/>' for n, who, t in THREE)
_YAML = "".join(f"  - number: {n}\n    player: {who}\n    team: {t}\n" for n, who, t in THREE)
_TEX = "".join(f"{n} & {who} & {t} \\\\\n" for n, who, t in THREE)
_COLONS = "".join(f"{n}:{who}:{t}\n" for n, who, t in THREE)
_ITEMS = "".join(f"<li>{n} {who} ({t})</li>" for n, who, t in THREE)


@pytest.mark.parametrize(
    "text",
    [
        f'<?xml version="1.0"?>\n<set name="{LIGHT}">{_XML}</set>\n',
        f"<set><title>{LIGHT}</title><cards>{_ATTRIBUTES}</cards></set>\n",
        f"set: {LIGHT}\ncards:\n{_YAML}",
        f"\\section{{{LIGHT}}}\n\\begin{{tabular}}{{rll}}\nNo. & Player & Team \\\\ \\hline\n{_TEX}"
        "\\end{tabular}\n",
        f"<html><head><title>x</title></head><body><h1>{LIGHT}</h1><ul>{_ITEMS}</ul></body></html>",
        f"<h1>{LIGHT}</h1><p>1 Ada Marsh - Gulls<br>2 Bo O'Finn - Otters<br/>3 Cyr Vos - Gulls</p>",
        LIGHT
        + "\n"
        + "".join(f"{n}:{who}:{t}\n" for n, who, t in [*THREE, ("4", "Jo Bell", "Gulls")]),
    ],
    ids=["elements", "attributes", "yaml", "tex", "items", "breaks", "colons"],
)
def test_each_form_has_the_cards(text: str, tmp_path: Path) -> None:
    found = read(tmp_path, text)
    assert cards(found)[:3] == THREE
    assert {row.set for row in found.rows} == {LIGHT}


@pytest.mark.parametrize("table", [True, False], ids=["declared", "named"])
def test_statements_of_a_database_have_cards(table: bool, tmp_path: Path) -> None:
    made = "CREATE TABLE cards (no TEXT, player VARCHAR(40), team TEXT, PRIMARY KEY (no));\n"
    begin = "INSERT INTO cards VALUES" if table else 'INSERT INTO "cards" (no, player, team) VALUES'
    rows = ",\n".join(
        "('{}', '{}', '{}')".format(n, who.replace("'", "''"), t) for n, who, t in THREE
    )
    found = read(tmp_path, f"{made * table}{begin} {rows};\n", f"{LIGHT}.csv")
    assert cards(found) == THREE


def test_objects_within_cards_say_more_of_them(tmp_path: Path) -> None:
    text = (
        f'{{"set": {{"name": "{LIGHT}"}}, "cards": ['
        '{"number": 1, "player": {"name": "Ada Marsh", "team": "Gulls"}, "parallels": '
        '[{"name": "Gold", "run": 50}, {"name": "Red", "run": 10}]},'
        '{"number": 2, "player": {"name": "Bo Finn", "team": "Otters"}, "parallels": ["Gold /50"]},'
        '{"number": 3, "player": {"name": "Cyr Vos", "team": "Gulls"}, "parallels": []}]}'
    )
    found = read(tmp_path, text)
    assert cards(found)[0] == ("1", "Ada Marsh", "Gulls")
    assert runs(found) == [[("Gold", 50), ("Red", 10)], [("Gold", 50)], []]
    assert {row.set for row in found.rows} == {LIGHT}


def test_names_by_their_numbers_are_cards(tmp_path: Path) -> None:
    found = read(tmp_path, f'{{"{LIGHT}": {{"1": "Ada Marsh", "2": "Bo Finn"}}}}')
    assert [(row.set, row.number, row.subject) for row in found.rows] == [
        (LIGHT, "1", "Ada Marsh"),
        (LIGHT, "2", "Bo Finn"),
    ]
    grid = '[["No","Player"],["1","Ada Marsh"],["2","Bo Finn"]]'
    assert cards(read(tmp_path, grid)) == [("1", "Ada Marsh", ""), ("2", "Bo Finn", "")]


@pytest.mark.parametrize(
    "text",
    [
        '<?xml version="1.0"?>\n<!DOCTYPE x [<!ENTITY a "aaaa">]>\n<set><c no="1"/></set>\n',
        "<set><card no='1'></set>\n",
        "cards:\n",
        "[1, 2, [3]]\n",
    ],
    ids=["declared", "broken", "empty", "numbers"],
)
def test_a_file_without_cards_says_so(text: str, tmp_path: Path) -> None:
    found = read(tmp_path, text)
    assert not found.rows
    assert found.problems


def test_amounts_with_commas_are_whole_where_each_line_has_one_cell_more(tmp_path: Path) -> None:
    rows = "1,Ada Marsh,Gulls,1,50,2\n2,Bo Finn,Otters,0,50,1\n3,Cyr Vos,Gulls,12,00,4\n"
    found = read(tmp_path, f"No,Player,Team,Price,Stock\n{rows}", f"{LIGHT}.csv")
    assert [list_price(row.extra, "")[0] for row in found.rows] == ["1.50", "0.50", "12.00"]
    assert not found.problems


def test_cells_in_quotation_marks_may_be_parted_by_spaces(tmp_path: Path) -> None:
    rows = "".join(f'"{n}" "{who}" "{team}"\n' for n, who, team in THREE)
    assert cards(read(tmp_path, f'"No." "Player" "Team"\n{rows}')) == THREE


def test_lines_that_are_one_cell_each_are_a_typed_list(tmp_path: Path) -> None:
    lines = [f'"Card #{n}: {who}, {team}"' for n, who, team in [*THREE, *THREE[:1], *THREE[:1]]]
    found = read(tmp_path, "\n".join([f'"{LIGHT}"', *lines, ""]), "list.csv")
    assert cards(found)[:3] == THREE


def test_years_and_sets_are_known_without_headings(tmp_path: Path) -> None:
    rows = "".join(f"1987,Harbor Light,{n},{who},{team}\n" for n, who, team in THREE)
    found = read(tmp_path, rows)
    assert cards(found) == THREE
    assert {row.set for row in found.rows} == {LIGHT}


def test_the_city_before_the_team_is_of_its_name(tmp_path: Path) -> None:
    rows = "1,Ada Marsh,Harbor,Gulls\n2,Bo Finn,Mill,Otters\n3,Cyr Vos,Harbor,Gulls\n"
    found = read(tmp_path, f"No.,Player,City,Team\n{rows}")
    assert [row.team for row in found.rows] == ["Harbor Gulls", "Mill Otters", "Harbor Gulls"]
    born = read(tmp_path, f"No.,Player,City,Team\n{rows}4,Di Eck,Ashport,Gulls\n")
    assert born.rows[0].team == "Gulls"


def test_a_second_name_is_of_the_card_as_well(tmp_path: Path) -> None:
    rows = "1,Ada Marsh,,Gulls,\n2,Bo Finn,Cyr Vos,Otters,Gulls\n"
    found = read(tmp_path, f"No.,Name,Name 2,Team,Team 2\n{rows}")
    assert cards(found) == [
        ("1", "Ada Marsh", "Gulls"),
        ("2", "Bo Finn / Cyr Vos", "Otters / Gulls"),
    ]


def test_a_copy_in_the_cell_of_a_parallel_says_its_run(tmp_path: Path) -> None:
    found = read(tmp_path, "No.,Player,Parallel\n1,Ada Marsh,Gold 12/50\n2,Bo Finn,Red 1/1\n")
    assert runs(found) == [[("Gold", 50)], [("Red", 1)]]


def test_a_set_with_a_parallel_in_its_name_is_told(tmp_path: Path) -> None:
    rows = "".join(f"{LIGHT} {'Gold ' * (n > 4)}#{n} Ada M{n}arsh\n" for n in range(1, 8))
    said = " ".join(one.problem for one in read(tmp_path, rows).problems)
    assert f"'{LIGHT} Gold' may be a parallel of '{LIGHT}'" in said


def test_parallels_may_be_a_list_as_programs_write_it(tmp_path: Path) -> None:
    one = '1,Ada Marsh,"[""Gold /50"", ""Red, Wave /10""]"\n'
    found = read(tmp_path, f'No.,Player,Parallels\n{one}2,Bo Finn,"[""Gold /50""]"\n3,Cyr Vos,[]\n')
    assert runs(found) == [[("Gold", 50), ("Red, Wave", 10)], [("Gold", 50)], []]


def test_parallels_may_be_objects_in_a_cell(tmp_path: Path) -> None:
    cell = '"[{""name"": ""Gold"", ""numbered"": 50}, {""name"": ""Silver"", ""foil"": true}]"'
    found = read(tmp_path, f"No.,Player,Parallels\n1,Ada Marsh,{cell}\n2,Bo Finn,[[[\n3,Cy Fox,\n")
    assert runs(found)[0] == [("Gold", 50), ("Silver", None)]


def test_columns_of_one_group_are_called_by_what_stands_behind_it(tmp_path: Path) -> None:
    heads = "SKU,Details: Set,Details: Card Number,Details: Player,Details: Team\n"
    found = read(tmp_path, f"{heads}B1,1987 Harbor Light,1,Ada Marsh,Gulls\n")
    assert [(row.set, row.number, row.subject, row.team) for row in found.rows] == [
        ("1987 Harbor Light", "1", "Ada Marsh", "Gulls")
    ]
    assert not found.problems
