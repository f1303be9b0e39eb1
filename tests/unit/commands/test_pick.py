"""The pick list: what waits for an order, by place and count from the front, on screen, as CSV and
as PDF; and that it was pulled."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pypdf
import pytest
from support.shop import harbor, lot_of, marks, numbers
from support.small_card import card

from tagger.cli import main
from tagger.core.model.tags import Tags


@pytest.fixture
def shop(tmp_path: Path) -> tuple[Path, Path]:
    """Two lots: a box in each that is called alike, and one more; the first card has a scan."""
    cards = [
        harbor("22", "Ivo Lund"),
        harbor("23", "Ada Marsh"),
        harbor("24", "Åsa Жук", parallel="Gold", serial="12/99"),
    ]
    one = lot_of(tmp_path / "one", cards)
    more = Tags("1985 Mill Pond", "5", "Bo Reed", place="box 12")
    two = lot_of(tmp_path / "two", [harbor("30", "Lee Gold"), more])
    return one, two


def run(*words: object, status: int = 0) -> None:
    assert main(list(map(str, words))) == status


def test_a_card_sold_to_an_order_waits_in_its_place_until_it_is_pulled(
    shop: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, two = shop
    run("sold", one, "1")  # over the counter: it is gone already
    run("sold", numbers(one)[1], numbers(two)[1], "--order", "A-17", "--buyer", "K 9")
    run("sold", numbers(one)[2], "--order", "B")
    capsys.readouterr()
    run("pick")
    assert capsys.readouterr().out.splitlines() == [
        "box 7: cards of one",  # there are others of two, which nobody knows the order of
        f"  [ ] 1 from the front, the first, before #24: {numbers(one)[1]}  1987 Harbor Light #23 "
        "Ada Marsh, base, Near Mint  (one, card 2, order A-17, for K 9)",
        f"  [ ] 2 from the front, the last, after #23: {numbers(one)[2]}  1987 Harbor Light #24 "
        "Åsa Жук, Gold 12/99, Near Mint  (one, card 3, order B)",
        "box 12",
        f"  [ ] 1 from the front, the only card there: {numbers(two)[1]}  1985 Mill Pond #5 Bo "
        "Reed, base  (two, card 2, order A-17, for K 9)",
    ]
    # the search counts alike
    run("find", numbers(one)[2])
    found = capsys.readouterr().out
    assert re.search(
        r"box 7, card 3 of 3; sold [0-9-]{10}, order B, to be pulled; 2 from the front, the last, "
        "after #23",
        found,
    )
    run("pick", "--to", tmp_path / "pick.csv")
    rows = list(csv.DictReader((tmp_path / "pick.csv").read_text(encoding="utf-8").splitlines()))
    assert [(row["place"], row["from the front"], row["number"]) for row in rows] == [
        ("box 7", "1", "23"),
        ("box 7", "2", "24"),
        ("box 12", "1", "5"),
    ]
    # one that was read wrong is said, and is not a filter that finds nothing
    misread = numbers(one)[1][:-1] + "21"[numbers(one)[1][-1] != "1"]
    run("pick", misread, "--done", status=2)
    run("move", misread.replace("-", ""), "box 9", status=3)
    run("find", misread.replace("-", ""))
    told = capsys.readouterr().err
    assert told.count("check character does not fit") == 2
    assert "is a stock number, its last character does not fit the others." in told
    run("pick", numbers(one)[1], "--done")
    assert marks(one)[1].gone == "sold"
    assert marks(one)[1].trade.pulled_on
    capsys.readouterr()
    run("pick", "lot=one")
    out = capsys.readouterr().out.splitlines()
    assert out[0] == "box 7: cards of one"
    assert "1 from the front, the only card there" in out[1]
    run("pick", "--done")
    run("pick", "--done")
    assert "Nothing is to be pulled." in capsys.readouterr().err
    # by words what is in stock is pulled, for a show
    run("pick", "gold", "lot=two", "--done")
    assert (marks(two)[0].gone, marks(two)[0].stock) == ("pulled", "pulled")


def test_a_pick_list_as_pdf_is_read_back(
    shop: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, two = shop
    card().save(two / "scan_0003.jpg")
    orders = tmp_path / "sales.csv"
    orders.write_text(
        f"order,sku,buyer\n7,{numbers(one)[2]},K\n7,{numbers(two)[1]},K\n7,none,K\n",
        encoding="utf-8",
    )
    run("pick", "--orders", orders, "--done", status=3)
    assert "2 cards of the table are not marked as sold" in capsys.readouterr().err
    run("sold", "--orders", orders, "--yes", "--rest", status=1)
    to = ["--to", tmp_path / "pick.pdf", "--paper", "letter"]
    run("pick", "--orders", orders, *to, status=1)
    told = capsys.readouterr().err
    assert "line 4: none: 'none' is not a stock number." in told
    assert "one, card 3: " in told  # its scan cannot be read
    [page] = pypdf.PdfReader(tmp_path / "pick.pdf").pages
    text = page.extract_text()
    for said in (
        "To pull: 2 cards",
        "box 12",
        f"{numbers(two)[1]}  #5 Bo Reed",
        "1985 Mill Pond",
        "1 from the front",
        "the only card there",
        "3 from the front",
        "the last, after #23",
        "#24 Åsa Жук",
        "box 7: cards of one",
        "page 1 of 1",
        "one, card 3, order 7, for K",
    ):
        assert said in text
    assert len(page.images) == 1
    run("pick", "--to", tmp_path / "pick.txt", status=2)


def test_without_the_library_a_pdf_says_how_to_get_it(
    shop: tuple[Path, Path],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setitem(__import__("sys").modules, "fpdf", None)
    run("pick", "--to", tmp_path / "pick.pdf", status=3)
    assert "need the extra pdf, which is not installed" in capsys.readouterr().err
    assert not (tmp_path / "pick.pdf").exists()
