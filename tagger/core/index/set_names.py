"""Sets by their names and by the words in them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from tagger.core.model.text import fold

if TYPE_CHECKING:
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
