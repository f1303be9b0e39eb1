"""Layouts: composed text and its limit, cases, filters, kinds, and errors that name file, line and
the right name."""

from __future__ import annotations

import csv
import json
import re
import string
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from support.tabled import lot_folder, lot_of

from tagger.cli import main
from tagger.core.lot.fields import FIELDS
from tagger.core.model.money import amount
from tagger.core.model.tags import Tags
from tagger.errors import UsageError
from tagger.exchange.layout.column import LayoutColumn, cased, shortened
from tagger.exchange.layout.examples import about, examples
from tagger.exchange.layout.layout import read_layout
from tagger.exchange.layout.template import parse_template
from tagger.exchange.rows import RowCount, laid_out
from tagger.exchange.shown.pictures import picture_columns
from tagger.exchange.table_lots import NO_FURTHER
from tagger.services.guide.help_pages import page_text
from tagger.services.lists.lot_checklists import print_runs
from tagger.toml.lines import TomlLines

CARD = {
    "set": "1987 Harbor Light",
    "number": "23",
    "subject": "Ada Marsh",
    "parallel": "Gold",
    "print run": "99",
    "team": "",
}
BARE = dict.fromkeys(CARD, "")


def composed(text: str, values: dict[str, str] = CARD) -> str:
    return parse_template(text).fill(values)


def rows(layout: str, *tags: Tags, told: RowCount | None = None) -> list[tuple[int | str, ...]]:
    table = laid_out(
        lot_of(*tags), "box 12", read_layout(layout.encode(), "shop.toml"), told or RowCount()
    )
    return list(table.rows)


def wrong(layout: str, *tags: Tags) -> str:
    with pytest.raises(UsageError) as found:
        rows(layout, *tags)
    return found.value.message


# Composed text


