"""The dealer's own price: typed at the desk or for many cards, kept with the lot, and before the
checklist's wherever a price is asked for."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from support.at_work import MATCHER, opened, take
from support.listed import listed_lot
from support.tabled import lot_of

from tagger.cli import main
from tagger.core.lot.fields import cards
from tagger.core.lot.history import words
from tagger.core.matching.hint import parse_hint
from tagger.core.model.condition import Scale
from tagger.core.model.money import price_text, told_price
from tagger.core.model.tags import Mark, State, Tags
from tagger.core.model.valuation_settings import ValuationSettings
from tagger.core.overview.bulk import Lists, enter_plan, plan_tags
from tagger.core.overview.bulk_change import read_change
from tagger.core.overview.doubles import Doubles
from tagger.core.overview.selection import read_filter, select
from tagger.core.reports.value import Valuation
from tagger.core.session.proposal import Deed
from tagger.core.session.session import Session
from tagger.errors import Refused
from tagger.exchange.layout.layout import read_layout
from tagger.exchange.rows import RowCount, inventory, laid_out
from tagger.store.lot.documents import mark_document, read_mark
from tagger.store.lot.lot_file import read_lot

LISTED = (("price", "$1.00"), ("price gold", "$40.00"))
OWN = Tags("Harbor", "1", "Ada", parallel="Gold", extra=LISTED, price="3,50")
GOLD = Tags("Harbor", "1", "Ada", parallel="Gold", extra=LISTED)
PLAIN = Tags("Harbor", "2", "Bo", condition="Good", extra=LISTED)
WITHOUT = Tags("Harbor", "3", "Cyr")
LIST = """set,number,name,price
1987 Harbor Light,1,Ada Marsh,$1
1987 Harbor Light,2,Bo Lund,$2
"""


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Session]:
    session = opened(tmp_path)
    yield session
    session.close()


@pytest.mark.parametrize("typed", ["3.50", "3,50", "$3.50", "3.50€", "1'250.00", "EUR3.50", ".50"])
def test_a_sum_is_taken_as_it_is_typed(desk, typed):
    tags = take(desk, f"2 g price={typed} nm")
    assert (tags.number, tags.parallel, tags.condition, tags.price) == (
        "2", "Gold", "Near Mint", typed,
    )  # fmt: skip


@pytest.mark.parametrize("typed", ["free", "1,250", "-3", "3.", "1e5", "$3USD", "\x1b[31m", "=1+1"])
def test_what_is_not_a_sum_is_refused_wherever_it_is_typed(desk, typed):
    hint = f"price={typed}"
    said = "is not a price"
    assert said in desk.proposals.of(f"2 {hint}").why
    desk.accept("1")
    desk.go(1)
    refused = desk.proposals.of(hint)
    assert refused.deed is Deed.REFUSE
    assert said in refused.why
    assert refused.why.isprintable()
    for deed in (
        lambda: desk.carry(hint),
        lambda: desk.take_unlisted(f"#9 x {hint}"),
        lambda: read_change(hint, Scale(), MATCHER.index, (), ()),
    ):
        with pytest.raises(Refused, match=said):
            deed()
    assert said in read_filter(hint, Scale()).unclear
    assert select(list(cards(desk.view)), read_filter(hint, Scale()), Doubles([])) == []


def test_the_name_may_be_cut_to_three_letters_and_leaves_the_others_as_they_are():
    assert parse_hint("pri=2").price == "2"
    assert parse_hint("p=gold").tokens[0].pin == "parallel"
    assert parse_hint("pr=2").price is None
    assert parse_hint("price=").price == ""
    assert parse_hint("23 at=box 3 note=price=2").price is None


def test_a_tagged_card_changes_its_price_alone_and_undo_brings_it_back(desk):
    take(desk, "2 g 12/99 nm price=2.00")
    before = desk.view.card_at(1).mark.tags
    desk.go(1)
    assert list(desk.proposals.of("price=3.50").changes) == [("price", "2.00", "3.50")]
    assert desk.accept("price=3.50") == "Card 1: price 3.50, was 2.00."
    after = desk.view.card_at(1).mark.tags
    assert (after.price, after.number, after.serial) == ("3.50", before.number, before.serial)
    desk.go(1)
    assert list(desk.proposals.of("price=").changes) == [("price", "3.50", "none")]
    desk.accept("price=")
    assert desk.view.card_at(1).mark.tags.price == ""
    desk.undo()
    desk.undo()
    assert desk.view.card_at(1).mark.tags == before


def test_another_number_leaves_the_price_and_a_copy_does_not_take_it(desk):
    take(desk, "2 price=5")
    desk.go(1)
    desk.accept("3")
    assert desk.view.card_at(1).mark.tags.number == "3"
    assert desk.view.card_at(1).mark.tags.price == "5"
    desk.go(2)
    desk.again("")
    assert (desk.view.card_at(2).mark.tags.number, desk.view.card_at(2).mark.tags.price) == (
        "3", "",
    )  # fmt: skip


def test_a_price_is_carried_for_a_tray_that_costs_the_same(desk):
    desk.carry("price=0.50")
    assert take(desk, "1").price == "0.50"
    assert take(desk, "2 price=4").price == "4"
    assert take(desk, "3 price=").price == ""
    desk.drop("pri")
    assert take(desk, "4").price == ""


def test_it_is_kept_with_the_lot_and_old_lines_are_read(tmp_path):
    session = opened(tmp_path)
    take(session, "2 price=3.50")
    take(session, "3")
    session.close()
    lot = read_lot(tmp_path)
    assert [lot.card_at(at).mark.tags.price for at in (1, 2)] == ["3.50", ""]
    mark = Mark(State.TAGGED, OWN)
    assert read_mark(mark_document(mark)) == mark
    old = {key: value for key, value in mark_document(mark).items() if key != "own_price"}
    assert read_mark(old).tags == GOLD
    assert read_mark({**old, "price": 3.5}).tags == GOLD, "a field of another program"
    with pytest.raises(ValueError, match="own_price is not text"):
        read_mark({**old, "own_price": 3.5})


def test_many_get_a_price_and_lose_it_as_one_change(desk):
    for hint in ("1 price=2", "2", "3"):
        take(desk, hint)
    lists = Lists(MATCHER.index)

    def change(typed: str) -> str:
        seen = list(cards(desk.view))[:3]
        wanted = read_change(typed, Scale(), MATCHER.index, lists.parallels(seen), ())
        plan = plan_tags(seen, wanted, lists)
        enter_plan(desk, plan)
        return plan.told

    def prices() -> list[str]:
        return [desk.view.card_at(at).mark.tags.price for at in (1, 2, 3)]

    assert change("price=0.75 nm") == (
        "3 cards: condition Near Mint (3 had none); price 0.75 (1 had another, 2 had none)"
    )
    assert prices() == ["0.75"] * 3
    desk.undo()
    assert prices() == ["2", "", ""]
    assert change("no price") == "1 card: no price (1 had one) · unchanged: 2 already have it"
    change("price=1")
    change("price=")
    assert prices() == ["", "", ""]
    change = desk.history(1)[0].change
    assert words(change, {}) == "3 cards: no price"


@pytest.mark.parametrize(
    ("typed", "positions"),
    [
        ("over 5", [2]),
        ("under 5", [1, 3]),
        ("price=3.50", [1]),
        ("price=$3,5", [1]),
        ("price=1", [3]),
        ("-price=1", [1, 2, 4]),
        ("price=", [4]),
        ("-price= 1", [1, 2]),
    ],
)
def test_the_filter_asks_for_the_own_price_first(typed, positions):
    seen = list(cards(lot_of(OWN, GOLD, PLAIN, WITHOUT)))
    assert select(seen, read_filter(typed, Scale()), Doubles(seen)) == positions


def test_it_goes_before_the_list_in_tables():
    assert [price_text(tags) for tags in (OWN, GOLD, PLAIN, WITHOUT)] == [
        "3,50", "$40.00", "$1.00", "",
    ]  # fmt: skip
    lot = lot_of(OWN, GOLD, PLAIN, WITHOUT)
    table = inventory(lot)
    at = table.columns.index("price")
    assert [row[at] for row in table.rows] == ["3,50", "$40.00", "$1.00", ""]
    layout = '[only]\nprice = { to = 5 }\n[[column]]\ntext = "{price}"\n'
    made = laid_out(lot, "box", read_layout(layout.encode(), "shop.toml"), RowCount())
    assert list(made.rows) == [("3,50",), ("$1.00",)]
    # no list has a column of prices
    alone = inventory(lot_of(WITHOUT, Tags("Harbor", "4", "Dela", price="2")))
    assert alone.columns[-1] == "price"
    assert [row[-1] for row in alone.rows] == ["", "2"]


def test_an_estimate_takes_it_as_it_is_in_the_currency_of_the_list():
    told = Valuation(ValuationSettings({"Good": Decimal("0.5")}), Scale())
    own_good = Tags("Harbor", "2", "Bo", condition="Good", extra=LISTED, price="3")
    for at, tags in enumerate((OWN, PLAIN, own_good, WITHOUT), 1):
        told.add("a", at, tags, [tags.extra])
    told.add("a", 5, Tags("Harbor", "3", "Cyr", price="7 EUR"), [()])
    told.add("a", 6, Tags("Harbor", "3", "Cyr", price="1"), [()])
    assert {name: held.total for name, held in told.sums.items()} == {
        "$": Decimal("7.00"), "EUR": Decimal(7), "": Decimal(1),
    }  # fmt: skip
    assert told.without_price == 1
    assert [card.own for card in told.sums["$"].dearest] == [True, True, False]


def test_find_and_value_tell_it_and_a_table_brings_it(tmp_path, capsys):
    place = listed_lot(tmp_path, LIST, 3, ["1 price=3.50", "2"])
    table = tmp_path / "box.csv"
    assert main(["find", "1", "price=3,50", "--json"]) == 0
    [found] = json.loads(capsys.readouterr().out)["cards"]
    assert (found["position"], found["price"]) == (1, "3.50")
    assert main(["find", "2", "price=3,50", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["cards"] == []
    assert main(["find", "1"]) == 0
    assert "(base, price 3.50 (yours))" in capsys.readouterr().out
    # the list's price is found and told like it, and says whose it is
    assert main(["find", "bo", "price=2"]) == 0
    assert "(base, price $2 (list))" in capsys.readouterr().out
    assert main(["value"]) == 0
    told = capsys.readouterr().out
    assert ("card 1, your own price)" in told, "card 2, list price)" in told) == (True, True)

    def edited(price: str) -> tuple[int, str]:
        assert main(["export", str(place.folder), "--to", str(table), "--force"]) == 0
        with table.open(newline="", encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        assert [row["price"] for row in rows] == ["3.50", "$2", ""]
        rows[1]["price"] = price
        with table.open("w", newline="", encoding="utf-8") as file:
            writer = csv.DictWriter(file, list(rows[0]))
            writer.writeheader()
            writer.writerows(rows)
        capsys.readouterr()
        status = main(["import", str(place.folder), str(table), "--yes"])
        told = capsys.readouterr()
        return status, told.out + told.err

    status, told = edited("free")
    assert status == 3
    assert "line 3: 'free' is not a price" in told
    status, told = edited("$9")
    assert status == 0
    assert 'card 2: price "$2" → "$9"' in told
    # the list's column is read at each estimate, and would go before what a table had changed there
    assert main(["value"]) == 0
    assert "$9.00" in capsys.readouterr().out
    assert main(["value", "--json"]) == 0
    [first, second] = json.loads(capsys.readouterr().out)["estimates"][0]["most_valuable"]
    assert (first["price"], first["own_price"], second["price"]) == ("9", True, "3.50")


def test_a_price_of_the_parallel_is_one_and_says_whose_it_is(tmp_path, capsys):
    rows = "set,number,name,parallels,price,price gold\n1987 Harbor Light,1,Ada Marsh,Gold,$1,$40\n"
    place, table = listed_lot(tmp_path, rows, 2, ["1 gold"]), tmp_path / "box.csv"
    assert told_price(read_lot(place.folder).card_at(1).mark.tags) == "$40 (list)"
    for price, status in (("abc", 3), ("$45", 0)):
        assert main(["export", str(place.folder), "--to", str(table), "--force"]) == 0
        text = table.read_text(encoding="utf-8").replace("$40,$40", f"$40,{price}")
        table.write_text(text, encoding="utf-8")
        assert main(["import", str(place.folder), str(table), "--yes"]) == status, text
    assert "'abc' is not a price" in capsys.readouterr().err
    assert told_price(read_lot(place.folder).card_at(1).mark.tags) == "$45 (list)"


def test_a_price_behind_a_note_or_a_place_is_no_part_of_it():
    hint = parse_hint("17 at=box 3 price=4 note=soft corner price=2,50 top left")
    assert (hint.place, hint.note, hint.price) == ("box 3", "soft corner top left", "2,50")
    assert [token.raw for token in hint.tokens] == ["17"]
