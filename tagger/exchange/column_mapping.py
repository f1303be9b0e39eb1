"""Which column of a table that came back is which field of a card."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from tagger.core.lot.fields import Field, inventory_fields, layout_fields
from tagger.core.model.money import PRICE
from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.exchange.import_diff import CHANGEABLE, KEYS
from tagger.exchange.layout.layout import Layout


def columns_back(
    headings: Sequence[str], further: Sequence[str], layout: Layout | None, file: str
) -> tuple[list[Field | None], list[str]]:
    """(for each heading its field, None where it is not taken back; the headings that no export
    has). `further` has the checklist's further columns of the lot's cards.

    Raises LotError where columns are missing that say which card a row is, or are there twice.
    """
    known = _of_layout(layout, further) if layout else _of_inventory(further)
    counts = Counter(_key(heading) for heading in headings if _key(heading) in known)
    twice = next((heading for heading in headings if counts[_key(heading)] > 1), None)
    if twice is not None:
        raise LotError(
            f"{file}: there are two columns '{printable(twice, 60)}'; take one of them out."
        )
    if layout is not None and layout.kind:
        raise LotError(
            f"{layout.file} makes a row a kind of card, which cannot be taken back; use one with "
            "a row a card."
        )
    found = [known.get(_key(heading)) for heading in headings]
    missing = [name for name in KEYS if Field(name) not in found]
    if missing:
        more = "" if layout else "; for a table that was made by a layout, name it with --layout"
        raise LotError(
            f"{file}: the column '{missing[0]}' is missing, so no row can be told to be a "
            f"card's{more}."
        )
    fields = [
        one if one and (one.source or one.name in (*KEYS, *CHANGEABLE)) else None for one in found
    ]
    unknown = [heading for heading in headings if heading and _key(heading) not in known]
    return fields, unknown


def _key(heading: str) -> str:
    return heading.strip().casefold()


def _of_inventory(further: Sequence[str]) -> Mapping[str, Field]:
    fields = inventory_fields(further)
    known = {_key(field.name): field for field in fields}
    price = next(field for field in layout_fields(further) if field.name == PRICE)
    return {PRICE: price, **known}


def _of_layout(layout: Layout, further: Sequence[str]) -> Mapping[str, Field | None]:
    used = layout.fields(further)
    return {_key(column.heading): used.get(column.field) for column in layout.columns}
