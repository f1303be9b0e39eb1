"""Candidates that keep their places while a hint is typed on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagger.core.matching.candidate import Candidate

# times the confidence: so much better a candidate must be to go past one that stood before it
CLEARLY = 1.5


def steady(before: Sequence[Candidate], now: Sequence[Candidate]) -> list[Candidate]:
    """`now`, best first, with those that stand in `before` as well kept in that order where neither
    of two is clearly better. One that must not be taken never goes past one that may be."""
    place = {_card(candidate): at for at, candidate in enumerate(before)}
    kept: list[Candidate] = []
    for candidate in now:
        stood, at = place.get(_card(candidate)), len(kept)
        # only a clear lead, or a problem, moves a card past one that stood before it
        while stood is not None and at and _gives_way(kept[at - 1], candidate, place, stood):
            at -= 1
        # An insertion sort by a rule that is no order (A may give way to B, B to C, and not A to
        # C): it goes through the best first and stops at the first that stays.
        kept.insert(at, candidate)
    return kept


def _gives_way(
    other: Candidate, candidate: Candidate, place: dict[tuple[str, ...], int], stood: int
) -> bool:
    if candidate.problem and not other.problem:
        return False
    return place.get(_card(other), -1) > stood and other.confidence < CLEARLY * candidate.confidence


def _card(candidate: Candidate) -> tuple[str, ...]:
    tags = candidate.tags
    return tags.set, tags.number, tags.subject, tags.parallel
