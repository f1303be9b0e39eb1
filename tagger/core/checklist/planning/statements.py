"""Cards in the statements of a database: `INSERT INTO cards (number, player) VALUES (…)`."""

from __future__ import annotations

import re
from collections.abc import Iterator

_HEAD = 1 << 15  # characters
_INSERT = re.compile(
    r"\binsert\s+into\s+(?P<table>[^\s(]+)\s*(?:\((?P<names>[^()]*)\))?\s*values\b", re.IGNORECASE
)
_TABLE = re.compile(r"\bcreate\s+table\b[^(]*\((?P<columns>.*?)\)\s*;", re.IGNORECASE | re.DOTALL)
_VALUE = re.compile(r"\s*(?:N?'(?P<text>(?:[^']|'')*)'|(?P<bare>[^,()']+))\s*(?P<end>[,)])")
_QUOTES = " \"'`[]"
_NO_COLUMNS = frozenset(["primary", "foreign", "unique", "key", "constraint", "check", "index"])


def statements_as_rows(text: str) -> str:
    """The values of statements as lines of cells below the names of their columns; the same text
    where it is something else."""
    if not (first := _INSERT.search(text, 0, _HEAD)):
        return text
    names = _names(first["names"]) if first["names"] else _declared(text)
    rows = list(_rows(text))
    if not names or len(rows) < 2 or any(len(row) != len(names) for row in rows):
        return text
    return "\n".join("\t".join(row) for row in [names, *rows])


def _names(listed: str) -> list[str]:
    return [name.strip(f"{_QUOTES}\n\r\t") for name in listed.split(",")]


def _declared(text: str) -> list[str]:
    """The columns that the statement which makes the table has; none where there is no such."""
    match = _TABLE.search(text[:_HEAD])
    if match is None:
        return []
    columns = re.sub(r"\([^()]*\)", "", match["columns"]).split(",")
    words = [column.split()[0].strip(_QUOTES) for column in columns if column.strip()]
    return [word for word in words if word.casefold() not in _NO_COLUMNS]


def _rows(text: str) -> Iterator[list[str]]:
    """The values between each pair of brackets behind `VALUES`."""
    for match in _INSERT.finditer(text):
        at = match.end()
        while (begin := re.compile(r"\s*,?\s*\(").match(text, at)) is not None:
            row: list[str] = []
            at = begin.end()
            while (value := _VALUE.match(text, at)) is not None:
                row.append(_said(value))
                at = value.end()
                if value["end"] == ")":
                    break
            else:
                return
            yield row


def _said(value: re.Match[str]) -> str:
    if value["text"] is not None:
        return " ".join(value["text"].replace("''", "'").split())
    bare = value["bare"].strip()
    return "" if bare.casefold() == "null" else bare
