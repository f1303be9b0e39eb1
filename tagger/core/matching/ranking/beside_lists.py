"""Cards that no checklist has, beside those of the checklists: in which order they are shown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.matching.candidate import Candidate

# what a word says of a card that no list has, and not only of a number that many sets have
_NAMES = frozenset({"subject", "team", "set"})


def with_known(
    listed: Sequence[Candidate], known: Sequence[Candidate], carried: str
) -> list[Candidate]:
    """Cards of the checklists and known ones of none, best first; `carried` is the carried set.

    Where that has the number, a card of another set that nothing else names stands last, also
    behind one that is refused: a parallel that the list does not have is of the carried card, and
    no card without a list knows which parallels it has."""
    beside = _beside(listed, known)
    if not any(one.tags.set == carried and "number" in one.meanings for one in listed):
        return by_confidence([*listed, *beside])
    far = [one for one in beside if one.tags.set != carried and one.meanings.isdisjoint(_NAMES)]
    near = [one for one in beside if one not in far]
    return [*by_confidence([*listed, *near]), *far]


def _beside(listed: Sequence[Candidate], known: Sequence[Candidate]) -> list[Candidate]:
    """Cards without a checklist, as sure as those of the checklists leave room for."""
    left = max(0.0, 1.0 - sum(one.confidence for one in listed if not one.problem))
    return [replace(one, confidence=one.confidence * left) for one in known]


def by_confidence(every: Iterable[Candidate]) -> list[Candidate]:
    """The surest first; what is refused stands last, however sure."""
    # Enter would do nothing where a card further down could be accepted.
    return sorted(every, key=lambda one: (bool(one.problem), -one.confidence))
