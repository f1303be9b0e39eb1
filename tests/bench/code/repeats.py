"""Stretches of lines that stand twice, alike but for names, texts and numbers."""

from __future__ import annotations

import ast
import keyword
import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

from bench.code.tree import Module

# Fewer lines, or lines that are much alike among themselves (the fields of a dataclass, the rows of
# a table), are alike in two places by chance or because there is one way to say it.
LEAST, DIFFERENT = 6, 5
# What stands in more places than this is an idiom of the language or the house, not a copy.
MOST = 8
_WORD = re.compile(
    r"""(?P<text>[rbfu]*"(?:[^"\\]|\\.)*"|[rbfu]*'(?:[^'\\]|\\.)*')|(?P<number>\b\d[\w.]*)|\w+""",
    re.IGNORECASE,
)
Place = tuple[int, int]  # which module, and from which of its telling lines on


class Repeat(NamedTuple):
    """Two places with lines of one shape: modules, first lines (from 1), and how many lines."""

    module: str
    line: int
    other: str
    other_line: int
    lines: int


class _Line(NamedTuple):
    number: int
    shape: str


def repeats(modules: Sequence[Module]) -> list[Repeat]:
    """All pairs of stretches, each as long as it is, longest first.

    Empty lines, comments, docstrings, imports and lone punctuation are passed over."""
    texts = [list(_telling(module)) for module in modules]
    places: dict[tuple[str, ...], list[Place]] = defaultdict(list)
    for at, lines in enumerate(texts):
        for start in range(len(lines) - LEAST + 1):
            window = tuple(line.shape for line in lines[start : start + LEAST])
            if len(set(window)) >= DIFFERENT:
                places[window].append((at, start))
    pairs = {
        pair for same in places.values() if len(same) <= MOST for pair in combinations(same, 2)
    }
    found = [
        _repeat(modules, texts, one, other)
        for one, other in pairs
        # where the lines before are a pair as well, this one is counted with them
        if ((one[0], one[1] - 1), (other[0], other[1] - 1)) not in pairs
    ]
    return sorted(
        (each for each in found if each.lines >= LEAST), key=lambda each: (-each.lines, each)
    )


def _telling(module: Module) -> Iterator[_Line]:
    """The lines that count, as shapes."""
    passed = {
        number
        for node in ast.walk(module.tree)
        if _says_nothing(node)
        for number in range(node.lineno, (node.end_lineno or node.lineno) + 1)
    }
    for number, line in enumerate(module.source.splitlines(), start=1):
        text = line.strip()
        if number not in passed and any(map(str.isalnum, text)) and not text.startswith("#"):
            yield _Line(number, _WORD.sub(_sort, text))


def _says_nothing(node: ast.AST) -> bool:
    docstring = (
        isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Constant)
        and isinstance(node.value.value, str)
    )
    return docstring or isinstance(node, ast.Import | ast.ImportFrom)


def _sort(word: re.Match[str]) -> str:
    if word["text"]:
        return "text"
    if word["number"]:
        return "number"
    return word[0] if keyword.iskeyword(word[0]) else "name"


def _repeat(
    modules: Sequence[Module], texts: Sequence[Sequence[_Line]], one: Place, other: Place
) -> Repeat:
    (at, start), (other_at, other_start) = one, other
    first, second = texts[at][start:], texts[other_at][other_start:]
    if at == other_at:
        first = first[: other_start - start]  # a run of equal lines does not repeat itself
    shared = 0
    for line, again in zip(first, second, strict=False):
        if line.shape != again.shape:
            break
        shared += 1
    return Repeat(
        modules[at].name, first[0].number, modules[other_at].name, second[0].number, shared
    )
