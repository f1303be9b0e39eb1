"""The changes of a lot in words: what a card was, and what it is now."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from tagger.core.lot.carried import CARRIED_FIELDS
from tagger.core.model.tags import BASE, Mark, State

if TYPE_CHECKING:
    from tagger.core.lot.change import Change

_NONE = {
    "parallel": BASE, "serial": "no serial number", "condition": "no condition",
    "team": "no team",
    "place": "no place", "note": "no note", "price": "no price",
}  # fmt: skip
# "3 of 4" or "3" may be a place, a note, a price or a serial number: alone they say nothing
_NAMED = frozenset({"place", "note", "price"})
_LISTED = {True: "listed", False: "unlisted"}
_CARD = re.compile(r"\bcards? ([0-9]{1,9})\b")


class PastChange(NamedTuple):
    """One change of a lot's history. `onward` is where reading goes on behind it, 0 where it was
    the last one."""

    change: Change
    onward: int


def card_of(change: Change, positions: Mapping[int, int]) -> int | None:
    """The position of the card where a change was made, None where that card is gone. `positions`
    are those of all cards as the lot is now, from 1, by identity."""
    if change.marks:
        # a change of many cards is found at the first of them that is still there
        return next((positions[id] for id, _, _ in change.marks if id in positions), None)
    if not positions:
        return None
    at = change.before.position
    # a mend is made at the card that its label names, which need not be the one in front
    if (change.arrangement or change.stamps) and (named := _CARD.search(change.label)):
        at = int(named[1])
    # Cards may have been left out since, so that the lot is shorter than when the change was made.
    return min(max(1, at), len(positions))


def words(change: Change, positions: Mapping[int, int]) -> str:
    """`card 41: Gold, was base`: a change in words. A change of many cards, or of which scan is
    which side, is told by the label that it was made with."""
    # tags that were kept for a card that was scanned again are as they were
    # A change of the arrangement moves marks along, which are no news of their own.
    if change.arrangement or len(change.marks) > 1 or (change.stamps and not change.marks):
        return change.label
    if change.marks:
        [(id, before, after)] = change.marks
        where = f"card {positions[id]}" if id in positions else "a removed card"
        return f"{where}: {_marked(before, after)}"
    if said := "; ".join(_carried(change)):
        return f"from card {change.before.position} on: {said}"
    # only the count of a stretch is another one, and no field shows that
    return change.label


def _marked(before: Mark, after: Mark) -> str:
    went = _went(before, after)
    if went and replace(before, gone=after.gone) == after:
        return went
    if not _is_same_card(before, after):
        now = f"{after.brief()}, unsure" if after.unsure else after.brief()
        return f"{_with_set(now, after, before)}, was {_with_set(before.brief(), before, after)}"
    # the same card of the checklist: what differs is told, and not the card once more
    said = [f"{now}, was {then}" for now, then in _differing(before, after)]
    said += [_looked_at(before, after), went or _offered(before, after)]
    return "; ".join(filter(None, said)) or "accepted again"


def _with_set(brief: str, mark: Mark, other: Mark) -> str:
    """A mark in few words, with its set where the other one is of another set."""
    differs = mark.named and other.named and mark.tags.set != other.tags.set
    return f"{brief}, {mark.tags.set or 'no set'}" if differs else brief


def _is_same_card(before: Mark, after: Mark) -> bool:
    tagged = before.state is after.state is State.TAGGED
    return tagged and _card(before) == _card(after)


def _went(before: Mark, after: Mark) -> str:
    """How a card left its place, or that it is there again; empty where neither happened."""
    if before.gone == after.gone:
        return ""
    return after.gone or "returned"


def _offered(before: Mark, after: Mark) -> str:
    """Where a card is listed now, or for whom it is reserved; empty where neither changed."""
    was, now = before.trade, after.trade
    if now.reserved != was.reserved:
        return f"reserved for {now.reserved}" if now.reserved else "no longer reserved"
    if now.listings != was.listings:
        return f"listed, {now.listed}" if now.listed else "no longer listed"
    return "pulled" if now.pulled_on and not was.pulled_on else ""


def _looked_at(before: Mark, after: Mark) -> str:
    """What became of a doubt about a card, empty where nothing did."""
    if after.unsure and not before.unsure:
        return "unsure now"
    if before.unsure and not after.unsure:
        return "confirmed, was unsure"
    if after.confirmed and not before.confirmed:
        return "confirmed"
    return ""


def _card(mark: Mark) -> tuple[str, ...]:
    return mark.tags.set, mark.tags.number, mark.tags.subject


def _differing(before: Mark, after: Mark) -> Iterator[tuple[str, str]]:
    """(now, then) for each tag that differs."""
    for name, none in _NONE.items():
        then, now = getattr(before.tags, name), getattr(after.tags, name)
        if then != now:
            yield _value(name, now, none), _value(name, then, none)
    if before.tags.listed != after.tags.listed:
        yield _LISTED[after.tags.listed], _LISTED[before.tags.listed]
    yield from _differing_further(dict(before.tags.extra), dict(after.tags.extra))


def _differing_further(
    was: Mapping[str, str], becomes: Mapping[str, str]
) -> Iterator[tuple[str, str]]:
    """(now, then) for each further column of the checklist that differs."""
    for name in dict.fromkeys((*becomes, *was)):
        if was.get(name, "") != becomes.get(name, ""):
            yield f"{name} {becomes.get(name) or 'empty'}", was.get(name) or "empty"


def _value(name: str, value: str, none: str) -> str:
    if not value:
        return none
    return f"{name} {value}" if name in _NAMED else value


def _carried(change: Change) -> Iterator[str]:
    for name in CARRIED_FIELDS:
        then, now = change.before.carried.get(name), change.after.carried.get(name)
        if then == now:
            continue
        if now:
            yield f"{name} {now} carried, was {then or 'none'}"
        else:
            yield f"no {name} carried, was {then}"
