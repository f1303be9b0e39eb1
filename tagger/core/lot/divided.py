"""What is carried behind a divider: its fields, from the first card behind it that is reached,
until the dealer carries something else by hand or the next divider comes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.dividers.divider import DividerKind, divider_on
from tagger.core.lot.carried_run import ended, said
from tagger.core.model.counted import counted

if TYPE_CHECKING:
    from tagger.core.feeding.groups import Group, Groups
    from tagger.core.lot.carried import Carried


def carried_at(groups: Groups, position: int, carried: Carried) -> Carried:
    """What is carried at an untagged card: the dividers before it that were not reached yet are
    reached with it. At a card before a divider that was reached already, what the dividers before
    that card say."""
    here, reached = groups.index_at(position), groups.index_of(carried.divider)
    # Nearly always: then what the dealer carries by hand stands, whatever the divider said.
    if here == reached:
        return carried
    # A stretch was counted over cards of one group; behind the divider lies another one.
    after = ended(carried)
    if here > reached:
        # All that lie between, not the last alone: who goes far ahead passes a divider that says
        # the place and one that says the set.
        said_by = _said(groups, reached + 1, here + 1)
    else:
        said_by = _without(groups, here, reached, after)
    for name, value in said_by.items():
        after = after.put(name, value)
    return replace(after, divider=groups.dividers[here].key if here >= 0 else "")


def _said(groups: Groups, first: int, past: int) -> Mapping[str, str]:
    """What is carried after some dividers, one after the other."""
    found: dict[str, str] = {}
    for at in range(first, past):
        if not is_overruled(groups, at):
            found.update(divider_on(groups.dividers[at]).carried())
    return found


def _without(groups: Groups, here: int, reached: int, carried: Carried) -> Mapping[str, str]:
    """What is carried before a divider that was reached: what came with it goes with it."""
    then = _said(groups, 0, reached + 1)
    # What was carried otherwise by hand since is the dealer's own and stays.
    gone = {name: "" for name, value in then.items() if carried.get(name) == value}
    return {**gone, **_said(groups, 0, here + 1)}


def is_overruled(groups: Groups, at: int) -> bool:
    """Whether another divider follows with no card between that says the same things otherwise:
    then that one counts."""
    if at + 1 >= len(groups.dividers) or groups.before[at] != groups.before[at + 1]:
        return False
    one, other = (divider_on(groups.dividers[index]) for index in (at, at + 1))
    groups_only = one.kind is other.kind is DividerKind.GROUP
    # The right one was put behind a wrong one. Where they say different fields both count: one
    # names the box, the other the set.
    return groups_only and one != other and bool(one.carried().keys() & other.carried().keys())


def told_group(group: Group) -> str:
    """A divider in a few words: `1987 Harbor Light · Gold, 24 cards`."""
    assert group.divider is not None
    return f"{divider_on(group.divider).title}, {counted(group.cards, 'card')}"


def told_reached(groups: Groups, position: int, before: Carried, after: Carried) -> str:
    """A sentence where a divider was reached between the two; empty where none was."""
    if before.divider == after.divider or not after.divider:
        return ""
    now = {name: value for name, value in after.pairs if before.get(name) != value}
    gone = {name: "" for name, _ in before.pairs if not after.get(name)}
    # Only what is another value now: a divider of the same set every 50 cards would else be told in
    # full each time.
    changed = said({**now, **gone}) or "nothing else"
    return f"Divider {told_group(groups.group_of(position))}: carrying {changed}."


def told_groups(groups: Groups, after: int, position: int) -> list[str]:
    """The dividers that stand behind one card and before another, in a few words each."""
    return [
        told_group(group)
        for group in groups
        if group.divider is not None and after < group.first <= position
    ]
