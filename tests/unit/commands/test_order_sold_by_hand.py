"""A card that was sold by hand to an order before the table of that order came: the same sale."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.shop import HARBOR, harbor, lot_of, marks, numbers

from tagger.cli import main


@pytest.fixture
def twins(tmp_path: Path) -> Path:
    """Two copies of one card, the first sold by hand to A-17."""
    folder = lot_of(tmp_path / "one", [harbor("23", "Ada Marsh"), harbor("23", "Ada Marsh")])
    assert main(["sold", numbers(folder)[0], "--order", "A-17", "--price", "3.50"]) == 0
    return folder


def order(folder: Path, *lines: str) -> None:
    file = folder.parent / "orders.csv"
    file.write_text("\n".join((f"order,set,number,subject,{lines[0]}", *lines[1:])) + "\n")
    main(["sold", "--orders", str(file), "--yes"])


def gone(folder: Path) -> list[str]:
    return [mark.gone for mark in marks(folder)]


def test_a_line_that_describes_the_card_is_that_sale_in_any_spelling_of_the_order(
    twins: Path,
) -> None:
    order(twins, "price", f"a-17,{HARBOR},23,Ada Marsh,3.50")
    assert gone(twins) == ["sold", ""]


def test_a_second_line_of_the_order_and_another_order_sell_the_next_copy(twins: Path) -> None:
    line = f"A-17,{HARBOR},23,Ada Marsh,3.50"
    order(twins, "price", line, line)
    assert gone(twins) == ["sold", "sold"]


def test_a_copy_in_another_condition_is_another_one(tmp_path: Path) -> None:
    folder = lot_of(
        tmp_path / "two", [harbor("23", "Ada Marsh", "Good"), harbor("23", "Ada Marsh")]
    )
    assert main(["sold", numbers(folder)[0], "--order", "A-17"]) == 0
    order(folder, "condition", f"A-17,{HARBOR},23,Ada Marsh,Near Mint")
    assert gone(folder) == ["sold", "sold"]


def test_a_stock_number_is_done_in_any_spelling_of_the_order(
    twins: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = twins.parent / "orders.csv"
    file.write_text(f"order,stock number\na-17,{numbers(twins)[0]}\n")
    capsys.readouterr()
    assert main(["sold", "--orders", str(file), "--yes"]) == 0
    assert "already sold" not in capsys.readouterr().err
    assert gone(twins) == ["sold", ""]
