"""The ways in which a hint can be parted into words: as typed, joined (`rc 7`), parted (`23g`), and
with a second number as a serial number."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagger.core.matching.hint import Token, split_mixed
from tagger.core.matching.name_words import with_names
from tagger.core.model.numbers import canonical, is_whole_number

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.lot.carried import Carried
    from tagger.core.model.condition import Scale

Words = tuple[Token, ...]


def spellings(tokens: Words, carried: Carried, index: Index, scale: Scale) -> list[Words]:
    """The hint as typed, and where it can be, with words joined (`rc 7`) or parted (`23g`,
    `marsh23`), with a second number as the serial number of the parallel that is carried (`13 39`),
    and with words tied to a name that they are of (`agent 47`)."""
    # as typed goes first: each further spelling weighs a little less
    joined = _joined(tokens, index)
    found = [tokens]
    if joined != tokens:
        found.append(joined)
    parted = _parted(tokens, index)
    if len(parted) != len(tokens):
        found.append(parted)
    numbered = with_serial(joined, carried)
    if numbered != joined:
        found.append(numbered)
    named = with_names(tokens, index, scale)
    if named != tokens:
        found.append(named)
    return found


def _parted(tokens: Words, index: Index) -> Words:
    parted: list[Token] = []
    for token in tokens:
        # `23g` that some list has as a number is that number
        if index.number_id(canonical(token.text)) >= 0:
            parted.append(token)
        else:
            parted.extend(split_mixed(token) or (token,))
    return tuple(parted)


def _joined(tokens: Words, index: Index) -> Words:
    joined: list[Token] = []
    for token in tokens:
        if joined and _may_join(joined[-1], token):
            whole = joined[-1].text + token.text
            # Only what some list has is a number: else `gold 5` would be read as the card gold5 in
            # every hint.
            if index.number_id(canonical(whole)) >= 0:
                joined[-1] = Token(f"{joined[-1].raw} {token.raw}", whole, "number")
                continue
        joined.append(token)
    return tuple(joined)


def _may_join(before: Token, token: Token) -> bool:
    """Whether two words could be one number: letters and digits, neither tied to a field."""
    return not before.pin and not token.pin and before.text.isalpha() != token.text.isalpha()


def with_serial(tokens: Words, carried: Carried) -> Words:
    """The last number as a serial number of the parallel that is carried (`13 39`), where another
    number stands before it and no word is a serial number already; else the words as they are."""
    if not carried.get("parallel") or any(map(_tells_serial, tokens)):
        return tokens
    at = _last_number(tokens)
    # A number alone is the card's own, whatever is carried.
    if not any(map(_has_digit, tokens[:at])):
        return tokens
    # raw without its mark: `is_alone` knows it by that
    serial = tokens[at]._replace(raw=tokens[at].text, pin="serial")
    return (*tokens[:at], serial, *tokens[at + 1 :])


def _last_number(tokens: Words) -> int:
    """Where the last word of nothing but digits stands, 0 without one."""
    return next((at for at in range(len(tokens) - 1, -1, -1) if _is_digits(tokens[at])), 0)


def _tells_serial(token: Token) -> bool:
    return token.pin == "serial" or "/" in token.text


def _is_digits(token: Token) -> bool:
    return not token.pin and is_whole_number(token.text)


def _has_digit(token: Token) -> bool:
    return token.may_be("number") and any(map(str.isdigit, token.text))
