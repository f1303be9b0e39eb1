"""In which line of a TOML file a key stands: Python's tomllib tells values only.

The text must be valid TOML 1.0 already; then a key can only stand at the start of a line that is in
no string, no list and no inline table (toml.io, v1.0.0)."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Sequence

Path = tuple[str | int, ...]

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
        counts: Counter[tuple[str, ...]] = Counter()
        here: Path = ()
        at, line = 0, 1
        while at < len(text):
            start = at
            if header := _HEADER.match(text, at):
                names = _split(header["names"])
                here = names
                if header["open"] == "[[":
                    here = (*names, counts[names])
                    counts[names] += 1
                self._lines.setdefault(names, line)
                self._lines[here] = line
                at = text.find("\n", header.end())
                at = len(text) if at < 0 else at + 1
            elif key := _KEY.match(text, at):
                names = _split(key["names"])
                for length in range(1, len(names) + 1):
                    self._lines.setdefault((*here, *names[:length]), line)
                at = _end_of_value(text, key.end())
            else:
                at = text.find("\n", at)
                at = len(text) if at < 0 else at + 1
            line += text.count("\n", start, at)

    def of(self, path: Sequence[str | int]) -> int:
        """The line of a key, or of the nearest thing around it that has one."""
        for length in range(len(path), 0, -1):
            if line := self._lines.get(tuple(path[:length])):
                return line
        return 1


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
    given: object = tomllib.loads(f"{names} = 0")
    while isinstance(given, dict):
        name, given = next(iter(given.items()))
        found.append(name)
    return tuple(found)