@pytest.mark.parametrize(
    ("text", "full", "bare"),
    [
        (
            "{set} #{number} {subject}{ · parallel}{ /print run}",
            "1987 Harbor Light #23 Ada Marsh · Gold /99",
            "#",
        ),
        ("{#number} {subject}{ (team)}", "#23 Ada Marsh", ""),
        ("{ numbered to <print run>}", "numbered to 99", ""),
        ("{<subject>, no. 1 of all}!", "Ada Marsh, no. 1 of all!", "!"),
        ("{{{number}}} }}{{", "{23} }{", "{} }{"),
        ("{Subject}", "Ada Marsh", ""),
        ("  a   b ", "a b", "a b"),
        ("", "", ""),
        ("{ < parallel > }x", "Gold x", "x"),
    ],
)
def test_a_brace_part_goes_with_its_field(text, full, bare):
    template = parse_template(text)
    values = {name: CARD[name.casefold()] for name in template.fields}
    assert template.fill(values) == full
    assert template.fill(dict.fromkeys(values, "")) == bare


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{set", "'{set' is not closed"),
        ("{set {number}", "'{set ' is not closed"),
        ("set}", "without a '{'"),
        ("{}", "'{}' names no field"),
        ("{ · }", "'{ · }' names no field"),
    ],
)
def test_a_text_that_cannot_be_read_says_why(text, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        parse_template(text)


@given(st.text(max_size=30))
def test_any_text_can_be_written_plainly(text):
    escaped = text.replace("{", "{{").replace("}", "}}")
    assert parse_template(escaped).fill({}) == " ".join(text.split())


# The limit

words = st.lists(st.text(string.ascii_letters + "é/·#12", min_size=1, max_size=9), max_size=5).map(
    " ".join
)
values = st.fixed_dictionaries(dict.fromkeys(CARD, words))
TITLE = parse_template("{set} {#number} {subject}{ · parallel}{ /print run}{ · team}")


@given(values, st.integers(1, 60), st.permutations(list(CARD)), st.integers(0, len(CARD)))
def test_never_longer_than_the_limit_and_never_cut_inside_a_word(card, at_most, order, count):
    """What comes out is the text with the fewest fields dropped in the written order that fits, or
    that with all of them dropped, cut between words; inside a word only where the first word alone
    is too long."""
    drop = tuple(order[:count])
    said = LayoutColumn("t", TITLE, at_most, drop).text(card)
    assert len(said) <= at_most
    tries = [TITLE.fill(card, drop[:n]) for n in range(len(drop) + 1)]
    fitting = next((text for text in tries if len(text) <= at_most), None)
    if fitting is not None:
        assert said == fitting
        return
    shortest = tries[-1]
    assert shortest.startswith(said)
    first = next((word for word in shortest.split() if any(map(str.isalnum, word))), shortest)
    if shortest.index(first) + len(first) <= at_most:
        assert shortest[len(said) :][:1] in ("", " ")
        assert not said or any(map(str.isalnum, said.split()[-1]))


def test_fields_are_dropped_in_the_written_order():
    column = LayoutColumn(
        "t", parse_template("{set} {#number} {subject}{ · team}"), 33, ("team", "set")
    )
    card = {"set": "1987 Harbor Light", "number": "23", "subject": "Ada Marsh", "team": "Gulls"}
    assert column.text(card) == "1987 Harbor Light #23 Ada Marsh"
    assert LayoutColumn("t", column.template, 20, column.drop).text(card) == "#23 Ada Marsh"
    assert LayoutColumn("t", column.template, 8, column.drop).text(card) == "#23 Ada"
    assert LayoutColumn("t", column.template, 2, column.drop).text(card) == "#2"


def test_a_sign_that_would_stand_alone_at_the_end_goes_and_marks_stay_with_their_letters():
    assert shortened("Ada Marsh · Gold", 12) == "Ada Marsh"
    assert shortened("Ada Marsh · Gold", 11) == "Ada Marsh"
    assert shortened("Ze\u0301lie", 2) == "Z"  # Unicode: U+0301 belongs to the letter before it


# Case


@pytest.mark.parametrize(
    ("text", "title"),
    [
        ("ADA MARSH", "Ada Marsh"),
        ("ada o'neil-kasley", "Ada O'Neil-Kasley"),
        ("DEALER'S", "Dealer's"),
        ("Fenn McKay RC-7a 12TH", "Fenn McKay Rc-7a 12TH"),
        ("éva łund", "Éva Łund"),
        ("HALL OF MIRRORS", "Hall of Mirrors"),
        ("hall of mirrors", "Hall of Mirrors"),
        ("Ada Marsh LA Gulls", "Ada Marsh La Gulls"),
        ("of mice", "Of Mice"),
    ],
)
def test_title_case(text, title):
    assert cased(text, "title") == title


@given(st.text(max_size=20))
def test_case_never_brings_a_text_above_its_limit(text):
    """`ß` becomes `SS` (Unicode, SpecialCasing.txt), so the limit is held after the case."""
    assert (
        len(
            LayoutColumn("t", parse_template("{subject}!"), 12, case="upper").text(
                {"subject": text}
            )
        )
        <= 12
    )
    assert cased("Weiß", "upper") == "WEISS"


# Rows, kinds, filters

ADA = Tags(
    "Harbor",
    "23",
    "Ada Marsh",
    "Gulls",
    "Gold",
    "12/99",
    "Near Mint",
    "box 3",
    "",
    extra=(("Price", "1.50"),),
)
BO = Tags(
    "Harbor", "24", "Bo Lund", condition="Good", place="box 4, row 2", note="soft corner",
    extra=(("Price", "$ 12"), ("Rarity", "rare")),
)  # fmt: skip
CYR = Tags("Mill", "7", "Cyr Torwick", parallel="Tin", condition="Mint", listed=False)


def test_every_field_can_be_named_in_any_case_and_alone_keeps_its_heading():
    layout = "\n".join(f'[[column]]\ntext = "{{{name.title()}}}"' for name in FIELDS)
    assert dict(zip(FIELDS, rows(layout, ADA)[0], strict=True)) == {
        "position": 1, "front": "1f.jpg", "back": "1b.jpg", "set": "Harbor", "number": "23",
        "subject": "Ada Marsh",
        "team": "Gulls", "parallel": "Gold", "serial": "12/99", "condition": "Near Mint",
        "place": "box 3", "note": "",
        "state": "tagged", "stock number": "", "print run": "99",
        "price": "1.50", "lot": "box 12", "count": 1, "listed in": "", "listed on": "",
    }  # fmt: skip


def test_a_row_a_kind_counts_the_cards_and_holds_what_they_differ_in():
    again = Tags(
        "Harbor",
        "23",
        "Ada Marsh",
        "Gulls",
        "Gold",
        "40/99",
        "Good",
        "box 3",
        "",
        extra=(("Price", "2"),),
    )
    layout = """
kind = ["set", "number", "Parallel"]
[[column]]
text = "{count}"
[[column]]
text = "{number}"
[[column]]
heading = "all"
text = "{position} {serial} {condition} {place} {front} {lot}"
[[column]]
text = "{price}"
"""
    assert rows(layout, ADA, BO, again) == [
        (2, "23", "1; 3 12/99; 40/99 Near Mint; Good box 3 1f.jpg box 12", "1.50; 2"),
        (1, "24", "2 Good box 4, row 2 2f.jpg box 12", "$ 12"),
    ]


@pytest.mark.parametrize(
    ("only", "numbers"),
    [
        ('set = "harbor"', ["23", "24"]),
        ('condition = ["MINT", "good"]', ["24", "7"]),
        ('parallel = "base"', ["24"]),
        ('parallel = ["Gold", "Tin"]', ["23", "7"]),
        ("price = { from = 1.5 }", ["23", "24"]),
        ("price = { from = 1.51, to = 12 }", ["24"]),
        ("price = { to = 2 }", ["23"]),
        ('state = "untagged"', []),
        ('set = "Harbor"\ncondition = "Good"', ["24"]),
        ('place = ["Box 3"]', ["23"]),
        ('place = "box 4"', ["24"]),
        ('place = "box 4, row 2"', ["24"]),
        ('place = "box"', []),
        ('place = ["", "box 3"]', ["23", "7"]),
        ('note = "CORNER"', ["24"]),
        ('note = ""', ["23", "7"]),
        ("position = { from = 2 }", ["24", "7"]),
        ("position = { from = 2, to = 2 }", ["24"]),
        ("unlisted = true", ["7"]),
        ("unlisted = false", ["23", "24"]),
        ("", ["23", "24", "7"]),
    ],
)
def test_only_the_cards_that_are_meant(only, numbers):
    told = RowCount()
    found = rows(f'[only]\n{only}\n[[column]]\ntext = "{{number}}"', ADA, BO, CYR, told=told)
    assert [number for (number,) in found] == numbers
    assert told.cards == len(numbers)


def test_a_filter_that_is_likely_misspelled_is_told():
    told = RowCount()
    assert rows('[only]\nset = "Harbour"\n[[column]]\ntext = "{number}"', ADA, told=told) == []
    assert told.notes == ["shop.toml: no card has the set 'harbour'; did you mean Harbor?"]
    told = RowCount()
    rows('[only]\nset = "Quarry"\n[[column]]\ntext = "{number}"', ADA, told=told)
    assert told.notes == []


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1.50", "1.50"), ("$1,234.50", "1234.50"), ("1.234,50 EUR", "1234.50"), ("2,5", "2.5"),
        ("1,234", None),
        ("0.125", "0.125"), ("1.234.567", "1234567"),
        ("1'000.00", "1000.00"), ("-3", None), ("free", None), ("", None),
        ("2 for 5", None), ("2-5", None),
    ],
)  # fmt: skip
def test_the_amount_in_a_price(text, value):
    """Marks between thousands and before cents: common practice, no source."""
    assert amount(text) == (value if value is None else pytest.approx(type(amount("1"))(value)))


