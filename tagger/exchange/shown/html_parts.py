"""Named parts of an HTML or SVG file in this package, filled as `string.Template` does it.

A value becomes part of the document as text only: it is escaped here, and nowhere else, so that no
caller can forget it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape
from importlib import resources
from string import Template

from tagger.core.model.text import printable

_PART = re.compile(r"^<!-- part: ([a-z ]+) -->\n", re.MULTILINE)


class Html(str):
    """What is HTML already and stands in a document as it is."""

    __slots__ = ()


class HtmlParts:
    """The parts of one file; each begins below a line `<!-- part: NAME -->`. `longest` is the
    number of characters that a value has at most."""

    def __init__(self, file: str, longest: int) -> None:
        text = resources.files(__package__ or "").joinpath(file).read_text(encoding="utf-8")
        _, *found = _PART.split(text)
        names, bodies = found[::2], found[1::2]
        self._parts = {
            name: Template(body.strip()) for name, body in zip(names, bodies, strict=True)
        }
        self._longest = longest

    def fill(self, part: str, **values: object) -> Html:
        """A part with a value for each name in it. Raises KeyError where one is missing."""
        texts = {name: self._text(value) for name, value in values.items()}
        return Html(self._parts[part].substitute(texts) + "\n")

    def _text(self, value: object) -> str:
        if isinstance(value, Html):
            return value
        # Escaped also for attributes: a part may put the same text into both.
        return escape(printable(str(value), self._longest), quote=True)


def joined(parts: Iterable[Html]) -> Html:
    """Parts one after the other."""
    return Html("".join(parts))
