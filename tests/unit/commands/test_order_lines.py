"""What a line of an order says of its card is believed as a whole: what cannot be read, or is not
so, sells nothing, and a card that was promised goes to nobody else."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from support.shop import harbor, lot_of, marks, numbers

from tagger.cli import main
from tagger.config import Settings
from tagger.core.model.numbers import read_serial
from tagger.core.stock.asked import OPEN, REFUSED, Wish, answer, seen_of
from tagger.services.opening import change
from tagger.store.machine.paths import lot_place


def orders(tmp_path: Path, head: str, *rows: str, status: int = 0) -> Path:
    """A table of orders, entered."""
    file = tmp_path / "orders.csv"
    file.write_text("\n".join((head, *rows)) + "\n", encoding="utf-8")
    assert main(["sold", "--orders", str(file), "--yes"]) == status
    return file


def gone(lot: Path) -> list[str]:
    return [mark.gone for mark in marks(lot)]


@pytest.fixture
def golds(tmp_path: Path) -> Path:
    """A numbered Gold and one that nobody gave its number, and a card that has no number."""
    return lot_of(
        tmp_path / "golds",
        [
            harbor("1", "Ada Marsh", parallel="Gold", serial="12/99"),
            harbor("1", "Ada Marsh", parallel="Gold"),
            harbor("", "Checklist"),
            harbor("2", "Bo Reed", parallel="Gold", serial="lot B"),
        ],
    )


@pytest.mark.parametrize("said", ["12/99", "#12/99", "12 of 99", "No. 12 / 99", "012/099", "/99"])
def test_a_serial_number_is_read_as_tables_have_it(said: str, golds: Path, tmp_path: Path) -> None:
    orders(tmp_path, "order,number,parallel,serial", f"A,1,Gold,{said}")
    assert gone(golds) == ["sold", "", "", ""]


@pytest.mark.parametrize("said", ["Dec-99", "12", "12 99", "12/99/1"])
def test_a_serial_number_that_cannot_be_read_sells_nothing(
    said: str, golds: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert read_serial(said) is None
    orders(tmp_path, "order,number,parallel,serial", f"A,1,Gold,{said}", status=3)
    assert f"line 2: #1 Gold: '{said}' is not a serial number; write" in capsys.readouterr().err
    row = f"A,{numbers(golds)[0]},{said}"
    orders(tmp_path, "order,stock number,serial", row, status=3)
    assert f"'{said}' is not a serial number; write" in capsys.readouterr().err
    assert not any(gone(golds))


def test_a_serial_number_in_the_dealers_own_words_names_its_card(
    golds: Path, tmp_path: Path
) -> None:
    orders(tmp_path, "order,number,parallel,serial", "A,2,Gold,Lot B")
    assert gone(golds) == ["", "", "", "sold"]


def test_a_dash_for_a_number_names_no_card(
    golds: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    orders(tmp_path, "order,number,name", "A,-,", status=3)
    assert "line 2: #-: the line names no card." in capsys.readouterr().err
    orders(tmp_path, "order,number,name", "A,-,Bo Reed", status=3)
    assert not any(gone(golds))
    orders(tmp_path, "order,number,name", "A,-,Checklist")
    assert gone(golds) == ["", "", "sold", ""]


@pytest.mark.parametrize(
    ("head", "cell", "said"),
    [
        ("set", "1985 Mill Pond", "is 1987 Harbor Light, not 1985 Mill Pond"),
        ("name", "Bo Reed", "is #1 Ada Marsh, not Bo Reed"),
        ("number", "2", "is #1 Ada Marsh, not #2"),
        ("parallel", "Silver", "is Gold, not Silver"),
        ("serial", "13/99", "is 12/99, not 13/99"),
    ],
)
def test_a_stock_number_beside_another_card_sells_nothing(
    head: str, cell: str, said: str, golds: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    number = numbers(golds)[0]
    orders(tmp_path, f"order,stock number,{head}", f"A,{number},{cell}", status=3)
    assert f"{number} {said}." in capsys.readouterr().err
    assert not any(gone(golds))
    # an empty cell says nothing of a card that its number names
    orders(tmp_path, f"order,stock number,{head}", f"A,{number},")
    assert gone(golds)[0] == "sold"


def test_a_reserved_card_goes_to_nobody_else_and_stays_promised_when_its_sale_is_undone(
    golds: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    number = numbers(golds)[3]
    assert main(["sold", number, "--reserved", "Ann K"]) == 0
    orders(tmp_path, "order,stock number", f"B-9,{number}", status=3)
    assert f"line 2: {number} is reserved (Ann K)." in capsys.readouterr().err
    # nor by hand, where the order or the buyer is said
    assert main(["sold", number, "--order", "B-9"]) == 3
    assert "Card 4 is reserved for Ann K. Say so with --buyer" in capsys.readouterr().err
    assert marks(golds)[3].stock == "reserved"
    orders(tmp_path, "order,number", "B-9,2", status=3)
    mark = marks(golds)[3]
    for buyer, state in (("ann k", OPEN), ("Bo", REFUSED)):
        wish = Wish("1", "lot", 4, "south", seen_of(mark.tags), {"buyer": buyer, "order": "B-9"})
        assert answer(wish, mark).state == state
    file = orders(tmp_path, "order,stock number,buyer", f"B-10,{number},ann  k")
    assert marks(golds)[3].stock == "sold"
    assert main(["sold", "--orders", str(file), "--undo", "--yes"]) == 0
    assert (marks(golds)[3].stock, marks(golds)[3].trade.reserved) == ("reserved", "Ann K")
    # one that was sold and comes back is free; one that was only pulled is still promised
    to_ann = ["--order", "B-10", "--buyer", "ann k"]
    for how, stock in (["--pulled"], "reserved"), (to_ann, "in stock"):
        assert main(["sold", number, *how]) == 0
        assert main(["sold", number, "--returned"]) == 0
        assert marks(golds)[3].stock == stock


def test_a_line_that_could_be_of_two_series_is_asked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    seven = harbor("7", "Seven")
    series = [replace(seven, extra=(("series", name),)) for name in ("Bells", "Crowns")]
    lot = lot_of(tmp_path / "series", series)
    orders(tmp_path, "order,number", "A,7", status=3)
    said = "it could be 1987 Harbor Light #7 Seven, Bells, base or 1987 Harbor Light #7 Seven, Crow"
    assert said in capsys.readouterr().err
    assert not any(gone(lot))


@pytest.mark.parametrize(
    ("set_name", "subject"),
    [
        ("Harbor Light 1987", "Ada Marsh"),
        ("harbor light (1987)", "Marsh, Ada"),
        ("1987 - HARBOR LIGHT", "ada marsh"),
    ],
)
def test_a_set_and_a_name_are_known_in_any_order_of_their_words(
    set_name: str, subject: str, tmp_path: Path
) -> None:
    lot = lot_of(tmp_path / "order", [harbor("1", "Ada Marsh"), harbor("2", "Bo Reed")])
    orders(tmp_path, "order,set,player", f'A,{set_name},"{subject}"')
    assert gone(lot) == ["sold", ""]


def test_a_name_is_known_with_another_apostrophe(tmp_path: Path) -> None:
    lot = lot_of(tmp_path / "signs", [harbor("1", "Shaun O'Neil")])
    orders(tmp_path, "order,player", "A,Shaun O’Neil")
    assert gone(lot) == ["sold"]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (
            "A,Harbor Light,1,Ada Marsh",
            "there is 1987 Harbor Light #1 Ada Marsh, base (1987 Harbor Light, not Harbor Light",
        ),
        (
            "A,1987 Harbor Light,1,Marsh",
            "there is 1987 Harbor Light #1 Ada Marsh, base (#1 Ada Marsh, not Marsh",
        ),
        (
            "A,1987 Harbor Light,7,Bo Reed",
            "there is 1987 Harbor Light #2 Bo Reed, base (#2 Bo Reed, not #7",
        ),
    ],
)
def test_a_line_that_fits_but_for_one_thing_is_told_which(
    row: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A card of another set is never sold for it: which one was meant is the dealer's to say."""
    lot = lot_of(tmp_path / "near", [harbor("1", "Ada Marsh"), harbor("2", "Bo Reed")])
    orders(tmp_path, "order,set,number,player", row, status=3)
    assert f"no such card in the lots opened on this machine; {said})" in capsys.readouterr().err
    assert not any(gone(lot))