# How a value is written


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("{position:04d}", "0001"),
        ("no. {(number:05d)}", "no. (00023)"),
        ("{number:01d}", "23"),
        ("{price:.2f}", "1.50"),
        ("{<price:.0f> in all}", "2 in all"),
        ("{subject:04d}", "Ada Marsh"),
        ("{serial:.2f}", "12/99"),
        ("{set:%d.%m.%Y}", "Harbor"),
        ("{note:04d}", ""),
    ],
)
def test_a_value_is_written_as_its_format_says_where_it_is_such_a_value(text, written):
    (row,) = rows(f'[[column]]\nheading = "a"\ntext = "{text}"', ADA)
    assert row == (written,)


def test_a_date_is_written_as_the_layout_says():
    layout = '[[column]]\ntext = "{today:%d.%m.%Y}"\n[[column]]\ntext = "{listed on:%d %b}"'
    ((day, listed),) = rows(layout, ADA)
    assert re.fullmatch(r"[0-3][0-9]\.[01][0-9]\.20[0-9]{2}", day)
    assert listed == ""
    template = parse_template("{listed on:%d.%m.%Y}!")
    assert template.fill({"listed on": "2026-11-28"}) == "28.11.2026!"
    assert template.fill({"listed on": "2026-02-30"}) == "2026-02-30!"


