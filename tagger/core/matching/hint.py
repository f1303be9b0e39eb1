"""What a dealer types on one line, taken apart: words, and fields named outright.

A hint is read word by word in any order. A field's name and an equals sign tie a word to that
field: `name=gold` is a subject and never a colour. `#23` is a number. `at=` and `note=` take all
that follows. The names of the fields stand here once, for hints, filters, bulk edits and the search
for a card."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from tagger.core.model.counted import any_of
from tagger.core.model.text import fold, join_apostrophes


class HintField(NamedTuple):
    """A field that a hint can name.

    `word` is its name there, `tag` the tag that it is, `also` what else it is called.
    `to_the_end`: it takes all that follows.
    """

    word: str
    tag: str
    also: tuple[str, ...] = ()
    to_the_end: bool = False


HINT_FIELDS = (
    HintField("number", "number"),
    HintField("name", "subject", ("subject",)),
    HintField("team", "team"),
    HintField("set", "set"),
    HintField("parallel", "parallel"),
    HintField("serial", "serial"),
    HintField("condition", "condition"),
    HintField("at", "place", ("place",), to_the_end=True),
    HintField("note", "note", to_the_end=True),
)

# `no` is how the trade shortens number, and it begins note: taken for a note, `no=23` would tag a
# card with a note that its dealer never meant
_SHORT_FORMS = {"no": "number"}


def _by_beginning() -> dict[str, tuple[HintField, ...]]:
    """The fields that each beginning of a name could be."""
    found: dict[str, tuple[HintField, ...]] = {}
    for field in HINT_FIELDS:
        for begun in _beginnings(field.word):
            found[begun] = (*found.get(begun, ()), field)
    for short, word in _SHORT_FORMS.items():
        meant = next(field for field in HINT_FIELDS if field.word == word)
        found[short] = tuple(dict.fromkeys((meant, *found.get(short, ()))))
    # other names give way to the usual ones: `p` is the parallel, and never a question of place
    usual = frozenset(found)
    for field in HINT_FIELDS:
        for begun in (begun for name in field.also for begun in _beginnings(name)):
            if begun not in usual:
                found[begun] = (*found.get(begun, ()), field)
    return found


def _beginnings(name: str) -> Iterator[str]:
    return (name[:end] for end in range(1, len(name) + 1))


FIELDS_BY_BEGINNING = _by_beginning()

_NAMED = re.compile(r"(?:^|\s)([a-z]+)=", re.IGNORECASE)
_PIN = re.compile(r"^([a-z]+)=(.*)$", re.IGNORECASE)
_DIGITS_LETTERS = re.compile(r"^([0-9]+)([^\W\d_]+)$")
_LETTERS_DIGITS = re.compile(r"^([^\W\d_]+)([0-9]+)$")


def fields_named(name: str) -> tuple[HintField, ...]:
    """The fields that a name could be, written out or cut short: several where it is not clear,
    none where no field is called so."""
    return FIELDS_BY_BEGINNING.get(name.casefold(), ())


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
    are to be dropped. `unclear` says, as a sentence without its full stop, which fields a name that
    was cut too short could be; the word behind it is none of `tokens`."""

    tokens: tuple[Token, ...] = ()
    place: str | None = None
    note: str | None = None
    unclear: str = ""


def parse_hint(text: str) -> Hint:
    """Take a hint apart. Any text is a hint; nothing is raised."""
    head, tails = _without_tails(text)
    tokens: list[Token] = []
    unclear = ""
    for word in head.split():
        plain = join_apostrophes(word)
        pinned = _PIN.match(plain)
        fields = _tying(pinned)
        if pinned is None or not fields:
            tokens.extend(_untied(word, plain))
        elif len(fields) == 1:
            tokens.extend(_tied(word, fields[0].tag, fold(pinned[2])))
        else:
            could_be = any_of([field.word for field in fields])
            unclear = unclear or f"'{pinned[1]}=' could be {could_be}: type one more letter"
    return Hint(tuple(tokens), tails.get("place"), tails.get("note"), unclear)


def _without_tails(text: str) -> tuple[str, dict[str, str]]:
    """The hint up to the first field that takes all that follows, and what each such field has, the
    last one where it is named twice."""
    if "=" not in text:
        return text, {}
    named = [(found, fields_named(found[1])) for found in _NAMED.finditer(text)]
    tails = [(found, fields[0]) for found, fields in named if len(fields) == 1]
    tails = [(found, field) for found, field in tails if field.to_the_end]
    if not tails:
        return text, {}
    ends = [*(found.start() for found, _ in tails[1:]), len(text)]
    values = {
        field.tag: " ".join(text[found.end() : end].split())
        for (found, field), end in zip(tails, ends, strict=True)
    }
    return text[: tails[0][0].start()], values


def _tying(pinned: re.Match[str] | None) -> tuple[HintField, ...]:
    """The fields that a word could be tied to by the name before its sign."""
    if pinned is None:
        return ()
    fields = fields_named(pinned[1])
    # `'at=`, with an apostrophe that is no part of a name, begins no place
    return () if len(fields) == 1 and fields[0].to_the_end else fields


def _tied(word: str, tag: str, value: str) -> list[Token]:
    """A word behind the sign of a field; `_` and `-` part words, but not within a number."""
    if tag in ("number", "serial"):
        return [Token(word, value, tag)]
    return [Token(word, part, tag) for part in re.split(r"[_\-]+", value)]


def _untied(word: str, plain: str) -> list[Token]:
    if plain.startswith("#") and len(plain) > 1:
        return [Token(word, fold(plain[1:]), "number")]
    folded = fold(plain)
    # a word of nothing but signs is kept as it is, so that it is told that it was not understood
    text = folded.strip('.,;:()[]!?"') or folded
    return [Token(word, text)] if text.strip() else []


def split_mixed(token: Token) -> tuple[Token, Token] | None:
    """`23g` as 23 and g, `marsh23` as marsh and 23; None where there is nothing to part."""
    if token.pin:
        return None
    if match := _DIGITS_LETTERS.match(token.text):
        return Token(match[1], match[1], "number"), Token(match[2], match[2])
    if match := _LETTERS_DIGITS.match(token.text):
        return Token(match[1], match[1]), Token(match[2], match[2], "number")
    return None
