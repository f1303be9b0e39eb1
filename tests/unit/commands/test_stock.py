"""What is in stock over all lots, a count held against it, boxes that are renamed, and the year's
sums."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from support.shop import POND, harbor, kept, lot_of, marks, numbers

from tagger.cli import main
from tagger.config import Settings
from tagger.core.model.tags import Tags
from tagger.core.model.trade import Purchase
from tagger.services.opening import change
from tagger.store.machine.paths import lot_place


@pytest.fixture
def shop(tmp_path: Path) -> tuple[Path, Path]:
    """Two lots with cards in three boxes, one of which is called like the beginning of another."""
    one = lot_of(
        tmp_path / "one",
        [
            harbor("22", "Ivo Lund", price="$1.10"),
            harbor("23", "Ada Marsh", price="$2.20"),
            harbor("24", "Bo Reed", price="2 EUR"),
        ],
    )
    more = [
        Tags(POND, "5", "Lee Gold", place="box 70", price="$30"),
        Tags(POND, "6", "Ann Flint", place="box 7, row 2"),
    ]
    return one, lot_of(tmp_path / "two", more)


def said(capsys: pytest.CaptureFixture[str], *words: object, status: int = 0) -> list[str]:
    capsys.readouterr()
    assert main(list(map(str, words))) == status
    return capsys.readouterr().out.splitlines()


def test_what_is_there_is_counted_and_valued_without_what_was_sold(
    shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    one, _ = shop
    said(capsys, "sold", numbers(one)[0], "--order", "7")
    assert said(capsys, "stock") == [
        "In stock: 4 cards in 2 lots; $32.20 and 2.00 EUR for 3 cards",
        "By box:",
        "  box 7: 2 cards, $2.20, 2.00 EUR",
        "  box 7, row 2: 1 card",
        "  box 70: 1 card, $30.00",
        "By set:",
        "  1985 Mill Pond: 2 cards, $30.00",
        "  1987 Harbor Light: 2 cards, $2.20, 2.00 EUR",
        "By price:",
        "  below $0.25: 0 cards, $0.00",
        "  from $0.25 to below $1.00: 0 cards, $0.00",
        "  from $1.00 to below $5.00: 1 card, $2.20",
        "  from $5.00 to below $20.00: 0 cards, $0.00",
        "  from $20.00: 1 card, $30.00",
        "By price:",
        "  below 0.25 EUR: 0 cards, 0.00 EUR",
        "  from 0.25 EUR to below 1.00 EUR: 0 cards, 0.00 EUR",
        "  from 1.00 EUR to below 5.00 EUR: 1 card, 2.00 EUR",
        "  from 5.00 EUR to below 20.00 EUR: 0 cards, 0.00 EUR",
        "  from 20.00 EUR: 0 cards, 0.00 EUR",
        "An estimate from your own prices and lists: check the card itself before you ask a price.",
    ]
    assert said(capsys, "stock", "--box", "box 7")[0].startswith("In stock: 3 cards")
    assert said(capsys, "stock", "marsh")[0].startswith("In stock: 1 card in 1 lot; $2.20")


def test_a_count_is_held_against_what_should_be_there(
    shop: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, two = shop
    # one that waits for an order lies in its place all the same
    said(capsys, "sold", numbers(one)[0], "--order", "7")
    said(capsys, "sold", one, "3", "--pulled")
    file = tmp_path / "box7.csv"
    said(capsys, "stock", "--box", "box 7", "--to", file)
    rows = list(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))
    assert [(row["place"], row["from the front"], row["state"]) for row in rows] == [
        ("box 7", "1", "sold"),
        ("box 7", "2", "tagged"),
        ("box 7, row 2", "1", "tagged"),
    ]
    scanned = tmp_path / "scanned.txt"
    scanned.write_text("".join(f"{row['stock number'].lower()}\n" for row in rows))
    command = ["stock", "--box", "box 7", "--counted"]
    assert said(capsys, *command, scanned) == ["3 cards are where expected."]
    for row, counted in zip(rows, ("1", "", "1"), strict=True):
        row["counted"] = counted
    rows[2]["place"] = "Box 9"
    rows.append(dict(rows[0]))
    rows += [rows[0] | {"stock number": number} for number in ("X", numbers(one)[2])]
    rows.append(rows[0] | {"stock number": numbers(two)[0], "place": ""})
    with file.open("w", newline="", encoding="utf-8") as out:
        writer = csv.DictWriter(out, rows[0])
        writer.writeheader()
        writer.writerows(rows)
    told = said(capsys, *command, file, status=1)
    assert [line for line in told if not line.startswith(" ")] == [
        "1 card is where expected.",
        "Missing: 1 card.",
        "In another place: 2 cards.",
        "Counted, but sold or pulled: 1 card.",
        "Unknown stock numbers: 1.",
        "Counted more than once: 1.",
    ]
    assert f"  {numbers(one)[1]}  1987 Harbor Light #23 Ada Marsh" in told[2]
    assert told[4].endswith("found in Box 9")


def test_boxes_are_renamed_and_merged_over_lots_and_undone_in_each(
    shop: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    one, two = shop
    with change(lot_place(two, None), Settings()) as session:
        session.carry("at=box 7, row 3")
    said(capsys, "sold", one, "1")
    assert said(capsys, "move", "Box  7", "shelf 2, box 1") == [
        "one: 3 cards moved to shelf 2, box 1.",
        "two: 1 card moved to shelf 2, box 1.",
    ]
    assert {mark.tags.place for mark in marks(one)} == {"shelf 2, box 1"}
    assert [mark.tags.place for mark in marks(two)] == ["box 70", "shelf 2, box 1, row 2"]
    assert kept(two).cursor.carried.get("place") == "shelf 2, box 1, row 3"
    assert main(["move", "box 7", "x"]) == 3
    assert "Did you mean 'box 70'?" in capsys.readouterr().err
    with change(lot_place(two, None), Settings()) as session:
        assert session.undo() == "Undone: Box 7 is shelf 2, box 1 now."
    assert marks(two)[1].tags.place == "box 7, row 2"
    assert kept(two).cursor.carried.get("place") == "box 7, row 3"
    said(capsys, "move", numbers(one)[1], numbers(two)[0], "box 9")
    assert (marks(one)[1].tags.place, marks(two)[0].tags.place) == ("box 9", "box 9")


def test_the_sums_of_a_year_are_exact_and_no_currency_is_added_to_another(
    shop: tuple[Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, two = shop
    assert said(capsys, "cost", one) == ["one: no cost noted."]
    said(capsys, "cost", one, "$100", "--from", "a  fair", "--on", "2026-01-05")
    assert said(capsys, "cost", one) == ["one: cost $100, from a fair, on 2026-01-05."]
    assert kept(one).bought == Purchase("a fair", "2026-01-05", "$100")
    # by the journal alone, too
    (one / "lot.json").unlink()
    assert kept(one).bought == Purchase("a fair", "2026-01-05", "$100")
    assert main(["cost", str(one), "abc"]) == 2
    sale = ["--channel", "shop", "--fee", "0.1", "--on"]
    said(capsys, "sold", one, "1", "--price", "$1.10", *sale, "2026-02-03", "--shipping", "1")
    said(capsys, "sold", one, "2", "--price", "$2.20", *sale, "2026-03-01")
    said(capsys, "sold", two, "1", "--price", "20 EUR", "--on", "2026-03-31")
    said(capsys, "sold", one, "3", "--price", "9", "--on", "2025-12-31")
    assert said(capsys, "sales", "--year", "2026") == [
        "Sold in 2026: 3 cards.",
        "  2 cards: income $3.30, fees $0.20, shipping $1.00, cost $66.66, margin $-64.56",
        "  1 card: income 20.00 EUR, fees 0.00 EUR, shipping 0.00 EUR, cost 0.00 EUR, margin "
        "20.00 EUR",
        "By lot:",
        "  one: 2 cards: income $3.30, fees $0.20, shipping $1.00, cost $66.66, margin $-64.56",
        "  two: 1 card: income 20.00 EUR, fees 0.00 EUR, shipping 0.00 EUR, cost 0.00 EUR, margin "
        "20.00 EUR",
        "By month:",
        "  2026-02: 1 card: income $1.10, fees $0.10, shipping $1.00, cost $33.33, margin $-33.33",
        "  2026-03: 1 card: income $2.20, fees $0.10, shipping $0.00, cost $33.33, margin $-31.23",
        "  2026-03: 1 card: income 20.00 EUR, fees 0.00 EUR, shipping 0.00 EUR, cost 0.00 EUR, "
        "margin 20.00 EUR",
        "By channel:",
        "  no channel: 1 card: income 20.00 EUR, fees 0.00 EUR, shipping 0.00 EUR, cost 0.00 EUR, "
        "margin 20.00 EUR",
        "  shop: 2 cards: income $3.30, fees $0.20, shipping $1.00, cost $66.66, margin $-64.56",
        "Your own record of your own figures: not tax advice.",
    ]
    file = tmp_path / "sales.csv"
    said(capsys, "sales", "--to", file, "--shares", "estimate")
    rows = list(csv.DictReader(file.read_text(encoding="utf-8").splitlines()))
    # 100 shared as 1.10, 2.20 and 2
    assert [(row["date"], row["currency"], row["cost"], row["margin"]) for row in rows] == [
        ("2025-12-31", "EUR", "0", "9"),
        ("2025-12-31", "$", "37.74", "-37.74"),
        ("2026-02-03", "$", "20.75", "-20.75"),
        ("2026-03-01", "$", "41.51", "-39.41"),
        ("2026-03-31", "EUR", "0", "20"),
    ]
    said(capsys, "sold", two, "2")
    assert main(["sales"]) == 1
    assert f"no price that can be read: {numbers(two)[1]}." in capsys.readouterr().err