@pytest.fixture
def twins(tmp_path: Path) -> Path:
    """Two copies of one card."""
    return lot_of(tmp_path / "twins", [harbor("23", "Ada Marsh"), harbor("23", "Ada Marsh")])


@pytest.mark.parametrize("order", ["A-17", "a-17", " A-17"])
@pytest.mark.parametrize("by_number", [True, False])
def test_a_card_sold_by_hand_is_not_sold_again_when_the_table_of_its_order_comes(
    order: str, by_number: bool, twins: Path, tmp_path: Path
) -> None:
    number = numbers(twins)[1]
    assert main(["sold", number, "--order", order]) == 0
    said = number if by_number else ""
    orders(tmp_path, "order,stock number,number,name", f"A-17,{said},23,Ada Marsh")
    assert gone(twins) == ["", "sold"]


def test_a_further_line_of_an_order_sells_a_further_copy(twins: Path, tmp_path: Path) -> None:
    assert main(["sold", numbers(twins)[1], "--order", "A-17"]) == 0
    orders(tmp_path, "order,number,name,quantity", "A-17,23,Ada Marsh,2")
    assert gone(twins) == ["sold", "sold"]


def test_a_copy_sold_by_hand_in_another_condition_is_not_the_one_ordered(
    twins: Path, tmp_path: Path
) -> None:
    assert main(["sold", numbers(twins)[1], "--order", "A-17"]) == 0
    row = "A-17,23,Ada Marsh,Excellent"
    orders(tmp_path, "order,number,name,condition", row, status=3)
    orders(tmp_path, "order,number,name,condition", "B-1,23,Ada Marsh,nm")
    assert gone(twins) == ["sold", "sold"]


def test_a_channel_is_one_in_any_spelling(twins: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for number, channel in zip(numbers(twins), ("Bay", "bay"), strict=True):
        assert main(["sold", number, "--price", "1", "--channel", channel]) == 0
    capsys.readouterr()
    assert main(["sales"]) == 0
    assert "Bay: 2 cards" in capsys.readouterr().out


def test_a_number_that_two_lots_have_sells_pulls_and_counts_no_card(
    twins: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(twins, tmp_path / "copied")
    with change(lot_place(tmp_path / "copied", None), Settings()):
        pass
    number = numbers(twins)[0]
    both = f"both have a card {number}"
    orders(tmp_path, "order,stock number", f"A-1,{number}", status=3)
    assert both in capsys.readouterr().err
    assert main(["pick", number, "--done"]) == 3
    assert both in capsys.readouterr().err
    count = tmp_path / "count.txt"
    count.write_text(f"{number}\n")
    assert main(["stock", "--counted", str(count)]) == 3
    assert both in capsys.readouterr().err
    assert not any((*gone(twins), *gone(tmp_path / "copied")))
