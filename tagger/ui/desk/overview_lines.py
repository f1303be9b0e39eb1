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
from tagger.ui.desk.overview import Overview

SIGNS = {State.TAGGED: "+", State.SET_ASIDE: "!", State.UNTAGGED: "·"}
LEGEND = "+ tagged  ! set aside  · untagged "

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
    number = 6
    left = max(28, room - number - condition - flags)
    subject = min(34, left * 34 // 100)
    variant = min(24, left * 22 // 100)
    place = min(24, left * 20 // 100)
    set_name = max(4, left - subject - variant - place)
    return Columns(position, number, subject, variant, condition, place, set_name, flags, width)


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
    line = Text(
        f" {listed:,} of {cards:,} cards" if listed != cards else f" all {cards:,} cards",
        theme.BRASS,
    )
    if overview.chosen:
        line.append(f" · {len(overview.chosen):,} chosen (*)", theme.BRIGHT)
    room = width - line.cell_len - cell_len(LEGEND)
    return line if room < 1 else line.append(" " * room).append(LEGEND, theme.DIM)


def card_line(overview: Overview, place: int, widths: Columns, scale: Scale) -> Text:
    """One card of the list; the line at the cursor lies on a ledge."""
    line = _card(overview, place, widths, scale)
    if place == overview.at:
        line.pad_right(max(0, widths.line - line.cell_len))
        line.stylize(_LEDGE)
    return line


def _card(overview: Overview, place: int, widths: Columns, scale: Scale) -> Text:
    card = overview.cards[overview.list[place] - 1]
    mark, tags = card.mark, card.mark.tags
    here = place == overview.at
    strong: Style = theme.BRIGHT if here else theme.PLAIN
    weak: Style = theme.PLAIN if here else theme.DIM
    at_cursor = overview.here
    same = at_cursor is not None and card.position in overview.doubles.of(at_cursor.mark)
    line = Text("▸" if here else "=" if same else " ", theme.BRASS)
    line.append("*" if card.pair.id in overview.chosen else " ", theme.BRASS)
    line.append(f"{card.position:>{widths.position}} ", weak)
    line.append(f"{SIGNS[mark.state]} ", theme.RUST if mark.state is State.SET_ASIDE else theme.SEA)
    if mark.state is State.UNTAGGED:
        return line.append("untagged", weak)
    number, subject = f"#{tags.number}" if tags.number else "", tags.subject
    if mark.state is State.SET_ASIDE and not (number or subject):
        room = widths.number + widths.subject + widths.variant + 2
        line.append(fitted(f"set aside: {mark.reason}", room), theme.RUST)
    else:
        variant = tags.variant
        line.append(f"{fitted(number, widths.number)} {fitted(subject, widths.subject)} ", strong)
        line.append(fitted(variant, widths.variant), strong if tags.parallel else weak)
    line.append(
        f" {fitted(_condition(tags.condition, widths.condition, scale), widths.condition)}", weak
    )
    line.append(
        f" {fitted(tags.place, widths.place)} {fitted(_YEAR.sub('', tags.set), widths.set)} ", weak
    )
    return line.append(fitted(flags(overview, card), widths.flags), theme.RUST)


def _condition(name: str, width: int, scale: Scale) -> str:
    if len(name) <= width:
        return name
    return next(
        (step.short[0].upper() for step in scale.steps if step.name == name and step.short), name
    )


def flags(overview: Overview, card: CardInLot) -> str:
    """What a card is besides: set aside though it has tags, unsure, unlisted, there more than
    once."""
    same = len(overview.doubles.of(card.mark))
    said = (
        "unsure" if is_unsure(card) else "",
        "" if card.mark.tags.listed else "unlisted",
        f"x{same}" if same > 1 else "",
    )
    return " ".join(part for part in said if part)


def about(overview: Overview, undo: str, change: str, width: int) -> Text:
    """The card at the cursor in full, and the last change with its way back."""
    here = overview.here
    line = Text(" ")
    if here is None:
        line.append("no card fits this filter", theme.DIM)
    else:
        same = overview.doubles.of(here.mark)
        line.append(f"card {here.position}: ", theme.DIM).append(
            printable(here.mark.brief(), 80), theme.PLAIN
        )
        if len(same) > 1:
            line.append(f" · {len(same)} of these: {_some(same)}", theme.BRASS)
    room = width - line.cell_len - len(undo) - 18
    if change and room > 12:
        right = Text("last: ", theme.DIM).append(printable(change, room), theme.PLAIN)
        right.append(f" · {undo} undoes ", theme.DIM)
        line.append(" " * max(1, width - line.cell_len - right.cell_len)).append_text(right)
    line.truncate(width, overflow="ellipsis")
    return line


def _some(positions: Sequence[int], most: int = 6) -> str:
    shown = ", ".join(map(str, positions[:most]))
    return shown if len(positions) <= most else f"{shown}, …"
