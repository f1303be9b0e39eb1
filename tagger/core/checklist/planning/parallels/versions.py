"""Parallels that stand where subjects do, on lines without a number below their cards."""

from __future__ import annotations

from collections import Counter
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
    if plan.has("parallels") or not (plan.has("number") and plan.has("subject")):
        return plan
    numbers, subjects = columns[plan.at("number")[0]], columns[plan.at("subject")[0]]
    cards = {fold(name) for number, name in zip(numbers, subjects, strict=True) if number}
    below = Counter(
        fold(name) for number, name in zip(numbers, subjects, strict=True) if name and not number
    )
    named = {name for name in below if _is_version(name)}
    again = {name for name, times in below.items() if times > 1}
    is_list = named & again and named | again >= set(below) - _remarks(below) and not again & cards
    return replace(plan, versions=frozenset(named | again)) if is_list and numbers[0] else plan


def _is_version(name: str) -> bool:
    """Whether a name is of a finish, or of the plain card, and of nobody."""
    words = split_run(name)[0].split()
    return is_plain(name) or (bool(words) and is_finish(words[-1]))


def _remarks(below: Counter[str]) -> set[str]:
    """Names that stand on one line alone, as what a total is of does: there may be two."""
    once = [name for name, times in below.items() if times == 1 and not _is_version(name)]
    return set(once) if len(once) <= 2 else set()