def test_a_colon_in_a_column_s_name_is_no_format():
    assert parse_template("{Ref: no}").fields == ("Ref: no",)
    assert parse_template("{Ref: no:04d}").fields == ("Ref: no",)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{number:d}", "'d' is not a format"),
        ("{number:0999d}", "'0999d' is not a format"),
        ("{price:.9f}", "'.9f' is not a format"),
        ("{today:%d.%Q}", "'%Q' is not a part of a date; the parts are %d %m"),
    ],
)
def test_a_format_that_is_none_is_told(text, said):
    assert said in wrong(f'[[column]]\nheading = "a"\ntext = "{text}"', ADA)


# Pictures


def pictured(layout: str, *tags: Tags, files: bool = True) -> list[tuple[int | str, ...]]:
    names = {
        (at, side): f"{at} {side}.jpg"
        for at in range(1, len(tags) + 1)
        for side in ("front", "back")[: 2 if at > 1 else 1]
    }
    ours = picture_columns(names) if files else NO_FURTHER
    read = read_layout(layout.encode(), "shop.toml")
    return list(laid_out(lot_of(*tags), "box 12", read, RowCount(), ours=ours).rows)


def test_cells_of_pictures_are_as_the_layout_says():
    columns = "".join(
        f'[[column]]\ntext = "{{{name}}}"\n'
        for name in ("Front picture", "back picture", "pictures")
    )
    assert pictured(columns, ADA, BO) == [
        ("1 front.jpg", "", "1 front.jpg"),
        ("2 front.jpg", "2 back.jpg", "2 front.jpg; 2 back.jpg"),
    ]
    # without pictures the same layout has empty cells
    assert pictured(columns, ADA, files=False) == [("", "", "")]

    def of_kind(before: str, more: str) -> str:
        return f'kind = "set"\n[pictures]\nbefore = "{before}"\nbetween = "|"\n{more}\n{columns}'

    assert pictured(of_kind("https://shop.example/a b/", "most = 3"), ADA, BO, BO) == [
        (
            "https://shop.example/a b/1%20front.jpg|https://shop.example/a b/2%20front.jpg"
            "|https://shop.example/a b/3%20front.jpg",
            "https://shop.example/a b/2%20back.jpg|https://shop.example/a b/3%20back.jpg",
            "https://shop.example/a b/1%20front.jpg|https://shop.example/a b/2%20front.jpg"
            "|https://shop.example/a b/2%20back.jpg",
        )
    ]
    ((*_, back_first),) = pictured(of_kind("p/", 'order = ["back", "front"]'), ADA, BO)
    assert back_first == "p/1 front.jpg|p/2 back.jpg|p/2 front.jpg"


