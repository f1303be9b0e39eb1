"""Places: a box, and in it a row, as dealers write them: `box 7, row 2`. What two spellings of one
place have in common stands here alone, and which cards lie in a box: a filter, the search for a
card, a count, a move and a layout all ask that."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache

from tagger.core.model.text import fold, natural, one_spelling

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


def places_spelled(places: Iterable[str]) -> Mapping[str, str]:
    """Each of some places, one a card, in the spelling that most cards of it have."""
    return one_spelling(places, place_key)


def within(place: str, box: str) -> Sequence[str] | None:
    """The parts of a place behind those of the box that it is in, none where it is that box; None
    where it is neither."""
    # By whole parts, since `box 1` must not take `box 12` with it.
    wanted = place_key(box)
    if place_key(place)[: len(wanted)] != wanted:
        return None
    return place_parts(place)[len(wanted) :]


def lies_in(place: str, box: str) -> bool:
    """Whether a place is a box, or in it."""
    return within(place, box) is not None


def renamed_place(place: str, old: str, new: str) -> str | None:
    """A place where `old` is called `new` now: `box 7, row 2` follows `box 7`; None where it is
    neither that place nor in it."""
    rest = within(place, old)
    return None if rest is None else spelled_place((*place_parts(new), *rest))


def places_meant(typed: str, places: Iterable[str]) -> Collection[str]:
    """Those of some places that are meant by one which may still be typed on: where none of them is
    it or in it, those of which it is the beginning, and else those that are called so within a
    larger one, as `row 2`. Typed empty, it means no place."""
    there = frozenset(places)
    for is_meant in (lies_in, _begins, _has_within):
        if found := frozenset(place for place in there if is_meant(place, typed)):
            return found
    return frozenset()


def _begins(place: str, typed: str) -> bool:
    """Whether a place has the parts that were typed, the last of them only begun."""
    parts, wanted = place_key(place), place_key(typed)
    last = len(wanted) - 1
    if not any(wanted) or len(parts) <= last or parts[:last] != wanted[:last]:
        return False
    begun, left = wanted[last], parts[last][len(wanted[last]) :]
    # A number is whole: who typed `box 1` may change all that is listed, and never meant box 12.
    return parts[last].startswith(begun) and not (begun[-1].isdigit() and left[:1].isalnum())


def _has_within(place: str, typed: str) -> bool:
    """Whether what was typed are parts of a place, whatever larger one they are in."""
    parts, wanted = place_key(place), place_key(typed)
    return any(parts[at : at + len(wanted)] == wanted for at in range(len(parts)))
