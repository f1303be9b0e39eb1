"""A chart of bars as SVG in a page, one a set: how much of it is there. The same is told in a table
below it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from unicodedata import east_asian_width

from tagger.core.model.text import printable
from tagger.exchange.shown.html_parts import Html, HtmlParts, joined

# pixels: as wide as a telephone shows it without making it smaller
_WIDE, _BAR, _ROW = 360, 200, 44
_LETTERS = 40  # of a set's name above its bar; a wide one (Unicode Standard Annex 11) counts as two


@dataclass(frozen=True)
class SetProgress:
    """A set: how many cards of it are in the lot, and of how many of its base cards there is one;
    `of` is None where no checklist says how many there are."""

    name: str
    copies: int
    have: int = 0
    of: int | None = None

    @property
    def part(self) -> float:
        """The share that is there, 0 to 1; never rounded up to 1."""
        return self.have / self.of if self.of else 0.0

    @property
    def words(self) -> str:
        """It in a few words; percent to a tenth, never rounded up."""
        if self.of is None:
            return "in no checklist"
        # Whole tenths are cut off, so that 100 means that nothing is missing.
        percent = self.have * 1000 // self.of / 10 if self.of else 0
        return f"{self.have} of {self.of}, {percent:g}%"


@cache
def _parts() -> HtmlParts:
    # The description has all sets in it, so it is longer than any name of one.
    return HtmlParts("chart.svg", longest=1_000_000)


def chart(sets: Sequence[SetProgress]) -> Html:
    """The bars of all sets that a checklist has; empty where there are none. Its title and
    description are what a screen reader says (WAI, SVG Accessibility API Mappings: `title`,
    `desc`)."""
    shown = [one for one in sets if one.of is not None]
    if not shown:
        return Html("")
    return _parts().fill(
        "chart",
        width=_WIDE,
        height=_ROW * len(shown),
        told="; ".join(f"{printable(one.name)}: {one.words}" for one in shown),
        bars=joined(_bar(one, at * _ROW) for at, one in enumerate(shown)),
    )


def _bar(one: SetProgress, top: int) -> Html:
    return _parts().fill(
        "bar",
        name=_cut(printable(one.name)),
        name_y=top + 14,
        bar=_BAR,
        bar_y=top + 20,
        filled=f"{_BAR * one.part:.1f}",
        words=one.words,
        words_x=_BAR + 8,
        words_y=top + 32,
    )


def _cut(name: str) -> str:
    wide = 0
    for at, char in enumerate(name):
        wide += 2 if east_asian_width(char) in "WF" else 1
        if wide > _LETTERS:
            return f"{name[:at].rstrip()}…"
    return name
