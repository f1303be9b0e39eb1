"""One card in the panel: its number in large figures, its name, its variant, and what else is known
of it."""

from __future__ import annotations

from collections.abc import Container
from typing import TYPE_CHECKING

from rich.style import Style
from rich.text import Text

from tagger.core.model.money import told_price
from tagger.core.model.tags import series_of
from tagger.core.model.text import printable
from tagger.core.model.trade import IN_STOCK
from tagger.ui import theme
from tagger.ui.desk import big_digits
from tagger.ui.desk.blocks.worth import Block, Cost, Lines, always
from tagger.ui.fit import Part, middle
from tagger.ui.wording import joined, wrapped

if TYPE_CHECKING:
    from tagger.core.matching.candidate import Candidate
    from tagger.core.model.tags import Mark, Tags


def one_line(text: str, style: Style) -> Text:
    """A line of the panel, set in by a cell."""
    return Text(f" {printable(text)}", style)


def below_title(second: Lines, large: Lines) -> Block:
    """The line below the title and the large figures: first the line goes, then the figures, and
    then it is there again."""
    return Part(([*second, *large], large, second), (Cost.GAP, Cost.FIGURES))


def gap() -> Block:
    """An empty line below the title, where there is room."""
    return Part(([Text()], []), Cost.GAP)


def figures(number: str, why: str, width: int) -> Block:
    """The number in large figures; `why` nothing is done yet stands above them."""
    rows = big_digits.large(number, width - 2)
    large = [Text(f" {row}", theme.BRIGHT) for row in rows]
    if why:
        return Part(([*wrapped(why, width, theme.RUST), *large], wrapped(why, width, theme.RUST)),
                    Cost.FIGURES)  # fmt: skip
    return below_title([Text()], large)


def name(tags: Tags, width: int) -> Block:
    """Number and name."""
    # In capitals: it is read from a chair's distance, like the figures.
    number = f"#{tags.number}" if tags.number else ""
    return always(wrapped(joined(number, tags.subject.upper()), width, theme.BRIGHT))


def variant(candidate: Candidate, width: int) -> Block:
    """Parallel, serial number and condition."""
    tags, told = candidate.tags, candidate.tags.parallel_name
    # Without a number the print run stands there: it is asked for on the card itself.
    if candidate.run is not None:
        told += f" {tags.serial or f'/{candidate.run}'}"
    elif tags.serial:
        told += f" {tags.serial}"
    condition = f" · {printable(tags.condition) or 'no condition'}"
    line = Text(f" {middle(printable(told), width - len(condition) - 2)}")
    line.stylize(theme.BRIGHT if tags.parallel else theme.PLAIN)
    return always([line.append(condition, theme.PLAIN if tags.condition else theme.DIM)])


def where(tags: Tags, width: int, place: bool = False, told: Container[str] = ()) -> list[Block]:
    """Set with series, team, price and note, and the place where that is asked for; without what
    is `told` already."""
    said = tags.set, series_of(tags.extra), "" if tags.listed else "unlisted"
    blocks = [_long(joined(*said, between=" · "), "", width, theme.PLAIN, Cost.SET)]
    if tags.subject and not tags.listed:
        # The large name is in capitals; how it is kept was typed, or made of what was.
        written = one_line(middle(f"written {tags.subject}", width - 2), theme.DIM)
        blocks.append(Part(([written], []), Cost.TEAM))
    if tags.team:
        team = one_line(middle(printable(tags.team), width - 2), theme.DIM)
        blocks.append(Part(([team], []), Cost.TEAM))
    fields = (
        ("place", tags.place if place else "", theme.PLAIN, Cost.PLACE),
        ("price", told_price(tags), theme.PLAIN, Cost.PLACE),
        ("note", tags.note, theme.DIM, Cost.NOTE),
    )
    blocks += [
        _long(value, f"{field}: ", width, style, cost)
        for field, value, style, cost in fields
        if value and field not in told
    ]
    return blocks


def stock(number: str, mark: Mark, width: int) -> Block:
    """The card's stock number, and what became of the card."""
    said = "" if mark.stock == IN_STOCK else mark.trade.told(mark.stock)
    if said:
        return _long(joined(number, said, between=" · "), "", width, theme.PLAIN, Cost.PLACE)
    # the number alone is asked for with the card in the hand, and stands on its label
    return Part(([one_line(number, theme.DIM)] if number else [], []), Cost.CARRIED_WRAPPED)


def _long(text: str, before: str, width: int, style: Style, cost: Cost) -> Block:
    """Text in as many lines as it needs; in one, its middle left out; not at all."""
    short = middle(printable(text), width - len(before) - 2)
    forms: tuple[Lines, ...] = (
        wrapped(f"{before}{text}", width, style), [one_line(f"{before}{short}", style)], []
    )  # fmt: skip
    return Part(forms, (Cost.WRAPPED, cost))
