"""Tags that are probably a slip: what makes a second look worth its seconds. A doubt never refuses
anything.

False alarms, measured on trays that `tests/drawn.py` presorts (sets of 400 cards, 200 trays of 400
cards, seed 1 to 200): none in 80,000 cards that go on as the tray does; a real jump to another part
of the set is doubted in 3 of 100 cases, since one number in so many happens to be the next one with
a digit left out, doubled or swapped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from tagger.core.model.numbers import canonical, parse_serial
from tagger.core.model.tags import Tags
from tagger.core.model.text import fold

BACK, AHEAD = 8, 3  # tagged cards that are looked at, before and behind a card
LEAST = 5  # cards that make a run
SMALL = 5  # numbers from one card of a run to the next, at most
NEXT = 3  # numbers within which a mended number must follow the card before

Numbered = tuple[int, str]  # the position of a tagged card and its number


def run_doubt(number: str, before: Sequence[Numbered], after: Sequence[Numbered] = ()) -> str:
    """Why a number breaks a run, empty where it does not. `before` and `after` are tagged cards of
    the same set right before and behind the card, in feeding order; a number that the card behind
    goes on from is borne out by it."""
    here = _whole(number)
    if here is None or not before:
        return ""
    last = _whole(before[-1][1])
    follows = _whole(after[0][1]) if after else None
    if (
        last is None
        or 0 <= here - last <= SMALL
        or (follows is not None and 0 <= follows - here <= SMALL)
    ):
        return ""
    if len(before) >= LEAST and _ascends(before[-BACK:]):
        meant = next(
            (to for to in range(last, last + NEXT + 1) if _slipped(str(to), str(here))), None
        )
        if meant is not None:
            return (
                f"#{number} breaks the run; #{meant} would follow #{before[-1][1]} of card "
                f"{before[-1][0]}"
            )
    around = [*before[-AHEAD:], *after[:AHEAD]]
    if len(after) >= AHEAD <= len(before) and _ascends(around):
        (one, first), (other, second) = before[-1], after[0]
        return (
            f"#{number} does not fit between #{first} of card {one} and #{second} of card {other}"
        )
    return ""


def _whole(number: str) -> int | None:
    text = canonical(number)
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= 6 else None


def _ascends(run: Sequence[Numbered]) -> bool:
    numbers = [_whole(number) for _, number in run]
    steps = [
        -1 if one is None or other is None else other - one for one, other in pairwise(numbers)
    ]
    return all(0 <= step <= SMALL for step in steps)


def _slipped(meant: str, typed: str) -> bool:
    """Whether one number becomes the other by a digit left out, one typed twice, or two that
    changed places."""
    places = range(len(meant))
    if len(typed) == len(meant) - 1:
        return any(meant[:at] + meant[at + 1 :] == typed for at in places)
    if len(typed) == len(meant) + 1:
        return any(meant[: at + 1] + meant[at:] == typed for at in places)
    swapped = (meant[:at] + meant[at + 1] + meant[at] + meant[at + 2 :] for at in places[:-1])
    return meant != typed and typed in swapped


# set, number, subject, parallel, serial number, print run
Serial = tuple[str, str, str, str, int, int | None]


def serial_key(tags: Tags) -> Serial | None:
    """What two cards with the same serial number have in common, None where the card has none."""
    read = parse_serial(tags.serial)
    if read is None or read[0] is None:
        return None
    return (
        tags.set,
        canonical(tags.number),
        fold(tags.subject),
        fold(tags.parallel),
        read[0],
        read[1],
    )


def serial_doubt(tags: Tags, others: Iterable[int]) -> str:
    """Why a serial number is doubted; `others` are the positions of cards that have the very same
    one."""
    first = min(others, default=None)
    return "" if first is None else f"serial number {tags.serial} is that of card {first} already"
