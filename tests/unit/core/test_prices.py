"""What a card costs, at every place that asks: a parallel's own column (`price gold`) goes before
`price`, and an amount that could be two is none."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from support import shop
from support.at_work import opened
from support.tabled import lot_of, tags_of

from tagger.cli import main
from tagger.core.checklist.files import parse_checklist
from tagger.core.index.index import Index
from tagger.core.lot.fields import CardInLot, cards
from tagger.core.matching.candidate import Candidate
from tagger.core.matching.matcher import Matcher
from tagger.core.model.arrangement import Pair
from tagger.core.model.condition import Scale
from tagger.core.model.money import list_price, parse_price, price_of
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.overview.doubles import Doubles
from tagger.core.overview.selection import read_filter, select
from tagger.core.session.session import Session
from tagger.exchange.layout.layout import read_layout
from tagger.exchange.rows import RowCount, laid_out
from tagger.exchange.set_counts import SetCounts
from tagger.store.lot.lot_file import LotFile

LIST = """set,number,name,parallels,price,Price Gold
1987 Harbor Light,23,Ada Marsh,Gold /99; Silver,1.00,40.00
1987 Harbor Light,24,Bo Lund,Gold /99,"1,250",
"""
BOTH = (("price", "1.00"), ("Price Gold", "40.00"))
PLAIN, GOLD, SILVER = (
    Tags("1987 Harbor Light", "23", "Ada Marsh", parallel=parallel, extra=BOTH)
    for parallel in ("", "Gold", "Silver")
)
TWOFOLD = Tags("1987 Harbor Light", "24", "Bo Lund", extra=(("price", "1,250"),))
LAYOUT = """
[only]
price = {{ from = {least} }}
[[column]]
text = "{{price}}"
"""


def listed(typed: str) -> list[int]:
    """The positions that a filter lists of the four cards."""
    seen = list(cards(lot_of(PLAIN, GOLD, SILVER, TWOFOLD)))
    return select(seen, read_filter(typed, Scale()), Doubles(seen))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A lot on disk: 23 in gold, and 23 plain."""
    folder = tmp_path / "box 12"
    folder.mkdir()
    names = [f"scan_{number}.jpg" for number in range(1, 5)]
    for name in names:
        (folder / name).write_bytes(b"x")
    checklist = tmp_path / "harbor.csv"
    checklist.write_text(LIST)
    session = Session(LotFile(folder, "box 12"))
    session.candidates.matcher = Matcher(Index(parse_checklist(LIST.encode(), "list.csv", "list")))
    session.take_in(names, [str(checklist)])
    session.take(session.candidates.of("23 gold")[0])
    session.take(session.candidates.of("23 base")[0])
    session.close()
    return folder


@pytest.mark.parametrize(
    ("parallel", "price"),
    [
        ("", ("1.00", True)),
        ("Base", ("1.00", True)),
        ("gold", ("40.00", True)),
        ("Silver", ("1.00", False)),
    ],
)
def test_the_column_of_the_cards_own_parallel_goes_before_the_one_of_all(parallel, price):
    assert list_price(BOTH, parallel) == price
    assert list_price((), parallel)[0] == ""


def test_a_filter_of_the_overview_asks_for_the_cards_own_price():
    assert listed("over 5") == [2]
    assert listed("under 5") == [1, 3]


def test_a_price_that_could_be_two_is_neither_over_nor_under():
    assert 4 not in listed("over 1000") + listed("under 1000") + listed("over 1")


def test_a_dear_parallel_is_worth_a_closer_look(tmp_path):
    desk = opened(tmp_path)
    desk.review.closer_look = Decimal("5.00")
    assert desk.take(Candidate(GOLD, 1.0)).startswith(
        "Check again: worth a closer look: price 40.00."
    )
    assert "closer look" not in desk.take(Candidate(PLAIN, 1.0))
    desk.close()


