"""Parallels that stand where subjects do, on lines without a number below their cards."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.checklist.named.finishes import is_finish
from tagger.core.checklist.parallels import is_plain
from tagger.core.checklist.raw.print_runs import split_run
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.checklist.plan import Plan
    from tagger.core.checklist.planning.cells import Columns


def versions_below(plan: Plan, columns: Columns) -> Plan:
    """The plan with the names of versions: `Silver`, `Gold` below each of several cards. Those
    without a word for finishes come again, and beside others."""
    if plan.has("parallels") or not {"number", "subject"} <= set(plan.meanings):
        return plan
    numbers, subjects = columns[plan.at("number")[0]], columns[plan.at("subject")[0]]
    below = Counter(_named(numbers, subjects, numbered=False))
    named = {name for name in below if _is_version(name)}
    again = {name for name, times in below.items() if times > 1}
    left = set(below) - named - again
    of_cards = _named(numbers, subjects, numbered=True)
    # a total may stand below: there is one of it, or two
    if not named & again or not again.isdisjoint(of_cards) or len(left) > _MOST_REMARKS:
        return plan
    return replace(plan, versions=frozenset(named | again))


_MOST_REMARKS = 2


def _named(numbers: Sequence[str], subjects: Sequence[str], numbered: bool) -> list[str]:
    """The names, folded, on the lines that have a number, or on those that have none."""
    pairs = zip(numbers, subjects, strict=True)
    return [fold(name) for number, name in pairs if name and bool(number) == numbered]


def _is_version(name: str) -> bool:
    """Whether a name is of a finish, or of the plain card, and of nobody."""
    words = split_run(name)[0].split()
    return is_plain(name) or (bool(words) and is_finish(words[-1]))