# What is wrong with a layout


def test_all_that_is_wrong_is_told_in_one_run(tmp_path, capsys):
    path = tmp_path / "shop.toml"
    path.write_text(
        """kind = [1]
zzz = 1
[only]
stat = "tagged"
state = "untaged"
price = { form = 1 }
"stock number" = "7"
position = { from = 0 }
unlisted = "yes"
[pictures]
before = 1
order = "side"
most = 0
[[column]]
text = "{number"
[[column]]
text = "{set}"
case = "uper"
headin = 1
[[column]]
text = "{set} {number}"
case = "uper"
drop = ["set"]
"""
    )
    folder = lot_folder(tmp_path)
    words = ["export", str(folder), "--to", str(tmp_path / "a.csv"), "--layout", str(path)]
    assert main(words) == 2
    lines = [
        int(re.search(r"line (\d+):", line)[1]) for line in capsys.readouterr().err.splitlines()
    ]
    assert sorted(lines) == [1, 2, 4, 5, 6, 7, 8, 9, 11, 12, 13, 15, 18, 19, 20, 22, 23]
    path.write_text('kind = "nummber"\n[[column]]\ntext = "{sett}"\n')
    assert main(words) == 2
    assert len(capsys.readouterr().err.splitlines()) == 2


COLUMN = '\n[[column]]\ntext = "{number}"\n'


@pytest.mark.parametrize(
    ("layout", "line", "said"),
    [
        ('[[column]]\n# a\ntext = "{sett}"', 3, "'sett' is not a field; did you mean set?"),
        (
            '[[column]]\nheading = "T"\ntext = "{ to print run}"',
            3,
            "marks around the field: {to <print run>}",
        ),
        ('[[column]]\nheading = "T"\ntext = "{xyzzy}"', 3, "there are position, front"),
        ('[[column]]\nheading = "T"\ntext = "{number"', 3, "is not closed"),
        (
            f'kind = [\n"set",\n"nummber"]{COLUMN}',
            1,
            "'nummber' is not a field; did you mean number?",
        ),
        (f"{COLUMN}at_most = 0", 4, "from 1 to"),
        (f"{COLUMN}at_most = true", 4, "from 1 to"),
        (f'{COLUMN}at_most = 9\ndrop = ["set"]', 5, "'set' is not a field of this column's text"),
        (f'{COLUMN}drop = ["number"]', 4, "only together with at_most"),
        (f'{COLUMN}case = "uper"', 4, "'uper' is not a case; did you mean upper?"),
        (f"{COLUMN}\n\nheadin = 1", 6, "did you mean heading?"),
        (
            f'{COLUMN}\n[[column]]\nheading = "Number"\ntext = ""',
            6,
            "two columns are called 'Number'",
        ),
        ('[[column]]\ntext = "a {number}"', 1, "needs a heading"),
        ('[[column]]\nheading = " "\ntext = "a"', 2, "must not be empty"),
        ('\n[[column]]\nheading = "a"', 2, "needs a text"),
        ("[[column]]\ntext = 1", 2, "text in quotation marks"),
        (f"columns = 1{COLUMN}", 1, "did you mean column?"),
        (
            f'[only]\nstate = ["tagged", "untaged"]{COLUMN}',
            2,
            "'untaged' is not a state; did you mean untagged?",
        ),
        (f'[only]\n\nconditon = "Good"{COLUMN}', 3, "did you mean condition?"),
        (f"[only]\nprice = 3{COLUMN}", 2, "{ from = 1, to = 20 }"),
        (f"[only]\nprice = {{ form = 3 }}{COLUMN}", 2, "'form' is not a limit of a price"),
        (f'[only]\nprice = {{ from = "3" }}{COLUMN}', 2, "from is an amount"),
        (f"[only.price]\nto = nan{COLUMN}", 2, "to is an amount"),
        (f"[only]\nset = []{COLUMN}", 2, "a text or a list of texts"),
        (f"only = 3{COLUMN}", 1, "only must be a table"),
        ("# nothing", 1, "a layout needs columns"),
        ('column = ["a"]', 1, "a layout needs columns"),
    ],
)
def test_an_error_names_file_line_and_the_right_name(layout, line, said):
    message = wrong(layout, ADA)
    assert message.startswith(f"shop.toml, line {line}: ")
    assert said in message
    assert "\n" not in message


