"""The words that a name can be typed by, each with a mark of how it stands in the name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from tagger.core.model.tags import Extra, is_series
from tagger.core.model.text import fold, words

# How a word stands in a name: two bits for its kind, four for how many words more the name has.
MARK_BITS = 6
MOST_LONGER = 15
INITIALS_MARK = 1  # of a parallel: its initials, and no word of its name
GENERATION = frozenset({"jr", "sr", "ii", "iii", "iv"})
NOT_NAMES = GENERATION | {"and", "und", "et", "y"}


# A bit for each first letter of a word, and one for all that are none of these.
_BITS = {letter: 1 << at for at, letter in enumerate("abcdefghijklmnopqrstuvwxyz")}
_OTHER_LETTER = 1 << len(_BITS)


def letter_bit(word: str) -> int:
    """The bit of a word's first letter; other letters may have the same one."""
    return _BITS.get(word[0], _OTHER_LETTER)


class WordKind:
    """What a word is in a name. Of a generation (`jr`) the beginning says nothing."""

    GENERATION, NAME, SURNAME = range(3)


def mark(kind: int, name: str) -> int:
    """The mark of a word in a name."""
    return kind | min(name.count(" "), MOST_LONGER) << 2


def name_words(name: str) -> Iterator[tuple[str, int]]:
    """(word, mark) for each word that a person's name can be typed by. The surname is what the name
    ends with, joined or not, a generation left out."""
    every = words(name)
    # a name of nothing else is one: `Sr` may be all that a list has
    known = _ungenerated(every) or list(every)
    whole = [fold("".join(filter(str.isalnum, piece))) for piece in name.split()]
    ends = ("".join(whole), "".join(_ungenerated(whole)))
    for word in every:
        yield word, mark(_kind(word, known, ends), name)


def _ungenerated(pieces: Iterable[str]) -> list[str]:
    return [piece for piece in pieces if piece not in GENERATION]


def _kind(word: str, known: Sequence[str], ends: tuple[str, str]) -> int:
    """What a word is in a name; `ends`: the whole name joined, and that without a generation."""
    if word not in known:
        return WordKind.GENERATION
    if ends[0].endswith(word) or ends[1].endswith(word):
        return WordKind.SURNAME
    return WordKind.NAME


def set_words(name: str) -> tuple[str, ...]:
    """The words that a set can be typed by: its own, a year's last two digits, and the initials of
    the rest."""
    own = words(name)
    short = [word[2:] for word in own if len(word) == 4 and word.isdigit()]
    letters = _set_initials(name)
    if len(letters) > 1:  # one letter would mean every set that begins with it
        short.append(letters)
    return tuple(dict.fromkeys((*own, *short)))


# What a column has for a card that is what the column says: `x` under `RC` (common practice, no
# source)
_MARKS = frozenset({"x", "xx", "y", "yes", "ja", "oui", "si", "true", "*", "✓", "✔", "•"})


def noted_words(extra: Extra) -> frozenset[str]:
    """The words that the further columns of a card hold, its series and all that is no word left
    out: `RC` where a column says so of it, or is called so and has a mark for it."""
    found: set[str] = set()
    for column, value in extra:
        if value and not is_series(column):
            found.update(words(column if fold(value.strip()) in _MARKS else value))
    return frozenset(word for word in found if len(word) > 1 and word.isalpha())


def _set_initials(name: str) -> str:
    """The first letters of a set's words; its year has none."""
    return "".join(word[0] for word in fold(name).split() if word[0].isalpha())
