"""Tables of web pages and printouts of databases, as lines of cells with tabs."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from html.parser import HTMLParser

from tagger.core.model.text import whole_number

# possessive, or a rule with a word behind it would be parted in every way
_RULE = re.compile(r"^[ \t]*+[|+]?(?:[-=:]{2,}+[ \t]*+[|+]?[ \t]*+)+$", re.MULTILINE)
_CELL_TAG = re.compile(r"<t[dh]\b", re.IGNORECASE)
_FRAMED = re.compile(r"^\s*\|(?P<cells>.*)\|\s*$")
_LOOKED_AT = 60  # lines
_HEAD = 1 << 15  # characters
_MOST_SPANNED = 200  # rows or columns that one cell stands in


def is_page(text: str) -> bool:
    """Whether a text has tables of a web page."""
    # a long list is not gone through for what its first lines show
    return "<" in text[:_HEAD] and _CELL_TAG.search(text[:_HEAD]) is not None


def without_frames(text: str) -> str:
    """The text without the frames around tables of text; rows of a web page's table, and objects of
    JSON, as lines of their own."""
    head = text[:_HEAD]
    if is_page(text):
        return _PageRows().of(text)
    if "--" in head or "==" in head:
        text = _RULE.sub("", text)
    return _unframed(text) if "|" in head else text


def _unframed(text: str) -> str:
    """Lines between two bars without these, where most lines are so."""
    head = [line for line in text.split("\n", _LOOKED_AT)[:_LOOKED_AT] if line.strip()]
    if sum(_FRAMED.match(line) is not None for line in head) * 10 < len(head) * 6:
        return text
    lines = [(line, _FRAMED.match(line)) for line in text.split("\n")]
    return "\n".join(match["cells"] if match else line for line, match in lines)


def _span(said: str | None) -> int:
    """How many rows or columns a cell stands in; a page may claim anything."""
    return min(max(whole_number(said or "") or 1, 1), _MOST_SPANNED)


_BREAK = "\x0b"  # the end of a line within a cell
_CARD = re.compile(r"\s*#?(?:[A-Z]{1,4}-?)?[0-9]{1,4}[a-z]?(?:[.):]|\s)\s*\S")
_FEWEST = 3  # cards


def _listed(row: Sequence[str]) -> list[str]:
    """The lines of the cells of a row, one cell after the other, where a table only parts a page:
    most lines are a card each, and there are several in a cell. None for another row."""
    cells = [[line for line in cell.split(_BREAK) if line.strip()] for cell in row]
    lines = [" ".join(line.split()) for cell in cells for line in cell]
    cards = sum(_CARD.match(line) is not None for line in lines)
    if max(map(len, cells), default=0) < _FEWEST or cards * 10 < len(lines) * 8:
        return []
    return lines


class _PageRows(HTMLParser):
    """Gathers the cells of all rows, and the headings between tables."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._lines: list[str] = []
        self._row: list[str] | None = None
        self._within = False  # a cell, a heading or a caption
        # by column: in how many rows below its cell stands as well, and the text
        self._above: dict[int, tuple[int, str]] = {}
        self._wide: list[tuple[int, int]] = []  # of each cell of the row: rows, columns

    def of(self, page: str) -> str:
        """The tables of a page as text."""
        self.feed(page)
        self.close()
        return "\n".join(self._lines)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "tr":
            self._row, self._wide = [], []
        elif tag in ("td", "th") and self._row is not None:
            self._row.append("")
            named = dict(attrs)
            self._wide.append((_span(named.get("rowspan")), _span(named.get("colspan"))))
            self._within = True
        elif tag in ("h1", "h2", "h3", "h4", "caption"):
            self._row, self._within = [""], True
        elif tag in ("br", "p", "li", "div") and self._within and self._row:
            self._row[-1] += _BREAK

    def handle_endtag(self, tag: str) -> None:
        if tag == "tr" and self._row is not None and (listed := _listed(self._row)):
            self._lines.extend(listed)
            self._row = None
        if tag in ("tr", "h1", "h2", "h3", "h4", "caption") and self._row is not None:
            row = self._row if tag != "tr" else list(self._spread(self._row))
            self._lines.append("\t".join(" ".join(cell.split()) for cell in row))
            self._row = None
        if tag in ("td", "th", "tr", "h1", "h2", "h3", "h4", "caption"):
            self._within = False

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
        if self._within and self._row:
            self._row[-1] += data
