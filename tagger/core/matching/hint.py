"""What a dealer types on one line, taken apart: words, and fields named outright.

A hint is read word by word in any order. A field's name and an equals sign tie a word to that
field: `name=gold` is a subject and never a colour. `#23` is a number. `price=3.50` is a sum, and
says nothing of which card it is. `at=` and `note=` take all that follows. The names of the fields
stand here once, for hints, filters, bulk edits and the search for a card."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from tagger.core.model.column_names import PRICE
from tagger.core.model.counted import any_of
from tagger.core.model.money import is_sum, not_a_price
from tagger.core.model.text import fold, join_apostrophes


class HintField(NamedTuple):
    """A field that a hint can name.

    `word` is its name there, `tag` the tag that it is, `also` what else it is called; `short` is a
    short form that is no beginning of its name. `to_the_end`: it takes all that follows. `least`:
    letters of the name that must be typed.
    """

    word: str
    tag: str
    also: tuple[str, ...] = ()
    short: str = ""
    to_the_end: bool = False
    least: int = 1


HINT_FIELDS = (
    # `no` is how the trade shortens number, and it begins note: taken for a note, `no=23` would tag
    # a card with a note that its dealer never meant
    HintField("number", "number", short="no"),
    HintField("name", "subject", ("subject",)),
    HintField("team", "team"),
    HintField("set", "set"),
    HintField("parallel", "parallel"),
    HintField("serial", "serial"),
    HintField("condition", "condition"),
    # `p=` is the parallel, and `pr` before the key `=` is a condition: this name came last
    HintField(PRICE, PRICE, least=3),
    HintField("at", "place", ("place",), to_the_end=True),
    HintField("note", "note", to_the_end=True),
)


def _by_beginning() -> dict[str, tuple[HintField, ...]]:
    """The fields that each beginning of a name could be."""
    usual = _gathered((name, field) for field in HINT_FIELDS for name in (field.word, field.short))
    others = _gathered((name, field) for field in HINT_FIELDS for name in field.also)
    # other names give way to the usual ones: `p` is the parallel, and never a question of place
    return others | usual


def _gathered(named: Iterable[tuple[str, HintField]]) -> dict[str, tuple[HintField, ...]]:
    found: dict[str, tuple[HintField, ...]] = {}
    for name, field in named:
        for end in range(field.least, len(name) + 1):
            had = found.get(name[:end], ())
            found[name[:end]] = tuple(dict.fromkeys((*had, field)))
    return found


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
    """A hint taken apart. `place`, `note` and `price` are None where they were not typed, empty
    where they are to be dropped. `unclear` says, as a sentence without its full stop, which fields
    a name that was cut too short could be, or why a price is none; that word is none of
    `tokens`."""

    tokens: tuple[Token, ...] = ()
    place: str | None = None
    note: str | None = None
    unclear: str = ""
    price: str | None = None


def parse_hint(text: str) -> Hint:
    """Take a hint apart. Any text is a hint; nothing is raised."""
    head, tails = _without_tails(text)
    tokens: list[Token] = []
    words, price = _without_price(head.split())
    unclear = not_a_price(price or "")
    for word in words:
        plain = join_apostrophes(word)
        pinned = _PIN.match(plain)
        fields = _tying(pinned)
        if pinned is None or not fields:
            tokens.extend(_untied(word, plain))
        elif len(fields) == 1:
            tokens.extend(_tied(word, fields[0].tag, fold(pinned[2])))
        else:
            unclear = unclear or _could_be(pinned[1], [field.word for field in fields])
    return Hint(tuple(tokens), tails.get("place"), tails.get("note"), unclear, price)


def _could_be(begun: str, fields: Sequence[str]) -> str:
    return f"'{begun}=' could be {any_of(fields)}: type one more letter"


def _without_price(words: Sequence[str]) -> tuple[list[str], str | None]:
    """The words that name no price, and the price as it was typed, the last of several; None where
    none was."""
    others: list[str] = []
    price = None
    for word in words:
        name, sign, value = word.partition("=")
        if sign and [field.tag for field in fields_named(name)] == [PRICE]:
            price = value
        elif is_sum(word):  # `$4` is no number of a card
            price = word
        else:
            others.append(word)
    return others, price


def said_or(said: str | None, carried: str) -> str:
    """What a hint says of a field, else what is carried; empty text is said as well, and drops what
    is carried."""
    if said is None:
        return carried
    return said


def _without_tails(text: str) -> tuple[str, dict[str, str]]:
    """The hint without the fields that take all that follows up to the next one or a price, and
    what each such field has, the last one where it is named twice. A price is one word; what stands
    behind it is of the field before it again."""
    if "=" not in text:
        return text, {}
    # Before the hint is split into words: none of a note's words may name a card.
    tails = [found for found in _NAMED.finditer(text) if _takes_all(found[1])]
    starts = [*(found.start() for found in tails), len(text)]
    head, values = text[: starts[0]], dict[str, str]()
    for found, end in zip(tails, starts[1:], strict=True):
        value = text[found.end() : end]
        # `note=price=2`: what a sign is tied to is never a field of its own
        tied = value[: len(value) - len(value.lstrip())] or value.split(" ", 1)[0]
        words, price = _without_price(value.removeprefix(tied).split())
        said, tag = " ".join([*tied.split(), *words]), fields_named(found[1])[0].tag
        # `at=box 2, price=3`: the comma parts the fields, and is no part of the place
        values[tag] = said.rstrip(", ") if tag == "place" and price is not None else said
        if price is not None:
            head += f" {PRICE}={price}"
    return head, values


def open_tail(text: str) -> tuple[str, str] | None:
    """The field that takes all that follows at the end of a hint, and what it has so far; None
    where there is none, or a price stands behind it."""
    tails = [found for found in _NAMED.finditer(text) if _takes_all(found[1])]
    if not tails:
        return None
    begun = text[tails[-1].end() :].lstrip()
    return None if "=" in begun else (fields_named(tails[-1][1])[0].tag, begun)


def _takes_all(name: str) -> bool:
    """Whether a name is clearly that of a field which takes all that follows."""
    fields = fields_named(name)
    return len(fields) == 1 and fields[0].to_the_end


def _tying(pinned: re.Match[str] | None) -> tuple[HintField, ...]:
    """The fields that a word could be tied to by the name before its sign."""
    if pinned is None:
        return ()
    # `'at=`, with an apostrophe that is no part of a name, begins no place
    if _takes_all(pinned[1]):
        return ()
    return fields_named(pinned[1])


def _tied(word: str, tag: str, value: str) -> list[Token]:
    """A word behind the sign of a field; `_` and `-` part words, but not within a number, and `-`
    not those of a condition."""
    # `RC-7` and `12/99` are one word each, whose signs are printed on the card.
    if tag in ("number", "serial"):
        return [Token(word, value, tag)]
    # `EX-MT` is one step of a scale, `EX` and `MT` are two others
    if tag == "condition":
        return [Token(word, part, tag) for part in re.split(r"_+", value)]
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
    # What a sign ties is meant as it stands: `name=marsh23` is a name with digits in it.
    if token.pin:
        return None
    if match := _DIGITS_LETTERS.match(token.text):
        return Token(match[1], match[1], "number"), Token(match[2], match[2])
    if match := _LETTERS_DIGITS.match(token.text):
        return Token(match[1], match[1]), Token(match[2], match[2], "number")
    return None
