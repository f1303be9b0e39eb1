"""Whether a card is the one that a line of an order describes, and in what it is not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from tagger.core.model.numbers import canonical, read_serial, serial_fits
from tagger.core.model.tags import parallel_key
from tagger.core.model.text import fold, printable, word_key

if TYPE_CHECKING:
    from tagger.core.stock.order_lines import OrderLine
    from tagger.core.stock.stocked import Stocked

_SHOWN = 2  # cards that are named where none fits


def fits(card: Stocked, line: OrderLine) -> bool:
    # an empty cell of such a column is the plain card; a table without one does not say
    if line.cells.get("parallel") == "" and parallel_key(card.mark.tags.parallel):
        return False
    return not slip(card, line)


def slip(card: Stocked, line: OrderLine) -> str:
    """What a line says of a card that is not so, as the end of a sentence; empty where all that it
    says is so."""
    return next(_slips(card, line), "")


def _slips(card: Stocked, line: OrderLine) -> Iterator[str]:
    return (f"{had}, not {said}" for had, said, is_so in _tests(card, line) if not is_so)


def nearest(cards: Iterable[Stocked], line: OrderLine) -> str:
    """The cards of which a line says one thing that is not so, as the end of a sentence; empty
    where there is none, or they are many."""
    near: dict[str, str] = {}
    for card in cards:
        slips = list(_slips(card, line))
        if len(slips) == 1:
            near[card_title(card)] = slips[0]
    if not 0 < len(near) <= _SHOWN:
        return ""
    return " or ".join(f"{title} ({why})" for title, why in near.items())


def _tests(card: Stocked, line: OrderLine) -> Iterator[tuple[str, str, bool]]:
    """(what the card is, what the line says that it is, whether both are the same), for each cell
    that says something."""
    tags = card.mark.tags
    same = {
        "number": (tags.title, canonical(line.get("number")) == canonical(tags.number)),
        "set": (tags.set, word_key(line.get("set")) == word_key(tags.set)),
        "subject": (tags.title, word_key(line.get("subject")) == word_key(tags.subject)),
        "parallel": (
            tags.parallel_name, parallel_key(line.get("parallel")) == parallel_key(tags.parallel),
        ),
        "serial": (
            tags.serial or "without a serial number", _is_serial(line.get("serial"), tags.serial),
        ),
    }  # fmt: skip
    for field, (had, fits) in same.items():
        if said := printable(line.get(field), 40):
            yield printable(had, 80), f"#{said}" if field == "number" else said, fits


def _is_serial(said: str, had: str) -> bool:
    read = read_serial(said)
    # What a dealer typed in words of their own comes back so.
    return fold(said) == fold(had) or (read is not None and serial_fits(had, read))


def unread(line: OrderLine) -> str:
    """That the serial number of a line cannot be read, as the end of a sentence; empty where it
    can."""
    said = line.get("serial")
    if not said or read_serial(said) is not None:
        return ""
    return f"'{printable(said, 40)}' is not a serial number; write it as on the card, such as 12/99"


def card_title(card: Stocked) -> str:
    """A card by its set, number, name and variant."""
    tags = card.mark.tags
    parts = (f"{tags.set} {tags.title}", tags.series, tags.parallel_name)
    return printable(", ".join(filter(None, parts)), 80)
