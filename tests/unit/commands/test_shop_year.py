"""A year of a small shop: cards tagged, listed, ordered, pulled, returned, moved and counted. Every
count, list and sum is that of a ledger which the test keeps by itself."""

from __future__ import annotations

import csv
import io
import re
from collections import Counter, defaultdict
from decimal import Decimal
from pathlib import Path

import pytest
from support.shop import lot_of
from support.shop_ledger import Card, Ledger

from tagger.cli import main
from tagger.core.model.tags import Tags

HEAD = (
    "order number", "sku", "set", "card number", "name", "variant", "condition", "price", "fee",
    "postage", "marketplace", "sale date",
)  # fmt: skip
CHANNELS = ("the shop", "a fair", "")


class Shop:
    """The program on one machine, and the ledger beside it."""

    def __init__(self, folder: Path, ledger: Ledger, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self.ledger, self._capsys = folder, ledger, capsys
        self.orders = self.files = 0
        for lot in ledger.lots:
            cards = ledger.of_lot(lot)
            lot_of(folder / lot, [_tags(card) for card in cards])
            self.run("cost", folder / lot, f"${_money(13 * len(cards))}")
        numbers = {(row["lot"], int(row["position"])): row for row in self.table("stock")}
        for card in ledger.cards:
            card.stock_number = numbers[card.lot, card.position]["stock number"]
        assert len({card.stock_number for card in ledger.cards}) == len(ledger.cards)

    def run(self, *words: object, status: int = 0) -> tuple[list[str], str]:
        """What a command says."""
        self._capsys.readouterr()
        found = main(list(map(str, words)))
        read = self._capsys.readouterr()
        assert found == status, read.err
        return read.out.splitlines(), read.err

    def table(self, *words: str) -> list[dict[str, str]]:
        """What a command writes as CSV."""
        target = self.folder / "table.csv"
        self.run(*words, "--to", target, "--force")
        text = target.read_bytes().decode("utf-8")
        return list(csv.DictReader(io.StringIO(text, newline="")))

    # Orders

    def file_of_orders(self, month: int, orders: int) -> tuple[Path, list[tuple[Card, dict]]]:
        """A file of new orders, and the card of each line with its sale, by the ledger."""
        chance, ledger = self.ledger.chance, self.ledger
        wanted: list[tuple[Card, bool, dict]] = []
        for _ in range(orders):
            self.orders += 1
            currency = chance.choice(("$", "$", "$", "EUR"))
            day = f"2026-{month:02d}-{chance.randint(1, 28):02d}"
            free = [c for c in ledger.cards if c.state == "stock"]
            for card in chance.sample(free, chance.randint(1, 3)):
                sale = {
                    "order": f"A-{self.orders}", "currency": currency, "date": day,
                    "price": chance.randint(50, 5000), "fee": chance.randint(0, 99),
                    "shipping": chance.choice((0, 110)), "channel": chance.choice(CHANNELS),
                }  # fmt: skip
                wanted.append((card, chance.random() < 0.5, sale))
        # what is named by its number is given first, then the front-most copy of what is not
        given: list[Card] = []
        lines: dict[int, tuple[Card, dict]] = {}
        for numbered in (True, False):
            for at, (card, by_number, sale) in enumerate(wanted):
                if by_number is not numbered:
                    continue
                found = card
                if not by_number:
                    found = ledger.nearest(card.kind, card.condition, given) or card
                if found not in given:
                    given.append(found)
                    lines[at] = found, sale
        rows = [_row(*wanted[at][:2], lines[at][1]) for at in sorted(lines)]
        return self.write(rows), [lines[at] for at in sorted(lines)]

    def write(self, rows: list[tuple[str, ...]]) -> Path:
        self.files += 1
        path = self.folder / f"orders {self.files}.csv"
        with path.open("w", newline="", encoding="utf-8") as out:
            writer = csv.writer(out, delimiter=self.ledger.chance.choice(",;\t"))
            writer.writerows([HEAD, *rows])
        return path

    def sell(self, path: Path, lines: list[tuple[Card, dict]]) -> None:
        """The orders of a file, now and then with a wrong line among them first."""
        if self.files % 5 == 2:
            wrong = self._with_wrong_line(path)
            assert "Nothing was marked" in self.run(
                "sold", "--orders", wrong, "--yes", status=3
            )[1]  # fmt: skip
            self.run("sold", "--orders", wrong, "--yes", "--rest", status=1)
        else:
            self.run("sold", "--orders", path, "--yes")
        for card, sale in lines:
            card.state, card.sale = "waiting", sale
        if self.files % 4 == 1:
            assert "names no further card" in self.run("sold", "--orders", path, "--yes")[1]

    def _with_wrong_line(self, path: Path) -> Path:
        sold = next((c for c in self.ledger.cards if c.state in ("waiting", "sold")), None)
        number = sold.stock_number if sold else "K7TQX-0001-X"
        wrong = path.with_name(f"wrong {path.name}")
        text = path.read_text(encoding="utf-8")
        mark = text[len(HEAD[0])]
        line = mark.join(["Z-1", number, *[""] * (len(HEAD) - 2)])
        wrong.write_text(f"{text}{line}\n", encoding="utf-8")
        return wrong

    # What is held against the ledger

    def pull(self) -> None:
        """The pick list, and that it was done."""
        waiting = [card for card in self.ledger.cards if card.state == "waiting"]
        expected = [
            (card.place, card.stock_number, str(card.sale["order"]), *self.ledger.beside(card))
            for card in self.ledger.in_order(waiting)
        ]
        found = [
            (
                row["place"], row["stock number"], row["order"], int(row["from the front"]),
                row["after"], row["before"],
            )
            for row in self.table("pick")
        ]  # fmt: skip
        assert found == expected
        self.run("pick", "--done")
        assert self.table("pick") == []
        for card in waiting:
            card.state = "sold"

    def check_stock(self) -> None:
        """The counts by box, and in all."""
        lines, _ = self.run("stock")
        assert lines[0].startswith(f"In stock: {self.ledger.count('stock'):,} cards in ")
        boxes = lines[lines.index("By box:") + 1 : lines.index("By set:")]
        found = Counter[str]()
        for line in boxes:
            match = re.fullmatch(r"  (.*): ([0-9,]+) cards?(?:, \$[0-9,.]+)?", line)
            assert match is not None, line
            found[match[1]] = int(match[2].replace(",", ""))
        assert found == self.ledger.by_place()
        cents = sum(card.cents for card in self.ledger.cards if card.state == "stock")
        assert f"; ${cents // 100:,}.{cents % 100:02d} for " in lines[0]

    def check_sales(self) -> None:
        """The year's end: by lot, month and channel as the list of all sales has it."""
        rows = self.table("sales", "--year", "2026")
        sold = [card for card in self.ledger.cards if card.sale]
        names = {"lot": "lot", "month": "date", "channel": "channel"}
        for group, column in names.items():
            found: dict[tuple[str, str], list[int]] = defaultdict(lambda: [0, 0, 0, 0])
            for row in rows:
                key = row[column][:7] if group == "month" else row[column]
                total = found[key, row["currency"]]
                total[0] += row["stock number"] != "" and _cents(row["price"]) > 0
                for at, name in enumerate(("price", "fee", "shipping"), start=1):
                    total[at] += _cents(row[name])
            assert {k: v for k, v in found.items() if v[0]} == self.ledger.sums(group)
        costs = sum(_cents(row["cost"]) for row in rows)
        assert costs == 13 * len(sold)
        for row in rows:
            spent = sum(_cents(row[name]) for name in ("fee", "shipping", "cost"))
            assert _cents(row["margin"]) == _cents(row["price"]) - spent
        lines, _ = self.run("sales", "--year", "2026")
        assert lines[0] == f"Sold in 2026: {len(sold):,} cards."
        text = "\n".join(lines)
        for (month, currency), (cards, income, fees, *_) in self.ledger.sums("month").items():
            sign, code = ("$", "") if currency == "$" else ("", " EUR")
            said = f"  {month}: {cards} card"
            sums = (
                f"income {sign}{income // 100:,}.{income % 100:02d}{code}, "
                f"fees {sign}{fees // 100:,}.{fees % 100:02d}{code}, "
            )
            assert any(line.startswith(said) and sums in line for line in text.splitlines()), (
                said,
                sums,
            )

    def take_stock(self) -> None:
        """Everything is counted, but for three cards, which are lost."""
        rows = self.table("stock")
        there = [card for card in self.ledger.cards if card.there]
        assert sorted(row["stock number"] for row in rows) == sorted(
            card.stock_number for card in there
        )
        lost = self.ledger.chance.sample([c for c in there if c.state == "stock"], 3)
        numbers = {card.stock_number for card in lost}
        counted = [row["stock number"] for row in rows if row["stock number"] not in numbers]
        self.ledger.chance.shuffle(counted)
        file = self.folder / "counted.txt"
        file.write_text("\n".join(counted) + "\n", encoding="utf-8")
        lines, _ = self.run("stock", "--counted", file, status=1)
        assert lines[:2] == [f"{len(counted):,} cards are where expected.", "Missing: 3 cards."]
        assert {line.split()[0] for line in lines[2:]} == numbers
        self.run("sold", *sorted(numbers), "--pulled", "lost")
        for card in lost:
            card.state = "lost"
        self.run("stock", "--counted", file)

    def give_back(self, number: int) -> None:
        """Buyers return some cards."""
        sold = [card for card in self.ledger.cards if card.state == "sold"]
        for card in self.ledger.chance.sample(sold, number):
            self.run("sold", card.stock_number, "--returned", "--on", "2026-12-30")
            card.state, card.sale = "stock", {}


def _tags(card: Card) -> Tags:
    return Tags(
        card.set, card.number, card.subject, parallel=card.parallel, condition=card.condition,
        place=card.place, price=f"${_money(card.cents)}",
    )  # fmt: skip


def _row(card: Card, by_number: bool, sale: dict) -> tuple[str, ...]:
    named = ("", card.set, card.number, card.subject, card.parallel, card.condition)
    if by_number:
        named = (card.stock_number.lower().replace("-", ""), "", "", "", "", "")
    euro = sale["currency"] == "EUR"
    price = f"{_money(sale['price'])} EUR" if euro else f"${_money(sale['price'])}"
    sums = (price, _money(sale["fee"]), _money(sale["shipping"]))
    return sale["order"], *named, *sums, sale["channel"], sale["date"]


def _money(cents: int) -> str:
    return f"{cents // 100}.{cents % 100:02d}"


def _cents(text: str) -> int:
    return int(Decimal(text) * 100)


def play(shop: Shop, files: int, orders: int, returned: int) -> None:
    """A year."""
    first = shop.ledger.lots[0]
    shop.run("sold", shop.folder / first, "1-5", "--listed", "the shop", "--on", "2026-01-01")
    kept: list[Path] = []
    for at in range(files):
        path, lines = shop.file_of_orders(1 + at * 12 // files, orders)
        shop.sell(path, lines)
        kept.append(path)
        if at % 4 == 3:
            shop.pull()
            shop.check_stock()
        if at == files // 3:
            shop.run("move", "box 1", "shelf 2, box 10")
            shop.ledger.rename("box 1", "shelf 2, box 10")
        if at == files // 2:
            # two boxes become one; a box of a lot is still one of its own
            shop.run("move", "box 2", "box 3")
            shop.ledger.rename("box 2", "box 3")
            shop.take_stock()
    shop.pull()
    shop.give_back(returned)
    for path in kept:
        shop.run("sold", "--orders", path, "--yes")
    shop.check_stock()
    shop.check_sales()


def test_a_short_year_of_a_shop_is_that_of_its_ledger(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    play(Shop(tmp_path, Ledger(6, 20, seed=3), capsys), files=6, orders=3, returned=2)


@pytest.mark.nightly
@pytest.mark.parametrize("seed", [1, 2])
def test_a_year_of_a_shop_is_that_of_its_ledger(
    seed: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    play(Shop(tmp_path, Ledger(6, 250, seed), capsys), files=40, orders=5, returned=8)
