"""What a card prints of its set: years on its last lines, and the words of the set's name."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rapidfuzz.distance import OSA

from tagger.core.model.text import fold
from tagger.core.reading.lines_read import LEAST

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.reading.lines_read import ReadLine
    from tagger.core.reading.printed import CardReading, PrintedText

# log weights: the year of a line that says when the card was made is the set's, or another one; a
# year after the set's stands anywhere; each word of the set's name, where all of them are read
SAME_YEAR, OTHER_YEAR, LATER_YEAR, WORD = 2.0, -12.0, -8.0, 3.0
LONG_LINE = 14  # letters and digits of a last line that says which set it is of
LONG_WORD = 5  # letters of a word that may have one other letter
MOST_NAMED = 4  # words of a name that count

_YEAR = re.compile(r"(?<![0-9])((?:18|19|20)[0-9]{2})(?![0-9])")
_SEASON = re.compile(r"(?<![0-9])((?:18|19|20)[0-9]{2})\s?[-/–]\s?([0-9]{2,4})(?![0-9])")
# of a line that says when the card was made: `200I`
_MADE_YEAR = re.compile(r"(?<![0-9A-Za-z])((?:18|19|20)[0-9OoIl|]{2})(?![0-9A-Za-z])")
_SPELLED = str.maketrans("OoIl|", "00111")
# what is left of such a line where its sign is not read
_BARE = re.compile(r"^\W*(?:18|19|20)[0-9OoIl|]{2}[^0-9]{8,}")
RIM = 0.12  # of the card: there such lines stand
_MADE = re.compile(r"[©®]|\(c\)|copyright|\bcopr?\b|printed in|all rights|tous droits", re.I)


@dataclass(frozen=True)
class PrintedSet:
    """The name of a set, as it can be found on cards: the years it has, and its words."""

    years: frozenset[int]
    words: tuple[str, ...]

    @staticmethod
    def of(name: str) -> PrintedSet:
        """What a set's name says."""
        folded = fold(name)
        years = set(map(int, _YEAR.findall(folded)))
        for first, last in _SEASON.findall(folded):
            # Both years of a season, since cards print either of them.
            years.add(int(last) if len(last) == 4 else int(first[: 4 - len(last)] + last))
        words = re.findall(r"[^\W\d_]+", folded)
        return PrintedSet(frozenset(years), tuple(words))


