"""The words of a hint by what they say of a copy, before any card is asked: which is a condition,
which a serial number, which is tied to a field.

Whoever reads a hint takes some kinds and refuses or passes over the others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum
from itertools import takewhile
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.numbers import parse_serial
from tagger.core.model.text import as_title

if TYPE_CHECKING:
    from tagger.core.matching.hint import Token
    from tagger.core.model.condition import Scale


class TypedAs(StrEnum):
    """What a word is. Those that a sign can tie a word to are called like the fields of a hint."""

    NUMBER = "number"
    """Tied so, or any word with a digit in it that is nothing else."""
    SERIAL = "serial"
    CONDITION = "condition"
    SUBJECT = "subject"
    TEAM = "team"
    SET = "set"
    PARALLEL = "parallel"
    ANY = ""
    """A word that says by itself nothing of what it is."""


class TypedWord(NamedTuple):
    """A word, or the several words of one condition. `value` is the condition's name, empty where
    what is tied to `condition=` is none; of all else the folded text. `whole`: it was not only
    begun."""

    kind: TypedAs
    value: str
    tokens: tuple[Token, ...]
    whole: bool = True

    @property
    def token(self) -> Token:
        """The word; the first of several."""
        return self.tokens[0]


def read_words(tokens: Sequence[Token], scale: Scale, begun: bool = True) -> Iterator[TypedWord]:
    """Each word in turn. With `begun` the beginning of a condition's word is one as well."""
    at = 0
    # several words first: the `near` of `near mint` alone would be the beginning of a name
    while at < len(tokens):
        several = _condition_of_several(tokens[at:], scale) if at + 1 < len(tokens) else None
        word = several or _word(tokens[at], scale, begun)
        yield word
        at += len(word.tokens)


def _condition_of_several(tokens: Sequence[Token], scale: Scale) -> TypedWord | None:
    free = takewhile(lambda token: token.may_be(TypedAs.CONDITION), tokens)
    found = scale.read_several([token.text for token in free])
    if found is None:
        return None
    name, count = found
    return TypedWord(TypedAs.CONDITION, name, tuple(tokens[:count]))


def _word(token: Token, scale: Scale, begun: bool) -> TypedWord:
    text = token.text
    if token.pin:
        return _tied(token, scale)
    # A serial number goes first: a scale may have steps such as `9` and `10`, but none with `/`.
    if parse_serial(text) is not None:
        return TypedWord(TypedAs.SERIAL, text, (token,))
    read = scale.read(text)
    if read is not None and (begun or read.whole):
        return TypedWord(TypedAs.CONDITION, read.name, (token,), read.whole)
    if any(map(str.isdigit, text)):
        return TypedWord(TypedAs.NUMBER, text, (token,))
    return TypedWord(TypedAs.ANY, text, (token,))


def _tied(token: Token, scale: Scale) -> TypedWord:
    """A word that a sign ties to a field: nothing else is asked of it."""
    if token.pin != TypedAs.CONDITION:
        return TypedWord(TypedAs(token.pin), token.text, (token,))
    read = scale.read(token.text)
    if read is None:
        return TypedWord(TypedAs.CONDITION, "", (token,))
    return TypedWord(TypedAs.CONDITION, read.name, (token,), read.whole)


def as_typed(tokens: Iterable[Token]) -> list[str]:
    """The words as they were typed, without the sign that ties them to a field: `set=harbor_light`,
    which is two tokens, gives `harbor` and `light`."""
    found: list[str] = []
    before: Token | None = None
    for token in tokens:
        if before is not None and is_one_word(before, token):
            continue
        before = token
        found += _untied(token)
    return found


def is_one_word(before: Token, token: Token) -> bool:
    """Whether two tokens that follow each other are of one word that `_` joined: these share what
    was typed."""
    return bool(before.pin) and before.raw == token.raw


def _untied(token: Token) -> list[str]:
    if not token.pin:
        return [token.raw]
    if "=" not in token.raw:
        return [token.raw.lstrip("#")]
    value = token.raw.partition("=")[2]
    # `number=RC_7` is a number with that sign in it; in a name it stands for a space.
    if token.pin == TypedAs.NUMBER:
        return [value]
    return value.replace("_", " ").split()


def as_name(tokens: Sequence[Token]) -> str:
    """Words as a name that no checklist has: those typed all in small letters get a capital, but
    for small words between others. A name that a sign ties, with a capital anywhere, is as it was
    typed."""
    words = as_typed(tokens)
    tied = any(token.pin for token in tokens)
    if tied and any(word != word.lower() for word in words):
        return " ".join(words)
    return as_title(words)
