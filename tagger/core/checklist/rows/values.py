"""Values of cells by their numbers: each distinct text is made into a value once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from operator import itemgetter
from typing import Any
from unicodedata import normalize

from tagger.core.model.text import fold

UNSET = 0xFFFFFFFF  # instead of a set's number where the cells of a line name none
# What programs write where nothing is (common practice, no source).
_NOTHING = frozenset(
    ["nan", "null", "(null)", "<na>", "none", "nil", "n/a", "\\n", "-", "--", "–", "—"]
)


class _Numbered(dict[Any, int]):
    """The number of each text that was met; a new one is made where it is asked for, so that many
    cells are gone through once and within the interpreter."""

    def __init__(self, make: Callable[[Any], int]) -> None:
        super().__init__()
        self._make = make

    def __missing__(self, raw: Any) -> int:
        self[raw] = found = self._make(raw)
        return found


class Values:
    """From the cells of a line to the number of one column's value."""

    def __init__(self, at: Sequence[int], make: Callable[[Any], int]) -> None:
        """`make` gets the text of the one cell at `at`, or a tuple of several, or an empty text
        where there is none."""
        self._at = tuple(at)
        self._numbers = _Numbered(make)
        self._pick: Callable[[Sequence[Any]], Any] = lambda cells: ""
        if at:
            self._pick = itemgetter(*at)

    def one(self, cells: list[str]) -> int:
        """The number for one line."""
        return self._numbers[self._pick(cells)]

    def many(self, columns: Sequence[list[str]]) -> list[int]:
        """The numbers for many lines, given by their columns."""
        if not self._at:
            return [self.one([])] * len(columns[0])
        raws: list[Any] = self._pick(columns)
        if len(self._at) > 1:
            raws = list(zip(*raws, strict=True))
        return list(map(self._numbers.__getitem__, raws))


def tidy(text: str) -> str:
    """The text with single spaces between its words, letters and their marks composed (UAX #15,
    NFC), so that two files write a name in the same way."""
    tidied = " ".join(text.split())
    if not tidied.isascii():
        tidied = normalize("NFC", tidied)
    if tidied == text:
        return text  # the same text twice would be held twice
    return tidied


def said(text: str) -> str:
    """The tidied text of a cell, empty where it says that there is nothing."""
    found = tidy(text)
    return "" if fold(found) in _NOTHING else found
