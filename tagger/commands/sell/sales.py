"""`tagger sales`: what was sold, by lot, month and channel, and a list for the accountant."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.common import Command, attention_if, json_argument
from tagger.commands.renderers.stocked import card_document
from tagger.core.model.counted import counted
from tagger.core.model.money import money
from tagger.core.model.text import natural
from tagger.core.stock.sales import BY_COUNT, SHARES, by_channel, sales_of, summed
from tagger.errors import UsageError
from tagger.services.console import complain, out_lines, print_json, tell
from tagger.services.output.tables import write_list
from tagger.services.stock import Stock, by_lot, read_stock

if TYPE_CHECKING:
    from decimal import Decimal

    from tagger.core.stock.sales import ByCurrency, Sale

CAUTION = "Your own record of your own figures: not tax advice."
COLUMNS = (
    "date", "order", "stock number", "lot", "set", "number", "subject", "parallel", "serial",
    "condition", "channel", "buyer", "currency", "price", "fee", "shipping", "cost", "margin",
)  # fmt: skip
_MONTH = 7  # characters of a day that are its month
_MISSING = {"month": "date"}
_TOLD = 5  # cards without a price that are named


def _arguments(parser: argparse.ArgumentParser) -> None:
    options.number(parser, "--year", "YEAR", "only what was sold in this year")
    parser.add_argument(
        "--shares", choices=SHARES, default=BY_COUNT,
        help="share what a lot cost evenly among its cards, or by their prices (default count)",
    )  # fmt: skip
    options.target(parser, "FILE.csv", "write each sale to a file; - for standard output")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    if given.year is not None and not 1900 <= given.year <= 9999:
        raise UsageError("--year takes a year, such as 2026.")
    if given.json and given.to is not None:
        raise UsageError("--json prints the sales; write them with --to or print them, not both.")
    stock = read_stock()
    every = _every(stock, given.shares)
    sales = sorted((sale for sale in every if _is_in(sale, given.year)), key=_order)
    problems = list(_problems(sales))
    _answer(given, sales, problems, stock)
    if given.year:
        _tell_undated(every, given.year)
    for sentence in (*stock.skipped, *problems):
        complain(sentence)
    return attention_if(problems or stock.skipped)


def _answer(
    given: argparse.Namespace, sales: Sequence[Sale], problems: Sequence[str], stock: Stock
) -> None:
    if given.to is not None:
        rows = [row for sale in sales for row in _rows(sale)]
        write_list(given.to, COLUMNS, rows, stock.checklists, given.force)
    elif given.json:
        print_json(_document(sales, given.year, problems, stock.skipped))
    else:
        out_lines((*_lines(sales, given.year), CAUTION))


def _every(stock: Stock, shares: str) -> list[Sale]:
    return [
        sale
        for name, cards in by_lot(stock.cards).items()
        for sale in sales_of(stock.lots[name][1], cards, shares)
    ]


def _tell_undated(sales: Sequence[Sale], year: int) -> None:
    undated = sum(not sale.day for sale in sales)
    if undated:
        tell(f"{counted(undated, 'sold card has', 'sold cards have')} no date: not in {year}.")


def _is_in(sale: Sale, year: int | None) -> bool:
    return year is None or sale.day.startswith(f"{year:04d}-")


def _order(sale: Sale) -> tuple[object, ...]:
    return sale.day, natural(sale.card.lot), sale.card.position


def _lines(sales: Sequence[Sale], year: int | None) -> Iterator[str]:
    when = f" in {year}" if year else ""
    if not sales:
        yield f"No card was sold{when}."
        return
    yield f"Sold{when}: {counted(len(sales), 'card')}."
    yield from (f"  {line}" for line in _sums(summed(sales, lambda sale: "")[""]))
    for name, key in _groups(sales).items():
        yield f"By {name}:"
        groups = summed(sales, key)
        for one in sorted(groups, key=natural):
            called = one or f"no {_MISSING.get(name, name)}"
            yield from (f"  {called}: {line}" for line in _sums(groups[one]))


def _groups(sales: Sequence[Sale]) -> dict[str, Callable[[Sale], str]]:
    return {
        "lot": lambda sale: sale.card.lot,
        "month": lambda sale: sale.day[:_MONTH],
        "channel": by_channel(sales),
    }


def _sums(sums: ByCurrency) -> Iterator[str]:
    for currency, one in sums.items():
        parts = (
            f"income {money(one.income, currency)}",
            f"fees {money(one.fees, currency)}",
            f"shipping {money(one.shipping, currency)}",
            f"cost {money(one.cost, currency)}",
            f"margin {money(one.margin, currency)}",
        )
        yield f"{counted(one.cards, 'card')}: {', '.join(parts)}"


def _document(
    sales: Sequence[Sale], year: int | None, problems: Sequence[str], skipped: Sequence[str]
) -> dict[str, object]:
    groups = {
        f"{group}s": [
            {"name": name, "sums": _sum_documents(sums)}
            for name, sums in sorted(summed(sales, key).items(), key=lambda one: natural(one[0]))
        ]
        for group, key in _groups(sales).items()
    }
    return {
        "caution": CAUTION,
        "year": year,
        "sales": [
            {
                "date": sale.day,
                "channel": sale.card.mark.trade.channel,
                "card": card_document(sale.card),
                "sums": _sum_documents(sale.amounts),
            }
            for sale in sales
        ],
        "totals": _sum_documents(summed(sales, lambda sale: "").get("", {})),
        **groups,
        "problems": list(problems),
        "skipped": list(skipped),
    }


def _sum_documents(sums: ByCurrency) -> list[dict[str, object]]:
    # amounts are texts: a reader that makes floats of numbers would lose cents
    return [
        {
            "currency": currency,
            "cards": one.cards,
            "income": format(one.income, "f"),
            "fees": format(one.fees, "f"),
            "shipping": format(one.shipping, "f"),
            "cost": format(one.cost, "f"),
            "margin": format(one.margin, "f"),
        }
        for currency, one in sums.items()
    ]


def _rows(sale: Sale) -> Iterator[tuple[str | Decimal, ...]]:
    """A line of the list; two where the sums of a sale are in two currencies."""
    card, trade = sale.card, sale.card.mark.trade
    tags = card.mark.tags
    for currency, one in sale.amounts.items():
        yield (
            trade.sold_on, trade.order, card.number, card.lot, tags.set, tags.number, tags.subject,
            tags.parallel, tags.serial, tags.condition, trade.channel, trade.buyer, currency,
            one.income, one.fees, one.shipping, one.cost, one.margin,
        )  # fmt: skip


def _problems(sales: Sequence[Sale]) -> Iterator[str]:
    unpriced = [sale for sale in sales if "price" in sale.unread]
    if unpriced:
        shown = ", ".join(_named(sale) for sale in unpriced[:_TOLD])
        more = ", …" if len(unpriced) > _TOLD else ""
        yield (
            f"{counted(len(unpriced), 'sold card has', 'sold cards have')} no price that can be "
            f"read: {shown}{more}."
        )
    for sale in sales:
        for name in sale.unread:
            if name != "price":
                yield f"{_named(sale)}: its {name} cannot be read."


def _named(sale: Sale) -> str:
    return sale.card.number or f"{sale.card.lot}, card {sale.card.position}"


HELP = "show what was sold: income, fees, cost and margin"
EXAMPLES = (
    "tagger sales",
    "tagger sales --year 2026",
    "tagger sales --year 2026 --to sales-2026.csv",
)
COMMAND = Command("sales", HELP, EXAMPLES, _arguments, _run)
