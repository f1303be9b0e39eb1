"""A stretch: tags carried for so many cards, said ahead (`next=60 gold nm`); then what was carried
before is again.

The count belongs to what is carried, so it stands in the same record as the tag that counted it
down, and undo brings both back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from tagger.core.lot.carried import CARRIED_FIELDS, Carried, CarriedRun
from tagger.core.model.text import fold
from tagger.errors import Refused

LONGEST = 9999  # cards of one stretch, far more than a tray holds
_NEXT = re.compile(r"(?:^|\s)next=(\S*)", re.IGNORECASE)


def read_next(hint: str) -> tuple[str, int | None]:
    """A hint without its `next=60`, wherever it stands, and the number; None where the hint says
    none.

    Raises Refused where there is no such number of cards.
    """
    rest, said = without_next(hint)
    if said is None:
        return rest, None
    # Nine digits at most before `int` is asked: a text of thousands takes it quadratic time.
    if not (said.isascii() and said.isdecimal() and len(said) <= 9 and 1 <= int(said) <= LONGEST):
        raise Refused(f"next= needs a number of cards from 1 to {LONGEST}, such as next=60.")
    return rest, int(said)


def without_next(hint: str) -> tuple[str, str | None]:
    """A hint without its `next=`, and what stands behind the sign; None where there is none."""
    match = _NEXT.search(hint)
    if match is None:
        return hint, None
    return f"{hint[: match.start()]}{hint[match.end() :]}".strip(), match[1]


def names_the_stretch(hint: str) -> bool:
    """Whether a hint is the word `next` and nothing else: what F6 ends."""
    return fold(hint.strip()).rstrip("=") == "next"


def carried_on(carried: Carried, found: Mapping[str, str], count: int | None) -> Carried:
    """Carry what was found (value by field; an empty value drops the field) from now on, or for
    `count` cards.

    A new stretch ends one that is at work; with nothing found, only its count is another one. What
    is carried from now on in a stretch stays when that is over."""
    if count is None:
        for name, value in found.items():
            # Also in a stretch: what is carried from now on stays when that is over.
            carried = _kept(carried.put(name, value), name)
        return carried
    if not found:
        if carried.stretch is None:
            return carried
        # The dealer counted the pile again: what was carried before it stays what the end brings
        # back.
        return replace(carried, stretch=carried.stretch._replace(left=count))
    return _stretch(carried, found, count)


def _stretch(carried: Carried, found: Mapping[str, str], count: int) -> Carried:
    """Carry what was found for so many cards, then again what is carried now."""
    # stretches do not nest: the end of this one brings back what was before the one at work
    before = ended(carried)
    after = before
    for name, value in found.items():
        after = after.put(name, value)
    fields = tuple(name for name in CARRIED_FIELDS if name in found)
    return replace(after, stretch=CarriedRun(count, fields, before.pairs))


def dropped(carried: Carried, field: str) -> Carried:
    """Stop carrying a field, also after the stretch."""
    return _kept(carried.put(field, ""), field)


def _kept(carried: Carried, field: str) -> Carried:
    """The stretch no longer takes this field back. One that has none to take back is over."""
    stretch = carried.stretch
    if stretch is None or field not in stretch.fields:
        return carried
    fields = tuple(name for name in stretch.fields if name != field)
    left = stretch._replace(fields=fields) if fields else None
    return replace(carried, stretch=left)


def counted(carried: Carried) -> Carried:
    """What is carried after one more card that was untagged."""
    stretch = carried.stretch
    if stretch is None:
        return carried
    if stretch.left == 1:
        return ended(carried)
    return replace(carried, stretch=stretch._replace(left=stretch.left - 1))


def ended(carried: Carried) -> Carried:
    """What is carried when the stretch is over: its fields as they were before, all others as they
    are now."""
    stretch = carried.stretch
    if stretch is None:
        return carried
    # what was carried from now on within the stretch stays: only its own fields go back
    after = Carried(stretch.before, divider=carried.divider)
    for name in CARRIED_FIELDS:
        if name not in stretch.fields:
            after = after.put(name, carried.get(name))
    return after


def told_over(before: Carried, after: Carried) -> str:
    """A sentence where a stretch was over between the two, empty where none was."""
    if before.stretch is None or after.stretch is not None:
        return ""
    return (
        f"next= finished; carrying {said({n: after.get(n) for n in before.stretch.fields})} again."
    )


def said(found: Mapping[str, str]) -> str:
    """`parallel Gold, no place`: values by field in words."""
    return ", ".join(f"{name} {value}" if value else f"no {name}" for name, value in found.items())
