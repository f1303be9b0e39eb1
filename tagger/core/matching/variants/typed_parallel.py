"""Words of a hint that are a parallel of some checklist, for a card that no checklist has: there
`gold` of `900 ada marsh gold 12/99` would be one more name."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import islice, takewhile
from typing import TYPE_CHECKING

from tagger.core.index.word_marks import MARK_BITS
from tagger.core.model.numbers import SET_YEAR, parse_serial
from tagger.core.model.tags import COLOURS, is_base
from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.matching.hint import Token

MOST_WORDS = 4  # of a parallel's name
KINDS = 64  # kinds of cards anywhere that are asked for a parallel; lists repeat themselves
# Behind the name of one of these fields a word is more likely part of its value.
_OPEN_FIELDS = frozenset({"subject", "team", "set"})


class TypedParallel:
    """Finds the words of a parallel among those of a hint."""

    def __init__(self, index: Index) -> None:
        self._index = index
        self._anywhere = lru_cache(256)(self._names_anywhere)
        self._of_set = lru_cache(4)(self._names_of_set)

    def take(self, tokens: Sequence[Token], set_name: str) -> tuple[Sequence[Token], str]:
        """The other words, and the parallel by its name in the checklists, in those of the set
        first; empty where no word is one. The last one counts, and one that a serial number stands
        right behind before all others."""
        found = list(self._all(tokens, set_name))
        if not found or any(token.pin == "parallel" for token in tokens):
            return tokens, ""
        _, start, end, name = max(found)
        return (*tokens[:start], *tokens[end:]), name

    def _all(self, tokens: Sequence[Token], set_name: str) -> Iterator[tuple[bool, int, int, str]]:
        """(before a serial number, from, to, name) of each parallel that words spell."""
        within, at, named = False, 0, any(token.pin == "subject" for token in tokens)
        while at < len(tokens):
            within = within or tokens[at].pin in _OPEN_FIELDS
            # a number ends the words of a set, unless it is said which words the name has
            if not named and _ends_set(tokens, at):
                within = False
            name, length = self._spelled(tokens[at:], set_name)
            numbered = _is_serial(tokens[at + length :])
            if name and (numbered or not within):
                yield numbered, at, at + length, name
            at += max(1, length)

    def _spelled(self, tokens: Sequence[Token], set_name: str) -> tuple[str, int]:
        """The longest parallel that the first words spell, and of how many words it is; empty and
        0 where they spell none."""
        free = [token.text for token in takewhile(lambda token: not token.pin, tokens)]
        if not free:
            return "", 0
        # Those of the set last, so that its spelling of a name is the one that is kept.
        names = {**self._anywhere(free[0]), **self._of_set(set_name)}
        # The longest first: `gold wave` is one parallel, not Gold and a card called Wave.
        for length in range(min(len(free), MOST_WORDS), 0, -1):
            if name := names.get(tuple(free[:length])):
                return name, length
        if free[0] in COLOURS and _is_serial(tokens[1:]):
            return free[0].title(), 1
        return "", 0

    def _names_anywhere(self, word: str) -> dict[tuple[str, ...], str]:
        """The parallels anywhere with this word, by their folded words."""
        items = islice(self._index.parallel_words.exact(word), KINDS)
        return self._names([item >> MARK_BITS for item in items])

    def _names_of_set(self, set_name: str) -> dict[tuple[str, ...], str]:
        set_id = self._index.set_id(set_name)
        if set_id is None:
            return {}
        steps = self._index.steps(set_id)
        return self._names(sorted(set(self._index.parallels_of[steps.start : steps.stop])))

    def _names(self, kinds: Sequence[int]) -> dict[tuple[str, ...], str]:
        every = (parallel.name for kind in kinds for parallel in self._index.parallels(kind))
        return {tuple(fold(name).split()): name for name in every if not is_base(name)}


def _ends_set(tokens: Sequence[Token], at: int) -> bool:
    """Whether a word is the card's number behind the words of a set, and not the set's year."""
    pins = [token.pin for token in tokens[:at] if token.pin]
    if tokens[at].pin or pins[-1:] != ["set"] or not tokens[at].text[:1].isdigit():
        return False
    begun = max(place for place, token in enumerate(tokens[:at]) if token.pin)
    has_year = any(any(map(str.isdigit, token.text)) for token in tokens[begun:at])
    return has_year or not SET_YEAR.match(tokens[at].text)


def _is_serial(tokens: Sequence[Token]) -> bool:
    """Whether the first word is a serial number."""
    if not tokens:
        return False
    pin, text = tokens[0].pin, tokens[0].text
    return pin == "serial" or (not pin and parse_serial(text) is not None)
