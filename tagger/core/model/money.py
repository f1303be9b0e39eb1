"""Prices as dealers and lists write them: where a card's stands, what amount it is, and how one is
shown. The dealer's own goes before the one of the list.

A price is read as `$1.25`, `1,25` or `1.25 EUR`; what could be meant in two ways is not read. Sums
are exact: Python's decimal (General Decimal Arithmetic) in a context that refuses to round."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import (
    ROUND_HALF_EVEN,
    Context,
    Decimal,
    DivisionByZero,
    Inexact,
    InvalidOperation,
    Overflow,
    localcontext,
)
from functools import lru_cache
from typing import NamedTuple

from tagger.core.model.column_names import PRICE
from tagger.core.model.tags import Extra, Tags, is_base
from tagger.core.model.text import fold, printable

EXACT = Context(prec=60, traps=[Inexact, InvalidOperation, Overflow, DivisionByZero])
LONGEST = 60  # characters of a price
DIGITS = 12  # before the decimal mark; no card costs more
# what spreadsheets put between a number and its currency, or between groups of digits
_SPACES = str.maketrans(dict.fromkeys("\u00a0\u2007\u2009\u202f", " "))
LETTERS = r"(?i:kr|kč|zł)"
"""Letters that a price has as others have a sign: `15 kr`."""
# an ISO 4217 code, a sign with up to two letters: `C$`, or such letters
_SIGN = r"[$€£¥₤₩₱₹₺₽]"
_CURRENCY = rf"[A-Za-z]{{3}}|{LETTERS}\.?|[A-Za-z]{{0,2}}{_SIGN}"
_PRICE = re.compile(rf"({_CURRENCY})?\s*([0-9.,'’ ]*[0-9])\s*({_CURRENCY})?")
# A mark that groups digits is no decimal mark as well: `1,234,56` is neither.
_NUMBER = re.compile(
    r"(?P<whole>[0-9]*|[0-9]{1,3}(?:(?P<group>[.,'’ ])[0-9]{3})(?:(?P=group)[0-9]{3})*)"
    r"(?:(?!(?P=group))[.,](?P<cents>[0-9]+))?"
)
_NO_PRICE = "no price"
# Signs of one currency only, as the Unicode CLDR has them for English (from memory); `$`, `£`, `¥`
# and `C$` are used for several.
_CODES = {
    "€": "EUR", "US$": "USD", "CA$": "CAD", "A$": "AUD", "AU$": "AUD", "NZ$": "NZD", "HK$": "HKD",
    "NT$": "TWD", "MX$": "MXN", "R$": "BRL", "₹": "INR", "₩": "KRW", "₱": "PHP", "₺": "TRY",
    "₽": "RUB",
}  # fmt: skip


class Price(NamedTuple):
    """An amount in a currency: a code or a sign as it was written, empty where none was."""

    amount: Decimal
    currency: str

    def usually_in(self, currency: str) -> Price:
        """This price; one that was written without a currency is in the usual one."""
        # At the desk the sign is seldom typed.
        return self if self.currency else self._replace(currency=currency)


def parse_price(text: str) -> Price:
    """A price. Raises ValueError with the reason where it is none, or could be two."""
    if len(text) > LONGEST:
        raise ValueError(_NO_PRICE)
    match = _PRICE.fullmatch(text.translate(_SPACES).strip())
    if match is None:
        raise ValueError(_NO_PRICE)
    before, number, behind = match.groups()
    if before and behind:
        raise ValueError("two currencies")
    # `15 kr.` and `15 kr` are one currency
    mark = (before or behind or "").upper().rstrip(".")
    return Price(_amount(number.strip()), _CODES.get(mark, mark))


@lru_cache(maxsize=4096)  # thousands of cards have some hundred prices
def read_price(text: str) -> Price | None:
    """A price; None where `parse_price` does not read it."""
    try:
        return parse_price(text)
    except ValueError:
        return None


def amount(text: str) -> Decimal | None:
    """The amount in a price; None where `parse_price` does not read it."""
    price = read_price(text)
    return None if price is None else price.amount


_SUM = re.compile(rf"{_SIGN}[0-9][0-9.,'’]*|[0-9][0-9.,'’]*{_SIGN}")


def is_sum(word: str) -> bool:
    """Whether a word is a sum by its sign of money: `$4`, `3,50€`."""
    return _SUM.fullmatch(word) is not None


def not_a_price(text: str) -> str:
    """Why a text that was typed as a price is none, as a sentence without its full stop; empty
    where it is one, and where it is empty: that takes a price off."""
    if not text:
        return ""
    try:
        parse_price(text)
    except ValueError as reason:
        why = "" if str(reason) == _NO_PRICE else f" ({reason})"
        return f"'{printable(text, 40)}' is not a price{why}; type it like 3.50 or $3.50"
    return ""


def _amount(text: str) -> Decimal:
    """A number with a decimal point or comma, or none, and digits in groups of three, or none."""
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise ValueError(_NO_PRICE)
    whole, cents = match["whole"], match["cents"] or ""
    if len(cents) == 3 and _may_be_thousands(whole):
        raise ValueError(f"could be {whole}.{cents} or {whole}{cents}")
    plain = re.sub(r"[.,'’ ]", "", whole)
    if max(len(plain), len(cents)) > DIGITS:
        raise ValueError("too many digits")
    return Decimal(f"{plain or 0}.{cents}")


def _may_be_thousands(whole: str) -> bool:
    """Whether three digits behind these and the only mark could be of a whole number."""
    # They are a thousand to some, a fraction to others. Nobody begins a thousand with a nought.
    return whole.isdigit() and len(whole) <= 3 and not whole.startswith("0")


def price_column(extra: Extra, parallel: str) -> str:
    """The further column in which a card's price stands: that of its parallel (`price gold`) where
    it has one, also where the dealer took that price off, else `price`; empty where there is
    neither. Names count in any case."""
    # Reversed, so that of two columns of one name the first counts; an empty cell gives way to the
    # next column.
    columns = {_spelled(name): name for name, value in reversed(extra) if value.strip()}
    usual = columns.get(PRICE, "")
    if is_base(parallel):
        return usual
    own = f"{PRICE} {_spelled(parallel)}"
    # a price that was taken off gives way to none, least of all to the base card's
    off = (name for name, value in extra if value == TAKEN_OFF and _spelled(name) == own)
    return columns.get(own) or next(off, usual)


def is_price_column(name: str) -> bool:
    """Whether a further column of this name has prices: `price`, or `price gold`."""
    spelled = _spelled(name)
    return spelled == PRICE or spelled.startswith(f"{PRICE} ")


def price_text(tags: Tags) -> str:
    """What a card costs: the dealer's own price, else the list's; empty where there is neither."""
    return tags.price or list_price(tags.extra, tags.parallel)[0]


def currency_of(tags: Tags) -> str:
    """The currency of a card's price: the dealer's own, else the list's; empty for none."""
    return currency_said(tags.price, list_price(tags.extra, tags.parallel)[0])


