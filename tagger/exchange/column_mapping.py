"""Which column of a table that came back is which field of a card."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from tagger.core.lot.fields import Field, inventory_fields, layout_fields
from tagger.core.model.column_names import PRICE
from tagger.core.model.text import printable
from tagger.errors import LotError
from tagger.exchange.import_diff import CHANGEABLE, KEYS, STOCK
from tagger.exchange.layout.layout import OF_THE_EXPORT, ONE_PICTURE
from tagger.exchange.workbook_pictures import HEADINGS

if TYPE_CHECKING:
    from tagger.exchange.layout.layout import Layout


def map_columns(
    headings: Sequence[str],
    further: Sequence[str],
    layout: Layout | None,
    file: str,
    several: bool = False,
) -> tuple[list[Field | None], list[str]]:
    """(for each heading its field, None where it is not imported; the headings that no export
    has). `further` has the checklist's further columns of the lot's cards; `several`: the table is
    of several lots.

    Raises LotError where columns are missing that say which card a row is, or are there twice.
    """
    known = _known(layout, further, several)
    _check_once(headings, known, file)
    if layout is not None and layout.kind:
        raise LotError(
            f"{layout.file} has one row per kind of card, so its tables cannot be imported; export "
            "with a layout that has one row per card."
        )
    found = [known.get(_key(heading)) for heading in headings]
    _check_keys(found, layout is None, file)
    # A column without a name names nothing that could be missed.
    unknown = [heading for heading in headings if heading and _key(heading) not in known]
    return list(map(_importable, found)), unknown


def _known(
    layout: Layout | None, further: Sequence[str], several: bool
) -> Mapping[str, Field | None]:
    """By heading the field that its column has, None where it has no single one."""
    if layout is None:
        return _of_inventory(further, several)
    return _of_layout(layout, further)


def _check_once(headings: Sequence[str], known: Mapping[str, Field | None], file: str) -> None:
    # Of two alike nobody can tell which one was edited; columns that are no field may be alike.
    ours = [heading for heading in headings if _key(heading) in known]
    counts = Counter(map(_key, ours))
    twice = next((heading for heading in ours if counts[_key(heading)] > 1), None)
    if twice is not None:
        raise LotError(
            f"{file}: two columns are called '{printable(twice, 60)}'; delete one of them."
        )


def _check_keys(found: Sequence[Field | None], plain: bool, file: str) -> None:
    missing = next((name for name in KEYS if Field(name) not in found), None)
    if missing is None:
        return
    why = f"{file}: the column '{missing}' is missing, so tagger cannot tell which card a row is"
    if plain:
        why += "; if the table was exported with a layout, name it with --layout"
    raise LotError(f"{why}.")


def _importable(field: Field | None) -> Field | None:
    """A field that a table may change; a print run or the lot's name it may not."""
    if field is None or field.source or field.name in (*KEYS, STOCK, *CHANGEABLE):
        return field
    return None


def _key(heading: str) -> str:
    # As layouts name fields: whatever the case.
    return heading.strip().casefold()


def _of_inventory(further: Sequence[str], several: bool) -> Mapping[str, Field | None]:
    fields = inventory_fields(further, several)
    known: dict[str, Field | None] = {_key(field.name): field for field in fields}
    price = next(field for field in layout_fields(further) if field.name == PRICE)
    # A price can be added in a column of its own, also where no card has one yet.
    # what was written beside the cards is not theirs
    return {**dict.fromkeys((*HEADINGS, *ONE_PICTURE)), PRICE: price, **known}


def _of_layout(layout: Layout, further: Sequence[str]) -> Mapping[str, Field | None]:
    # what was written beside the table is not the card's
    used = {
        name: field
        for name, field in layout.fields(further).items()
        if field.source not in OF_THE_EXPORT
    }
    shown = {_key(column.heading): used.get(column.field) for column in layout.columns}
    return {**dict.fromkeys(HEADINGS), **shown}
