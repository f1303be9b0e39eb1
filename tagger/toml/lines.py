"""In which line of a TOML file a key stands: Python's tomllib tells values only.

The text must be valid TOML 1.0 already; then a key can only stand at the start of a line that is in
no string, no list and no inline table (toml.io, v1.0.0)."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Sequence

Path = tuple[str | int, ...]

# One or two quotation marks may stand right before the three that end a text of several lines. A
# comment counts as well: a bracket or a quotation mark in it opens nothing.
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'"
    r"|#[^\n]*|[\[\]{}\n]",
    re.DOTALL,
)
_NAME = r"""(?:[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')"""
_NAMES = rf"{_NAME}(?:[ \t]*\.[ \t]*{_NAME})*"
_HEADER = re.compile(rf"[ \t]*(?P<open>\[\[?)[ \t]*(?P<names>{_NAMES})[ \t]*\]")
_KEY = re.compile(rf"[ \t]*(?P<names>{_NAMES})[ \t]*=")


class TomlLines:
    """The lines of the keys of a TOML text, from 1. An entry of an array of tables is counted from
    0."""

    def __init__(self, text: str) -> None:
        self._lines: dict[Path, int] = {}
        self._counts: Counter[tuple[str, ...]] = Counter()
        self._here: Path = ()
        at, line = 0, 1
        while at < len(text):
            end = self._take(text, at, line)
            line += text.count("\n", at, end)
            at = end

    def _take(self, text: str, at: int, line: int) -> int:
        """Take what stands in a line; where the next one begins that is not a part of it."""
        if header := _HEADER.match(text, at):
            self._take_header(_split(header["names"]), header["open"] == "[[", line)
            return _next_line(text, header.end())
        if key := _KEY.match(text, at):
            names = _split(key["names"])
            # `a.b = 1` also makes the table a.
            for length in range(1, len(names) + 1):
                self._lines.setdefault((*self._here, *names[:length]), line)
            # A value may run over several lines, with what looks like keys in them.
            return _end_of_value(text, key.end())
        return _next_line(text, at)

    def _take_header(self, names: tuple[str, ...], of_array: bool, line: int) -> None:
        self._here = names
        if of_array:
            self._here = (*names, self._counts[names])
            self._counts[names] += 1
        # An array of tables is where its first entry is.
        self._lines.setdefault(names, line)
        self._lines[self._here] = line

    def of(self, path: Sequence[str | int]) -> int:
        """The line of a key, or of the nearest thing around it that has one."""
        for length in range(len(path), 0, -1):
            if line := self._lines.get(tuple(path[:length])):
                return line
        return 1


def _next_line(text: str, at: int) -> int:
    return (text.find("\n", at) + 1) or len(text)


def _end_of_value(text: str, at: int) -> int:
    """Behind the line's end at which a value is over."""
    depth = 0
    for found in _STRING.finditer(text, at):
        sign = found[0]
        if sign in "[{":
            depth += 1
        elif sign in "]}":
            depth -= 1
        elif sign == "\n" and depth <= 0:
            return found.end()
    return len(text)


def _split(names: str) -> tuple[str, ...]:
    """`a."b.c"` as (a, b.c)."""
    found: list[str] = []
    # Names may be quoted, with escapes in them: what reads TOML reads them.
    given: object = tomllib.loads(f"{names} = 0")
    while isinstance(given, dict):
        name, given = next(iter(given.items()))
        found.append(name)
    return tuple(found)
