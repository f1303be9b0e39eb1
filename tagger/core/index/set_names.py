"""Sets by their names and by the words in them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.index.index import Index
    from tagger.core.index.vocabulary import Vocabulary


class SetNames:
    """The names of an index's sets, in its order, and the words in them."""

    def __init__(self, names: Sequence[str], words: Vocabulary) -> None:
        self._names, self._words = names, words

    def id(self, name: str) -> int | None:
        """The index of a set by its name, spelled in any case; None where no checklist has it."""
        # As it is spelled first: two sets may differ in case alone.
        known = self._ids.get(name)
        if known is not None:
            return known
        return self._folded.get(fold(name))

    def with_word(self, text: str) -> frozenset[int]:
        """The sets that a folded word could name: by a whole word, or by its beginning."""
        # part of a year is no year
        if text.isdigit():
            return self._words.ids_of(text)
        return self._words.ids(text)

    @cached_property
    def _ids(self) -> dict[str, int]:
        return {name: id for id, name in enumerate(self._names)}

    @cached_property
    def _folded(self) -> dict[str, int]:
        # backwards, so that the first of two sets that fold to one text is found
        return {fold(name): id for id, name in reversed(list(enumerate(self._names)))}


def sets_named(index: Index, words: Iterable[str]) -> list[str]:
    """The names of the sets that all of one folded word or more could name."""
    ids = frozenset.intersection(*map(index.sets_with, words))
    return [index.sets[id] for id in sorted(ids)]


def set_meant(index: Index, said: str, carried: str) -> str:
    """The set by its name in the checklists, where the words typed for it name one of them; as it
    was typed where they name none."""
    typed = fold(said).split()
    if not typed:
        return said
    names = sets_named(index, typed)
    whole = [name for name in names if fold(name).split() == typed]
    here = [name for name in names if name == carried]
    # The whole name, so that `harbor` is not Harbor Light; then the carried one, which is meant
    # more often than its sister sets.
    for found in (whole, here, names):
        if len(found) == 1:
            return found[0]
    return said
