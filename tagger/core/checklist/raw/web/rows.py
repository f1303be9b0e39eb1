"""The rows of the tables of a web page, and the headings between them, as lines of cells with
tabs."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from html.parser import HTMLParser

from tagger.core.model.text import whole_number

_MOST_SPANNED = 200  # rows or columns that one cell stands in
_HEADINGS = ("h1", "h2", "h3", "h4", "caption")
_LINES = ("br", "p", "div", "li")  # begin a line within a cell
_FEWEST_LINES = 3  # of a cell that holds a list of its own
_HIDDEN = ("script", "style", "nav", "footer", "select")
_SAYS_PARALLELS = re.compile(r"\bparall?[eè]l", re.IGNORECASE)
_NOTES = "*†‡§"  # for the numbers of notes below a table


def _span(said: str | None) -> int:
    """How many rows or columns a cell stands in; a page may claim anything."""
    return min(max(whole_number(said or "") or 1, 1), _MOST_SPANNED)


class PageRows(HTMLParser):
    """Gathers the cells of all rows, and the headings between tables. The ends of rows and cells
    may be left out, as old pages do."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._lines: list[str] = []
        self._row: list[str] | None = None
        self._open = ""  # the tag of the row, the heading or the paragraph that is open
        self._within = False  # a cell, a heading, a caption or a paragraph
        self._hidden = 0  # elements around, of which nobody sees the text
        self._note = False  # whether a number stands for a note
        # by column: in how many rows below its cell stands as well, and the text
        self._above: dict[int, tuple[int, str]] = {}
        self._wide: list[tuple[int, int]] = []  # of each cell of the row: rows, columns

    def of(self, page: str) -> str:
        """The tables of a page as text."""
        self.feed(page)
        self.close()
        self._end()
        return "\n".join(self._lines)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _HIDDEN:
            self._hidden += 1
        elif tag == "table":  # a page may leave open what is above
            self._end()
            self._above, self._hidden = {}, 0
        elif tag == "tr":
            self._end()
        elif tag in ("td", "th"):
            self._begin_cell(dict(attrs))
        elif tag in _HEADINGS or (tag == "p" and self._open != "tr"):
            self._end()
            self._row, self._within, self._open = [""], True, tag
        elif tag in _LINES:
            self._break_line()
        self._note = tag == "sup"

    def _break_line(self) -> None:
        if self._within and self._row:
            self._row[-1] += "\v"

    def _begin_cell(self, attrs: dict[str, str | None]) -> None:
        if self._row is None or self._open != "tr":
            self._end()
            self._row, self._wide, self._open = [], [], "tr"
        self._row.append("")
        self._wide.append((_span(attrs.get("rowspan")), _span(attrs.get("colspan"))))
        self._within = True

    def handle_endtag(self, tag: str) -> None:
        if tag in _HIDDEN:
            self._hidden = max(self._hidden - 1, 0)
        if tag in ("tr", "table") or tag == self._open:
            self._end()
        elif tag in ("td", "th"):
            self._within = False
        self._note = False

    def _end(self) -> None:
        """End the row or the heading that is open."""
        row, self._row, self._within = self._row, None, False
        if row is None:
            return
        if self._open == "p":
            row = [text for text in row if _SAYS_PARALLELS.match(text.strip())]
        elif self._open == "tr":
            row = list(self._spread(row))
        if row:
            self._lines.extend(_lines_of([_tidied(cell) for cell in row]))

    def _spread(self, row: Sequence[str]) -> Iterator[str]:
        """The cells of a row in their columns, with those that come down from rows above."""
        at = 0
        for cell, (rows, columns) in zip(row, self._wide, strict=False):
            while (text := self._come_down(at)) is not None:
                yield text
                at += 1
            for place in range(columns):
                self._above[at] = (rows - 1, cell) if rows > 1 else (0, "")
                yield "" if place else cell
                at += 1
        while (text := self._come_down(at)) is not None:
            yield text
            at += 1

    def _come_down(self, at: int) -> str | None:
        """The text of a cell above that stands in this row as well; None where none does."""
        left, text = self._above.get(at, (0, ""))
        if not left:
            return None
        self._above[at] = left - 1, text
        return text

    def handle_data(self, data: str) -> None:
        if not (self._within and self._row) or self._hidden:
            return
        if self._note and (number := whole_number(data.strip())):
            data = _NOTES[min(number, len(_NOTES)) - 1]
        self._row[-1] += data.replace("\v", " ")


def _tidied(cell: str) -> str:
    """A cell without needless spaces, its lines parted by \\v."""
    return "\v".join(filter(None, (" ".join(line.split()) for line in cell.split("\v"))))


def _lines_of(cells: Sequence[str]) -> list[str]:
    """The lines that a row stands for: one; or those of its cells, one after the other, where these
    hold lists, as the columns of a page do, or where there is one cell."""
    parted = [cell.split("\v") for cell in cells if cell]
    if len(parted) < 2 or _are_lists(parted):
        return [line for cell in parted for line in cell if line] or [""]
    return ["\t".join(cells)]


def _are_lists(parted: Sequence[Sequence[str]]) -> bool:
    """Whether each of some cells has several lines; or one of them, and nearly all are cards."""
    longest = max(map(len, parted))
    cards = [_CARD.match(line) is not None for cell in parted for line in cell]
    are_cards = sum(cards) * 10 >= len(cards) * 8
    return min(map(len, parted)) >= _FEWEST_LINES or (longest >= _FEWEST_LINES and are_cards)


_CARD = re.compile(r"#?(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?(?:[.):]|\s)\s*\S")
