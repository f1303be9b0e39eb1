"""The columns of a table that others made: what each means, by the names in use for it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tagger.core.checklist.headings.meaning import heading_key
from tagger.core.checklist.named.spellings import SPELLINGS
from tagger.core.model.suggestions import meant
from tagger.core.model.text import fold, printable
from tagger.errors import LotError, UsageError

# a title says more than the subject's name, and would be none
_TITLES = ("title", "card title", "description", "titel", "titre", "titulo", "titolo")
NAMES: Mapping[str, tuple[str, ...]] = {
    "stock": ("stock number", "stock no", "stock", "sku", "custom label", "seller sku", "item sku"),
    "order": ("order", "order number", "order no", "order id", "order reference", "sale number"),
    "line": ("line", "line id", "item id", "item number", "order item id", "transaction id"),
    "set": SPELLINGS["set"],
    "number": SPELLINGS["number"],
    "subject": tuple(name for name in SPELLINGS["subject"] if name not in _TITLES),
    "parallel": ("parallel", "variant", "variation", "version", "finish"),
    "serial": ("serial", "serial number"),
    "condition": ("condition", "grade"),
    "quantity": ("quantity", "qty", "amount", "copies"),
    "price": ("price", "sold for", "sale price", "item price", "unit price"),
    "fee": ("fee", "fees", "commission"),
    "shipping": ("shipping", "shipping cost", "postage"),
    "channel": ("channel", "marketplace", "platform", "shop", "site"),
    "buyer": ("buyer", "buyer id", "buyer reference", "customer"),
    "date": ("date", "sold on", "sale date", "date sold", "order date"),
    "place": ("place", "box", "location"),
    "counted": ("counted", "found", "there"),
}
"""By what a column means the names that it goes by, those of a card as checklists have them (common
practice, no source)."""


def columns_meant(
    headings: Sequence[str], fields: Iterable[str], chosen: str, file: str
) -> dict[str, int]:
    """Which column has which of some fields: as `chosen` says (`order=Sale,number=Card no.`), else
    by its name. Raises UsageError where that cannot be read, LotError where a column is not there
    or two have one meaning."""
    fields = tuple(fields)
    found = _chosen(headings, fields, chosen, file)
    for field in fields:
        if field not in found and (at := _named(headings, field, found.values(), file)) is not None:
            found[field] = at
    return found


def _chosen(
    headings: Sequence[str], fields: Sequence[str], chosen: str, file: str
) -> dict[str, int]:
    # Reversed, so that of two columns of one name the first is meant, as in a spreadsheet's own
    # look-up.
    spelled = {heading_key(heading): at for at, heading in reversed(list(enumerate(headings)))}
    found: dict[str, int] = {}
    for pair in filter(str.strip, chosen.split(",")):
        field, equals, heading = (part.strip() for part in pair.partition("="))
        if not equals or fold(field) not in fields:
            raise UsageError(
                f"--columns: '{printable(pair.strip(), 40)}' is not like order=Sale"
                f"{meant(field, fields)}"
            )
        # A name that was typed for this very table is never guessed at: a wrong column would sell
        # wrong cards.
        if heading_key(heading) not in spelled:
            raise LotError(f"{file} has no column '{printable(heading, 40)}'; check --columns.")
        found[fold(field)] = spelled[heading_key(heading)]
    return found


def _named(headings: Sequence[str], field: str, used: Iterable[int], file: str) -> int | None:
    """The column that goes by a name of the field, None where there is none."""
    taken = set(used)
    # By the likeliest name first, and not by the columns: a table with both `order number` and
    # `order id` has the one that a buyer reads first.
    for name in NAMES[field]:
        at = [
            at
            for at, one in enumerate(headings)
            if heading_key(one) == heading_key(name) and at not in taken
        ]
        # Either could be the one that is meant, and nothing in the table says which.
        if len(at) > 1:
            raise LotError(f"{file}: two columns are called '{name}'; delete one of them.")
        if at:
            return at[0]
    return None