def test_what_is_no_toml_and_no_utf_8_is_named_with_its_line():
    assert wrong("a = 1\nb = ").startswith("shop.toml, line 2: ")
    assert wrong("a = 1\nb = ?\n").startswith("shop.toml, line 2: ")
    with pytest.raises(UsageError, match=r"shop\.toml, line 2: the file is not UTF-8"):
        read_layout(b"a = 1\nb = '\xff'", "shop.toml")
    with pytest.raises(UsageError, match=r"shop\.toml, line 1: "):
        read_layout(b"a = " + b"[" * 100_000, "shop.toml")


def test_a_column_of_a_checklist_is_a_field_and_can_be_named_beforehand():
    layout = '[[column]]\ntext = "{rarity}"'
    assert rows(layout, BO) == [("rare",)]
    assert 'further = ["rarity"]' in wrong(layout, ADA)
    assert rows(f'further = ["Rarity"]\n{layout}', ADA) == [("",)]


def test_the_layout_of_the_help_page_is_one():
    _, _, rest = page_text("layouts").partition("```toml\n")
    # the field has this name once `run` is called so in a layout
    example = rest.partition("```")[0]
    assert rows(example, ADA, BO, BO) == [
        ("Harbor #23 Ada Marsh · Gold /99 · Gulls", 1, "", "0001", "Trading card")
    ]


# Lines of keys


@given(
    st.recursive(
        st.integers()
        | st.text(max_size=8)
        | st.sampled_from(
            ['"""\na = 1\n[b]\n"""', "[\n1, # ]\n2]", "[\n[1],\n[ 2 ]\n]", "'''\n'''"]
        ),
        lambda inner: st.lists(inner, max_size=3),
        max_leaves=4,
    ),
    st.lists(
        st.sampled_from(["plain", '"a.b"', "x.y", "'#'", "e-1"]),
        min_size=1,
        max_size=4,
        unique=True,
    ),
)
def test_a_key_is_found_in_its_line_whatever_stands_before(value, keys):
    """Held against tomllib: what is left of the text at the line that was found starts with the
    key."""
    ready = (
        value
        if isinstance(value, str) and "\n" in value and value[:1] in "\"'["
        else json.dumps(value)
    )
    text = "".join(f"# = [\n{key} = {ready}\n[[list]]\nlast = 1\n" for key in keys[:1])
    text += "".join(f"[[list]]\n{key} = {ready}\nbehind = 1\n" for key in keys)
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        assume(False)
    lines = TomlLines(text)
    for at, key in enumerate(keys, start=1):
        (path,) = [tuple(_path(tomllib.loads(f"{key} = 1")))]
        line = lines.of(("list", at, *path))
        assert text.split("\n")[line - 1].startswith(f"{key} =")
        behind = lines.of(("list", at, "behind"))
        assert text.split("\n")[behind - 1] == "behind = 1"
        assert line < behind


def _path(given: dict[str, object]) -> list[str]:
    (name, inner), *_ = given.items()
    return [name, *(_path(inner) if isinstance(inner, dict) else [])]


