"""The table of seasons and the small print that every back has. Lengths are pixels of the card."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.demo.art.sheet import Box, Sheet, em_pixels
from tagger.demo.sets.careers import Career, Season, best_seasons, career
from tagger.demo.sets.pictures import people
from tagger.demo.sets.scenario import STATS, CardSet, ListedCard

if TYPE_CHECKING:
    from tagger.demo.art.brush import Ink


@dataclass(frozen=True)
class TableInks:
    """The colours of a table: letters, rules, the heading's ground and letters, and every second
    line."""

    letters: Ink
    rules: Ink
    heading: Ink
    heading_letters: Ink
    stripe: Ink


# right edges from the third on, as shares of the width
_COLUMNS = (0.0, 0.125, 0.6, 0.7, 0.8, 0.91, 1.0)


def _cells(season: Season) -> tuple[str, ...]:
    return (
        season.year, season.club, str(season.games), str(season.hauls), str(season.tows),
        str(season.buoys),
        season.share,
    )  # fmt: skip


def season_table(
    sheet: Sheet,
    box: tuple[float, float, float],
    careers: Career,
    inks: TableInks,
    size: float = 22.0,
) -> float:
    """Draw the seasons with their total; ``box`` is left, top and right. Gives the lower edge."""
    left, top, right = box
    step = size * 1.42

    def line(base: float, cells: Sequence[str], em: float, ink: Ink, weight: float) -> None:
        _line(sheet, (left, base, right), cells, em, ink, weight)

    sheet.area((left, top, right, top + step), inks.heading)
    heading = ("YEAR", "CLUB", *STATS)
    line(top + step * 0.73, heading, size * 0.86, inks.heading_letters, 0.03)
    y = top + step
    for i, season in enumerate(careers.seasons):
        if i % 2:
            sheet.area((left, y, right, y + step), inks.stripe)
        line(y + step * 0.73, _cells(season), size, inks.letters, 0.0)
        y += step
    sheet.line([(left, y), (right, y)], inks.rules, 2)
    line(y + step * 0.76, _cells(careers.total), size, inks.letters, 0.03)
    sheet.line([(left, y + step), (right, y + step)], inks.rules, 2)
    return y + step


def _line(
    sheet: Sheet,
    at: tuple[float, float, float],
    cells: Sequence[str],
    size: float,
    ink: Ink,
    weight: float,
) -> None:
    """One line of the table; ``at`` is left, the baseline and right."""
    left, base, right = at
    width = right - left
    edges = [left + share * width for share in _COLUMNS]
    rooms = ((_COLUMNS[1] - _COLUMNS[0]) * width - 10, 0.36 * width)
    # Year and club begin at their column's left; numbers end at its right, so that their ones
    # stand below each other.
    for edge, room, cell in zip(edges, rooms, cells, strict=False):
        sheet.text((edge + 8, base), cell, size, ink, weight=weight, room=room)
    for edge, cell in zip(edges[2:], cells[2:], strict=True):
        sheet.text((edge - 8, base), cell, size, ink, weight=weight, anchor="r")


def number_text(
    sheet: Sheet, at: tuple[float, float], text: str, card_set: CardSet, ink: Ink, anchor: str = "m"
) -> Box:
    """Print the card number in the size of its set; gives the box of its ink."""
    return sheet.text(at, text, em_pixels(card_set.number_pt), ink, weight=0.035, anchor=anchor)


def careers_of(row: ListedCard, card_set: CardSet, most: int) -> list[Career]:
    """The career of each person on a card; shorter where there are two."""
    # Two tables share the room of one.
    cast = people(row)
    limit = most if len(cast) == 1 else 2
    return [career(name, team.name, card_set.year, most=limit) for name, team in cast]


def best_box(
    sheet: Sheet, box: tuple[float, float, float], person: Career, ground: Ink, ink: Ink
) -> None:
    """A filled box with a person's best seasons in two columns; ``box`` is left, top and right."""
    left, top, right = box
    sheet.area((left, top, right, top + 112), ground, 10)
    sheet.text((left + 18, top + 34), "BEST SEASONS", 20, ink, weight=0.04, tracking=0.1)
    for i, (label, mark) in enumerate(best_seasons(person)):
        x, y = left + 18 + (i % 2) * (right - left) / 2, top + 66 + (i // 2) * 31
        sheet.text((x, y), label, 22, ink)
        sheet.text((x + (right - left) / 2 - 36, y), mark, 22, ink, weight=0.02, anchor="r")


def facts_line(person: Career) -> str:
    """Height, weight, hand and birth on one line."""
    return "   ".join(f"{label}: {value}" for label, value in person.facts)