class SetsRead:
    """What was read of a card's set, asked about any set."""

    def __init__(
        self, index: Index, lines: Sequence[ReadLine], known: Mapping[int, Collection[str]]
    ) -> None:
        """`known`: last lines of cards that named their set, by its number in the index."""
        self._index, self._last_known = index, known
        single = [line for line in lines if len(line.parts) == 1]
        self.last_lines = frozenset(
            line.joined
            for line in single
            if _MADE.search(line.parts[0].text) and len(line.joined) >= LONG_LINE
        )
        """Those that say who made the card and when, letters and digits alone."""
        texts = [line.parts[0] for line in single]
        self.made = _years_made(texts) or _years_at_rim(texts)
        """The years in which the card says that it was made."""
        self._latest = max((year for line in single for year in _years(line.text)), default=0)
        self._words = [line.words for line in lines]
        self._known: dict[int, tuple[float, bool, PrintedSet]] = {}
        self._said: dict[int, tuple[float, int, PrintedSet]] = {}

    def beside(self, known: Mapping[int, Collection[str]]) -> SetsRead:
        """The same card beside other last lines; what it says itself is not looked for again."""
        other = copy(self)
        other._last_known, other._known = known, {}
        return other

    def weight(self, set_id: int) -> float:
        """The log weight of a set."""
        return self._of(set_id)[0]

    def is_named(self, set_id: int) -> bool:
        """Whether the card names the set, and no year on it speaks against that."""
        return self._of(set_id)[1]

    def is_dated(self, set_id: int) -> bool:
        """Whether a year was read that may speak for the set or against it, or the set has none."""
        words = self.printed(set_id)
        return not words.years or bool(self.made or self._years_beside(words.words))

    def printed(self, set_id: int) -> PrintedSet:
        """What a set's name says."""
        return self._of(set_id)[2]

    def _of(self, set_id: int) -> tuple[float, bool, PrintedSet]:
        known = self._known.get(set_id)
        if known is None:
            year, named, printed = self._says(set_id)
            if not named and self._has_last_line(set_id):
                named = 1
            known = (year + WORD * named, named > 0 and year >= 0, printed)
            self._known[set_id] = known
        return known

    def _says(self, set_id: int) -> tuple[float, int, PrintedSet]:
        """The log weight of a set's year, how many words of its name were read, and the name."""
        said = self._said.get(set_id)
        if said is None:
            printed = PrintedSet.of(self._index.sets[set_id])
            said = self._year(printed), self._named(printed.words), printed
            self._said[set_id] = said
        return said

    def _year(self, printed: PrintedSet) -> float:
        if not printed.years:
            return 0.0
        # The line that says when it was made goes before all others: a back is full of years of
        # somebody's career.
        made = self.made or self._years_beside(printed.words)
        if made:
            return SAME_YEAR if printed.years & made else OTHER_YEAR
        # Nobody prints the future: a card with a later year on it is of no earlier set.
        if self._latest > max(printed.years):
            return LATER_YEAR
        return 0.0

    def _has_last_line(self, set_id: int) -> bool:
        """Whether the card ends as others of the set do, which named it."""
        return any(
            OSA.distance(mine, known, score_cutoff=len(known) // 10) <= len(known) // 10
            for known in self._last_known.get(set_id, ())
            for mine in self.last_lines
        )

    def _years_beside(self, words: Sequence[str]) -> frozenset[int]:
        """The years that stand in a line with a set's whole name."""
        if not words:
            return frozenset()
        beside = [line for line in self._words if _in_line(words, line) == len(words)]
        return frozenset(year for line in beside for year in _years(" ".join(line)))

    def _named(self, words: Sequence[str]) -> int:
        """How many words of a set's name were read in one line; 0 where too few."""
        if not words:
            return 0
        best = max((_in_line(words, line) for line in self._words), default=0)
        if best == len(words):
            return min(best, MOST_NAMED)
        # of a long name a logo often has less
        return best - 1 if best >= 2 and 2 * best > len(words) else 0

    def line_of(self, set_id: int, lines: Iterable[ReadLine]) -> list[ReadLine]:
        """The lines that name a set, or a part of its name, or say when the card was made; a logo
        often has its words in two lines."""
        words = self.printed(set_id).words
        single = [
            line for line in lines
            if len(line.parts) == 1
            and (_in_line(words, line.words) >= min(2, len(words)) or _is_last(line.parts[0]))
        ]  # fmt: skip
        logos = [
            line for line in lines
            if len(line.parts) > 1 and len(line.words) <= len(words) + 1
            and _in_line(words, line.words) == len(words)
        ]  # fmt: skip
        return [*single, *logos]


# older cards are in few lists, and a digit is soon misread
_OLDEST = 1900


def years_made(reading: CardReading) -> frozenset[int]:
    """The years in which a card says that it was made."""
    return _years_made(text for text in reading.texts if text.confidence >= LEAST)


def _years_made(texts: Iterable[PrintedText]) -> frozenset[int]:
    said = (text.text for text in texts if _MADE.search(text.text))
    return frozenset(year for text in said for year in _years_spelled(text) if year >= _OLDEST)


def _years_at_rim(texts: Iterable[PrintedText]) -> frozenset[int]:
    """The same of lines there that begin with a year and go on with words."""
    said = (text.text for text in texts if _is_bare(text))
    return frozenset(year for text in said for year in _years_spelled(text) if year >= _OLDEST)


def _is_last(text: PrintedText) -> bool:
    """Whether a line says when the card was made."""
    return _is_bare(text) or _MADE.search(text.text) is not None


def _is_bare(text: PrintedText) -> bool:
    if not _BARE.match(text.text):
        return False
    box = text.on_card
    middle = (box.left + box.right, box.top + box.bottom)[not text.turn % 180] / 2
    return text.side == "back" and min(middle, 1 - middle) < RIM


def _years_spelled(text: str) -> list[int]:
    return [int(year.translate(_SPELLED)) for year in _MADE_YEAR.findall(text)]


def _years(text: str) -> list[int]:
    return list(map(int, _YEAR.findall(text)))


def _in_line(words: Sequence[str], line: Sequence[str]) -> int:
    """How many words of a name a line has."""
    if len(line) > 14:  # of prose, which may have any
        return 0
    joined = "".join(line)
    if len(words) > 1 and "".join(words) in joined:
        return len(words)
    return sum(any(_same(word, other) for other in line) for word in words)


def _same(word: str, other: str) -> bool:
    if word == other:
        return True
    if min(len(word), len(other)) < LONG_WORD:
        return False
    return OSA.distance(word, other, score_cutoff=1) <= 1
