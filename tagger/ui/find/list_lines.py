"""The list of the find screen in words: a line a copy below the name of its card. That a card is
gone is told by a word, and only then by a colour."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from rich.cells import cell_len
from rich.style import Style
from rich.text import Text

from tagger.core.model.money import told_price
from tagger.core.model.tags import State
from tagger.core.model.text import printable
from tagger.ui import theme
from tagger.ui.desk.modes.overview_lines import fitted
from tagger.ui.fit import apart, fit_columns
from tagger.ui.wording import cut, joined

if TYPE_CHECKING:
    from tagger.ui.find.hit_list import HitList
    from tagger.ui.find.ports import Copy

HEADS = ("lot", "which", "place", "card", "from front", "between")
_LEAST = (7, 10, 7, 8, 10, 11)  # cells of each column, to which it is cut short
_MOST = (24, 34, 30, 16, 10, 60)
_LOT, _PLACE = 0, 2  # columns by their place
_LEDGE = Style(bgcolor=theme.LEDGE)


class FindColumns(NamedTuple):
    """A copy in columns: its lot, which one it is, its place, its card of how many, which one from
    the front there, and between which."""

    lot: str
    which: str
    place: str
    card: str
    front: str
    between: str


def cells(copy: Copy) -> FindColumns:
    """A copy in columns, all printable; what left says so in place of its count from the front."""
    card, tags = copy.card, copy.card.mark.tags
    # First, since it is what keeps the card from being sold as it is.
    aside = "set aside" if card.mark.state is State.SET_ASIDE else ""
    costs = told_price(tags)
    price = f"price {costs}" if costs else ""
    found = FindColumns(
        copy.lot,
        joined(aside, tags.series, tags.variant, tags.condition, price, between=", "),
        tags.place or "–",
        f"{card.position} of {card.cards}",
        str(card.from_front),
        _between(card.before, card.after),
    )
    if card.mark.gone:
        # Nobody counts up to a card that lies somewhere else.
        found = found._replace(front=card.mark.gone, between="")
    return FindColumns(*map(printable, found))


def _between(before: str, after: str) -> str:
    if before and after:
        return f"{before} and {after}"
    if before:
        return f"after {before}"
    return f"before {after}" if after else "alone"


def widths(shown: Sequence[FindColumns], width: int) -> list[int]:
    """Cells for each column: what these lines need; on a narrow screen the widest are cut first,
    the last has the rest."""
    columns = zip(HEADS, *shown, strict=True)
    needs = [
        min(most, max(least, *map(cell_len, column)))
        for column, least, most in zip(columns, _LEAST, _MOST, strict=True)
    ]
    room = width - 3 - (len(needs) - 1)  # cursor and end, a space between columns
    shares = fit_columns(needs, _LEAST, room)
    # What is left goes to the neighbours: their names are the longest, and tell a finger most.
    shares[-1] = max(4, shares[-1] + room - sum(shares))
    return shares


def list_lines(found: HitList, width: int, rows: int) -> list[Text]:
    """So many rows: what the columns are, and the part of the list that is seen."""
    page = found.page(rows - 1)
    copies = found.finds.copies
    seen = {at: cells(copies[at]) for line in page if (at := found.entries[line]) is not None}
    # By what is seen only: columns for ten thousand lines that are not would be as wide as can be.
    share = widths(list(seen.values()), width)
    seen = _apart(seen, share)
    lines = [Text("  " + " ".join(map(fitted, HEADS, share)), theme.DIM)]
    for line in page:
        at = found.entries[line]
        if at is None:
            lines.append(_name_above(found, line, width))
        else:
            gone = bool(copies[at].card.mark.gone)
            lines.append(_copy(seen[at], gone, at == found.at, share, width))
    ends = page.stop == len(found.entries)
    if found.finds.more and ends and len(lines) < rows:
        lines.append(Text("  More cards match; add a word.", theme.DIM))
    return lines


def _apart(seen: Mapping[int, FindColumns], share: Sequence[int]) -> dict[int, FindColumns]:
    """Lots and places so that what tells them apart is seen."""
    lots, places = ({one[at]: "" for one in seen.values()} for at in (_LOT, _PLACE))
    lots = dict(zip(lots, apart(tuple(lots), share[_LOT]), strict=True))
    places = dict(zip(places, apart(tuple(places), share[_PLACE]), strict=True))
    return {
        at: one._replace(lot=lots[one.lot], place=places[one.place]) for at, one in seen.items()
    }


def _name_above(found: HitList, line: int, width: int) -> Text:
    """The card's name above its copies."""
    # Right behind a name comes its first copy.
    following = found.entries[line + 1]
    tags = found.finds.copies[following or 0].card.mark.tags
    name = Text(f" {printable(tags.title)}", theme.BRASS)
    for part in filter(None, (tags.team, tags.set)):
        name.append(f" · {printable(part)}", theme.DIM)
    return cut(name, width - 1)


# Where to look for it and how deep it lies: what the eye goes to.
_STRONG = frozenset(("lot", "place", "front"))


def _copy(shown: FindColumns, gone: bool, here: bool, share: Sequence[int], width: int) -> Text:
    line = Text("▸ " if here else "  ", theme.BRASS)
    for name, text, room in zip(FindColumns._fields, shown, share, strict=True):
        line.append(f"{fitted(text, room)} ", _style(name, gone, here))
    if here:
        line.pad_right(max(0, width - line.cell_len))
        line.stylize(_LEDGE)
    return line


def _style(column: str, gone: bool, here: bool) -> Style:
    if gone:
        return theme.RUST if column == "front" else theme.DIM
    if column in _STRONG:
        return theme.BRIGHT if here else theme.PLAIN
    return theme.PLAIN if here else theme.DIM
