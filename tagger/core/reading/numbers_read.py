"""Which numbers stand on a card, and how much each is like a card's own number.

A back is full of numbers: of seasons, of games, of other cards. A card's own one stands by itself
at the rim, or has a sign before it; where cards of a design have it is learned (`places`)."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.model.numbers import canonical

if TYPE_CHECKING:
    from tagger.core.reading.printed import Box, PrintedText, Spot

# how much a number is like a card's own (0 to 1): with a sign or word before it, alone at the rim
# of a back, `12 of 132`, beside a name, alone elsewhere, in a table
MARKED, AT_RIM, COUNTED, BESIDE_NAME, ALONE, IN_TABLE = 0.9, 0.7, 0.7, 0.4, 0.2, 0.01
AT_PLACE, OFF_PLACE = 0.97, 0.1  # where its place is known: there, and how much is left elsewhere
LONGEST = 40  # characters of a line that a number may stand in beside a name
LEAST = 0.02  # share of a reading that is looked at
# the rim of a back, as shares of the card
RIM_TOP, RIM_BOTTOM, RIM_SIDE = 0.22, 0.84, 0.1

ROOM, BESIDE = 2, 0.6  # characters beside a number that its place may have, and that are left
# `RC-9`, `T 12`, `117a`, `OP05-119`; a word of prose before a number is no prefix
_TOKEN = r"(?:[A-Z]{1,5}(?:[0-9]{1,2}[-–])?[-–. ]?|[a-z]{1,2}-?)?[0-9]{1,5}[A-Za-z]?"
_TOKENS = re.compile(rf"(?<![A-Za-z0-9]){_TOKEN}(?![A-Za-z0-9])")
_NUMBER = r"(?:[Nn]umber\s|NUMBER\s|[Nn][OoRr][.:]?\s?)"
# in small letters `card` is a word of prose, where no word for number follows
_SIGN = (
    rf"(?:#|№|[Nn](?:[Oo0°º]|[Rr])[.:]?\s?|(?:CARD|Card|KARTE|Karte)\s{_NUMBER}?|card\s{_NUMBER})"
)
# where a name stands close before it, the two were read as one word
_MARKED = re.compile(rf"(?:^|[\s(]|(?<=[a-z])(?=N)){_SIGN}({_TOKEN})(?=$|[\s),.;:])")
# `12 of 132`, `012/110`; cards of games have how rare they are behind it: `012/110 R`
_OF = re.compile(
    rf"^\W*({_TOKEN})\s*(?:of|OF|von|de|di|/)\s*[A-Z]{{0,4}}[0-9]{{2,4}}(?:\s[A-Z]{{1,3}})?\W*$"
)
_ALONE = re.compile(rf"^\W*({_TOKEN})\W*$")
_LETTERS = re.compile(r"^\W*([A-Z]{1,4})\W*$")
_ENDS = re.compile(rf"^\W*({_TOKEN})[\s.:|-]+\D+$|^\D+[\s.:|-]+({_TOKEN})\W*$")
# `© 1987 Lantern Card Works · 22`; a year alone is no number of a card
_LAST_LINE = re.compile(
    rf"^\W*(?:\([cC]\)\W*)?(?:18|19|20)[0-9]{{2}}\b.{{4,60}}"
    rf"[^\W\d_](?<!\sof)[.,]*[\s·•|.]+({_TOKEN})\W*$"
)
_LIKE_DIGIT = re.compile(r"(?<=[0-9])[oil]$")
_DIGITS = str.maketrans("oil", "011")
_SPELLED = str.maketrans({"O": "0", "o": "0", "I": "1", "l": "1", "|": "1"})


class NumberRead(NamedTuple):
    """A number as it was read: in its canonical form, how sure the reading is and how much it is
    like a card's own (both 0 to 1), and the text that it stands in."""

    number: str
    share: float
    like: float
    text: PrintedText


def numbers_read(texts: Sequence[PrintedText]) -> list[NumberRead]:
    """All that could be a card's number; one text may be read in several ways."""
    found = []
    counts = [text for text in texts if _is_count(text.text)]
    for text in texts:
        lone = None
        for said, share in _readings(text):
            number, like = _number_in(said)
            if not number:
                continue
            # Where it stands is asked only of these: it compares each with all other texts of the
            # card.
            if like == ALONE:
                lone = _like_alone(text, counts) if lone is None else lone
                like = lone
            found.append(NumberRead(number, share, like, text))
    return _summed(found)


def spot_of(read: NumberRead) -> Spot:
    """Where a number stands on the scan."""
    spot = read.text.spot
    return spot._replace(box=_own_part(read, spot.box))


