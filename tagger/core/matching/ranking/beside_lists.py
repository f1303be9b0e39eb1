"""Cards that no checklist has, beside those of the checklists: in which order they are shown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.matching.candidate import Candidate

# what a word says of a card that no list has, and not only of a number that many sets have
_NAMES = frozenset({"subject", "team", "set"})
# how sure a number may be that a list has and a set without a list may have (our own estimate)
EITHER = 0.6


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


def with_numbered(every: Sequence[Candidate], numbers: Iterable[str]) -> list[Candidate]:
    """Candidates while a set without a list is carried: a card of a list whose number with letters
    was typed whole goes first, where none of the carried set's `numbers` has these letters. Of the
    number alone neither is sure: a set without a list may have any."""
    first = next((one for one in every if _is_of_its_number(one)), None)
    if first is None or _letters(first.tags.number) in map(_letters, numbers):
        return [*every]
    others = [one for one in every if one is not first]
    if not first.meanings.isdisjoint(_NAMES):
        return [first, *others]
    doubted = (replace(one, confidence=min(one.confidence, EITHER)) for one in (first, *others))
    return [*doubted]


def _is_of_its_number(one: Candidate) -> bool:
    """Whether a card of a list has all that was typed, its whole number with letters first of
    all."""
    if not one.tags.listed or one.problem or "" in one.meanings:
        return False
    typed = (word.rpartition("=")[2] for word, meaning in one.reasons if meaning == "number")
    number = _plain(one.tags.number)
    return bool(_letters(number)) and any(_plain(word) == number for word in typed)


def _plain(number: str) -> str:
    """A number without its signs: the hyphen of Q-11 may be missing."""
    return "".join(filter(str.isalnum, fold(number)))


def _letters(number: str) -> str:
    return "".join(filter(str.isalpha, fold(number)))


def _beside(listed: Sequence[Candidate], known: Sequence[Candidate]) -> list[Candidate]:
    """Cards without a checklist, as sure as those of the checklists leave room for."""
    left = max(0.0, 1.0 - sum(one.confidence for one in listed if not one.problem))
    return [replace(one, confidence=one.confidence * left) for one in known]


def by_confidence(every: Iterable[Candidate]) -> list[Candidate]:
    """The surest first; what is refused stands last, however sure."""
    # Enter would do nothing where a card further down could be accepted.
    return sorted(every, key=lambda one: (bool(one.problem), -one.confidence))
