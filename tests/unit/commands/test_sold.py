"""What became of a card is kept, never twice, and undone by one step; a table of orders finds its
cards over all lots, all or none."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.shop import POND, harbor, lot_of, marks, numbers

from tagger.cli import main
from tagger.config import Settings
from tagger.core.lot.change import Change
from tagger.core.lot.history import words
from tagger.core.model.tags import Tags
from tagger.core.model.trade import NO_TRADE
from tagger.errors import NotSaved
from tagger.services.opening import change
from tagger.store.lot.lot_file import LotFile
from tagger.store.machine.paths import config_file, lot_place


@pytest.fixture
def shop(tmp_path: Path) -> tuple[Path, Path]:
    """Two lots of one box: three copies of a card in different conditions, and others."""
    one = lot_of(
        tmp_path / "one",
        [
            harbor("22", "Ivo Lund"),
            harbor("23", "Ada Marsh"),
            harbor("23", "Ada Marsh", "Poor"),
            harbor("23", "Ada Marsh", parallel="Gold", serial="12/99"),
        ],
    )
    two = lot_of(
        tmp_path / "two",
        [
            harbor("23", "Ada Marsh"),
            harbor("24", "Bo Reed", "Good"),
            Tags(POND, "22", "Cyr Torwick", condition="Near Mint", place="box 8"),
        ],
    )
    return one, two


def run(*words: object, status: int = 0) -> None:
    assert main(list(map(str, words))) == status


def undo(folder: Path) -> None:
    with change(lot_place(folder, None), Settings()) as session:
        session.undo()


def test_a_sale_is_kept_by_stock_number_refused_a_second_time_and_undone(
    shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    one, two = shop
    number, other = numbers(one)[1], numbers(two)[1]
    sale = ["--price", "3.50 EUR", "--fee", "0.40", "--order", "A-17", "--on", "2026-11-02"]
    # typed as it comes: small letters, no hyphens; two lots in one command
    run("sold", number.lower().replace("-", ""), other, *sale)
    assert "two: Card 2 sold: #24 Bo Reed" in capsys.readouterr().out
    trade = marks(one)[1].trade
    assert (marks(one)[1].gone, trade.price, trade.fee) == ("sold", "3.50 EUR", "0.40")
    assert (trade.order, trade.sold_on, trade.buyer) == ("A-17", "2026-11-02", "")
    run("sold", one, "1-2", status=3)
    assert "Card 2 was already sold on 2026-11-02, order A-17." in capsys.readouterr().err
    assert marks(one)[0].gone == ""
    undo(one)
    assert (marks(one)[1].gone, marks(one)[1].trade) == ("", NO_TRADE)
    assert numbers(one)[1] == number
    run("sold", number, "--reserved", "Kim")
    run("sold", one, "1", "--listed", "the shop")
    assert [mark.stock for mark in marks(one)[:2]] == ["listed", "reserved"]
    capsys.readouterr()
    run("status", one)
    told = capsys.readouterr().out
    assert "of these: 4 in stock (1 listed, 1 reserved)\n" in told
    assert "no card is left untagged" in told
    assert "next:" not in told
    with change(lot_place(one, None), Settings()) as session:
        past = [words(entry.change, {}) for entry in session.history(2)]
    assert past == ["a removed card: listed, the shop", "a removed card: reserved for Kim"]
    run("sold", two, "2", "--returned", "--on", "2026-11-09")
    assert marks(two)[1].trade == NO_TRADE._replace(returned_on="2026-11-09")
    run("sold", two, "3", "--pulled", "bent")
    assert (marks(two)[2].stock, marks(two)[2].trade.reason) == ("pulled", "bent")


@pytest.mark.parametrize(
    ("given", "said", "status"),
    [
        (["K7TQX-0042-M"], "its check character does not fit", 2),
        (["k7tqx0042m"], "its check character does not fit", 2),
        (["K7TQX-0042-E"], "No card in the lots opened on this machine", 3),
        (["{one}", "1", "--price", "abc"], "'abc' is not a price", 2),
        (["{one}", "1", "--on", "2026-02-30"], "'2026-02-30' is not a day", 2),
        (["{one}", "1", "--returned", "--fee", "1"], "--fee is of a sale", 2),
        (["{one}"], "Name the positions", 2),
        ([], "Name the cards", 2),
        (["{one}", "1", "--yes"], "--yes goes with --orders", 2),
    ],
)
def test_what_cannot_be_sold_is_said(
    given: list[str],
    said: str,
    status: int,
    shop: tuple[Path, Path],
    capsys: pytest.CaptureFixture[str],
) -> None:
    run("sold", *(word.format(one=shop[0]) for word in given), status=status)
    assert said in capsys.readouterr().err
    assert not any(mark.gone for mark in marks(shop[0]))


def table(tmp_path: Path, *rows: str) -> Path:
    file = tmp_path / "sales.csv"
    head = "Order Number,Custom label,Set,Card #,Variation,Condition,Qty,Sold for,Date"
    file.write_text("\n".join((head, *rows)) + "\n", encoding="utf-8")
    return file


def test_orders_find_their_cards_and_the_same_table_changes_nothing(
    shop: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, two = shop
    file = table(
        tmp_path,
        f"7,{numbers(two)[1]},,24,,,,$1.10,2026-03-01",
        "7,,1987 Harbor Light,23,,near mint,2,$2.00,3/14/2026",
        "8,,1987 Harbor Light,23,Gold,,1,$9.00,14.3.2026",
    )
    run("sold", "--orders", file, status=1)
    assert "4 cards to be marked as sold; nothing was changed" in capsys.readouterr().err
    run("sold", "--orders", file, "--yes")
    assert [mark.gone for mark in marks(one)] == ["", "sold", "", "sold"]
    assert [mark.gone for mark in marks(two)] == ["sold", "sold", ""]
    gold = marks(one)[3].trade
    assert (gold.order, gold.price, gold.sold_on) == ("8", "$9.00", "2026-03-14")
    before = marks(one), marks(two)
    capsys.readouterr()
    run("sold", "--orders", file, "--yes")
    assert "4 lines were marked before" in capsys.readouterr().err
    # a sale that came to nothing is not done again by its old table
    run("sold", one, "4", "--returned")
    run("sold", "--orders", file, "--yes")
    assert marks(one)[3].gone == ""
    undo(one)
    assert (marks(one), marks(two)) == before
    # the whole table at once, whatever was done since; a sale by hand stays
    run("move", "box 7", "shelf 1")
    run("sold", one, "1", "--order", "5", "--on", "2026-01-02")
    run("sold", "--orders", file, "--undo", status=1)
    assert "4 cards to be unsold; nothing was changed" in capsys.readouterr().err
    run("sold", "--orders", file, "--undo", "--rest", status=2)
    run("sold", "--orders", file, "--undo", "--yes")
    assert "4 cards no longer sold." in capsys.readouterr().err
    assert [mark.gone for mark in (*marks(one), *marks(two))] == ["sold", *[""] * 6]
    assert all(mark.trade == NO_TRADE for mark in (*marks(one)[1:], *marks(two)))
    run("sold", "--orders", file, "--undo", "--yes")
    assert "No card is sold by a line of" in capsys.readouterr().err
    run("sold", "--orders", file, "--yes")
    assert "4 cards marked as sold." in capsys.readouterr().err


def test_orders_that_are_wrong_are_told_and_nothing_is_marked_but_the_rest(
    shop: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, two = shop
    run("sold", one, "1", "--order", "5", "--on", "2026-01-02")
    capsys.readouterr()
    file = table(
        tmp_path,
        "9,,,22,,,,,",
        "9,,1987 Harbor Light,99,,,,,",
        "9,,1987 Harbor Light,24,,Mint,,,",
        f"9,{numbers(one)[0]},,,,,,,",
        "9,,1987 Harbor Light,23,,Poor,,1-2,",
        "9,,1987 Harbor Light,23,,Poor,,,1/2/2026",
        f"9,{numbers(one)[1]},,24,,,,,",
        "9,,1987 Harbor Light,23,,Poor,,$1,",
        "9,,1987 Harbor Light,23,,Poor,,$1,",
    )
    run("sold", "--orders", file, "--yes", status=3)
    told = capsys.readouterr().err
    for said in (
        "line 2: #22: it could be 1987 Harbor Light #22 Ivo Lund, base or 1985 Mill Pond #22",
        "line 3: 1987 Harbor Light #99: no such card",
        "line 4: 1987 Harbor Light #24 Mint: no copy is Mint; there is Good.",
        "was already sold on 2026-01-02, order 5.",
        "'1-2' is not a price",
        "'1/2/2026' is not a clear date",
        "is #23 Ada Marsh, not #24",
        "line 10: 1987 Harbor Light #23 Poor: no copy is Poor; there is Near Mint.",
        "Nothing was marked.",
    ):
        assert said in told
    assert [mark.gone for mark in (*marks(one)[1:], *marks(two))] == [""] * 6
    run("sold", "--orders", file, "--yes", "--rest", status=1)
    assert [mark.gone for mark in marks(one)] == ["sold", "", "sold", ""]


def _fail_at_second_lot(
    file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The disk is full when the second lot is written: the first is undone."""
    enter, done = LotFile.enter, list[str]()

    def full(store: LotFile, change: Change) -> None:
        if done:
            raise NotSaved("The disk is full.")
        done.append(change.label)
        enter(store, change)

    with monkeypatch.context() as patch:
        patch.setattr(LotFile, "enter", full)
        run("sold", "--orders", file, "--yes", status=3)
    assert "The disk is full." in capsys.readouterr().err
    assert len(done) == 1


