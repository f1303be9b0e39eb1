"""`tagger stock`: what is there over all lots, by box, set and price; a stock-taking list, and what
was counted held against it."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.commands.arguments import options
from tagger.commands.arguments.layouts import ending_of
from tagger.commands.common import Command, attention_if, json_argument
from tagger.commands.renderers import stock as renderer
from tagger.config import Settings, load_settings
from tagger.core.model.money import price_text
from tagger.core.model.place import lies_in
from tagger.core.model.stock_number import read_stock_number
from tagger.core.stock.columns import columns_meant
from tagger.core.stock.counting import CountedCard, compare
from tagger.errors import LotError, UsageError
from tagger.services.console import complain, out_lines, print_json, tell
from tagger.services.hub.ages import stations_document, tell_ages
from tagger.services.output.tables import write_list
from tagger.services.stock import Stock, chosen_cards, read_stock, with_prices_of_today
from tagger.services.tables_in import read_named_table, shown_source
from tagger.services.valuation import stock_value
from tagger.store.machine.paths import config_file

if TYPE_CHECKING:
    from tagger.core.stock.stocked import Stocked

COLUMNS = (
    "place", "from the front", "stock number", "set", "number", "subject", "parallel", "serial",
    "condition", "price", "state", "lot", "position", "counted",
)  # fmt: skip
_FIELDS = ("stock", "counted", "place")
_NOT = ("", "0", "no", "n", "-")  # in a column that says whether a card was counted


def _arguments(parser: argparse.ArgumentParser) -> None:
    said = "only the cards with these words, as in the overview (default: all that are there)"
    parser.add_argument("words", metavar="WORDS", nargs="*", help=said)
    options.text(parser, "--box", "PLACE", "only the cards of this box, or of a row in it")
    options.target(parser, "FILE.csv", "write a stock-taking list; - for standard output")
    said = "compare with what was counted: a list of stock numbers, or the list of --to filled in"
    options.path(parser, "--counted", "FILE", said)
    options.text(parser, "--columns", "COLUMNS", "with --counted: which column is what: stock=Code")
    json_argument(parser)


def _run(given: argparse.Namespace) -> int:
    _check(given)
    settings, stock = load_settings(config_file()), read_stock(pulled=True)
    lying = _lying(given, stock, settings)
    answer = _answer(given, lying, stock, settings)
    if given.json:
        print_json({**answer.as_json(stock.skipped), "stations": stations_document()})
    else:
        out_lines(answer.as_text())
        tell_ages()
    if given.to or given.counted:
        _tell_unnumbered(lying)
    left_out = [*answer.left_out(), *stock.skipped]
    for sentence in left_out:
        complain(sentence)
    return attention_if(left_out or not answer.right)


def _answer(
    given: argparse.Namespace, lying: Sequence[Stocked], stock: Stock, settings: Settings
) -> renderer.StockAnswer:
    """What is to be said of the cards; nothing where a list of them is written."""
    answer = renderer.StockAnswer(len(stock.lots))
    if given.counted is not None:
        on_list = _counted(given.counted, given.columns or "")
        shown = with_prices_of_today(stock, lying)
        answer.count = compare(shown, with_prices_of_today(stock, stock.cards), on_list)
    elif given.to is not None:
        rows = list(map(_row, with_prices_of_today(stock, lying)))
        write_list(given.to, COLUMNS, rows, stock.checklists, given.force)
    else:
        there = [card for card in lying if card.mark.in_stock]
        answer.stock = there, stock_value(stock, there, settings)
        unread = answer.stock[1].unread
        stock.skipped += [one for one in unread if one not in stock.skipped]
    return answer


def _check(given: argparse.Namespace) -> None:
    """Raises UsageError where options do not go together."""
    if given.to is not None and given.counted is not None:
        raise UsageError("Write a list with --to or compare one with --counted, not both.")
    if given.json and given.to is not None:
        raise UsageError("--json prints the stock; write it with --to or print it, not both.")
    if given.columns and given.counted is None:
        raise UsageError("--columns goes with --counted.")


def _lying(given: argparse.Namespace, stock: Stock, settings: Settings) -> list[Stocked]:
    """The cards that are meant and lie in their places, in order: one that waits for an order or is
    set aside, too, though it is not the dealer's to sell."""
    chosen = chosen_cards(stock, given.words, settings.scale) if given.words else stock.cards
    if given.box:
        chosen = [card for card in chosen if lies_in(card.mark.tags.place, given.box)]
    return sorted((card for card in chosen if card.mark.in_place), key=lambda card: card.order)


def _tell_unnumbered(cards: Sequence[Stocked]) -> None:
    count = sum(not card.number for card in cards)
    if count:
        tell(f"Cards without a stock number: {count}. Open their lots once to number them.")


def _row(card: Stocked) -> tuple[str | int, ...]:
    tags = card.mark.tags
    return (
        tags.place, card.from_front, card.number, tags.set, tags.number, tags.subject,
        tags.parallel, tags.serial, tags.condition, price_text(tags), card.mark.standing,
        card.lot, card.position, "",
    )  # fmt: skip


def _counted(path: Path, columns: str) -> list[CountedCard]:
    """What was counted, of a list of stock numbers or a table. Raises UsageError, LotError."""
    ending = ending_of(path, None)
    # a hand scanner writes plain lines
    table = read_named_table(path, ".csv" if ending == ".txt" else ending)
    rows = [(row.where, [cell or "" for cell in row.cells]) for row in table.rows]
    if any(map(read_stock_number, table.headings)):
        return list(_bare([("line 1", list(table.headings)), *rows]))
    at = columns_meant(table.headings, _FIELDS, columns, shown_source(path))
    if "stock" not in at:
        raise LotError(
            f"{shown_source(path)} has no column with stock numbers; say which it is with "
            "--columns."
        )
    return list(_filled_in(rows, at))


def _bare(rows: Sequence[tuple[str, list[str]]]) -> Iterator[CountedCard]:
    for where, cells in rows:
        yield from (CountedCard(where, cell.strip()) for cell in cells if cell.strip())


def _filled_in(rows: Sequence[tuple[str, list[str]]], at: dict[str, int]) -> Iterator[CountedCard]:
    for where, cells in rows:
        said = {field: cells[column].strip() for field, column in at.items()}
        if said.get("counted", "yes").lower() not in _NOT:
            yield CountedCard(where, said["stock"], said.get("place", ""))


HELP = "show what is in stock by box, set and price, or take stock"
EXAMPLES = (
    "tagger stock",
    "tagger stock marsh gold",
    'tagger stock --box "box 7" --to box7.csv',
    'tagger stock --box "box 7" --counted box7.csv',
)
COMMAND = Command("stock", HELP, EXAMPLES, _arguments, _run)