# The command


def test_the_examples_come_along_and_each_makes_a_table(tmp_path, capsys):
    folder = lot_folder(tmp_path)
    assert main_says(capsys, "export", "--layouts") == [
        f"{n:10} {about(d)}" for n, d in examples().items()
    ]
    assert len(examples()) == 3
    for name, data in examples().items():
        assert "\n".join(main_says(capsys, "export", "--layouts", name)) == data.decode().rstrip(
            "\n"
        )
        target = tmp_path / f"{name}.csv"
        assert main(["export", str(folder), "--to", str(target), "--layout", name]) == 0
        with target.open(newline="", encoding="utf-8") as file:
            assert (
                len(list(csv.DictReader(file))) == {"counts": 3, "listing": 3, "pricing": 4}[name]
            )


def main_says(capsys: pytest.CaptureFixture[str], *arguments: str) -> list[str]:
    with pytest.raises(SystemExit) as left:
        main(list(arguments))
    assert left.value.code == 0
    return capsys.readouterr().out.splitlines()


def test_the_print_run_of_a_card_without_serial_number_is_the_checklist_s(tmp_path):
    folder = lot_folder(tmp_path)
    layout = tmp_path / "run.toml"
    layout.write_text(
        '[[column]]\nheading = "r"\ntext = "{number}{ /print run}"\n[only]\n'
        'parallel = ["Tin", "Gold"]'
    )
    assert main(["import", str(folder), str(edited(tmp_path, folder)), "--yes"]) == 0
    assert (
        main(["export", str(folder), "--to", str(tmp_path / "r.csv"), "--layout", str(layout)]) == 0
    )
    assert (tmp_path / "r.csv").read_text().split() == ["r", "23", "/99", "24", "/25"]


def test_a_plain_card_has_the_print_run_of_the_base_card_only(tmp_path):
    checklist = tmp_path / "list.csv"
    checklist.write_text(
        "set,number,subject,parallels\nHarbor,23,Ada Marsh,Base /10; Gold /99; Tin\n"
    )
    run_of = print_runs([str(checklist)])
    card = Tags("Harbor", "23", "Ada Marsh")
    runs = [run_of(replace(card, parallel=name)) for name in ("", "Gold", "gold", "Tin", "Silver")]
    assert runs == ["10", "99", "99", "", ""]
    assert run_of(replace(card, number="24")) == run_of(replace(card, set="")) == ""
    assert run_of(replace(card, serial="3/7")) == "7"


def edited(top: Path, folder: Path) -> Path:
    """The export with card 3 as its parallel, without a serial number."""
    target = top / "edited.json"
    assert main(["export", str(folder), "--to", str(target)]) == 0
    document = json.loads(target.read_text())
    document["cards"][2]["parallel"] = "Tin"
    target.write_text(json.dumps(document))
    return target


@pytest.mark.parametrize(
    ("named", "status", "said"),
    [
        ("listin", 3, "counts, listing, pricing"),
        ("none.toml", 3, "no layout none.toml"),
        ("bad.toml", 2, "line 2"),
    ],
)
def test_a_layout_that_cannot_be_used_is_named_and_nothing_is_written(
    tmp_path, monkeypatch, capsys, named, status, said
):
    folder = lot_folder(tmp_path)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bad.toml").write_text('[[column]]\ntext = "{numbr}"')
    assert main(["export", str(folder), "--to", "out.csv", "--layout", named]) == status
    assert said in capsys.readouterr().err
    assert not (tmp_path / "out.csv").exists()


def test_a_layout_is_not_written_over(tmp_path, capsys):
    folder = lot_folder(tmp_path)
    layout = tmp_path / "mine.csv"
    layout.write_text('[[column]]\ntext = "{number}"')
    assert main(["export", str(folder), "--to", str(layout), "--layout", str(layout)]) == 2
    assert layout.read_text().startswith("[[column]]")
