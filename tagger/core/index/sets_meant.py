"""Which sets of an index are meant by words that were typed for one."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from tagger.core.model.text import fold

if TYPE_CHECKING:
    from tagger.core.index.index import Index


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
