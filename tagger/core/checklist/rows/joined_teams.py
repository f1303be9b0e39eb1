"""Teams that stand behind names with nothing but a space between: found by their coming again."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

_FEWEST = 6  # cards
_LONGEST = 5  # words of a team


def teams_at_end(names: Sequence[str], is_said: bool) -> frozenset[str]:
    """The ends of names that are surely teams; empty where it is not sure that there are any.
    `is_said`: whether a line above says that there are teams.

    A team comes again behind other names, and what stands before it differs from card to card:
    `Gulls` always stands behind `Harbor`, and `Harbor Gulls` behind many names."""
    found = _ends(names)
    if len(names) < _FEWEST or not 2 <= len(found) <= len(names) // 2:
        return frozenset()
    # `Ada Marsh of Harbor Gulls`
    behind_word = any(team[:1].islower() for team in found)
    return frozenset() if behind_word or not _part(names, found, is_said) else found


def _part(names: Sequence[str], teams: frozenset[str], is_said: bool) -> bool:
    """Whether teams stand at nearly all ends, and whole names before them."""
    with_team = [name for name, team in (split_end(name, teams) for name in names) if team]
    full = sum(" " in name for name in with_team)
    enough = len(with_team) * 10 >= len(names) * (7 if is_said else 9)
    return enough and full * 10 >= len(with_team) * 9


def _ends(names: Sequence[str]) -> frozenset[str]:
    """The shortest ends of names that come again behind other words each time."""
    before: defaultdict[str, list[str]] = defaultdict(list)
    for name in names:
        for word, end in _parted(name):
            before[end].append(word)
    ends = {end for end, words in before.items() if len(words) > 1 and _differ(words)}
    shortest = (next((end for _, end in _parted(name) if end in ends), "") for name in names)
    return frozenset(filter(None, shortest))


def _parted(name: str) -> Iterator[tuple[str, str]]:
    """The ends of a name, the shortest first, each with the word before it."""
    words = name.split()
    for count in range(1, min(_LONGEST, len(words) - 1) + 1):
        yield words[-count - 1], " ".join(words[-count:])


def split_end(name: str, teams: frozenset[str]) -> tuple[str, str]:
    """A name and the team behind it; no team where none of these stands there."""
    words = name.split()
    for count in range(min(_LONGEST, len(words) - 1), 0, -1):
        if (team := " ".join(words[-count:])) in teams:
            return " ".join(words[:-count]), team
    return name, ""


def _differ(words: Sequence[str]) -> bool:
    """Whether the words before an end are mostly of one place each."""
    return len(set(words)) * 10 >= len(words) * 6
