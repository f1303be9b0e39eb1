"""What a dealer types on one line, taken apart: words, and fields named outright.

A hint is read word by word in any order. A word is tied to one field by a short name and an equals
sign: `n=gold` is a subject and never a colour. `#23` is a number. `at=` and `note=` take all that
follows."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple

from tagger.core.model.text import fold, join_apostrophes

PINS = {
    "n": "subject", "name": "subject",
    "no": "number",
    "s": "set", "set": "set",
    "t": "team", "team": "team",
    "p": "parallel", "par": "parallel",
    "c": "condition", "cond": "condition",
    "r": "serial", "run": "serial",
}  # fmt: skip
TAILS = {"at": "place", "note": "note"}

_TAIL = re.compile(r"(?:^|\s)(at|note)=", re.IGNORECASE)
_PIN = re.compile(r"^([a-z]+)=(.*)$", re.IGNORECASE)
_DIGITS_LETTERS = re.compile(r"^([0-9]+)([^\W\d_]+)$")
_LETTERS_DIGITS = re.compile(r"^([^\W\d_]+)([0-9]+)$")


class Token(NamedTuple):
    """One word of a hint: as typed, folded, and the field it is tied to (empty for none)."""

    raw: str
    text: str
    pin: str = ""

    def may_be(self, field: str) -> bool:
        """Whether the word can mean this field: it is tied to it, or to none."""
        return self.pin in ("", field)


@dataclass(frozen=True, slots=True)
class Hint:
    """A hint taken apart. `place` and `note` are None where they were not typed, empty where they
    are to be dropped."""

    tokens: tuple[Token, ...] = ()
    place: str | None = None
    note: str | None = None


def parse_hint(text: str) -> Hint:
    """Take a hint apart. Any text is a hint; nothing is raised."""
    head, place, note = text, None, None
    match = _TAIL.search(text)
    if match:
        head = text[: match.start()]
        pieces = _TAIL.split(text[match.start() :])
        for name, value in zip(pieces[1::2], pieces[2::2], strict=True):
            said = " ".join(value.split())
            if TAILS[name.lower()] == "place":
                place = said
            else:
                note = said
    tokens: list[Token] = []
    for word in head.split():
        tokens.extend(_tokens(word))
    return Hint(tuple(tokens), place, note)


def _tokens(word: str) -> list[Token]:
    plain = join_apostrophes(word)
    if plain.startswith("#") and len(plain) > 1:
        return [Token(word, fold(plain[1:]), "number")]
    pinned = _PIN.match(plain)
    if pinned and pinned[1].lower() in PINS:
        field = PINS[pinned[1].lower()]
        value = fold(pinned[2])
        parts = [value] if field in ("number", "serial") else re.split(r"[_\-]+", value)
        return [Token(word, part, field) for part in parts]
    text = fold(plain).strip('.,;:()[]!?"')
    if not text:
        return [Token(word, fold(plain))] if fold(plain).strip() else []
    return [Token(word, text)]


def split_mixed(token: Token) -> tuple[Token, Token] | None:
    """`23g` as 23 and g, `marsh23` as marsh and 23; None where there is nothing to part."""
    if token.pin:
        return None
    if match := _DIGITS_LETTERS.match(token.text):
        return Token(match[1], match[1], "number"), Token(match[2], match[2])
    if match := _LETTERS_DIGITS.match(token.text):
        return Token(match[1], match[1]), Token(match[2], match[2], "number")
    return None
