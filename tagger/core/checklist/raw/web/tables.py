"""Tables of web pages and printouts of databases, as lines of cells with tabs."""

from __future__ import annotations

import re

from tagger.core.checklist.raw.web.rows import PageRows

# possessive, or a rule with a word behind it would be parted in every way
_RULE = re.compile(r"^[ \t]*+[|+]?(?:[-=:]{2,}+[ \t]*+[|+]?[ \t]*+)+$", re.MULTILINE)
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
        return PageRows().of(text)
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
