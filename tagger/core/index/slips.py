"""Words of an index that a slip of the finger could have made another word of."""

from __future__ import annotations

from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

from tagger.core.index.vocabulary import Beginnings
from tagger.core.index.word_marks import INITIALS_MARK, MARK_BITS
from tagger.core.model.tags import is_colour_of

if TYPE_CHECKING:
    from tagger.core.index.index_tables import IndexTables

SLIPS = 24  # beginnings that a word with a slip could be, of those with one first letter
# first letters whose words are held ready for slips; each is a few thousand words at most
LETTERS_AT_HAND = 12


class Slips:
    """The words of subjects and parallels, by how near they are to a word."""

    def __init__(self, tables: IndexTables) -> None:
        self._subjects, self._parallels = tables.subjects, tables.parallel_words
        # on the method it would hold each index that ever was
        self._first_letters = lru_cache(LETTERS_AT_HAND)(self._beginnings)

    def of_subjects(self, word: str, edits: int) -> list[tuple[str, int]]:
        """(beginning, edits): beginnings of words anywhere that are nearly `word`, with its first
        or second letter."""
        # the first two letters may be changed over, or the first be one too many
        letters = dict.fromkeys(word[:2])
        return [
            found
            for letter in letters
            for found in self._first_letters(letter).near(word, edits, SLIPS)
        ]

    def of_parallels(self, text: str) -> frozenset[int]:
        """The kinds of cards with a parallel, a beginning of whose words a text could be with one
        slip."""
        words = self._parallels
        return frozenset(
            item >> MARK_BITS
            for beginning, _ in self._parallel_beginnings.near(text, 1)
            for at in words.starting(beginning)
            if not is_colour_of(text, words.words[at])
            for items in words.of(range(at, at + 1))
            for item in items
            if not item & INITIALS_MARK  # `gw` is no word to make a slip in
        )

    @cached_property
    def _parallel_beginnings(self) -> Beginnings:
        return Beginnings(list(self._parallels.words))

    def _beginnings(self, letter: str) -> Beginnings:
        words = self._subjects.words
        begun = words.starting(letter)
        return Beginnings(words[begun.start : begun.stop])