def _own_part(read: NumberRead, box: Box) -> Box:
    """Of the place of a line that has more the part that its number takes, as if all characters
    were of one width."""
    text, turn = read.text.text, read.text.turn
    found = [match for match in _TOKENS.finditer(text) if canonical(match[0]) == read.number]
    if not found or len(text) - len(found[-1][0]) <= ROOM:
        return box
    start, stop = (at / len(text) for at in found[-1].span())
    start, stop = max(0.0, start - BESIDE / len(text)), min(1.0, stop + BESIDE / len(text))
    if turn in (90, 180):  # it runs up, or to the left
        start, stop = 1 - stop, 1 - start
    wide, high = box.right - box.left, box.bottom - box.top
    if turn % 180:
        return box._replace(top=box.top + start * high, bottom=box.top + stop * high)
    return box._replace(left=box.left + start * wide, right=box.left + stop * wide)


def is_at(read: NumberRead, place: Spot) -> bool:
    """Whether a number stands where cards of a design have theirs. It may have been read as one
    line with what stands before it."""
    if read.text.side != place.side:
        return False
    box, there = _own_part(read, read.text.on_card), place.box
    x, y = (box.left + box.right) / 2, (box.top + box.bottom) / 2
    # numbers have different lengths, and cards are cut a little off
    return (
        there.left - 0.04 <= x <= there.right + 0.04
        and there.top - 0.02 <= y <= there.bottom + 0.02
    )


def _summed(found: Iterable[NumberRead]) -> list[NumberRead]:
    """`26`, `26.` and `26:` are one number."""
    sums: dict[tuple[int, str], NumberRead] = {}
    for read in found:
        key = id(read.text), read.number
        before = sums.get(key)
        share = read.share + (0.0 if before is None else before.share)
        like = max(read.like, 0.0 if before is None else before.like)
        sums[key] = read._replace(share=min(1.0, share), like=like)
    return [read for read in sums.values() if read.share >= LEAST]


def _readings(text: PrintedText) -> Iterable[tuple[str, float]]:
    yield text.text, text.confidence
    yield from text.others


def _number_in(said: str) -> tuple[str, float]:
    """The number that a text says, and how much it is like a card's own by the text alone."""
    number, like = _spelled_in(said)
    # `T1O`: no list has a letter there that is so like a digit
    return _LIKE_DIGIT.sub(lambda letter: letter[0].translate(_DIGITS), number), like


def _spelled_in(said: str) -> tuple[str, float]:
    if match := _MARKED.search(said):
        return canonical(match[1]), MARKED
    if match := _OF.match(said):
        # `12/99` may be a serial number
        return canonical(match[1]), ALONE if "/" in said else COUNTED
    if match := _ALONE.match(said) or _LETTERS.match(said):
        return canonical(match[1]), ALONE
    if len(said) <= LONGEST and (match := _ENDS.match(said)):
        return canonical(match[1] or match[2]), BESIDE_NAME
    if match := _LAST_LINE.match(said):
        return canonical(match[1]), BESIDE_NAME
    return _in_digits(said.translate(_SPELLED))


def _in_digits(said: str) -> tuple[str, float]:
    # Tried last, with letters taken for digits: `IO` may be a name's initials before it is the
    # number 10.
    if said.isdecimal() and len(said) <= 4:
        return canonical(said), ALONE
    return "", 0.0


def _like_alone(text: PrintedText, counts: Sequence[PrintedText]) -> float:
    """How much a number that is all of its text is like a card's own, by where it stands; `counts`
    are all texts that could stand in a table."""
    if _in_row(text, counts):
        return IN_TABLE
    box = text.on_card
    y, x = (box.top + box.bottom) / 2, (box.left + box.right) / 2
    at_rim = y < RIM_TOP or y > RIM_BOTTOM or x < RIM_SIDE or x > 1 - RIM_SIDE
    if text.side == "back" and at_rim:
        return AT_RIM
    return ALONE


def _in_row(text: PrintedText, counts: Sequence[PrintedText]) -> bool:
    """Whether other numbers stand on its line, or over and under it as in a column."""
    across = down = 0
    box = text.on_card
    for other in counts:
        if other is text or other.side != text.side:
            continue
        there = other.on_card
        across += _overlap(box.top, box.bottom, there.top, there.bottom)
        # Two rows of a table apart at most: farther off, a number in the same column is there by
        # chance.
        near = abs(there.top - box.top) < 2.2 * (box.bottom - box.top)
        down += near and _overlap(box.left, box.right, there.left, there.right)
    return bool(across or down)


def _is_count(text: str) -> bool:
    digits = sum(char.isdigit() for char in text)
    return digits > 0 and digits >= sum(char.isalpha() for char in text)


def _overlap(start: float, stop: float, other_start: float, other_stop: float) -> bool:
    both = min(stop, other_stop) - max(start, other_start)
    return both > 0.5 * min(stop - start, other_stop - other_start)
