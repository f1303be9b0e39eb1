"""A card that is set aside can be sold, and one that was sold can be set aside: either way its sale
counts, it is pulled, and its number is known; and nothing that is offered or valued has it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from support.at_work import MATCHER
from support.shop import harbor, lot_of, marks, numbers

from tagger.cli import main
from tagger.config import Settings
from tagger.core.lot.fields import cards
from tagger.core.model.tags import Tags
from tagger.core.overview.bulk import Lists, enter_plan, plan_aside, plan_clear, plan_tags
from tagger.core.overview.bulk_change import BulkChange
from tagger.errors import Refused
from tagger.services.opening import change
from tagger.store.machine.paths import lot_place


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """Three cards of a box with prices; the second is set aside, and keeps its tags."""
    names = ("Ada Marsh", "Bo Reed", "Cy Holm")
    folder = lot_of(
        tmp_path / "one", [harbor(str(at), name, price="2") for at, name in enumerate(names, 1)]
    )
    set_aside(folder, 2)
    return folder


def set_aside(folder: Path, position: int) -> None:
    with change(lot_place(folder, None), Settings()) as session:
        session.go(position)
        session.set_aside("corner?")


def told(capsys: pytest.CaptureFixture[str], *words: object) -> str:
    capsys.readouterr()
    main(list(map(str, words)))
    return capsys.readouterr().out


def test_the_sale_of_a_card_that_is_set_aside_counts_and_it_is_pulled(
    lot: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first, second, _ = numbers(lot)
    assert main(["sold", second, "--order", "A-17", "--price", "3.50"]) == 0
    assert main(["sold", first, "--order", "A-18", "--price", "9"]) == 0
    set_aside(lot, 1)
    assert "Sold: 2 cards." in told(capsys, "sales")
    picked = json.loads(told(capsys, "pick", "--json"))["cards"]
    assert [card["stock_number"] for card in picked] == [first, second]
    assert "2 from the front, between #1 and #3" in told(capsys, "pick", second)
    assert "of these: 1 in stock, 2 sold" in told(capsys, "status", lot)
    assert "In stock: 1 card in 1 lot; 2.00 for 1 card" in told(capsys, "stock")


def test_a_card_that_is_set_aside_is_counted_by_its_number_and_neither_valued_nor_ordered(
    lot: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    counted = tmp_path / "counted.csv"
    counted.write_text("\n".join(numbers(lot)) + "\n", encoding="utf-8")
    assert told(capsys, "stock", "--counted", counted) == "3 cards are where expected.\n"
    assert "In stock: 2 cards in 1 lot; 4.00 for 2 cards" in told(capsys, "stock")
    orders = tmp_path / "orders.csv"
    orders.write_text("order,number\nA,2\n", encoding="utf-8")
    assert main(["sold", "--orders", str(orders), "--yes"]) == 3
    said = "every copy is sold, pulled, reserved or set aside."
    assert said in capsys.readouterr().err
    # its own number names the very card, whatever is asked about it
    orders.write_text(f"order,stock number\nA,{numbers(lot)[1]}\n", encoding="utf-8")
    assert main(["sold", "--orders", str(orders), "--yes"]) == 0
    assert marks(lot)[1].gone == "sold"


def test_a_card_of_which_nobody_knows_what_it_is_is_not_sold(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lot = lot_of(tmp_path / "two", [Tags(place="box 7")])
    set_aside(lot, 1)
    assert main(["sold", str(lot), "1"]) == 3
    assert "Card 1 is set aside without tags; tag it first" in capsys.readouterr().err


def test_the_tags_of_a_card_that_left_are_not_cleared(lot: Path) -> None:
    assert main(["sold", numbers(lot)[0], "--price", "9"]) == 0
    assert main(["sold", numbers(lot)[2], "--pulled"]) == 0
    before = marks(lot)
    with change(lot_place(lot, None), Settings()) as session:
        session.go(1)
        with pytest.raises(Refused, match="Card 1 was sold, and its tags say which card left"):
            session.clear()
        plan = plan_clear(list(cards(session.view)))
        assert plan.told.endswith("(1 set aside) · unchanged: 1 sold, 1 pulled")
        enter_plan(session, plan)
        enter_plan(session, plan_aside(list(cards(session.view)), "again"))
    assert [mark.gone for mark in marks(lot)] == ["sold", "", "pulled"]
    assert marks(lot)[0].tags == before[0].tags


def test_a_sold_card_that_is_taken_out_by_hand_stays_sold(
    lot: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first = numbers(lot)[0]
    assert main(["sold", first, "--order", "A", "--price", "9"]) == 0
    assert main(["sold", first, "--pulled"]) == 0
    assert (marks(lot)[0].gone, marks(lot)[0].in_place) == ("sold", False)
    assert "income 9.00" in told(capsys, "sales")
    assert told(capsys, "pick") == ""
    assert main(["sold", first, "--pulled"]) == 3
    assert "Already pulled: card 1." in capsys.readouterr().err


def test_one_change_to_many_leaves_what_a_sold_card_was_called_and_moves_it(lot: Path) -> None:
    assert main(["sold", numbers(lot)[0], "--order", "A-17", "--price", "3.50"]) == 0
    with change(lot_place(lot, None), Settings()) as session:
        every = list(cards(session.view))
        for wanted in (BulkChange(set="1985 Mill Pond"), BulkChange(condition="Good")):
            plan = plan_tags(every, wanted, Lists(MATCHER.index))
            assert "1 sold" in plan.told
            assert every[0] not in plan.cards
        # it was sold and not pulled yet, so it goes to another box with the others
        plan = plan_tags(every, BulkChange(place="box 9"), Lists(MATCHER.index))
        assert every[0] in plan.cards


def test_sales_of_a_channel_in_two_spellings_are_one_sum(
    lot: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first, _, third = numbers(lot)
    assert main(["sold", first, "--channel", "Bay", "--price", "3"]) == 0
    assert main(["sold", third, "--channel", "bay", "--price", "4"]) == 0
    assert [one["name"] for one in json.loads(told(capsys, "sales", "--json"))["channels"]] == [
        "Bay"
    ]
    assert "bay:" not in told(capsys, "sales")