def test_a_layout_has_the_cards_own_price_and_filters_by_it():
    def prices(least: str) -> list[tuple[int | str, ...]]:
        layout = read_layout(LAYOUT.format(least=least).encode(), "shop.toml")
        return list(laid_out(lot_of(PLAIN, GOLD, SILVER), "box 12", layout, RowCount()).rows)

    assert prices("0.5") == [("1.00",), ("40.00",), ("1.00",)]
    assert prices("5") == [("40.00",)]


def test_a_price_that_was_edited_in_a_layouts_table_is_the_dealers_own(folder, capsys):
    table = folder.parent / "prices.csv"
    assert main(["export", str(folder), "--to", str(table), "--layout", "pricing"]) == 0
    with table.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [row["price"] for row in rows] == ["40.00", "1.00"]
    rows[0]["price"] = "45"
    with table.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    capsys.readouterr()
    assert main(["import", str(folder), str(table), "--layout", "pricing", "--yes"]) == 0
    assert capsys.readouterr().out == 'card 1: price "40.00" → "45"\n'
    tags = tags_of(folder, 1)
    assert (tags.price, dict(tags.extra)) == ("45", {"price": "1.00", "Price Gold": "40.00"})


def test_the_page_shows_the_cards_own_price(folder):
    page = folder.parent / "box.html"
    main(["page", "--prices", str(folder), "--to", str(page)])  # 1: the scans are no pictures
    said = page.read_text(encoding="utf-8")
    assert said.count("<dt>Price (estimate)</dt><dd>40.00</dd>") == 1
    assert said.count("<dt>Price (estimate)</dt><dd>1.00</dd>") == 1


@pytest.mark.parametrize("said", ["15 kr", "15 kr.", "kr. 15", "15 Kr"])
def test_one_currency_is_one_with_its_full_stop_or_without(said: str) -> None:
    assert parse_price(said) == (Decimal(15), "KR")


def test_a_price_without_a_currency_counts_in_that_of_its_list_in_each_sum() -> None:
    dollars = (("price", "$2.00"),)
    listed, own = (Tags("Harbor", "1", "Ada", extra=dollars, price=own) for own in ("", "5"))
    assert [price_of(listed), price_of(own)] == [(Decimal(2), "$"), (Decimal(5), "$")]
    counts = SetCounts()
    for at, tags in enumerate((listed, own), start=1):
        counts.count(CardInLot(at, Pair(at, None, None), Mark(State.TAGGED, tags)))
    assert counts.columns[-1] == "sum of prices $"
    assert [row[-1] for row in counts.rows()] == ["7.00", "7.00"]


def test_each_list_and_document_has_the_price_that_the_card_costs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lot = tmp_path / "shop"
    shop.lot_of(lot, [replace(PLAIN, place="shelf"), replace(GOLD, price="5", place="shelf")])
    number = shop.numbers(lot)[0]

    def columns(*words: str) -> list[str]:
        capsys.readouterr()
        assert main([*words, "--to", "-"]) == 0
        return [row["price"] for row in csv.DictReader(capsys.readouterr().out.splitlines())]

    def documents(*words: str) -> list[str]:
        capsys.readouterr()
        assert main([*words, "--json"]) == 0
        return [card["price"] for card in json.loads(capsys.readouterr().out)["cards"]]

    assert columns("stock") == ["1.00", "5"]
    assert columns("pick", number) == ["1.00"]
    assert documents("pick", number) == ["1.00"]
    assert documents("find", "at=shelf") == ["1.00", "5"]
    assert main(["sold", number, "--order", "A", "--price", "0.80"]) == 0
    assert columns("pick") == ["0.80"]


def test_a_set_is_found_as_it_is_typed_on_a_plain_keyboard(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lists = tmp_path / "list.csv"
    lists.write_text("set,number,subject\n1999 Fjörd,1,Ada\n1987 Harbor,1,Bo\n", encoding="utf-8")
    assert main(["match", "1", "--checklist", str(lists), "--set", "fjord 99"]) == 0
    assert "1999 Fjörd  #1 Ada" in capsys.readouterr().out
