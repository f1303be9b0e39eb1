"""One column of a layout: what is in it, in which case, and how long it may be."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tagger.core.model.text import stays_small

if TYPE_CHECKING:
    from tagger.exchange.layout.template import Template

CASES = ("as is", "upper", "lower", "title")
_WORD = re.compile(r"\S+")
# Letters with no digit beside them: `1st` and `RC7` have a case of their own.
_LETTERS = re.compile(r"(?<![^\W_])[^\W\d_]+(?![^\W_])")
_APOSTROPHES = "'’"


@dataclass(frozen=True)
class LayoutColumn:
    """A column. `at_most` is in characters (Unicode code points), None for no limit; `drop` names
    the fields that go first when the text is longer, in that order; `case` is one of CASES. `line`
    is that of the text in the layout's file."""

    heading: str
    template: Template
    at_most: int | None = None
    drop: tuple[str, ...] = ()
    case: str = "as is"
    line: int = 0

    @property
    def field(self) -> str:
        """The field that the column gives unaltered, so that it can be imported; empty where
        there is none."""
        # What was cut or put into another case is not the value any more.
        return self.template.alone if self.at_most is None and self.case == "as is" else ""

    def text(self, values: Mapping[str, str]) -> str:
        """The column's text for a row's values by field."""
        text = cased(self.template.fill(values), self.case)
        if self.at_most is None or len(text) <= self.at_most:
            return text
        # One field after the other: as little as possible is lost.
        for count in range(1, len(self.drop) + 1):
            text = cased(self.template.fill(values, self.drop[:count]), self.case)
            if len(text) <= self.at_most:
                return text
        return shortened(text, self.at_most)


def cased(text: str, case: str) -> str:
    """The text in a case. `title` gives a word that is all small or all capital letters one capital
    (`O'NEIL`: `O'Neil`) and leaves others (`McKay`) and those with a digit as they are; small words
    between others (`Hall of Mirrors`) have none."""
    match case:
        case "upper":
            return text.upper()
        case "lower":
            return text.lower()
        case "title":
            return _titled(text)
    return text


def _titled(text: str) -> str:
    words, places = text.split(), iter(range(len(text)))

    def titled(found: re.Match[str]) -> str:
        word, small = found[0], stays_small(words, next(places))
        # `LA` among other words is a place; in a text all in capitals it says nothing
        if small and (word.islower() or text.isupper()):
            return word.lower()
        return _LETTERS.sub(lambda letters: _capital(letters, word), word)

    return _WORD.sub(titled, text)


def _capital(word: re.Match[str], text: str) -> str:
    letters, at = word[0], word.start()
    if not (letters.islower() or letters.isupper()):
        return letters  # `McKay` is written so on purpose
    if len(letters) == 1 and at > 0 and text[at - 1] in _APOSTROPHES:
        return letters.lower()  # the s of "Dealer's"
    return letters[0].upper() + letters[1:].lower()


def shortened(text: str, at_most: int) -> str:
    """The text cut to at most so many characters, between words. A sign that would stand alone at
    the end goes too. A first word that is longer by itself is cut, but never between a letter and
    its marks."""
    if len(text) <= at_most:
        return text
    end = _end_of_words(text, at_most)
    if end:
        return text[:end].lstrip()
    first = text.split()[0]
    end = min(at_most, len(first))
    # A mark belongs to the letter in front of it (The Unicode Standard, 3.6).
    while 1 < end < len(first) and unicodedata.combining(first[end]):
        end -= 1
    return first[:end]


def _end_of_words(text: str, at_most: int) -> int:
    """Where the last word ends that has letters or digits and fits; 0 where none does."""
    ends = (word.end() for word in _WORD.finditer(text) if any(map(str.isalnum, word[0])))
    return max((end for end in ends if end <= at_most), default=0)
