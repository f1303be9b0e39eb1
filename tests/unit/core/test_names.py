"""Names as they are typed: several people on a card, other scripts, other spellings; and readings
explained."""

from __future__ import annotations

import json

import pytest

from tagger.cli import main
from tagger.core.checklist.checklist import Checklist, merge
from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.matching.matcher import Matcher

LIST = """number,name,alias,price
1,雲田 磯郎,Kumoda Isoro,5
2,Ida Gold / Gil Golder,,1
3,Ольва Морозун,Olva Morozun,
4,Ada & Bo Marsh,,
5,Łucja Żądło,,
"""


def read() -> Checklist:
    return parse_checklist(LIST.encode(), "list.csv", "Harbor Light")


MATCHER = Matcher(Index(read()))


@pytest.mark.parametrize(
    ("hint", "number"),
    [
        ("kumoda", "1"), ("isoro", "1"), ("雲田", "1"), ("golder", "2"), ("gold", "2"), ("ig", "2"),
        ("gg", "2"),
        ("мороз", "3"), ("moroz", "3"), ("om", "3"), ("marsh", "4"), ("ada", "4"), ("lucja", "5"),
        ("zadlo", "5"),
    ],
)  # fmt: skip
def test_either_name_and_either_script_finds_the_card(hint: str, number: str) -> None:
    best = MATCHER.rank(hint, limit=1)[0]
    assert (best.tags.number, best.sure) == (number, True)


def test_the_card_is_tagged_with_the_subject_as_printed_and_the_alias_goes_through() -> None:
    best = MATCHER.rank("kumoda", limit=1)[0]
    assert best.tags.subject == "雲田 磯郎"
    assert dict(best.tags.extra) == {"alias": "Kumoda Isoro", "price": "5"}


def test_aliases_outlast_the_joining_of_files() -> None:
    other = parse_checklist(b"number,name\n7,Bo Lund\n", "other.csv", "Sea Lane")
    matcher = Matcher(Index(merge([other, read()])))
    assert matcher.rank("moroz", limit=1)[0].tags.number == "3"


def test_match_explains_what_each_word_was_read_as(tmp_path, capsys) -> None:
    path = tmp_path / "list.csv"
    path.write_text(LIST, encoding="utf-8")
    assert main(["match", "2 golder xyz", "--checklist", str(path), "--explain", "--json"]) == 0
    best = json.loads(capsys.readouterr().out)["candidates"][0]
    assert best["reasons"] == [
        {"word": "2", "read_as": "number"},
        {"word": "golder", "read_as": "subject"},
        {"word": "xyz", "read_as": ""},
    ]
    assert "xyz" in best["problem"]
    assert main(["match", "2 golder", "--checklist", str(path), "--explain"]) == 0
    assert "2: number · golder: subject" in capsys.readouterr().out
