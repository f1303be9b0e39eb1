"""The orders of `tagger sold --orders`: a table read, matched, shown, and entered, all or none."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tagger.commands.arguments.layouts import ending_of
from tagger.commands.common import attention_if
from tagger.config import Settings, load_settings
from tagger.core.model.counted import counted
from tagger.core.model.tags import Marking
from tagger.core.model.text import printable
from tagger.core.model.trade import SOLD
from tagger.core.session.stock_status import StockChange
from tagger.core.stock.columns import columns_meant
from tagger.core.stock.order_lines import FIELDS, order_lines
from tagger.core.stock.orders import OrderMatch, OrderMatcher
from tagger.errors import ATTENTION, FAILED, LotError
from tagger.services.console import asked, complain, out, tell
from tagger.services.hub.sales import asked_of
from tagger.services.lot_changes import LotChange
from tagger.services.stock import Stock, enter_all, read_stock
from tagger.services.tables_in import read_named_table, shown_source
from tagger.store.machine.paths import config_file

if TYPE_CHECKING:
    pass


def matched_orders(
    path: Path, columns: str | None, today: str, stock: Stock, settings: Settings
) -> list[OrderMatch]:
    """The lines of a table of orders with their cards. Raises UsageError, LotError."""
    shown = shown_source(path)
    table = read_named_table(path, ending_of(path, None))
    at = columns_meant(table.headings, FIELDS, columns or "", shown)
    if not at.keys() & {"stock", "number", "subject"}:
        raise LotError(
            f"{shown} has no column with stock numbers, card numbers or names; say which it is "
            "with --columns."
        )
    rows = (
        (row.where, {name: row.cells[column] or "" for name, column in at.items()})
        for row in table.rows
    )
    matcher = OrderMatcher(stock.cards, settings.scale, settings.copy)
    return matcher.match(order_lines(rows, shown, today))


def take_orders(path: Path, columns: str | None, today: str, rest: bool, yes: bool) -> int:
    """Mark the cards of a table of orders as sold; the exit status."""
    settings, stock = load_settings(config_file()), read_stock(pulled=True)
    matches = matched_orders(path, columns, today, stock, settings)
    sold, wrong = _parted(matches)
    _show(sold, wrong, stock.skipped)
    if before := len(matches) - len(sold) - len(wrong):
        tell(f"{counted(before, 'line was', 'lines were')} marked before; nothing changes there.")
    if wrong and not rest:
        complain("Nothing was marked. Correct these lines, or mark the others with --rest.")
        return FAILED
    if not sold:
        tell(f"{shown_source(path)} names no further card; nothing was changed.")
    elif not _wanted(sold, yes, "Mark as sold?", "marked as sold"):
        return ATTENTION
    else:
        changes = _changes(sold, stock, f"sold, orders of {shown_source(path)}", _marking)
        enter_all(changes, settings)
        tell(f"{_amount(sold)} marked as sold. tagger pick lists where they are.")
        if asked := asked_of(one.place for one in changes):
            tell(asked)
    return attention_if(wrong or stock.skipped)


def undo_orders(path: Path, columns: str | None, today: str, yes: bool) -> int:
    """Have the cards of a table of orders unsold again, in all lots or in none; the exit status."""
    settings, stock = load_settings(config_file()), read_stock(pulled=True)
    matches = matched_orders(path, columns, today, stock, settings)
    sold = [one for one in matches if _is_sold_by(one)]
    here = [one for one in sold if one.card is not None and not one.card.elsewhere]
    _show(here, (), stock.skipped)
    if left := len(sold) - len(here):
        are = counted(left, "card is", "cards are")
        complain(f"{are} at other stations; withdraw each with tagger sold NUMBER --returned.")
    if not here:
        tell(f"No card is sold by a line of {shown_source(path)}; nothing was changed.")
    elif not _wanted(here, yes, "Undo these sales?", "unsold"):
        return ATTENTION
    else:
        label = f"no longer sold, orders of {shown_source(path)}"
        enter_all(_changes(here, stock, label, _unsold), settings)
        tell(f"{_amount(here)} no longer sold.")
    return attention_if(left or stock.skipped)


def _is_sold_by(one: OrderMatch) -> bool:
    """Whether a line has a card that stands as sold by it, and not by a later one or by hand."""
    if one.card is None:
        return False
    mark = one.card.mark
    last = mark.trade.lines.split()[-1:], mark.trade.order
    return mark.gone == SOLD and last == ([one.line.key], one.line.get("order"))


def _unsold(one: OrderMatch) -> Marking:
    card = one.card
    assert card is not None
    trade = card.mark.trade.without_sale()
    # the table may be entered once more
    lines = " ".join(key for key in trade.lines.split() if key != one.line.key)
    after = replace(card.mark, gone="", trade=trade._replace(lines=lines))
    return Marking(card.id, card.mark, after)


def _parted(matches: Sequence[OrderMatch]) -> tuple[list[OrderMatch], list[OrderMatch]]:
    """(the lines whose cards are to be sold, those that mean no card)."""
    sold = [one for one in matches if one.card is not None and not one.done]
    return sold, [one for one in matches if one.card is None]


def _wanted(sold: Sequence[OrderMatch], yes: bool, question: str, become: str) -> bool:
    """Whether the user wants the cards to become so."""
    if yes or asked(f"{_amount(sold)} of {counted(len(_lots(sold)), 'lot')}. {question}"):
        return True
    tell(f"{_amount(sold)} to be {become}; nothing was changed. Say --yes to do it.")
    return False


def _amount(sold: Sequence[OrderMatch]) -> str:
    return counted(len(sold), "card")


def _show(sold: Sequence[OrderMatch], wrong: Sequence[OrderMatch], skipped: Iterable[str]) -> None:
    for one in sold:
        out(_line(one))
    for one in wrong:
        complain(told_unmatched(one))
    for sentence in skipped:
        complain(sentence)


def told_unmatched(one: OrderMatch) -> str:
    """Why a line means no card, as a sentence."""
    said = printable(one.line.said, 80)
    # a line that is a stock number alone is named by its reason
    said = "" if one.why.startswith(said) else said
    return ": ".join(filter(None, (one.line.where, said, f"{one.why}.")))


def _line(one: OrderMatch) -> str:
    card = one.card
    assert card is not None
    tags = card.mark.tags
    where = ", ".join(filter(None, (tags.place, card.lies)))
    price = f", {one.line.get('price')}" if one.line.get("price") else ""
    return (
        f"{one.line.where}: {card.number}  {tags.set}  {tags.brief()}{price}  "
        f"({card.lot}: card {card.position}; {where})"
    )


def _lots(sold: Sequence[OrderMatch]) -> dict[str, list[OrderMatch]]:
    """The cards that are sold, by lot."""
    found: dict[str, list[OrderMatch]] = {}
    for one in sold:
        if one.card is not None:
            found.setdefault(one.card.lot, []).append(one)
    return found


def _changes(
    sold: Sequence[OrderMatch],
    stock: Stock,
    label: str,
    marking: Callable[[OrderMatch], Marking],
) -> list[LotChange]:
    return [
        LotChange(
            stock.lots[lot][0],
            f"{counted(len(matches), 'card')} {label}",
            list(map(marking, matches)),
        )
        for lot, matches in _lots(sold).items()
    ]


def _marking(one: OrderMatch) -> Marking:
    card = one.card
    assert card is not None
    details = one.line.details(card.mark.trade.lines)
    return Marking(card.id, card.mark, StockChange(SOLD, details).after(card.mark))
