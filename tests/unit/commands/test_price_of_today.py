"""What a card costs by its list: today's price, the same in value, stock and exports, unless it
was taken off by the dealer."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from support.shop import HARBOR, kept, lot_of

from tagger.cli import main
from tagger.config import Settings
from tagger.core.model.money import TAKEN_OFF, price_text, priced_now
from tagger.core.model.tags import Tags
from tagger.services.opening import change
from tagger.store.machine.paths import lot_place

TWO = (("price", "2.00"),)


def written(folder: Path, price: str) -> None:
    text = f"set,number,subject,price\n{HARBOR},1,Ada Marsh,{price}\n{HARBOR},2,Bo Lund,2.00\n"
    (folder.parent / "list.csv").write_text(text)


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """Two cards that were tagged when the list had 2.00 for each."""
    folder = lot_of(
        tmp_path / "box 12",
        [Tags(HARBOR, "1", "Ada Marsh", extra=TWO), Tags(HARBOR, "2", "Bo Lund", extra=TWO)],
    )
    written(folder, "2.00")
    with change(lot_place(folder, None), Settings()) as session:
        scans = sorted(one.name for one in folder.glob("*.jpg"))
        session.take_in(scans, [str(tmp_path / "list.csv")])
    return folder


def said(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    capsys.readouterr()
    main([str(one) for one in arguments])
    return capsys.readouterr().out


def prices(folder: Path, *more: str) -> list[str]:
    """The column of prices of an export, beside the lot."""
    target = folder.parent / "out.csv"
    assert main(["export", str(folder), "--to", str(target), "--force", *more]) == 0
    with target.open(newline="", encoding="utf-8") as file:
        return [row["price"] for row in csv.DictReader(file)]


def edited(folder: Path, old: str, new: str) -> str:
    target = folder.parent / "out.csv"
    target.write_text(target.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    return str(target)


def test_a_price_that_rose_in_the_list_is_asked_everywhere(lot, capsys):
    written(lot, "9.00")
    assert said(capsys, "value", lot).startswith("Estimate: 11.00 for 2 cards")
    assert "11.00 for 2 cards" in said(capsys, "stock")
    assert "In stock: 1 card in 1 lot; 9.00 for 1 card" in said(capsys, "stock", "over", "5")
    assert prices(lot) == ["9.00", "2.00"]
    assert prices(lot, "--only", "over 5") == ["9.00"]
    # it is shown and counted, and no tag is changed by it
    assert kept(lot).card_at(1).mark.tags.extra == TWO


def test_a_table_with_todays_prices_comes_back_without_a_change(lot, capsys):
    written(lot, "9.00")
    prices(lot)
    table = lot.parent / "out.csv"
    assert said(capsys, "import", lot, table, "--yes") == ""
    Path(f"{table}.base").unlink()
    assert said(capsys, "import", lot, table, "--yes") == ""
    prices(lot)
    told = said(capsys, "import", lot, edited(lot, "9.00", "8.00"), "--yes")
    assert told.startswith('card 1: price "9.00" → "8.00"\n')
    assert kept(lot).card_at(1).mark.tags.price == "8.00"


def test_a_price_that_was_taken_off_is_not_estimated(lot, capsys):
    written(lot, "9.00")
    prices(lot)
    assert main(["import", str(lot), edited(lot, "9.00", ""), "--yes"]) == 0
    assert prices(lot) == ["", "2.00"]
    assert said(capsys, "value", lot).startswith("Estimate: 2.00 for 1 card,")


def test_what_was_listed_at_another_price_is_new_to_the_shop_once(lot, tmp_path, capsys):
    layout = tmp_path / "shop.toml"
    layout.write_text('[only]\nnew = true\n[[column]]\nheading = "price"\ntext = "{price}"\n')
    shop = ("--layout", str(layout), "--mark-listed", "stall")
    assert prices(lot, *shop) == ["2.00", "2.00"]
    written(lot, "9.00")
    assert prices(lot, *shop) == ["9.00"]
    assert prices(lot, *shop) == []
    assert kept(lot).card_at(1).mark.tags.extra == TWO


def test_an_empty_cell_of_the_list_is_no_price_that_was_taken_off():
    tags = Tags(HARBOR, "1", parallel="Gold", extra=(("Price", ""), ("Rarity", "rare")))
    now = priced_now(tags, (("price", "1.00"), ("price gold", "4.00")))
    assert price_text(now) == "4.00"
    off = Tags(HARBOR, "1", extra=(("Price", TAKEN_OFF),))
    assert price_text(priced_now(off, (("price", "1.00"),))) == ""
    # a list that has none any more leaves what it had
    assert priced_now(now, ()) is now


def test_lists_of_cards_have_the_price_by_which_they_were_asked(lot, capsys):
    written(lot, "9.00")
    for words in (["stock", "over", "5", "--to", "-"], ["pick", "over", "5", "--to", "-"]):
        (row,) = csv.DictReader(said(capsys, *words).splitlines())
        assert row["price"] == "9.00"
    nothing = lot.parent / "counted.csv"
    nothing.write_text("stock number\n")
    for words in (["pick", "over", "5", "--json"], ["stock", "--counted", nothing, "--json"]):
        assert '"price": "9.00"' in said(capsys, *words)


def test_a_price_taken_off_a_parallel_is_not_the_base_cards(tmp_path, capsys):
    both = (("price", "1.00"), ("price gold", "9.00"))
    folder = lot_of(tmp_path / "box", [Tags(HARBOR, "1", "Ada Marsh", parallel="Gold", extra=both)])
    file = tmp_path / "list.csv"
    file.write_text(
        f"set,number,subject,parallels,price,price gold\n{HARBOR},1,Ada Marsh,Gold /50,1.00,9.00\n"
    )
    with change(lot_place(folder, None), Settings(), [file]):
        pass
    pricing = ("--layout", "pricing")
    table = tmp_path / "prices.csv"
    assert main(["export", str(folder), "--to", str(table), *pricing]) == 0
    table.write_text(table.read_text().replace(",9.00,", ",,"))
    assert main(["import", str(folder), str(table), *pricing, "--yes"]) == 0
    assert price_text(kept(folder).card_at(1).mark.tags) == ""
    assert "1.00" not in said(capsys, "value", folder)
    assert ",1.00," not in said(capsys, "export", folder, "--to", "-", *pricing)
