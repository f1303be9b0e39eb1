"""A chart of bars as SVG in a page, one a set: how much of it is there. The same is told in a table
below it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from unicodedata import east_asian_width

from tagger.core.model.text import printable

# pixels: as wide as a telephone shows it without making it smaller
_WIDE, _BAR, _ROW = (
    360,
    200,
    44,
)
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
        percent = self.have * 1000 // self.of / 10 if self.of else 0
        return f"{self.have} of {self.of}, {percent:g} %"


def chart(sets: Sequence[SetProgress]) -> str:
    """The bars of all sets that a checklist has; empty where there are none. Its title and
    description are what a screen reader says (WAI, SVG Accessibility API Mappings: `title`,
    `desc`)."""
    shown = [one for one in sets if one.of is not None]
    if not shown:
        return ""
    high = _ROW * len(shown)
    told = "; ".join(f"{printable(one.name)}: {one.words}" for one in shown)
    out = [
        f'<svg role="img" aria-labelledby="chart-name chart-told" viewBox="0 0 {_WIDE} {high}" '
        f'width="{_WIDE}" '
        f'height="{high}" xmlns="http://www.w3.org/2000/svg">',
        '<title id="chart-name">How much of each set is there</title>',
        f'<desc id="chart-told">{escape(told)}</desc>',
    ]
    for number, one in enumerate(shown):
        y = number * _ROW
        out.append(
            f'<text x="0" y="{y + 14}">{escape(_cut(printable(one.name)))}</text>'
            f'<rect class="rest" x="0" y="{y + 20}" width="{_BAR}" height="14"/>'
            f'<rect class="bar" x="0" y="{y + 20}" width="{_BAR * one.part:.1f}" height="14"/>'
            f'<text x="{_BAR + 8}" y="{y + 32}">{escape(one.words)}</text>'
        )
    return "\n".join((*out, "</svg>\n"))


def _cut(name: str) -> str:
    wide = 0
    for at, char in enumerate(name):
        wide += 2 if east_asian_width(char) in "WF" else 1
        if wide > _LETTERS:
            return f"{name[:at].rstrip()}…"
    return name
