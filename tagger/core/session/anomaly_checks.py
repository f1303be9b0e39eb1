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
    last = _whole(before[-1][1]) if before else None
    if here is None or last is None or _goes_on(last, here):
        return ""
    follows = _whole(after[0][1]) if after else None
    if follows is not None and _goes_on(here, follows):
        return ""
    return _slip_doubt(number, here, last, before) or _gap_doubt(number, before, after)


def _slip_doubt(number: str, here: int, last: int, before: Sequence[Numbered]) -> str:
    """Why a number is taken for a slip of the finger: one that would go on a long run becomes it by
    one. With the cards before alone a jump may be meant, so that more is asked of it."""
    # The cards before alone may be followed by a jump that is meant, so a long run is asked for.
    if len(before) < LEAST or not _ascends(before[-BACK:]):
        return ""
    following = range(last, last + NEXT + 1)
    meant = next((to for to in following if _slipped(str(to), str(here))), None)
    if meant is None:
        return ""
    position, shown = before[-1]
    return f"#{number} is out of sequence; #{meant} would follow #{shown} of card {position}"


def _gap_doubt(number: str, before: Sequence[Numbered], after: Sequence[Numbered]) -> str:
    """Why a number is no part of a run that goes on behind it."""
    if len(after) < AHEAD or len(before) < AHEAD:
        return ""
    if not _ascends([*before[-AHEAD:], *after[:AHEAD]]):
        return ""
    (one, first), (other, second) = before[-1], after[0]
    return f"#{number} does not fit between #{first} of card {one} and #{second} of card {other}"


def _goes_on(one: int, other: int) -> bool:
    """Whether a run may go from one number to the other."""
    return 0 <= other - one <= SMALL


def _whole(number: str) -> int | None:
    # `117a` and `RC-7` are no steps of a run, and no set has a million cards
    text = canonical(number)
    if text.isascii() and text.isdecimal() and len(text) <= 6:
        return int(text)
    return None


def _ascends(run: Sequence[Numbered]) -> bool:
    numbers = [_whole(number) for _, number in run]
    return all(
        one is not None and other is not None and _goes_on(one, other)
        for one, other in pairwise(numbers)
    )


def _slipped(meant: str, typed: str) -> bool:
    """Whether one number becomes the other by a digit left out, one typed twice, or two that
    changed places."""
    places = range(len(meant))
    if len(typed) == len(meant) - 1:
        return any(meant[:at] + meant[at + 1 :] == typed for at in places)
    if len(typed) == len(meant) + 1:
        return any(meant[: at + 1] + meant[at:] == typed for at in places)
    # two neighbours that changed places; the other slips change the length
    swapped = (meant[:at] + meant[at + 1] + meant[at] + meant[at + 2 :] for at in places[:-1])
    return meant != typed and typed in swapped


# set, number, subject, parallel, serial number, print run
Serial = tuple[str, str, str, str, int, int | None]


def serial_key(tags: Tags) -> Serial | None:
    """What two cards with the same serial number have in common, None where the card has none."""
    # `/99` alone says that it is numbered, and not which one it is
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
    if first is None:
        return ""
    return f"card {first} already has serial number {tags.serial}"
