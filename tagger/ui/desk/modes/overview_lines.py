"""The overview in words: a line a card, and what is said around the list. State is told by signs
and words, and only then by colours."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from rich.cells import cell_len, set_cell_size
from rich.style import Style
from rich.text import Text

from tagger.core.lot.fields import CardInLot
from tagger.core.model.condition import Scale
from tagger.core.model.tags import State
from tagger.core.model.text import printable
from tagger.core.overview.selection import is_unsure
from tagger.ui import theme
from tagger.ui.desk.modes.overview_list import Overview
from tagger.ui.wording import cut, joined, spread

SIGNS = {State.TAGGED: "+", State.SET_ASIDE: "!", State.UNTAGGED: "·"}
LEGEND = "+ tagged  ! set aside  · untagged "

_SIGN_STYLES = {
    State.TAGGED: theme.SEA, State.SET_ASIDE: theme.RUST, State.UNTAGGED: theme.SEA,
}  # fmt: skip
_LEDGE = Style(bgcolor=theme.LEDGE)
_YEAR = re.compile(r"^(?:19|20)(?=[0-9][0-9]\b)")
_LARGE_FROM = 100  # cells of width from which conditions are spelled out


@dataclass(frozen=True, slots=True)
class Columns:
    """Widths in cells; what a narrow screen has no room for is cut short."""

    position: int
    number: int
    subject: int
    variant: int
    condition: int
    place: int
    set: int
    flags: int
    line: int


@lru_cache(16)
def columns(width: int, cards: int) -> Columns:
    """How a line of this width is shared out, in a lot of so many cards."""
    position = max(3, len(str(cards)))
    room = width - position - 11  # cursor, choice, sign, and a space between columns
    flags, condition = (8, 3) if width < _LARGE_FROM else (12, 10)
    # The set has what is left: often all cards of a lot are of one.
    number = 6
    left = max(28, room - number - condition - flags)
    subject = min(34, left * 34 // 100)
    variant = min(24, left * 22 // 100)
    place = min(24, left * 20 // 100)
    set_name = max(4, left - subject - variant - place)
    return Columns(position, number, subject, variant, condition, place, set_name, flags, width)


# A screen has dozens of lines of six columns, and from key to key hardly one of them is another.
@lru_cache(8192)
def fitted(text: str, width: int) -> str:
    """Text in exactly so many cells."""
    safe = printable(text)
    if cell_len(safe) <= width:
        return safe + " " * (width - cell_len(safe))
    return set_cell_size(safe, max(0, width - 1)) + "…"


def head(overview: Overview, width: int) -> Text:
    """How many of how many are listed, how many are chosen, and what the signs mean."""
    listed, cards = len(overview.list), len(overview.cards)
    told = f" all {cards:,} cards" if listed == cards else f" {listed:,} of {cards:,} cards"
    line = Text(told, theme.BRASS)
    if overview.chosen:
        line.append(f" · {len(overview.chosen):,} selected (*)", theme.BRIGHT)
    return spread(line, Text(LEGEND, theme.DIM), width)


def card_line(overview: Overview, place: int, widths: Columns, scale: Scale) -> Text:
    """One card of the list; the line at the cursor lies on a ledge."""
    card = overview.cards[overview.list[place] - 1]
    here = place == overview.at
    strong, weak = (theme.BRIGHT, theme.PLAIN) if here else (theme.PLAIN, theme.DIM)
    line = Text(_cursor(overview, card, here), theme.BRASS)
    line.append("*" if card.pair.id in overview.chosen else " ", theme.BRASS)
    line.append(f"{card.position:>{widths.position}} ", weak)
    line.append(f"{SIGNS[card.mark.state]} ", _SIGN_STYLES[card.mark.state])
    # Nothing else is known of it, and no warning of it can be meant.
    if card.mark.state is State.UNTAGGED:
        line.append("untagged", weak)
    else:
        _append_tags(line, card, widths, scale, strong, weak)
        line.append(fitted(flags(overview, card), widths.flags), theme.RUST)
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
    line: Text, card: CardInLot, widths: Columns, scale: Scale, strong: Style, weak: Style
) -> None:
    mark, tags = card.mark, card.mark.tags
    number = f"#{tags.number}" if tags.number else ""
    if mark.state is State.SET_ASIDE and not (number or tags.subject):
        # It has no name yet: its columns are free for the reason.
        room = widths.number + widths.subject + widths.variant + 2
        line.append(fitted(f"set aside: {mark.reason}", room), theme.RUST)
    else:
        name = f"{fitted(number, widths.number)} {fitted(tags.subject, widths.subject)} "
        line.append(name, strong)
        line.append(fitted(tags.variant, widths.variant), strong if tags.parallel else weak)
    condition = _condition(tags.condition, widths.condition, scale)
    place, set_name = fitted(tags.place, widths.place), _YEAR.sub("", tags.set)
    line.append(f" {fitted(condition, widths.condition)}", weak)
    line.append(f" {place} {fitted(set_name, widths.set)} ", weak)


def _condition(name: str, width: int, scale: Scale) -> str:
    """A condition in so many cells: its short form where its name does not fit."""
    if len(name) <= width:
        return name
    short = (step.short[0].upper() for step in scale.steps if step.name == name and step.short)
    return next(short, name)


def flags(overview: Overview, card: CardInLot) -> str:
    """What a card is besides: set aside though it has tags, unsure, unlisted, there more than
    once."""
    same = len(overview.doubles.of(card.mark))
    return joined(
        "unsure" * is_unsure(card),
        "unlisted" * (not card.mark.tags.listed),
        f"x{same}" * (same > 1),
    )


def about(overview: Overview, undo: str, change: str, width: int) -> Text:
    """The card at the cursor in full, and the last change with its way back."""
    line = _about_card(overview)
    room = width - line.cell_len - len(undo) - 18
    if change and room > 12:
        right = Text("last: ", theme.DIM).append(printable(change, room), theme.PLAIN)
        right.append(f" · {undo} undoes ", theme.DIM)
        line.append(" " * max(1, width - line.cell_len - right.cell_len)).append_text(right)
    return cut(line, width)


def _about_card(overview: Overview) -> Text:
    here = overview.here
    if here is None:
        return Text(" ").append(overview.unclear or "no card matches this filter", theme.DIM)
    line = Text(" ").append(f"card {here.position}: ", theme.DIM)
    line.append(printable(here.mark.brief(), 80), theme.PLAIN)
    same = overview.doubles.of(here.mark)
    if len(same) > 1:
        line.append(f" · {len(same)} copies: {_some(same)}", theme.BRASS)
    return line


def _some(positions: Sequence[int], most: int = 6) -> str:
    shown = ", ".join(map(str, positions[:most]))
    return shown if len(positions) <= most else f"{shown}, …"