def currency_said(*texts: str) -> str:
    """The first currency that some prices say, empty where none does."""
    prices = map(read_price, texts)
    return next((price.currency for price in prices if price and price.currency), "")


def price_of(tags: Tags) -> Price | None:
    """What a card costs, in its currency; None where there is no price that can be read."""
    price = read_price(price_text(tags))
    return None if price is None else price.usually_in(currency_of(tags))


def told_price(tags: Tags) -> str:
    """What a card costs, and who says so: `3.50 (yours)`, `$1.00 (list)`; empty where nobody
    does."""
    if tags.price:
        return f"{tags.price} (yours)"
    said = price_text(tags)
    return f"{said} (list)" if said else ""


def list_price(extra: Extra, parallel: str) -> tuple[str, bool]:
    """The price among further columns, empty where there is none, and whether it is the very
    card's: of a parallel without a column of its own it is the base card's."""
    column = price_column(extra, parallel)
    value = next((value.strip() for name, value in extra if name == column), "")
    return value, is_base(parallel) or _spelled(column) != PRICE


TAKEN_OFF = " "
"""In a column of prices: the dealer took the list's price off. A list's own empty cell is empty."""


def prices_off(row: Extra, tagged: Extra) -> Extra:
    """Further columns of a card's row, without the prices that the dealer took off the card."""
    off = {_spelled(name) for name, value in tagged if value == TAKEN_OFF}
    if not off:
        return row
    return tuple((name, TAKEN_OFF if _spelled(name) in off else value) for name, value in row)


def priced_now(tags: Tags, row: Extra) -> Tags:
    """A card's tags with the price that its list has now; `row` are the further columns of its row
    there. They stay as they are where the list has none, and where the dealer took the list's price
    off."""
    listed = prices_off(row, tags.extra)
    now = price_column(listed, tags.parallel)
    price = list_price(listed, tags.parallel)
    if not now or price == list_price(tags.extra, tags.parallel):
        return tags
    had = (_spelled(now), _spelled(price_column(tags.extra, tags.parallel)))
    others = (pair for pair in tags.extra if _spelled(pair[0]) not in had)
    return replace(tags, extra=(*others, (now, price[0])))


def price_amount(tags: Tags) -> Decimal | None:
    """The amount of a card's price; None where there is none that can be read."""
    return amount(price_text(tags))


# each card has the columns of its list
@lru_cache(maxsize=256)
def _spelled(name: str) -> str:
    return " ".join(fold(name).split())


def money(amount: Decimal, currency: str) -> str:
    """An amount to two places, a half to the even digit: `$12.35`, `12.35 EUR`."""
    with localcontext(Context(prec=60)):
        shown = format(amount.quantize(Decimal("0.01"), ROUND_HALF_EVEN), ",f")
    if currency and not currency[-1].isalpha():
        return f"{currency}{shown}"
    return f"{shown} {currency}".rstrip()
