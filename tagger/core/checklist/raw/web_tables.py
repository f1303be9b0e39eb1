"""Tables of web pages and printouts of databases, as lines of cells with tabs."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from html.parser import HTMLParser

_RULE = re.compile(r"^[ \t]*[|+]?(?:[-=:]{2,}[ \t]*[|+]?[ \t]*)+$", re.MULTILINE)
_CELL_TAG = re.compile(r"<t[dh]\b", re.IGNORECASE)
_FRAMED = re.compile(r"^\s*\|(?P<cells>.*)\|\s*$")
_LOOKED_AT = 60  # lines
_HEAD = 1 << 15  # characters


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
    if text.startswith(("{", "[{")):
        return _of_objects(text)
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


def _of_objects(text: str) -> str:
    """Objects with the same keys as lines of cells; the same text where it is something else."""
    try:
        found = json.loads(text) if text.startswith("[") else list(map(json.loads, _lines(text)))
    except (ValueError, RecursionError):
        return text
    objects = [one for one in found if isinstance(one, dict)]
    if len(found) < 2 or len(objects) < len(found):
        return text
    keys = list(dict.fromkeys(key for one in objects for key in one))
    return "\n".join("\t".join(map(_cell, row)) for row in (keys, *_values(objects, keys)))


def _values(objects: Iterable[Mapping[str, object]], keys: Sequence[str]) -> Iterator[list[object]]:
    for one in objects:
        yield [one.get(key) for key in keys]


def _lines(text: str) -> list[str]:
    return [line.strip().rstrip(",") for line in text.split("\n") if line.strip()]


def _cell(value: object) -> str:
    return "" if value is None else " ".join(str(value).split())


class _PageRows(HTMLParser):
    """Gathers the cells of all rows, and the headings between tables."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._lines: list[str] = []
        self._row: list[str] | None = None
        self._within = False  # a cell, a heading or a caption

    def of(self, page: str) -> str:
        """The tables of a page as text."""
        self.feed(page)
        self.close()
        return "\n".join(self._lines)

    def handle_starttag(self, tag: str, attrs: object) -> None:
        if tag == "tr":
            self._row = []
        elif tag in ("td", "th") and self._row is not None:
            self._row.append("")
            self._within = True
        elif tag in ("h1", "h2", "h3", "h4", "caption"):
            self._row, self._within = [""], True

    def handle_endtag(self, tag: str) -> None:
        if tag in ("tr", "h1", "h2", "h3", "h4", "caption") and self._row is not None:
            self._lines.append("\t".join(" ".join(cell.split()) for cell in self._row))
            self._row = None
        if tag in ("td", "th", "tr", "h1", "h2", "h3", "h4", "caption"):
            self._within = False

    def handle_data(self, data: str) -> None:
        if self._within and self._row:
            self._row[-1] += data
