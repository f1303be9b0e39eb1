"""Checklist files: each usual spelling is read, each line that cannot be read is named, the rest
counts."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tagger.cli import main
from tagger.core.checklist.checklist import Checklist, merge
from tagger.core.checklist.files import parse_checklist
from tagger.core.checklist.parallels import parse_parallels
from tagger.core.index.index import Index
from tagger.core.model.tags import Parallel, Row
from tagger.services.lists.list_reading import fingerprint_of, summary_of
from tagger.store.list_names import ListCorrections
from tagger.store.machine.paths import config_file


def read(content: str | bytes, stem: str = "Harbor Light") -> Checklist:
    data = content.encode() if isinstance(content, str) else content
    return parse_checklist(data, "list.csv", stem)


def facts(checklist: Checklist) -> list[tuple[str, str]]:
    return [(row.number, row.subject) for row in checklist.rows]


def check_problems(checklist: Checklist, lines: int) -> None:
    """Each problem names the file, a line of it, and says something."""
    for problem in checklist.problems:
        assert problem.file == "list.csv"
        assert 1 <= problem.line <= lines
        assert len(problem.problem.split()) > 2
        where = f", line {problem.line}" if problem.lines == 1 else ""
        assert problem.sentence() == f"list.csv{where}: {problem.problem}"


@pytest.mark.parametrize(
    "name",
    [
        "number",
        "Number",
        "#",
        "no",
        "No.",
        "Nr.",
        "Nº",
        "num",
        "card",
        "Card #",
        "Card No.",
        "card_number",
    ],
)
def test_spellings_of_the_number_column(name):
    assert facts(read(f"player,{name}\nAda Marsh,117a\n")) == [("117a", "Ada Marsh")]


@pytest.mark.parametrize(
    "name", ["subject", "name", "player", "TITLE", "Player Name", "Players", "card name"]
)
def test_spellings_of_the_subject_column(name):
    assert facts(read(f"{name},number\nAda Marsh,7\n")) == [("7", "Ada Marsh")]


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_delimiters_and_line_endings(mark, ending):
    rows = [
        ("price", "team", "set", "number", "name", "parallels"),
        ("0.25", "Gulls", "1987 Harbor Light", "7", "Ada Marsh", '"Gold /50; Silver"'),
    ]
    found = read(ending.join(mark.join(row) for row in rows) + ending)
    gold = (Parallel("Gold", 50), Parallel("Silver"))
    assert found == Checklist(
        (Row("1987 Harbor Light", "7", "Ada Marsh", "Gulls", gold, (("price", "0.25"),)),)
    )


def test_the_column_names_tell_the_delimiter():
    assert facts(read("number;name\n1;Marsh, Ada, Jr.\n2;Lund, Bo\n")) == [
        ("1", "Marsh, Ada, Jr."),
        ("2", "Lund, Bo"),
    ]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings(encoding):
    assert read("number,name\n7,Anvela Núñez\n".encode(encoding)) == Checklist(
        (Row("Harbor Light", "7", "Anvela Núñez"),)
    )


def test_an_encoding_that_is_none_is_named_and_the_rest_loads():
    found = read(b"number,name\n7,Ada Marsh\n8,\x81\xd1o Lund\n9,Cy Dun\n")
    assert [row.number for row in found.rows] == ["7", "8", "9"]
    assert [problem.line for problem in found.problems] == [3]
    assert "UTF-8" in found.problems[0].problem


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        pytest.param(
            "number,name\r\n7,aaa\r\n8,bbb\r\n",
            [("7", "aaa"), ("8", "bbb")],
            id="1: CRLF ends a record",
        ),
        pytest.param(
            "number,name\r\n7,aaa\r\n8,bbb",
            [("7", "aaa"), ("8", "bbb")],
            id="2: the last may lack it",
        ),
        pytest.param(
            "7,aaa\r\n8,bbb\r\n", [("7", "aaa"), ("8", "bbb")], id="3: the header is optional"
        ),
        pytest.param(
            'number,name\r\n"7","aaa"\r\n8,bbb\r\n',
            [("7", "aaa"), ("8", "bbb")],
            id="5: quotes may be",
        ),
        pytest.param('number,name\r\n"7","a, a"\r\n', [("7", "a, a")], id="6: commas in quotes"),
        pytest.param(
            'number,name\r\n"7","b\r\nbb"\r\n8,c\r\n',
            [("7", "b bb"), ("8", "c")],
            id="6: breaks in quotes",
        ),
        pytest.param(
            'number,name\r\n"7","b""b""b"\r\n', [("7", 'b"b"b')], id="7: a quote is doubled"
        ),
    ],
)
def test_rules_of_rfc_4180_section_2(content, expected):
    """By rule number. Rule 4 (spaces belong to a cell) does not hold here: names are trimmed, a
    break is a space."""
    found = read(content)
    assert facts(found) == expected
    assert found.problems == ()


def test_column_names_with_a_line_break_in_quotes():
    found = read('"Card\nNumber",Player\n7,Ada Marsh\n')
    assert found == Checklist((Row("Harbor Light", "7", "Ada Marsh"),))


def test_a_line_that_tells_a_spreadsheet_the_delimiter_is_passed_over():
    assert read("sep=;\r\nnumber;name\r\n7;Ada Marsh\r\n") == Checklist(
        (Row("Harbor Light", "7", "Ada Marsh"),)
    )


def test_a_plain_list_takes_its_set_from_the_file_name():
    found = read("23 Ada Marsh, Harbor Gulls\n117a. Bo Lund\n#RC-7 Cy Dun\n")
    assert found.rows == (
        Row("Harbor Light", "23", "Ada Marsh", "Harbor Gulls"),
        Row("Harbor Light", "117a", "Bo Lund"),
        Row("Harbor Light", "RC-7", "Cy Dun"),
    )


@pytest.mark.parametrize("title", ["Mill Pond", "1987 Mill Pond", "1987-88 Mill Pond"])
def test_a_plain_list_may_name_its_set_first(title):
    found = read(f"{title}\n\n1 Ada Marsh\n2 Bo Lund\n")
    assert found.problems == ()
    assert found.rows == (Row(title, "1", "Ada Marsh"), Row(title, "2", "Bo Lund"))


def test_a_list_line_without_a_number_is_named():
    found = read("Mill Pond\n1 Ada Marsh\nthe rest is lost\n3 Cy Dun\n")
    assert facts(found) == [("1", "Ada Marsh"), ("3", "Cy Dun")]
    assert [problem.line for problem in found.problems] == [3]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", ()),
        ("  ", ()),
        ("Gold /50; Silver", (Parallel("Gold", 50), Parallel("Silver"))),
        ("Gold/50|Silver", (Parallel("Gold", 50), Parallel("Silver"))),
        ("Gold #/50, Silver", (Parallel("Gold", 50), Parallel("Silver"))),
        ("Gold; Gold;", (Parallel("Gold"),)),
        ("Gold Foil / 25", (Parallel("Gold Foil", 25),)),
        ("/99", (Parallel("/99", 99),)),
        ("Black 1/1", (Parallel("Black", 1),)),  # a card made once; common practice, no source
        ("1/1", (Parallel("1/1", 1),)),
    ],
)
def test_spellings_of_parallels(text, expected):
    assert parse_parallels(text) == expected


@pytest.mark.parametrize("order", [(0, 1, 2, 3), (3, 2, 1, 0), (1, 0, 3, 2)])
def test_a_row_a_parallel_becomes_one_card(order):
    lines = ["7,Ada Marsh,,", "7,Ada Marsh,Gold,50", "7,Ada Marsh,Silver,", "7,Ada Marsh,Black,/1"]
    found = read("number,name,parallel,print run\n" + "\n".join(lines[at] for at in order) + "\n")
    assert facts(found) == [("7", "Ada Marsh")]
    assert set(found.rows[0].parallels) == {
        Parallel("Gold", 50),
        Parallel("Silver"),
        Parallel("Black", 1),
    }
    assert found.problems == ()


def test_a_doubled_line_counts_once_and_is_named():
    found = read("number,name\n7,Ada Marsh\n8,Bo Lund\n007,ADA MARSH\n")
    assert facts(found) == [("7", "Ada Marsh"), ("8", "Bo Lund")]
    assert [(problem.line, "line 2" in problem.problem) for problem in found.problems] == [
        (4, True)
    ]


def test_a_card_in_two_files_has_the_parallels_of_both():
    one, two = (
        read("number,name,parallels\n7,Ada Marsh,Gold\n"),
        read("number,name,parallels\n7,Ada Marsh,Silver\n"),
    )
    assert merge([one, two]).rows == (
        one.rows[0]._replace(parallels=(Parallel("Gold"), Parallel("Silver"))),
    )


def test_further_columns_are_kept_in_order():
    found = read("rarity,number,name,Seen on\ncommon,7,Ada Marsh,page 3\n")
    assert found.rows[0].extra == (("rarity", "common"), ("Seen on", "page 3"))


@pytest.mark.parametrize("content", ["", "\n", "\r\n \t\r\n\n", "\ufeff"])
def test_an_empty_file_is_named(content):
    found = read(content)
    assert found.rows == ()
    assert [problem.line for problem in found.problems] == [1]
    check_problems(found, 1)


@pytest.mark.parametrize(
    ("header", "line", "expected"),
    [
        ("name,team", "Ada Marsh,Gulls", Row("Harbor Light", "", "Ada Marsh", "Gulls")),
        ("number,team", "7,Gulls", Row("Harbor Light", "7", "", "Gulls")),
    ],
)
def test_a_missing_column_is_named_and_the_rows_load(header, line, expected):
    found = read(f"\n{header}\n{line}\n")
    assert found.rows == (expected,)
    assert [problem.line for problem in found.problems] == [2]
    assert "no column" in found.problems[0].problem


@pytest.mark.parametrize(
    "bad",
    ["8,Bo Lund,x,y", "8,Bo\0Lund", "8," + "x" * 1_000_000, '8,"Bo Lund', ",,"],
    ids=["too many cells", "NUL", "a line of 1 MB", "an open quote", "only commas"],
)
def test_one_bad_line_costs_no_other(bad):
    after = "".join(f"{number},P{number}\n" for number in range(100, 160))
    found = read(f"number,name\n7,Ada Marsh\n{bad}\n{after}")
    assert facts(found) == [
        ("7", "Ada Marsh"),
        *((str(number), f"P{number}") for number in range(100, 160)),
    ]
    assert bad == ",," or found.problems[0].line == 3
    check_problems(found, 80)


def test_a_cell_too_long_for_a_card_is_named():
    long = "\n".join(["x" * 19_000] * 12)
    found = read(f'number,name\n7,"{long}"\n8,Bo Lund\n')
    assert ("8", "Bo Lund") in facts(found)
    assert found.problems[0].line == 2
    check_problems(found, 15)


def test_a_column_name_of_many_lines_harms_nothing():
    found = read('number,"' + "\n".join(["x" * 19_000] * 12) + '"\n7,Ada Marsh\n')
    assert ("7", "Ada Marsh") in facts(found) or found.problems
    check_problems(found, 14)


@pytest.mark.parametrize("rule", ["=" * 60, "-" * 60, "-= " * 20])
def test_a_rule_with_a_title_behind_it_holds_nothing_up(rule):
    found = read(f"{rule} 1987 Harbor {rule}x\n1 Ada Marsh\n2 Bo Lund\n")
    assert {("1", "Ada Marsh"), ("2", "Bo Lund")} <= set(facts(found))


@pytest.mark.parametrize("long", ["1" * 19_000, "_" * 19_000, "# " * 9_000, "no. " * 4_000])
def test_a_typed_line_that_is_no_card_is_told_at_once(long):
    found = read(f"1987 Harbor\n1 Ada Marsh\n{long}\n2 Bo Lund\n")
    assert facts(found) == [("1", "Ada Marsh"), ("2", "Bo Lund")]
    assert any("no card has" in one.problem for one in found.problems)


def test_many_cards_in_one_long_line_are_cards():
    cards = ", ".join(f"{number} Ada Marsh {number}" for number in range(1, 400))
    assert len(facts(read(f"1987 Harbor\n{cards}\n"))) == 399


def test_inch_marks_part_no_lines():
    """A quotation mark inside a cell that does not start with one is a mark like any other."""
    found = read('number,name\n1,5" plaque\n2,Bo Lund\n3,6" plaque\n4,Ed Lund\n')
    assert facts(found) == [
        ("1", '5" plaque'),
        ("2", "Bo Lund"),
        ("3", '6" plaque'),
        ("4", "Ed Lund"),
    ]


def test_text_that_means_something_elsewhere_stays_text():
    found = read(
        'number,name\n7,[bold]Ada[/bold]\n8,"=HYPERLINK(""http://a.example"",""Bo"")"\n9,%s {0} '
        "\\n\n"
    )
    assert [row.subject for row in found.rows] == [
        "[bold]Ada[/bold]",
        '=HYPERLINK("http://a.example","Bo")',
        "%s {0} \\n",
    ]


def test_a_number_of_thousands_of_digits_is_a_number():
    index = Index(read("number,name\n" + "9" * 6_000 + ",Ada Marsh\n2,Bo Lund\n"))
    assert [index.row(step).number for step in index.steps(0)] == ["2", "9" * 6_000]


def test_two_hundred_thousand_rows_load():
    lines = "".join(f"{number},Player {number},Team {number % 30}\n" for number in range(200_000))
    found = read(f"number,name,team\n{lines}")
    assert len(found.rows) == 200_000
    assert found.rows[-1] == Row("Harbor Light", "199999", "Player 199999", "Team 19")
    assert found.problems == ()


pieces = st.sampled_from(
    [
        "number",
        "name",
        "7",
        "Ada",
        ",",
        ";",
        "\t",
        '"',
        '""',
        "\n",
        "\r\n",
        "\r",
        "\0",
        "sep=",
        "/50",
        "#",
        "é",
        " ",
    ]
)


@settings(max_examples=300)
@given(
    st.one_of(
        st.binary(max_size=300),
        st.lists(pieces, max_size=60).map(lambda some: "".join(some).encode()),
    )
)
def test_any_bytes_give_rows_and_named_problems(data):
    found = read(data)
    check_problems(found, data.count(b"\n") + data.count(b"\r") + 1)
    assert all(row.number or row.subject for row in found.rows)


def test_the_command_sums_up_as_json(tmp_path, capsys):
    path = tmp_path / "harbor.csv"
    path.write_text(
        "set,number,name,parallels\nA,1,Ada Marsh,Gold /50; Silver\nB,1,Bo "
        "Lund,\nB,,,\nB,2\n,x,y,z,q\n"
    )
    assert main(["checklist", str(path), "--json"]) == 1
    answer = json.loads(capsys.readouterr().out)
    assert answer["rows"] == 3
    assert [list(each.values())[:4] for each in answer["sets"]] == [
        ["A", 1, ["Gold /50", "Silver"], ["1"]],
        ["B", 2, [], ["1–2"]],
    ]
    names = ["file", "line", "problem", "lines"]
    assert [list(problem) for problem in answer["problems"]] == [names] * 3
    assert [(problem["file"], problem["line"]) for problem in answer["problems"]] == [
        ("harbor.csv", 4),
        ("harbor.csv", 5),
        ("harbor.csv", 6),
    ]


def test_the_command_names_the_columns_that_are_only_kept(tmp_path, capsys):
    path = tmp_path / "quay.csv"
    path.write_text(
        "Product;Card #;Player Name;Variation;Hue;Shelf\n"
        "Quay;Q-1;Ada Marsh;Gold /50;red;B2\nQuay;Q-2;Bo Lund;;;B2\n"
    )
    assert main(["checklist", str(path)]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "quay.csv: 2 cards in 1 set",
        "  columns  Product = set · Card # = number · Player Name = subject ·",
        "             Variation = parallels · Hue, Shelf = kept as they are",
        "  set      Quay: 2 cards, Q-1–Q-2; Gold /50",
        "  rows     Quay #Q-1 Ada Marsh; Gold /50; Hue red, Shelf B2",
        "           Quay #Q-2 Bo Lund; Shelf B2",
    ]
    assert main(["checklist", str(path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["further_columns"] == ["Hue", "Shelf"]


def test_the_command_is_done_with_a_clean_checklist(tmp_path, capsys):
    path = tmp_path / "harbor.csv"
    path.write_text("number,name\n1,Ada Marsh\n")
    assert main(["checklist", str(path)]) == 0
    assert "harbor" in capsys.readouterr().out


def test_the_command_shows_how_a_list_was_read(tmp_path, capsys):
    path = tmp_path / "odd.csv"
    path.write_text(
        "Year,Set,No.,Player,Gold,Notes\n1987,Harbor Light,1,Ada Marsh,x,cap\n,,2,Bo Lund,,\n"
        ",,5,Cy Dun,x,\n,,,Ed Lund,,\n,,,Gil Dun,,\n"
    )
    assert main(["checklist", str(path)]) == 1
    assert capsys.readouterr().out.splitlines() == [
        "odd.csv: 5 cards in 1 set",
        "  columns  Year = year · Set = set · No. = number · Player = subject ·",
        "             Gold = one parallel · Notes = kept as it is",
        "  set      1987 Harbor Light: 5 cards, 1–5; Gold",
        "  rows     1987 Harbor Light #1 Ada Marsh; Gold; Notes cap",
        "           1987 Harbor Light #5 Cy Dun; Gold",
        "           1987 Harbor Light Gil Dun",
        "  read as  'Year': 4 empty cells read as the one above: lines 3–6",
        "           'Set': 4 empty cells read as the one above: lines 3–6",
        "  check    1987 Harbor Light: no card has the number 3–4",
        "  odd      2 rows have no number (found by subject only): lines 5–6",
    ]


def test_a_correction_of_a_column_is_remembered_for_the_list(tmp_path, capsys):
    path = tmp_path / "own.csv"
    path.write_text("Ref,Player,Thing\n7,Ada Marsh,x\n8,Bo Lund,\n")
    assert main(["checklist", str(path), "--columns", "Nr=number"]) == 2
    assert "has no column 'Nr'; it has Ref, Player, Thing" in capsys.readouterr().err
    assert main(["checklist", str(path), "--columns", "Ref=nummber"]) == 2
    assert "did you mean number" in capsys.readouterr().err.lower()
    both = ["--columns", "Ref=number, Thing=one parallel"]
    assert main(["checklist", str(path), *both]) == 0
    capsys.readouterr()
    assert main(["checklist", str(path), "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["sets"][0]["numbers"] == ["7–8"]
    assert answer["sets"][0]["parallels"] == ["Thing"]


def test_settings_name_columns_of_all_lists_and_of_one(tmp_path, capsys):
    config_file().parent.mkdir(parents=True, exist_ok=True)
    config_file().write_text('[columns]\nKaartje = "number"\n[lists."b.csv"]\nWie = "team"\n')
    for name in ("a.csv", "b.csv"):
        (tmp_path / name).write_text("Kaartje,Player,Wie\n7,Ada Marsh,Gulls\n")
    assert main(["checklist", str(tmp_path), "--json"]) == 0
    tables = json.loads(capsys.readouterr().out)["tables"]
    meanings = [[column["meaning"] for column in table["columns"]] for table in tables]
    assert meanings == [["number", "subject", None], ["number", "subject", "team"]]
    config_file().write_text('[columns]\nKaartje = "numbre"\n')
    assert main(["checklist", str(tmp_path)]) == 2
    assert "columns.Kaartje must be one of set, year" in capsys.readouterr().err


def test_one_set_in_two_files_with_other_cards_is_told(tmp_path, capsys):
    (tmp_path / "a.csv").write_text("set,number,name\nHarbor,1,Ada Marsh\nHarbor,2,Bo Lund\n")
    (tmp_path / "b.csv").write_text("set,number,name\nHarbor,1,Ada Marsh\nHarbor,2,Bo Lunt\n")
    assert main(["checklist", str(tmp_path)]) == 1
    told = " ".join(capsys.readouterr().out.split())
    assert "Harbor is in a.csv (2 cards) and b.csv (2); 1 differ: #2 Bo Lund / Bo Lunt" in told


def test_a_summary_has_six_lines_and_a_mark_of_the_reading(tmp_path):
    path = tmp_path / "harbor.csv"
    path.write_text("No.,Player\n1,Ada Marsh\n2,Bo Lund\n3,Cy Dun\n")
    said = summary_of(path)
    assert len(said.lines) == 6
    assert said.sure
    assert said.fingerprint == fingerprint_of(path)
    ListCorrections().keep(path, {"No.": "further"})
    assert fingerprint_of(path) != said.fingerprint
