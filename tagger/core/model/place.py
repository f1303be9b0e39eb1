"""Places: a box, and in it a row, as dealers write them: `box 7, row 2`. What two spellings of one
place have in common stands here alone."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

from tagger.core.model.text import fold, natural

_BESIDE_LETTERS = re.compile(r"(?<![0-9]) | (?![0-9])")

PlaceKey = tuple[str, ...]


@lru_cache(maxsize=4096)  # thousands of cards lie in some hundred places
def place_parts(place: str) -> tuple[str, ...]:
    """The parts of a place as they are written: `box 7`, `row 2`; an empty one for no place."""
    parts = (" ".join(part.split()) for part in place.split(","))
    return tuple(filter(None, parts)) or ("",)


def spelled_place(parts: Iterable[str]) -> str:
    """The parts as one text."""
    return ", ".join(parts)


@lru_cache(maxsize=4096)
def place_key(place: str) -> PlaceKey:
    """What the spellings of one place have in common, part by part: `Box 7,row 2` and `box7, row 2`
    are one place; `box 12` and `box 1 2` are two."""
    return tuple(_BESIDE_LETTERS.sub("", fold(part)) for part in place_parts(place))


@lru_cache(maxsize=4096)
def place_order(place: str) -> tuple[object, ...]:
    """A key by which a box stands before its rows, these next to each other, and `box 9` before
    `box 10`; spellings of one place stand together."""
    key = place_key(place)
    return tuple(map(natural, key)), key


def place_holds(place: str, said: str) -> bool:
    """Whether a place has what was typed of one in it, in any spelling; anything where nothing was
    typed."""
    wanted = place_key(said)
    return not any(wanted) or spelled_place(wanted) in spelled_place(place_key(place))


def one_spelling(places: Iterable[str]) -> Mapping[str, str]:
    """Each of some places, one a card, in the spelling that most cards of it have."""
    counts = Counter(places)
    by_key: dict[PlaceKey, str] = {}
    # Of two spellings on as many cards the first that was met.
    for place, _ in counts.most_common():
        by_key.setdefault(place_key(place), place)
    return {place: by_key[place_key(place)] for place in counts}


def within(place: str, box: str) -> Sequence[str] | None:
    """The parts of a place behind those of the box that it is in, none where it is that box; None
    where it is neither."""
    # By whole parts, since `box 1` must not take `box 12` with it.
    wanted = place_key(box)
    if place_key(place)[: len(wanted)] != wanted:
        return None
    return place_parts(place)[len(wanted) :]
