"""Words of a name that by themselves would be read as something else: the digits of `agent 47`, and
the condition in `very good dog`. In one more spelling of the hint they are tied to the name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice
from typing import TYPE_CHECKING

from tagger.core.index.word_marks import MARK_BITS
from tagger.core.model.text import name_pieces

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.hint import Token
    from tagger.core.model.condition import Scale

Words = tuple["Token", ...]
SUBJECTS = 512  # with one word that are asked for the others


def with_names(tokens: Words, index: Index, scale: Scale) -> Words:
    """The hint with such words tied to the name; as it is where it has none."""
    if len(tokens) < 2:  # what is all that is typed is of no name that another word tells
        return tokens
    tied = {*_digits(tokens, index), *_conditions(tokens, index, scale)}
    return tuple(
        token._replace(pin="subject") if at in tied else token for at, token in enumerate(tokens)
    )


def _digits(tokens: Words, index: Index) -> Iterator[int]:
    """Where digits stand that are a word of a name which another word names as well."""
    for at, token in enumerate(tokens):
        if token.pin or not token.text.isdigit():
            continue
        names = _with_word(token.text, index)
        if any(_is_of_any(other, names, index) for other in tokens):
            yield at


def _with_word(word: str, index: Index) -> list[int]:
    """Subjects that have a word."""
    return [item >> MARK_BITS for item in islice(index.subjects.exact(word), SUBJECTS)]


def _is_of_any(token: Token, subjects: Sequence[int], index: Index) -> bool:
    """Whether a word begins one of any of some subjects; one letter says too little."""
    if not subjects or not token.may_be("subject") or len(token.text) < 2 or token.text.isdigit():
        return False
    begun = index.subjects.starting(token.text)
    words = (item >> MARK_BITS for subject in subjects for item in index.forms.of(subject))
    return any(word in begun for word in words)


def _conditions(tokens: Words, index: Index, scale: Scale) -> Iterator[int]:
    """Where the words of a condition stand that are words of a name, and not all that is typed of
    it, unless it has no others."""
    texts = [token.text if token.may_be("condition") else "" for token in tokens]
    for at, text in enumerate(texts):
        found = scale.read_several(texts[at:])
        if found is None:
            continue
        places = range(at, at + found[1])
        names = map(index.subject, _with_word(text, index))
        if any(_holds(name_pieces(name), tokens, places) for name in names):
            yield from places


def _holds(pieces: Sequence[str], tokens: Words, places: range) -> bool:
    """Whether the words at some places are words of a name in its order, and the one before or
    behind them is the next of it."""
    typed = tuple(tokens[at].text for at in places)
    if len(pieces) == len(typed):
        return tuple(pieces) == typed
    starts = range(len(pieces) - len(typed) + 1)
    found = [at for at in starts if tuple(pieces[at : at + len(typed)]) == typed]
    return any(_goes_on(pieces, at, tokens, places) for at in found)


def _goes_on(pieces: Sequence[str], at: int, tokens: Words, places: range) -> bool:
    """Whether the word before or behind some others is the next of a name that has these from a
    place on."""
    if at and places.start and tokens[places.start - 1].text == pieces[at - 1]:
        return True
    behind = tokens[places.stop : places.stop + 1]
    following = "".join(pieces[at + len(places) : at + len(places) + 1])
    return any(len(word.text) > 1 and following.startswith(word.text) for word in behind)
