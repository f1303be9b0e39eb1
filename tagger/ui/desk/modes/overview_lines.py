"""The overview in words: a line a card, and what is said around the list. State is told by signs
and words, and only then by colours."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import TYPE_CHECKING, NamedTuple

from rich.cells import cell_len, set_cell_size
from rich.style import Style
from rich.text import Text

from tagger.core.model.money import price_text
from tagger.core.model.tags import State, Tags
from tagger.core.model.text import printable
from tagger.core.model.trade import IN_STOCK
from tagger.core.overview.selection import is_unsure
from tagger.ui import theme
from tagger.ui.fit import Forms, Part, apart, fit, fit_columns, middle
from tagger.ui.wording import cut, joined, spread

if TYPE_CHECKING:
    from tagger.core.lot.fields import CardInLot
    from tagger.core.model.condition import Scale
    from tagger.core.model.tags import Mark
    from tagger.ui.desk.modes.overview_list import Overview

SIGNS = {State.TAGGED: "+", State.SET_ASIDE: "!", State.UNTAGGED: "·"}
GONE, REPLACED = "-", "?"
LEGEND = "+ tagged  ! set aside  · untagged  - sold or pulled "

_SIGN_STYLES = {
    State.TAGGED: theme.SEA, State.SET_ASIDE: theme.RUST, State.UNTAGGED: theme.SEA,
}  # fmt: skip
_LEDGE = Style(bgcolor=theme.LEDGE)
_YEAR = re.compile(r"^(?:19|20)(?=[0-9][0-9]\b)")
_LEAST = (3, 10, 8, 3, 8, 6, 0, 0)  # cells of each column, to which it is cut short
CHANGES = (160, 60, 40, 24, 14)  # cells of what was changed last
_CONDITION, _PLACE, _SET, _PRICE = 3, 4, 5, 7  # columns by their place


class CardCells(NamedTuple):
    """A card in columns; `condition` is its name."""

    number: str
    subject: str
    variant: str
    condition: str
    place: str
    set: str
    flags: str
    price: str = ""


@dataclass(frozen=True, slots=True)
class Columns:
    """Widths in cells; sets and places as they are written there, so that what tells them apart is
    seen; `short`: conditions by their short forms."""

    position: int
    shares: CardWidths
    short: bool
    sets: Mapping[str, str]
    places: Mapping[str, str]
    line: int


class CardWidths(NamedTuple):
    """Cells of each column of `CardCells`."""

    number: int
    subject: int
    variant: int
    condition: int
    place: int
    set: int
    flags: int
    price: int = 0


@lru_cache(8192)
def cells(tags: Tags, flags: str) -> CardCells:
    """A card in columns, all printable."""
    number = f"#{tags.number}" if tags.number else ""
    set_name = _YEAR.sub("", tags.set)
    price = price_text(tags)
    texts = (number, tags.subject, tags.variant, tags.condition, tags.place, set_name, flags, price)
    return CardCells(*map(printable, texts))


# From key to key most pages are the same.
@lru_cache(16)
def columns(shown: tuple[CardCells, ...], width: int, cards: int) -> Columns:
    """How a line of this width is shared out among what these cards need, in a lot of so many."""
    # By what is seen only: each page turns all lines over, and ten thousand need every width.
    position = max(3, len(str(cards)))
    room = width - position - 11  # cursor, choice, sign, and a space between columns
    table = list(zip(*shown, strict=True)) or [()] * len(_LEAST)
    needs = [max(map(cell_len, column), default=0) for column in table]
    # a price that is cut short is another price, so it is there whole or not at all
    if needs[_PRICE] and sum(needs) + 1 > room:
        needs[_PRICE] = 0
    room -= needs[_PRICE] > 0  # the space in front of it
    lows = [min(need, low) for need, low in zip(needs, _LEAST, strict=True)]
    if short := sum(needs) > room:
        needs[_CONDITION] = lows[_CONDITION]
    shares = CardWidths(*fit_columns(needs, lows, room))
    sets, places = (tuple(dict.fromkeys(table[at])) for at in (_SET, _PLACE))
    return Columns(
        position,
        shares,
        short,
        dict(zip(sets, apart(sets, shares.set), strict=True)),
        dict(zip(places, apart(places, shares.place), strict=True)),
        width,
    )


# A screen has dozens of lines of six columns, and from key to key hardly one of them is another.
@lru_cache(8192)
def fitted(text: str, width: int) -> str:
    """Text in exactly so many cells."""
    safe = printable(text)
    if cell_len(safe) <= width:
        return safe + " " * (width - cell_len(safe))
    return set_cell_size(safe, max(0, width - 1)) + "…"


def card_lines(overview: Overview, rows: int, width: int, scale: Scale) -> list[Text]:
    """So many rows of the list."""
    page = overview.page(rows)
    listed = [overview.priced(overview.cards[overview.list[place] - 1]) for place in page]
    shown = [
        None if card.mark.state is State.UNTAGGED else cells(card.mark.tags, flags(overview, card))
        for card in listed
    ]
    needs = tuple(
        _with_reason(one, card) for one, card in zip(shown, listed, strict=True) if one is not None
    )
    widths = columns(needs, width, len(overview.cards))
    lines = [
        _card_line(overview, card, one, place == overview.at, widths, scale)
        for place, card, one in zip(page, listed, shown, strict=True)
    ]
    return _with_rules(overview, page, lines, rows, width) if overview.ruled else lines


def _with_reason(shown: CardCells, card: CardInLot) -> CardCells:
    """What a card needs of its columns: one without a name has the reason there why it is set
    aside, over those of number, name and variant."""
    if card.mark.state is not State.SET_ASIDE or card.mark.named:
        return shown
    beside = cell_len(shown.variant) + 2
    return shown._replace(subject=f"{_aside(card.mark)}"[beside:])


def _aside(mark: Mark) -> str:
    return printable(f"set aside: {mark.reason}")


def _with_rules(
    overview: Overview, page: range, lines: list[Text], rows: int, width: int
) -> list[Text]:
    """The lines of cards with a rule for each divider before its group; what has no room goes, on
    the side away from the cursor."""
    out: list[tuple[int, Text]] = []
    for place, line in zip(page, lines, strict=True):
        told = overview.rules(place)
        out += [(place, _rule(one, width)) for one in told]
        out.append((place, line))
    here = max((at for at, (place, _) in enumerate(out) if place == overview.at), default=0)
    first = max(0, min(len(out) - rows, here - rows // 2)) if here >= rows else 0
    return [line for _, line in out[first : first + rows]]


def _rule(told: str, width: int) -> Text:
    line = Text(f"── {fitted(told, min(cell_len(told), width - 8))} ", theme.BRASS)
    return line.append("─" * max(0, width - line.cell_len), theme.DIM)


def head(overview: Overview, width: int) -> Text:
    """How many of how many are listed, how many are chosen, and what the signs mean."""
    listed, cards = len(overview.list), len(overview.cards)
    told = f" all {cards:,} cards" if listed == cards else f" {listed:,} of {cards:,} cards"
    line = Text(told, theme.BRASS)
    if overview.chosen:
        line.append(f" · {len(overview.chosen):,} selected (*)", theme.BRIGHT)
    legend = f"{REPLACED} replaced  {LEGEND}" if overview.replaced else LEGEND
    return spread(line, Text(legend, theme.DIM), width)


def _card_line(
    overview: Overview,
    card: CardInLot,
    shown: CardCells | None,
    here: bool,
    widths: Columns,
    scale: Scale,
) -> Text:
    """One card of the list; the line at the cursor lies on a ledge."""
    strong, weak = (theme.BRIGHT, theme.PLAIN) if here else (theme.PLAIN, theme.DIM)
    line = Text(_cursor(overview, card, here), theme.BRASS)
    line.append("*" if card.pair.id in overview.chosen else " ", theme.BRASS)
    line.append(f"{card.position:>{widths.position}} ", weak)
    if card.replaced:
        line.append(f"{REPLACED} ", theme.RUST)
    elif card.mark.gone:
        line.append(f"{GONE} ", theme.DIM)
    else:
        line.append(f"{SIGNS[card.mark.state]} ", _SIGN_STYLES[card.mark.state])
    # Nothing else is known of it, and no warning of it can be meant.
    if shown is None:
        line.append("untagged", weak)
    else:
        _append_tags(line, card, shown, widths, scale, strong, weak)
        line.append(fitted(shown.flags, widths.shares.flags), theme.RUST)
    if here:
        line.pad_right(max(0, widths.line - line.cell_len))
        line.stylize(_LEDGE)
    return line


def _cursor(overview: Overview, card: CardInLot, here: bool) -> str:
    """A mark at the cursor, another one at the copies of the card there."""
    if here:
        return "▸"
    at_cursor = overview.here
    if at_cursor is not None and card.position in overview.doubles.of(at_cursor.mark):
        return "="
    return " "


def _append_tags(
    line: Text,
    card: CardInLot,
    shown: CardCells,
    widths: Columns,
    scale: Scale,
    strong: Style,
    weak: Style,
) -> None:
    mark, shares = card.mark, widths.shares
    if mark.state is State.SET_ASIDE and not (shown.number or shown.subject):
        room = _room_of_name(shown, widths, line.cell_len)
        line.append(fitted(_aside(mark), room), theme.RUST)
    else:
        name = f"{fitted(shown.number, shares.number)} {fitted(shown.subject, shares.subject)} "
        line.append(name, strong)
        variant = fitted(shown.variant, shares.variant)
        line.append(variant, strong if mark.tags.parallel else weak)
    condition = _condition(shown.condition, shares.condition, scale)
    if shares.price:
        line.append(f" {shown.price:>{shares.price}}", weak)
    rest = (
        fitted(condition, shares.condition),
        fitted(widths.places[shown.place], shares.place),
        fitted(widths.sets[shown.set], shares.set),
    )
    line.append(f" {' '.join(rest)} ", weak)


def _room_of_name(shown: CardCells, widths: Columns, used: int) -> int:
    """Cells that a card without a name has free behind those that are used, for the reason why it
    is set aside."""
    shares = widths.shares
    # what its other columns have is not written over
    if shown.condition or shown.place or shown.set:
        return shares.number + shares.subject + shares.variant + 2
    return widths.line - used - shares.flags - 2


def _condition(name: str, width: int, scale: Scale) -> str:
    """A condition in so many cells: its short form where its name does not fit."""
    if len(name) <= width:
        return name
    short = (step.short[0].upper() for step in scale.steps if step.name == name and step.short)
    return next(short, name)


def flags(overview: Overview, card: CardInLot) -> str:
    """What a card is besides: set aside though it has tags, unsure, unlisted, there more than once,
    listed, reserved, sold or pulled."""
    same = len(overview.doubles.of(card.mark))
    return joined(
        "replaced" * card.replaced,
        "unsure" * is_unsure(card),
        "unlisted" * (not card.mark.tags.listed),
        f"x{same}" * (same > 1),
        card.mark.stock * (card.mark.stock != IN_STOCK),
    )


def about(overview: Overview, undo: str, change: str, width: int) -> Text:
    """The card at the cursor in full, and the last change with its way back."""
    last: Forms[Text] = Forms(
        *(partial(_last, change, f" · {undo} undoes ", most) for most in CHANGES), Text
    )
    parts = [*_about_card(overview), Part(last, (1,) * (len(CHANGES) - 1) + (4,))]
    if not change:
        parts[-1] = Part((Text(),))
    *left, shown = fit(parts, width - 2, lambda text: text.cell_len)
    return cut(spread(Text().join(left), shown, width), width)


def _last(change: str, undoes: str, most: int) -> Text:
    line = Text("last: ", theme.DIM).append(middle(printable(change), most), theme.PLAIN)
    return line.append(undoes, theme.DIM)


def _about_card(overview: Overview) -> list[Part[Text]]:
    here = overview.here
    if here is None:
        unclear = overview.unclear or "no card matches this filter"
        return [Part((Text(" ").append(unclear, theme.DIM),))]
    line = Text(" ").append(f"card {here.position}: ", theme.DIM)
    line.append(printable(here.mark.brief(), 80), theme.PLAIN)
    same = overview.doubles.of(here.mark)
    copies = Text(f" · {len(same)} copies: {_some(same)}", theme.BRASS) if len(same) > 1 else Text()
    place = printable(here.mark.tags.place)
    places = (
        tuple(Text(f" · {middle(place, most)}", theme.DIM) for most in (80, 36)) if place else ()
    )
    return [Part((line,)), Part((copies,)), Part((*places, Text()), (2, 3))]


def _some(positions: Sequence[int], most: int = 6) -> str:
    shown = ", ".join(map(str, positions[:most]))
    return shown if len(positions) <= most else f"{shown}, …"