def test_the_copy_that_is_sold_is_a_setting_and_a_lot_that_cannot_be_written_stops_all(
    shop: tuple[Path, Path],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    one, two = shop
    file = table(tmp_path, "1,,,23,base,Poor,,,", "1,,,24,,,,,")
    held = LotFile(two, "two")
    try:
        run("sold", "--orders", file, "--yes", status=3)
    finally:
        held.close()
    assert "The lot two is already open" in capsys.readouterr().err
    assert not any(mark.gone for mark in marks(one))
    _fail_at_second_lot(file, monkeypatch, capsys)
    assert not any(mark.gone for mark in (*marks(one), *marks(two)))
    file = table(tmp_path, "1,,,23,base,,,,", "1,,,24,,,,,")
    config_file().parent.mkdir(parents=True, exist_ok=True)
    config_file().write_text('[orders]\ncopy = "worst"\n', encoding="utf-8")
    run("sold", "--orders", file, "--yes")
    assert [mark.gone for mark in marks(one)] == ["", "", "sold", ""]
    undo(one)
    undo(two)
    config_file().unlink()
    run("sold", "--orders", file, "--yes")
    # the first in its place of either lot
    assert [mark.gone for mark in marks(two)] == ["sold", "sold", ""]


def test_columns_are_named_where_their_names_say_nothing(
    shop: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "sales.csv"
    file.write_text("Sale;What\n1;24\n", encoding="utf-8")
    run("sold", "--orders", file, status=3)
    assert "has no column with stock numbers" in capsys.readouterr().err
    run("sold", "--orders", file, "--columns", "nmber=What", status=2)
    assert "did you mean number?" in capsys.readouterr().err
    run("sold", "--orders", file, "--columns", "order=Sale, number=what", "--yes")
    assert marks(shop[1])[1].trade.order == "1"
